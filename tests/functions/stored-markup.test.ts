/**
 * Markup in every text that somebody can enter: it is stored, and stands on the pages as text. Which texts there are is
 * asked of the API's own document, so that a new one is missed here. The pages are walked by their links.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { openApiDocument } from '../../functions/api/openapi.ts'
import { holdAsRestored } from '../../functions/restore/restore.ts'
import { markWrites } from '../../functions/store/marked-addresses.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Reading } from '../../shared-domain/bench-test/bench-test.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { pagesOf } from '../support/pages.ts'
import {
  aCrew,
  aDemonstration,
  aManager,
  anInstrument,
  aProcedure,
  aStick,
  aTest,
  overTheLimit,
  survey,
} from '../support/trade.ts'
import { demo, furnish, openHouse } from './house.ts'

/** A text that is a tag, ends a quote of either kind, and begins a reference; short enough for every field. */
const marks = new Map<string, string>()
function written(...fields: readonly string[]): string {
  const text = `<b onclick=n${marks.size}_>"'&lt;`
  for (const field of fields) marks.set(field, text)
  return text
}
const shownAs = (text: string) =>
  text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;')

const us = 'us-29-cfr-1910-269-j'
const person = written('PUT /v1/people/{id} /name')
const phoned = written('PUT /v1/crews/{id} /recipients/*/name', 'POST /v1/notices/{id}/told /name')
const phone = written('PUT /v1/crews/{id} /recipients/*/phone', 'POST /v1/notices/{id}/told /phone')
const section = written(
  'PUT /v1/sticks/{id} /sections/*/name',
  ...[
    '/examination/defects/*/section',
    '/dry/readings/*/section',
    '/wet/readings/*/section',
    '/wet/driedAndRepeated/readings/*/section',
    '/withstand/*/section',
  ].map((field) => `POST /v1/sticks/{id}/bench-tests ${field}`),
)

const crew = {
  ...aCrew,
  name: written('PUT /v1/crews/{id} /name'),
  recipients: [...aCrew.recipients, { name: phoned, phone, role: 'crew' }],
}
const procedure = {
  ...aProcedure,
  title: written('PUT /v1/procedures/{id} /title'),
  approvedBy: written('PUT /v1/procedures/{id} /approvedBy'),
  limits: aProcedure.limits.map((one) => ({ ...one, source: limitSource() })),
  withstand: [
    {
      construction: 'FRP rod',
      when: 'new',
      voltage: { kilovoltsPerFoot: 100 },
      seconds: 300,
      source: written('PUT /v1/procedures/{id} /withstand/*/source'),
    },
  ],
}
function limitSource() {
  const field = 'PUT /v1/procedures/{id} /limits/*/source'
  return marks.get(field) ?? written(field)
}

const ofRule = (field: string) => written(`PUT /v1/policies/{id} ${field}`)
const policy = {
  packs: [us],
  shorten: [
    {
      requirement: `${us}-frp`,
      interval: { months: 12, counting: 'end of month' },
      source: ofRule('/shorten/*/source'),
    },
  ],
  add: [
    {
      id: 'own-look',
      words: ofRule('/add/*/words'),
      source: {
        cited: ofRule('/add/*/source/cited'),
        edition: ofRule('/add/*/source/edition'),
        jurisdiction: ofRule('/add/*/source/jurisdiction'),
        confidence: 'the employer’s own',
        effectiveFrom: '2020-01-01',
      },
      evidence: ['condition check'],
      interval: { days: 90 },
      statedBy: [
        { by: ofRule('/add/*/statedBy/*/by'), interval: { days: 30 }, source: ofRule('/add/*/statedBy/*/source') },
      ],
      waxing: ofRule('/add/*/waxing'),
      appliesTo: { primaryProtectionOnly: false, constructions: ['wood'] },
      legalMaximum: false,
      optional: false,
    },
  ],
  waxing: ofRule('/waxing'),
}

const ofStick = (field: string) => written(`POST /v1/sticks/{id}/${field}`)
const ofTest = (field: string) => ofStick(`bench-tests ${field}`)
const fact = (more: object = {}) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })
const inSection = (readings: readonly Reading[]) => readings.map((one) => ({ ...one, section }))

