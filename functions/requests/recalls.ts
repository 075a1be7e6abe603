/** Recalls: opened, tried, followed and closed. */
import * as z from 'zod'
import { type ClosingBody, closingBody, type RecallBody, recallBody } from '../../shared-domain/recall-body.ts'
import { invalid } from '../ground/errors.ts'
import type { KeptRecall } from '../store/recalls.ts'
import { cursorTo, cut, pageAsked, pageFields, pageQuery } from './paging.ts'
import { recallView, stateOfRecall, stickOfRecallView } from './recall-view.ts'
import { recording, settleInTime } from './recording.ts'
import { type Request, type Route, route } from './request.ts'

const openQuery = z.lazy(() => z.strictObject({ preview: z.enum(['true', 'false']).optional() }))
const listQuery = z.lazy(() => z.strictObject({ state: z.enum(['open', 'closed']).optional(), ...pageFields() }))

export const recallRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/recalls',
    summary:
      'Call sticks back: those last tested with an instrument that was found to read wrong, a lot, or an order. It ' +
      'binds at once on every read; with `preview=true` nothing is recorded, and what would follow is told',
    action: 'open a recall',
    query: openQuery,
    body: recallBody,
    answer: 'recall opened',
    handle: open,
  }),
  route({
    method: 'GET',
    path: '/v1/recalls',
    summary: 'Recalls, the newest first',
    action: 'read recalls',
    query: listQuery,
    answer: 'list of recall',
    handle: list,
  }),
  route({
    method: 'GET',
    path: '/v1/recalls/:id',
    summary: 'How far a recall is, counted as its sticks stand now, and the first sticks that nobody confirmed',
    action: 'read recalls',
    answer: 'recall progress',
    handle: progress,
  }),
  route({
    method: 'GET',
    path: '/v1/recalls/:id/sticks',
    summary: 'The sticks of a recall by number, each with what became of it and its readings put right',
    action: 'read recalls',
    query: pageQuery,
    answer: 'list of recall stick',
    handle: sticks,
  }),
  route({
    method: 'POST',
    path: '/v1/recalls/:id/close',
    summary:
      'Close a recall once every stick of it is cleared, removed, or named as not found. It changes no stick: what ' +
      'was not found stays on hold',
    action: 'close a recall',
    body: closingBody,
    answer: 'recall',
    handle: close,
  }),
]

/** What reads recalls, loaded with the first who asks. */
const questions = () => import('../questions/recalls.ts')

async function open(request: Request<RecallBody>) {
  const { openRecall, faultsOfCause } = await recording()
  if (request.query.preview === 'true') {
    const faults = await faultsOfCause(request, request.body)
    if (faults.length > 0) throw invalid(...faults)
    const { counts, readers, open: held } = await (await questions()).recallPreviewFor(request, request.body.cause)
    return { status: 200, body: { counts, readers, sticks: held.map(stickOfRecallView) } }
  }
  const { recall, news } = await openRecall(request)
  const settled = await settleInTime(request, recall)
  return { status: news ? 201 : 200, body: recallView(settled) }
}

async function list(request: Request) {
  const { state } = request.query
  const all = await (await questions()).recallsFor(request)
  const items = all.filter((one) => state === undefined || stateOfRecall(one) === state)
  return { status: 200, body: cut({ items, keyOf: placeOf, show: recallView }, request.query) }
}

/** The place of a recall in the list: later instants sort first. */
const placeOf = ({ at, id }: KeptRecall) => `${String(99_999_999_999_999 - Date.parse(at)).padStart(14, '0')}#${id}`

async function progress(request: Request) {
  const { recall, counts, unconfirmed, removals } = await (await questions()).recallFor(request, request.id)
  return {
    status: 200,
    body: { ...recallView(recall), counts, unconfirmed: unconfirmed.map(stickOfRecallView), removals },
  }
}

async function sticks(request: Request) {
  const asked = pageAsked(request.query, (key) => /^[\w.-]{1,64}$/.test(key))
  const { sticks: found, next } = await (await questions()).sticksOfRecallFor(request, { id: request.id, ...asked })
  return { status: 200, body: { items: found.map(stickOfRecallView), next: cursorTo(next) } }
}

async function close(request: Request<ClosingBody>) {
  const { recall, news } = await (await recording()).closeRecall(request, request.id)
  return { status: news ? 201 : 200, body: recallView(recall) }
}
