/**
 * Bodies made from the API's own schemas, right ones and ones with a few faults, sent by several people to a furnished
 * house: nothing of it is a failure of ours, and every fault is told so that a person can mend it.
 */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import type * as z from 'zod'
import { routes } from '../../functions/requests/routes.ts'
import { rulePacks } from '../../shared-domain/policy/packs.ts'
import { boundsOf, within } from '../support/schemas.ts'
import { cases } from '../support/tier.ts'
import { aStick, aTest } from '../support/trade.ts'
import { demo, furnish, type House, openHouse, type Reply, type Who } from './house.ts'

const bodies = Number(process.env.FUZZ_BODIES ?? cases(8_000, 800))
const seed = Number(process.env.FUZZ_SEED ?? '14')

/** What people could mean by a text: those a schema takes are right, the others are faults of one or another kind. */
const texts: readonly string[] = [
  ...['CR-1', 'CR-2', 'DEP-1', 'DEP-2', 'INS-1', 'PRC-1', 'S-1', '*', 'own-rule', 'CR-0'],
  ...['2026-03-02', '2026-03-01', '2026-02-27', '2024-02-29', '2027-03-01', '1900-01-01', '9999-12-31'],
  ...['09:40', '00:00', '23:59', 'America/Chicago', 'Pacific/Kiritimati', 'Asia/Kathmandu'],
  ...['ana@crew.example', 'BO@crew-two.example', `${'a'.repeat(64)}@crew.example`],
  ...['Ines Roth', 'José Ωmega', '山田 太郎', 'محمد علی‌پور', 'Ana 👷🏽‍♀️', '+1 555 0100', '0', '=SUM(A1)', '<b>x</b>'],
  ...[40, 64, 80, 120, 200, 300, 400, 4000].map((length) => '山'.repeat(length)),
  ...['', 'two\nlines'],
  ...rulePacks.flatMap((pack) => [...pack.requirements.map(({ id }) => id), pack.calibrationCap?.id ?? pack.id]),
]

const hostileTexts: readonly string[] = [
  ...[
    '',
    ' ',
    '\u0000',
    '\uD800',
    '\uDC00x',
    '\u202Eabc',
    '\u200B',
    '\u{E0041}',
    'A\u0301\u0301\u0301\u0301\u0301\u0301',
  ],
  ...[
    '__proto__',
    'constructor',
    'toString',
    'null',
    'true',
    '0012',
    '1E5',
    '9'.repeat(40),
    '%00',
    'a#b',
    'ORG#x',
    '~/',
  ],
  ...['2026-02-30', '2026-13-01', '2026-W10', '45292', '24:00', '../../x', "';--", 'İ', 'x'.repeat(10_000)],
]

const hostileNumbers: readonly number[] = [
  ...[0, -0, -1, 0.1 + 0.2, 1e-6, 1e-7, 1e-131, 1e-300, Number.MIN_VALUE, -1e-300],
  ...[2 ** 53, 2 ** 53 + 2, -(2 ** 53), 1e21, 1e126, 1e308, Number.MAX_VALUE],
]

const deep = (levels: number): unknown => Array.from({ length: levels }).reduce((inner) => [inner], 1)

const hostile: fc.Arbitrary<unknown> = fc.oneof(
  { weight: 3, arbitrary: fc.constantFrom(...hostileTexts) },
  { weight: 3, arbitrary: fc.constantFrom(...hostileNumbers) },
  fc.constantFrom<unknown>(null, true, false, [], {}, [[]], [null], { x: { y: 1 } }, deep(25), deep(40), deep(300)),
  fc.constantFrom<unknown>(
    Array.from({ length: 3000 }, () => ({})),
    Array.from({ length: 3000 }, (_, i) => `n${i}`),
  ),
  fc.string({ unit: 'binary', maxLength: 40 }),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.jsonValue({ maxDepth: 3 }),
)

type Example = (schema: z.ZodType, inner: [name: string, schema: z.ZodType][]) => fc.Arbitrary<unknown>

const ofInner: Example = (_, inner) => fc.oneof(...inner.map(([, one]) => right(one)))
const ofValues: Example = (schema) =>
  fc.constantFrom(...((schema as z.ZodLiteral).values ?? (schema as z.ZodEnum).options))