const failing = overTheLimit({ at: '08:00' })
const passing = aTest({
  at: '08:50',
  testedBy: ofTest('/testedBy'),
  note: ofTest('/note'),
  examination: {
    defects: [{ kind: 'scratch', open: false, section, note: ofTest('/examination/defects/*/note') }],
    gloss: 'sound',
  },
  dry: { readings: inSection(survey(2.4, 4)) },
  wet: {
    water: 'distilled',
    appearance: 'beads',
    readings: inSection(survey(2.4, 9, undefined, true)),
    driedAndRepeated: {
      appearance: 'film',
      note: ofTest('/wet/driedAndRepeated/note'),
      readings: inSection(survey(2.4, 30)),
    },
  },
  withstand: [
    { section, fromMetres: 0, toMetres: 0.3, kilovolts: 100, seconds: 60, state: 'dry', outcome: 'withstood' },
  ],
})

const house = openHouse()
beforeAll(async () => {
  await furnish(house)
  const { done, call } = house
  const [name, address, hours] = ['/name', '/address', '/hours'].map((field) => written(`PUT /v1/depots/{id} ${field}`))
  const depot = { name, address, hours, timeZone: 'America/Chicago', sweepHour: 6 }
  await done('PUT', '/v1/depots/DEP-1', depot)
  await done('PUT', '/v1/crews/CR-1', crew)
  await done('PUT', '/v1/people/bench', { ...aManager, email: 'bench@demo-utility.example', name: person })
  await done('PUT', '/v1/procedures/PRC-1', procedure)
  const [by, grounds] = ['/by', '/grounds'].map((field) => written(`PUT /v1/demonstrations/{id} ${field}`))
  await done('PUT', '/v1/demonstrations/DEM-1', { ...aDemonstration, by, grounds })
  const [certificate, laboratory] = ['/certificate', '/laboratory'].map((field) =>
    written(`PUT /v1/instruments/{id} ${field}`),
  )
  await done('PUT', '/v1/instruments/INS-1', { ...anInstrument, certificate, laboratory })
  await done('PUT', `/v1/organisations/${demo}`, { name: written('PUT /v1/organisations/{id} /name'), packs: [us] })
  await done('PUT', '/v1/policies/employer', policy)
  const plainStick = { ...aStick, lot: written('PUT /v1/sticks/{id} /lot') }
  const stick = { ...plainStick, sections: [{ name: section, lengthMetres: 2.4 }] }
  await done('PUT', '/v1/sticks/S-1', stick)
  for (const id of ['S-2', 'S-3', 'S-4', 'S-5']) await done('PUT', `/v1/sticks/${id}`, plainStick)

  const before = { testedBy: ofStick('past-tests /testedBy'), instrumentId: ofStick('past-tests /instrumentId') }
  const pastTest = { factId: randomUUID(), testedOn: '2025-05-14', passed: true, note: ofStick('past-tests /note') }
  await done('POST', '/v1/sticks/S-1/past-tests', { ...pastTest, ...before })
  const counting = { factId: randomUUID(), stickIds: ['S-1'], reason: written('POST /v1/past-tests/counts /reason') }
  await call('POST', '/v1/past-tests/counts', counting, 'manager')
  await done('POST', `/v1/proposals/${counting.factId}/approve`, {}, 'manager-2')
  await done('POST', '/v1/sticks/S-1/bench-tests', passing)
  const again = { factId: randomUUID(), reason: ofStick('bench-tests/{factId}/judgements /reason') }
  const instrumentChecks = [{ state: 'dry', when: 'after', openMicroamps: 0, checkMicroamps: 98 }]
  await done('POST', `/v1/sticks/S-1/bench-tests/${passing.factId}/judgements`, { ...again, instrumentChecks })
  const issued = { issuedBy: ofStick('certificates /issuedBy'), number: ofStick('certificates /number') }
  await done('POST', '/v1/sticks/S-1/certificates', fact({ ...issued, note: ofStick('certificates /note') }))
  const looked = { by: ofStick('condition-checks /by'), note: ofStick('condition-checks /note'), sound: true }
  await done('POST', '/v1/sticks/S-1/condition-checks', fact(looked))
  await done('POST', '/v1/sticks/S-1/uses', fact({ note: ofStick('uses /note') }))
  await done(
    'POST',
    '/v1/sticks/S-1/labels',
    fact({ kind: 'fixed', shows: '2026-06-02', note: ofStick('labels /note') }),
  )
  const lent = { to: { lentTo: ofStick('moves /to/lentTo'), returnBy: '2026-04-01' }, note: ofStick('moves /note') }
  await done('POST', '/v1/sticks/S-1/moves', fact(lent))

  await done('POST', '/v1/sticks/S-2/bench-tests', failing)
  const mended = { kind: 'cleaned', by: ofStick('corrective-steps /by'), note: ofStick('corrective-steps /note') }
  await done('POST', '/v1/sticks/S-2/corrective-steps', fact({ ...mended, at: '08:20' }))
  await done('POST', '/v1/sticks/S-2/bench-tests', aTest({ at: '08:40' }), 'bench-2')
  await done('POST', '/v1/sticks/S-2/releases', fact({ note: ofStick('releases /note'), at: '08:50' }), 'manager')

  const doubt = { from: '2026-03-01T00:00:00.000Z' as Instant, to: '2026-03-02T00:00:00.000Z' as Instant }
  await holdAsRestored({ organisation: house.organisation(), now: house.clock() }, 'S-2', { doubt, table: 'restored' })
  await done('POST', '/v1/sticks/S-2/paper-looks', fact({ note: ofStick('paper-looks /note'), at: '08:55' }), 'manager')

  const gone = { reason: ofStick('removals /reason'), note: ofStick('removals /note') }
  await done('POST', '/v1/sticks/S-3/removals', fact(gone))
  const place = { section: ofStick('defects /place/section'), fromMetres: 0, toMetres: 0.3 }
  await done('POST', '/v1/sticks/S-4/defects', fact({ kind: 'tingle', note: ofStick('defects /note'), place }))
  const slip = fact({ kind: 'drop' })
  await done('POST', '/v1/sticks/S-5/defects', slip)
  const reason = written('POST /v1/corrections /reason')
  await done('POST', '/v1/corrections', { factId: randomUUID(), corrects: slip.factId, reason, replacement: null })
  const note = written('POST /v1/reminders /note')
  await done('POST', '/v1/reminders', { factId: randomUUID(), stickIds: ['S-5'], note })

  const calledBack = (cause: object) => ({ factId: randomUUID(), cause, reason: written('POST /v1/recalls /reason') })
  const lot = written('POST /v1/recalls /cause/lot')
  const called = await done('POST', '/v1/recalls', calledBack({ lot }))
  const order = written('POST /v1/recalls /cause/order')
  await done('POST', '/v1/recalls', calledBack({ order, stickIds: ['S-5'] }))
  const closed = { factId: randomUUID(), notFound: [], note: written('POST /v1/recalls/{id}/close /note') }
  await done('POST', `/v1/recalls/${called.json.id}/close`, closed)

  for (const act of ['sign-out', 'free']) {
    const acted = { factId: randomUUID(), reason: written(`POST /v1/people/{id}/sign-in/${act} /reason`) }
    await done('POST', `/v1/people/bench-2/sign-in/${act}`, acted)
  }

  const { items } = (await call('GET', '/v1/notices?stick=S-4')).json
  const errand = items.find(({ tellInPerson }: { tellInPerson: unknown[] }) => tellInPerson.length > 0)
  await done('POST', `/v1/notices/${errand.number}/told`, { name: phoned, phone })
  const notice = house.table.items().find((item) => item.number === errand.number) as unknown as Notice
  const lost = { ...notice, to: { ...notice.to, email: 'ana@crew-one.example' } }
  const cause = { why: 'bounced', trouble: 'no such user', since: house.clock() } as const
  await house.table.transact(await markWrites(house.table, lost, cause))
  const cleared = { email: 'ana@crew-one.example', reason: written('POST /v1/marked-addresses/clear /reason') }
  await done('POST', '/v1/marked-addresses/clear', cleared)
  const { proposal } = (await call('PUT', '/v1/sticks/S-1', { ...stick, primaryProtection: false }, 'manager')).json
  const declined = { reason: written('POST /v1/proposals/{id}/decline /reason') }
  await done('POST', `/v1/proposals/${proposal.id}/decline`, declined, 'manager-2')
  house.at('2026-03-02T15:00:00.000Z')
})

