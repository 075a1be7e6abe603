/** The API on a table in memory, with a clock that is set and the people of two organisations. */
import * as z from 'zod'
import { type ApiParts, buildApi } from '../../functions/api/api.ts'
import { openApiDocument } from '../../functions/api/openapi.ts'
import { typesOfFiles } from '../../functions/api/openapi-answers.ts'
import { paperFileInEnglish } from '../../functions/pages/papers/paper-file.ts'
import { proofFileInEnglish } from '../../functions/pages/proof-file.ts'
import type { Asker } from '../../functions/questions/asker.ts'
import { answerSchema, problemAnswer } from '../../functions/requests/answer-schemas.ts'
import { routes } from '../../functions/requests/routes.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import { hashOf } from '../../functions/store/sign-ins.ts'
import type { Item } from '../../functions/store/table.ts'
import { type Uploads, uploadsTo } from '../../functions/store/uploads.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { fakeTable } from '../support/fake-table.ts'
import { claimsOf, found, subjectFor, tokenRules } from '../support/sign-in.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick } from '../support/trade.ts'

export const demo = 'demo-utility'
const other = 'other-utility'

/** Whose token each is. */
export const signedIn = {
  owner: [demo, 'owner'],
  manager: [demo, 'manager'],
  'manager-2': [demo, 'manager-2'],
  bench: [demo, 'bench'],
  'bench-2': [demo, 'bench-2'],
  crew: [demo, 'crew'],
  'other crew': [demo, 'crew-2'],
  'north manager': [demo, 'north-manager'],
  'north bench': [demo, 'north-bench'],
  'second owner': [demo, 'olu'],
  'south manager': [demo, 'south-manager'],
  'south bench': [demo, 'south-bench'],
  'crew of none': [demo, 'crew-of-none'],
  stranger: [demo, 'stranger'],
  'other owner': [other, 'owner'],
  'other manager': [other, 'manager'],
} as const

export type Who = keyof typeof signedIn