/** Their edges among them. */
const examples: { readonly [type: string]: Example } = {
  object(_, inner) {
    const requiredKeys = inner.filter(([, one]) => !one.safeParse(undefined).success).map(([name]) => name)
    return fc.record(Object.fromEntries(inner.map(([name, one]) => [name, right(one)])), { requiredKeys })
  },
  array(schema, inner) {
    const { minItems = 0, maxItems = 0 } = boundsOf(schema)
    return fc.array(ofInner(schema, inner), { minLength: minItems, maxLength: Math.min(maxItems, minItems + 3) })
  },
  tuple: (_, inner) => fc.tuple(...inner.map(([, one]) => right(one))),
  record: (schema, [, ...value]) =>
    fc.dictionary(fc.constantFrom(...(boundsOf(schema).propertyNames?.enum ?? [])), ofInner(schema, value)),
  number(schema) {
    const { minimum: min = 0, maximum: max = 0 } = boundsOf(schema)
    const isWhole = !schema.safeParse(min + 0.5).success
    const among = isWhole ? fc.integer({ min, max }) : fc.double({ min, max, noNaN: true })
    return fc.oneof(fc.constantFrom(min, max), among).filter((value) => schema.safeParse(value).success)
  },
  string(schema) {
    const right = texts.filter((text) => schema.safeParse(text).success)
    return right.length === 0 ? fc.uuid() : fc.constantFrom(...right)
  },
  boolean: () => fc.boolean(),
  ...{ enum: ofValues, literal: ofValues },
  // read through by the schema of its kind, once that is known
  unknown: () => fc.json().map((text) => JSON.parse(text) as unknown),
  ...{ union: ofInner, optional: ofInner, nullable: ofInner, default: ofInner, pipe: ofInner, lazy: ofInner },
}

/** What a schema takes; a refinement over several places can still refuse it. */
function right(schema: z.ZodType): fc.Arbitrary<unknown> {
  const example = examples[schema.type]
  if (example === undefined) throw new Error(`no example of ${schema.type}`)
  return example(schema, within(schema))
}

type Way = readonly (string | number)[]

/** Every place of a value, the value itself among them; not to the bottom of one that is far too deep. */
function placesOf(value: unknown, at: Way = []): Way[] {
  if (typeof value !== 'object' || value === null || at.length > 12) return [at]
  const names = Array.isArray(value) ? value.map((_, i) => i) : Object.keys(value)
  return [at, ...names.flatMap((name) => placesOf((value as Record<string | number, unknown>)[name], [...at, name]))]
}

type Slip = { readonly at: number; readonly put: unknown; readonly how: 'set' | 'drop' | 'add' }

function slipped(value: unknown, { at, put, how }: Slip): unknown {
  const places = placesOf(value)
  const way = places[at % places.length] ?? []
  const last = way.at(-1)
  if (last === undefined) return how === 'set' ? put : value
  const copy = structuredClone(value)
  const holder = way.slice(0, -1).reduce((inner, name) => (inner as Record<string | number, unknown>)[name], copy)
  const fields = holder as Record<string | number, unknown>
  if (how === 'set') fields[last] = put
  else if (how === 'add') fields[Array.isArray(holder) ? holder.length : `${String(last)}\u202E~/x`] = put
  else if (Array.isArray(holder)) holder.splice(Number(last), 1)
  else delete fields[last]
  return copy
}

const slips = fc.array(
  fc.record({ at: fc.nat(10_000), put: hostile, how: fc.constantFrom('set', 'set', 'set', 'drop', 'add') }),
  { minLength: 1, maxLength: 3 },
) as fc.Arbitrary<Slip[]>

/** Readings made place by place hardly ever make a survey that a stick could have. */
const survey = fc.uuid().map((factId) => aTest({ factId }))

const doors = routes.flatMap(({ method, path, body }) => {
  if (body === undefined) return []
  const example = right(body as z.ZodType)
  return [{ method, path, example: path.endsWith('/bench-tests') ? fc.oneof(example, survey) : example }]
})

/** Two of three go wrong. */
const sent = fc.constantFrom(...doors).chain(({ method, path, example }) =>
  fc.record({
    method: fc.constant(method),
    path: fc.constant(path),
    number: fc.nat(30),
    who: fc.constantFrom<Who>(
      ...Array.from({ length: 8 }, () => 'owner' as const),
      'manager',
      'bench',
      'crew',
      'south manager',
    ),
    body: fc.oneof(
      example,
      fc.tuple(example, slips).map(([value, all]) => all.reduce(slipped, value)),
      fc.tuple(example, slips).map(([value, all]) => all.reduce(slipped, value)),
    ),
  }),
)

/** A correction of a fact that nobody recorded is refused at once: every other one withdraws a fact that was taken. */
function ofWhatStands(
  { path, number, body }: { path: string; number: number; body: unknown },
  taken: readonly string[],
) {
  const corrects = taken[number % taken.length]
  if (path !== '/v1/corrections' || number % 2 === 0 || corrects === undefined) return body
  return { factId: randomUUID(), corrects, reason: 'a slip', replacement: null }
}