interface Schema {
  readonly $ref?: string
  readonly type?: string
  readonly enum?: unknown
  readonly const?: unknown
  readonly pattern?: string
  readonly format?: string
  readonly properties?: Readonly<Record<string, Schema>>
  readonly items?: Schema
  readonly anyOf?: readonly Schema[]
  readonly oneOf?: readonly Schema[]
}

interface Document {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>
  readonly components: { readonly schemas: Readonly<Record<string, Schema>> }
}
interface Operation {
  readonly requestBody?: { readonly content: { readonly 'application/json': { readonly schema: Schema } } }
}

/** Fields of bodies that take any text, each with its request. */
function textsOfTheApi(): string[] {
  const { paths, components } = openApiDocument() as Document
  const textsIn = (schema: Schema, at: string): string[] => {
    const { $ref, type, properties = {}, items, anyOf = [], oneOf = [] } = schema
    if ($ref !== undefined) return textsIn(components.schemas[$ref.split('/').at(-1) ?? ''] ?? {}, at)
    const isFree = type === 'string' && !['enum', 'const', 'pattern', 'format'].some((name) => name in schema)
    return [
      ...(isFree ? [at] : []),
      ...Object.entries(properties).flatMap(([name, one]) => textsIn(one, `${at}/${name}`)),
      ...(items === undefined ? [] : textsIn(items, `${at}/*`)),
      ...[...anyOf, ...oneOf].flatMap((one) => textsIn(one, at)),
    ]
  }
  return Object.entries(paths).flatMap(([path, operations]) =>
    Object.entries(operations).flatMap(([method, { requestBody }]) => {
      const schema = requestBody?.content['application/json']?.schema
      return schema === undefined ? [] : textsIn(schema, `${method.toUpperCase()} ${path} `)
    }),
  )
}

