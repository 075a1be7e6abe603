/** Corrections of slips: what was recorded is withdrawn, replaced, or moved to the stick that it was about. */
import * as z from 'zod'
import {
  type AnyCorrection,
  type Correction,
  correction,
  type EditionCorrection,
} from '../../shared-domain/fact-bodies.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { factId as factIdField } from '../../shared-domain/identifiers.ts'
import { invalid, Refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import type { CorrectionDone } from '../recording/correcting.ts'
import { referenceFaults } from '../recording/references.ts'
import { putEntryRight } from './corrected-entries.ts'
import { brief } from './echo.ts'
import { shownReason } from './english.ts'
import { faultsOf } from './faults.ts'
import { decidedView, proposedView } from './proposals.ts'
import { approveAndJudge, recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

const ownId = z.lazy(() => factIdField.optional())
const approval = z.lazy(() => z.strictObject({}))

export const correctionRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/corrections',
    summary:
      'Put a slip right: `replacement` is a whole body of the kind of the fact with a factId of its own, or null to ' +
      'withdraw it; with another `stickId` it belongs to that stick. What ends a hold, a removal or an end of ' +
      'service, or takes back what spoke against a stick, waits for a second person',
    action: 'correct a fact',
    body: correction,
    answer: 'correction',
    mayLoosen: true,
    handle: putRight,
  }),
  route({
    method: 'POST',
    path: '/v1/corrections/:factId/approvals',
    summary: 'Approve a correction that somebody else asked for: the same as to approve the proposal under its factId',
    action: 'decide a proposal',
    body: approval,
    answer: 'proposal decided',
    handle: async (request) => ({
      status: 200,
      body: { proposal: await decidedView(await approveAndJudge(request, request.factId.toLowerCase())) },
    }),
  }),
]

async function putRight(request: Request<AnyCorrection>) {
  const { body } = request
  // an object names an edition
  if (typeof body.corrects === 'object') return putEntryRight(request as Request<EditionCorrection>)
  return putFactRight(request as Request<Correction>)
}

async function putFactRight(request: Request<Correction>) {
  const body = await readThrough(request)
  const corrected = await (await recording()).correct({ ...request, body })
  if (corrected.outcome === 'proposed') return { status: 202, body: await proposedView(corrected) }
  return { status: corrected.news ? 201 : 200, body: shown(corrected) }
}

/** The replacement is read as at its own door, once it is known what the slip was. */
async function readThrough(request: Request<Correction>): Promise<Correction> {
  const { body, organisation } = request
  const { slip, schema } = await (await recording()).slipFor(request, body.corrects)
  const { replacement = null } = body
  if (replacement === null) return { ...body, replacement }
  if (schema === null)
    throw invalid({
      pointer: '/replacement',
      came: replacement,
      expected: { is: 'right: null for a verdict' },
    })
  const isEntry = slip.kind === 'registered'
  const { factId, ...entry } = fieldsOf(replacement)
  const parsed = schema.safeParse(isEntry ? entry : replacement)
  const id = isEntry ? ownId.safeParse(factId) : undefined
  if (id?.success === false)
    throw invalid({ pointer: '/replacement/factId', came: brief(factId), expected: { is: 'right: a UUID of its own' } })
  const unknown = isEntry ? await referenceFaults(organisation, 'stick', entry) : []
  if (parsed.success && unknown.length === 0)
    return {
      ...body,
      replacement: isEntry
        ? { ...fieldsOf(parsed.data), ...(id?.data === undefined ? {} : { factId: id.data }) }
        : parsed.data,
    }
  const { faults, more } = parsed.success ? { faults: [], more: 0 } : faultsOf(parsed.error, replacement)
  const all = [...faults, ...unknown].map((one) => ({ ...one, pointer: `/replacement${one.pointer}` }))
  throw new Refused({ kind: 'invalid', faults: all, more })
}

function shown({ correction: { factId, corrects, reason, instead: by }, instead, sticks }: CorrectionDone) {
  const [stick, ...others] = sticks.map((one) => stickView(one.stick, one.standing, one.today))
  return { factId, corrects, reason, instead: by, ...verdictOf(instead), stick, others }
}

function verdictOf(instead: RecordedFact | undefined) {
  if (instead?.kind !== 'tested') return {}
  const { verdict, reasons, worst } = instead.judgement
  return { verdict, reasons: reasons.map(shownReason), worst }
}