/** Sticks and a notice there are already, and entries of its own that are made and changed again. */
interface KnownIds {
  readonly notice: string
  readonly proposals: readonly string[]
}

/** Nobody of those who send: whose sign-in is taken away is refused from then on. */
const people = ['bench-2', 'crew-2', 'manager-2', 'nobody']

function addressOf(method: string, path: string, number: number, { notice, proposals }: KnownIds): string {
  if (path.startsWith('/v1/policies')) return path.replace(':id', 'employer')
  if (path.startsWith('/v1/organisations')) return path.replace(':id', demo)
  if (path === '/v1/procedures/:id/preview') return path.replace(':id', 'PRC-1')
  if (path.startsWith('/v1/notices')) return path.replace(':id', notice)
  if (path.startsWith('/v1/proposals')) return path.replace(':id', proposals[number % proposals.length] ?? '')
  // what is done to somebody's sign-in needs somebody who is there
  if (path.startsWith('/v1/people/:id/')) return path.replace(':id', people[number % people.length] ?? '')
  const stick = `S-${(number % 10) + 1}`
  const id = path.startsWith('/v1/sticks') ? (method === 'POST' ? stick : `S-${number + 1}`) : `F-${number}`
  return path.replace(':id', id).replace(':factId', randomUUID())
}

function checkFaults({ json, text }: Reply): void {
  expect(text.length).toBeLessThan(200_000)
  expect(json.errors.length).toBeGreaterThan(0)
  for (const fault of json.errors as Record<string, unknown>[]) {
    expect(Object.keys(fault).sort()).toEqual(['came', 'expected', 'in', 'pointer'])
    expect(fault.pointer).toMatch(/^(\/|$)/)
    expect(fault.expected).toMatch(/^(?!.*[Ii]nvalid)(?!.*undefined).{3}/)
  }
}

/** Edits that wait, of sticks that nothing else is sent to. */
async function proposed(house: House): Promise<string[]> {
  const ids: string[] = []
  for (let i = 1; i <= 20; i++) {
    await house.done('PUT', `/v1/sticks/P-${i}`, aStick)
    const milder = { ...aStick, primaryProtection: false }
    ids.push((await house.call('PUT', `/v1/sticks/P-${i}`, milder, 'manager-2')).json.proposal.id)
  }
  return ids
}

test(`${bodies} bodies from the API’s own schemas are taken or refused in words`, { timeout: 1_800_000 }, async () => {
  const house = openHouse()
  await furnish(house)
  // as long as a stick can be, so that a place of a reading lies on it
  for (let i = 1; i <= 10; i++) await house.done('PUT', `/v1/sticks/S-${i}`, { ...aStick, workingLengthMetres: 30 })
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await house.done('POST', '/v1/sticks/S-10/defects', tingle)
  const notice = String((await house.done('GET', '/v1/notices')).json.items[0].number)
  const proposals = await proposed(house)
  const seen = new Map<number, number>()
  const takenBy = new Set<string>()
  const taken = [tingle.factId]
  for (const one of fc.sample(sent, { numRuns: bodies, seed })) {
    const body = JSON.stringify(ofWhatStands(one, taken)) ?? 'null'
    const address = addressOf(one.method, one.path, one.number, { notice, proposals })
    const reply = await house.send(one.method, address, body, one.who)
    const asked = `${one.method} ${address} ${body.slice(0, 2000)}`
    const what = `${one.who}: ${asked} → ${reply.status} ${reply.text.slice(0, 500)}`
    if (reply.status >= 500) throw new Error(what)
    if (reply.status === 422) checkFaults(reply)
    if (reply.status <= 202) takenBy.add(`${one.method} ${one.path}`)
    if (reply.status === 201 && one.path.startsWith('/v1/sticks/:id/')) taken.unshift(JSON.parse(body).factId)
    seen.set(reply.status, (seen.get(reply.status) ?? 0) + 1)
  }
  const share = (...statuses: number[]) => statuses.reduce((sum, status) => sum + (seen.get(status) ?? 0), 0) / bodies
  console.log(`${bodies} bodies, seed ${seed}:`, Object.fromEntries([...seen].sort()), `taken by ${takenBy.size} doors`)
  expect(share(200, 201, 202)).toBeGreaterThan(0.1)
  expect(share(422)).toBeGreaterThan(0.3)
  expect(takenBy.size).toBeGreaterThan(doors.length / 2)
})