/** What is only tried is not kept. */
const isTried = (field: string) => /\/(preview|what-if) /.test(field)

test('every text that is kept is entered above, but a zone, which is one of those there are', () => {
  const kept = textsOfTheApi().filter((field) => !isTried(field) && !field.endsWith('/timeZone'))
  expect([...marks.keys()].sort()).toEqual([...new Set(kept)].sort())
})

/** The one is told in mails, the other read by programs. */
const onNoPage = ['POST /v1/reminders /note', 'POST /v1/marked-addresses/clear /reason']

const plain = (link: string) => link.replaceAll('&amp;', '&').replaceAll('&#39;', "'").split('#')[0] ?? ''

/** Every page that links lead to from the first, as a manager reads it; the sign-out is everybody's. */
async function walked(): Promise<ReadonlyMap<string, { readonly status: number; readonly text: string }>> {
  const pages = pagesOf(house, 'manager')
  const seen = new Map<string, { status: number; text: string }>()
  const next = ['/roster', '/roster?status=removed+from+service', '/registers/policies/employer/edition']
  for (let path = next.shift(); path !== undefined; path = next.shift()) {
    if (seen.has(path) || path.startsWith('/sign-out')) continue
    const answer = await pages.request(path)
    const isPage = answer.headers.get('content-type')?.startsWith('text/html') ?? false
    const text = (await answer.text()).replace(/<style.*?<\/style>/s, '')
    seen.set(path, { status: answer.status, text: isPage ? text : '' })
    next.push(...[...text.matchAll(/ href="(\/[^"]*)"/g)].map(([, link = '']) => plain(link)))
  }
  return seen
}

test('every text but those stands on a page, everywhere as text; every link of a page leads to one', async () => {
  const pages = await walked()
  const all = [...pages.values()].map(({ text }) => text).join('')
  expect(pages.size).toBeGreaterThan(100)
  for (const [path, { status, text }] of pages) {
    expect([path, status]).toEqual([path, path === '/' ? 303 : 200])
    // neither a tag, nor the end of a quote
    expect([path, /<b onclick|_>"|_&gt;"'/.exec(text)?.[0]]).toEqual([path, undefined])
  }
  // what a form keeps for its next sending stands there as JSON
  const isShown = (text: string) => [text, JSON.stringify(text).slice(1, -1)].some((one) => all.includes(shownAs(one)))
  expect([...marks].filter(([, text]) => !isShown(text)).map(([field]) => field)).toEqual(onNoPage)
})