const people: readonly [id: string, person: Person][] = [
  ['manager', { name: 'Mia Okafor', email: 'manager@demo-utility.example', role: 'manager', depots: ['*'] }],
  ['manager-2', { name: 'Max Holm', email: 'manager-2@demo-utility.example', role: 'manager', depots: ['*'] }],
  ['bench', { name: 'Ines Roth', email: 'bench@demo-utility.example', role: 'bench', depots: ['*'] }],
  ['bench-2', { name: 'Ivo Marsh', email: 'bench-2@demo-utility.example', role: 'bench', depots: ['*'] }],
  ['crew', { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew', depots: [], crewId: 'CR-1' }],
  ['crew-2', { name: 'Cy Dahl', email: 'cy@crew-two.example', role: 'crew', depots: [], crewId: 'CR-2' }],
  ['south-manager', { name: 'Sol Aker', email: 'sol@demo-utility.example', role: 'manager', depots: ['DEP-2'] }],
]

/** Both organisations as they are before anything else: their owners entered, and the sign-ins of all bound. */
const founded = await (async () => {
  const table = fakeTable()
  const at = '2020-01-01T00:00:00.000Z' as Instant
  for (const organisation of [demo, other]) {
    const personIds = Object.values(signedIn).flatMap(([of, personId]) => (of === organisation ? [personId] : []))
    await found(table, { organisation, name: 'Olive Tran', email: `owner@${organisation}.example`, personIds, at })
  }
  return table.items()
})()

/** A bucket that is nowhere. */
const uploadSettings = { bucket: 'uploads', region: 'us-east-1', keyId: 'AKEY', secret: 'a secret' } as const

export interface Reply {
  readonly status: number
  readonly text: string
  readonly headers: Headers
  /** of a file its bytes */
  // biome-ignore lint/suspicious/noExplicitAny: a test says itself what it expects of an answer
  readonly json: any
}

const { paths } = openApiDocument() as {
  paths: Record<string, Record<string, { responses: Record<string, unknown> }>>
}

const isTold = (method: string, path: string, status: number) =>
  status in (paths[path.replaceAll(/:(\w+)/g, '{$1}')]?.[method.toLowerCase()]?.responses ?? {})

/** Every answer a test gets is held to what the API document promises of it. */
function checkAnswer(method: string, path: string, { status, json, text, headers }: Reply): void {
  // neither has a body
  if (method === 'HEAD' || status === 204) return
  const contentType = headers.get('content-type')
  const [plain = ''] = path.split('?')
  const route = routes.find((one) => one.method === method && patternOf(one.path).test(plain))
  if (route && !isTold(method, route.path, status))
    throw new Error(`${method} ${path} answers ${status}, of which the document says nothing: ${text}`)
  const promised =
    status > 202
      ? problemAnswer
      : plain === '/v1/openapi.json'
        ? z.looseObject({})
        : route && answerSchema(route.answer)
  const isProposed = status === 202 && json?.proposal !== undefined && route?.mayLoosen === true
  const outcome = (isProposed ? answerSchema('proposal decided') : promised)?.safeParse(json)
  const good = (route && typesOfFiles[route.answer]) ?? ['application/json']
  const types = status <= 202 ? good : ['application/problem+json']
  if (outcome?.success && types.includes(contentType?.split(';')[0] ?? '') && (status <= 202 || json.status === status))
    return
  throw new Error(`${method} ${path} answers what was not promised: ${status} ${contentType} ${text} ${outcome?.error}`)
}

const patternOf = (path: string) => new RegExp(`^${path.replaceAll(/:\w+/g, '[^/]+')}$`)

export function openHouse(
  kept: readonly Item[] = [],
  from = '2026-03-02T15:00:00.000Z',
  more: Pick<ApiParts, 'shares'> = {},
) {
  const table = fakeTable(kept.length === 0 ? founded : kept)
  let now = from as Instant
  const files = new Map<string, Uint8Array>()
  const uploads: Uploads = {
    ...uploadsTo(uploadSettings, () => now),
    send: async (key, bytes) => void files.set(key, bytes),
  }
  const api = buildApi({
    table,
    clock: () => now,
    claimsOf: (context) => claimsOf(signedIn[context.req.header('authorization') as Who], now),
    tokens: tokenRules,
    openApi: async () => ({ openapi: '3.1.0' }),
    feedsUrl: 'https://api.example',
    proofFile: proofFileInEnglish,
    paperFile: paperFileInEnglish('https://pages.example'),
    uploads: async () => uploads,
    ...more,
  })

  async function send(
    method: string,
    path: string,
    body: string | Uint8Array<ArrayBuffer> | undefined,
    who: Who,
  ): Promise<Reply> {
    const init = { method, headers: { authorization: who }, ...(body === undefined ? {} : { body }) }
    const answer = await api.request(path, init)
    const isFile = !/json/.test(answer.headers.get('content-type') ?? 'json')
    const text = isFile ? '' : await answer.text()
    const json = isFile ? new Uint8Array(await answer.arrayBuffer()) : text === '' ? null : JSON.parse(text)
    const reply = { status: answer.status, text, json, headers: answer.headers }
    checkAnswer(method, path, reply)
    return reply
  }

  const call = (method: string, path: string, body?: unknown, who: Who = 'owner') =>
    send(method, path, body === undefined ? undefined : JSON.stringify(body), who)

  /** For what has to succeed before the test begins. People who are entered so have had word of it long ago. */
  async function done(method: string, path: string, body?: unknown, who: Who = 'owner'): Promise<Reply> {
    const reply = await call(method, path, body, who)
    if (reply.status > 202) throw new Error(`${method} ${path}: ${reply.status} ${reply.text}`)
    if (path.startsWith('/v1/people/')) table.forget(({ kind }) => kind === 'invitation')
    const proposal = reply.status === 202 ? reply.json.proposal : undefined
    return proposal === undefined ? reply : done('POST', `/v1/proposals/${proposal.id}/approve`, {}, secondAfter(who))
  }

  return {
    table,
    /** what lies in the bucket of files that were sent */
    files,
    uploads: async () => uploads,
    call,
    send,
    done,
    clock: () => now,
    /** By then the indexes show what was written before. */
    at(instant: string) {
      now = instant as Instant
      table.settled()
    },
    organisation: (name: string = demo) => openOrganisation(table, name),
    /** A session of the pages, begun just now. */
    session(who: Who) {
      const [organisation, personId] = signedIn[who]
      const subject = hashOf(subjectFor([organisation, personId]))
      return { organisation, personId, subject, hasAuthenticator: true, issuedAt: now }
    },
    /** A manager of every depot, as the pages ask. */
    asker(): Asker {
      const caller = { personId: 'pages', role: 'manager', depots: ['*'], crewId: null } as const
      return { organisation: openOrganisation(table, demo), caller, now }
    },
  }
}

/** Who approves what the one asked for, where it loosens. */
const secondAfter = (who: Who): Who => (who === 'manager-2' ? 'owner' : 'manager-2')

export type House = ReturnType<typeof openHouse>

/** Where a stick is held because its records were brought back: a table, and what may be lost. */
export const restoredFrom = {
  table: 'brought-back',
  doubt: { from: '2026-03-02T08:00:00.000Z' as Instant, to: '2026-03-02T12:00:00.000Z' as Instant },
} as const

/** A depot, two crews, the people, an instrument, a procedure and the US rules in force; one stick of crew one. */
export async function furnish(house: House): Promise<void> {
  const { done } = house
  await done('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' })
  await done('PUT', '/v1/depots/DEP-1', aDepot)
  await done('PUT', '/v1/depots/DEP-2', { ...aDepot, name: 'South yard' })
  await done('PUT', '/v1/crews/CR-1', aCrew)
  const cy = { name: 'Cy Dahl', email: 'cy@crew-two.example', role: 'foreman' }
  await done('PUT', '/v1/crews/CR-2', { name: 'Crew two', depotId: 'DEP-2', recipients: [cy] })
  for (const [id, person] of people) await done('PUT', `/v1/people/${id}`, person)
  await done('PUT', '/v1/instruments/INS-1', anInstrument)
  await done('PUT', '/v1/procedures/PRC-1', aProcedure)
  await done('PUT', '/v1/sticks/S-1', aStick)
  await done(
    'PUT',
    '/v1/policies/employer',
    { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' },
    'other owner',
  )
  await done(
    'PUT',
    '/v1/people/manager',
    { name: 'Odd Other', email: 'odd@other-utility.example', role: 'manager', depots: ['*'] },
    'other owner',
  )
}

/** Who hears of danger on a stick of the first crew: the crew, its foreman and the managers. */
export const everybody = [
  'ana@crew-one.example',
  'bo@crew-one.example',
  'manager-2@demo-utility.example',
  'manager@demo-utility.example',
]

/** Kind and mailbox of every notice that is owed, in the order of the alphabet. */
export const owedOf = (house: House) =>
  house.table
    .items()
    .filter((item) => item.entity === 'notice')
    .map((item) => `${item.kind} ${(item.to as { email: string }).email}`)
    .sort()
