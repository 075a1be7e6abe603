/**
 * Every page and every act on one, with who may open it or do it, and a house in which each has something to show. What
 * a reader is answered stands here by hand, beside the right of the one table that it comes from.
 */
import { randomUUID } from 'node:crypto'
import { holdAsRestored } from '../../functions/restore/restore.ts'
import { keepImport } from '../../functions/store/imports.ts'
import { markWrites } from '../../functions/store/marked-addresses.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { type Import, nothingCounted } from '../../shared-domain/import/import.ts'
import type { Action, RightsHolder, Subject } from '../../shared-domain/rights.ts'
import { planAll } from '../support/planning.ts'
import { aCrew, aDemonstration, anOrganisation, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { demo, furnish, type House, openHouse, restoredFrom, type Who } from './house.ts'

const passed = aTest({ at: '08:40', testedBy: 'Ivo Marsh' })
const proposalId = '{proposal}'
const { factId: _, testedOn: __, at: ___, ...asTakenDown } = passed
const takenDown = JSON.stringify(asTakenDown)
const errand = '{errand}'
const feed = '{feed}'
const recall = '{recall}'

/** Names of the places in addresses that are known once the house is furnished. */
export interface Furnished {
  readonly items: readonly Item[]
  readonly address: (of: string) => string
}

/**
 * Sticks of the first crew: one that failed and passed since, one that was never tested, one that is due in seven
 * weeks; one in store; and whatever else an act is about.
 */
export async function furnishEveryPage(): Promise<Furnished> {
  const house = openHouse()
  await furnish(house)
  const ana = { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'foreman' }
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [ana, ...aCrew.recipients.slice(1), kai] })
  await house.done('PUT', '/v1/crews/CR-3', { ...aCrew, name: 'Crew three', recipients: [] })
  await house.done('PUT', '/v1/demonstrations/DEM-1', aDemonstration)
  await house.done('PUT', `/v1/organisations/${demo}`, anOrganisation)
  for (const stick of ['S-3', 'S-5', 'S-6']) await house.done('PUT', `/v1/sticks/${stick}`, aStick)
  const before = { factId: randomUUID(), testedOn: '2025-05-14', passed: true }
  await house.done('POST', '/v1/sticks/S-3/past-tests', before, 'bench-2')
  const stored = { factId: randomUUID(), occurredOn: '2026-03-02', to: { store: 'DEP-1' } }
  await house.done('POST', '/v1/sticks/S-6/bench-tests', aTest())
  await house.done('POST', '/v1/sticks/S-6/moves', stored)
  await house.done('PUT', '/v1/sticks/S-9', aStick)
  await holdAsRestored({ organisation: house.organisation(), now: house.clock() }, 'S-9', restoredFrom)
  const { feedId } = (await house.done('POST', '/v1/crews/CR-1/feeds')).json
  await house.done('POST', '/v1/sticks/S-5/bench-tests', aTest({ testedOn: day('2024-04-20') }))
  await house.done('POST', '/v1/sticks/S-1/bench-tests', overTheLimit({ at: '08:00' }), 'bench-2')
  const { items: notices } = (await house.done('GET', '/v1/notices?stick=S-1')).json
  const { number } = notices.find((one: { tellInPerson: unknown[] }) => one.tellInPerson.length > 0)
  const cleaned = { factId: randomUUID(), occurredOn: '2026-03-02', at: '08:20', kind: 'cleaned', by: 'Ines Roth' }
  await house.done('POST', '/v1/sticks/S-1/corrective-steps', cleaned, 'bench-2')
  await house.done('POST', '/v1/sticks/S-1/bench-tests', passed, 'bench-2')
  const ofNone = { factId: randomUUID(), cause: { lot: 'L-NONE' }, reason: 'cracks at the ferrule' }
  const { id: recallId } = (await house.done('POST', '/v1/recalls', ofNone)).json
  const milder = { ...aStick, primaryProtection: false }
  const { json: proposed } = await house.call('PUT', '/v1/sticks/S-1', milder, 'manager-2')
  const notice = house.table.items().find((item) => item.number === number) as unknown as Notice
  const lost = { ...notice, to: { ...notice.to, email: 'ana@crew-one.example' } }
  const cause = { why: 'bounced', trouble: 'no such user', since: house.clock() } as const
  await house.table.transact(await markWrites(house.table, lost, cause))
  await sendFiles(house)
  await house.done('PUT', '/v1/depots/DEP-1/bench', { weekMinutes: 600 })
  await house.done('POST', '/v1/plans', { depotId: 'DEP-1' })
  await planAll(house)
  return {
    items: house.table.items(),
    address: (of) =>
      of
        .replace(proposalId, proposed.proposal.id)
        .replace(errand, number)
        .replace(feed, feedId)
        .replace(recall, recallId),
  }
}

async function sendFiles(house: House): Promise<void> {
  const looked = {
    headerRow: 1,
    headings: ['Stick', 'Date'],
    mapping: ['stickId', 'occurredOn'],
    sample: [['X-1', '03/04/2026']],
  }
  const one: Import = {
    ...{ id: asked, kind: 'uses', mode: 'check', goodOnly: false, by: 'manager-2', at: house.clock(), said: {} },
    ...{ state: 'asked', looked, counts: nothingCounted, page: 0, faults: [], refused: null, rest: [] },
    questions: [{ about: 'dates', orders: ['day first', 'month first'], example: '03/04/2026' }],
  }
  const counts = { ...nothingCounted, done: 2, of: 2, added: 2 }
  const all: Import[] = [one, { ...one, id: checked, state: 'checked', questions: [], counts }]
  for (const sent of all) await keepImport(house.organisation(), { import: sent, revision: 0 })
}

/** The readers of the columns below: whoever each is, as the one table of rights sees them. */
export const readers = {
  owner: { role: 'owner', depots: ['*'], crewId: null },
  manager: { role: 'manager', depots: ['*'], crewId: null },
  /** of the depot where the first crew has nothing */
  'south manager': { role: 'manager', depots: ['DEP-2'], crewId: null },
  bench: { role: 'bench', depots: ['*'], crewId: null },
  /** of the first crew, as the first stick is */
  crew: { role: 'crew', depots: [], crewId: 'CR-1' },
  'other crew': { role: 'crew', depots: [], crewId: 'CR-2' },
} as const satisfies Partial<Record<Who, RightsHolder>>
export type Reader = keyof typeof readers

/** Whose it is: of something that has an owner, or a list that shows each reader what is theirs. */
type Whose = Subject | 'a list'
const ofStick: Whose = { crewId: 'CR-1', depotId: 'DEP-1' }
const ofDepot: Whose = { crewId: null, depotId: 'DEP-1' }
const ofAll: Whose = { crewId: null, depotId: '*' }
const aList: Whose = 'a list'

/**
 * What each is answered, in this order: the readers above, then the manager of another organisation, of whom nothing
 * here is.
 */
const outcomes = {
  yes: 'the page; or it is done',
  waits: 'it is kept until a second person approves it, or says which stick a number was to be',
  on: 'another page of ours',
  nothing: 'the page without anything of the first crew; or nothing is done',
  no: 'it is not theirs: 403',
  none: 'there is no such thing: 404',
  wrong: 'what it names is on no register of theirs: 422',
} as const
export type Outcome = keyof typeof outcomes
export const isOutcome = (word: string): word is Outcome => word in outcomes

/** Boxes, fields and choices that are typed over in the form as the owner sees it. */
export type Typing = Readonly<Record<string, string | readonly string[] | null>>

export interface Line {
  readonly route: string
  readonly rule: Action | 'anybody' | 'nobody'
  readonly whose: Whose
  readonly at: string
  readonly outcomes: string
  readonly typed: Typing
  /** the address of the form that is typed over: its own, or that of an entry of which a new one is typed off */
  readonly form: string
}

type Cells = readonly [
  route: string,
  rule: Line['rule'],
  whose: Whose,
  at: string,
  outcomes: string,
  typed?: Typing,
  form?: string,
]

const test = `/sticks/S-1/bench-tests/${passed.factId}`
const slip = `/sticks/S-1/facts/${passed.factId}`
const today = { '/occurredOn': '2026-03-02' }
const why = { '/reason': 'a slip' }
const milder = { '/primaryProtection': 'false' }

/** Files that were sent: of one something is asked, and another is checked. */
const asked = '20260302T150000000Z-0a0b0c0d'
const checked = '20260302T150000000Z-0a0b0c0e'
const anyManager: OfRegister['opens'] = [aList, 'yes yes yes no no no yes']

const cells: readonly Cells[] = [
  ['GET /', 'anybody', aList, '/', 'on on on on on on on'],
  ['GET /roster', 'read the roster', aList, '/roster', 'yes yes nothing yes yes nothing nothing'],
  ['GET /roster', 'read the roster', ofStick, '/roster?crew=CR-1', 'yes yes no yes yes no none'],
  ['GET /roster', 'read the roster', ofStick, '/roster?depot=DEP-1', 'yes yes none yes yes nothing none'],
  ['GET /roster', 'read the roster', ofDepot, '/roster?store=DEP-1', 'yes yes none yes nothing nothing none'],
  ['GET /roster.csv', 'read the roster', aList, '/roster.csv', 'yes yes nothing yes yes nothing nothing'],
  ['GET /roster.csv', 'read the roster', ofStick, '/roster.csv?crew=CR-1', 'yes yes no yes yes no none'],
  ['GET /notices', 'read notices', aList, '/notices', 'yes yes nothing yes yes nothing nothing'],
  ['GET /notices', 'read notices', ofStick, '/notices?stick=S-1', 'yes yes nothing yes yes nothing nothing'],
  ['GET /crew', 'read the roster', aList, '/crew', 'yes yes yes yes yes yes yes'],
  ['GET /crew', 'read the roster', ofStick, '/crew?crew=CR-1', 'yes yes no yes yes no none'],
  ['GET /say', 'report danger', aList, '/say', 'yes yes yes yes yes yes yes'],
  ['GET /say', 'report danger', ofStick, '/say?stick=s-1', 'on on on on on on on'],
  ['GET /sticks/:id/proof', 'take a proof', ofStick, '/sticks/S-1/proof', 'yes yes no yes no no none'],
  ['GET /sticks/:id/certificate', 'read a stick', ofStick, '/sticks/S-1/certificate', 'yes yes no yes yes no none'],
  ['GET /sticks/:id/tag', 'read a stick', ofStick, '/sticks/S-1/tag', 'yes yes no yes yes no none'],
  ['GET /sticks/:id/label', 'record a label', ofStick, '/sticks/S-1/label', 'yes yes no yes no no none'],
  ['GET /sticks/:id/worksheet', 'record a test', ofStick, '/sticks/S-1/worksheet', 'yes yes no yes no no none'],
  ['GET /depots/:id/bench-list', 'record a test', ofStick, '/depots/DEP-1/bench-list', 'yes yes none yes no no none'],
  ['GET /bench', 'record a test', aList, '/bench', 'yes yes yes yes no no yes'],
  ['GET /bench', 'record a test', ofStick, '/bench?stick=s-1', 'on on no on no no yes'],
  ['GET /bench/:id', 'record a test', ofStick, '/bench/S-1', 'yes yes no yes no no none'],
  [
    'POST /bench/:id',
    'record a test',
    ofStick,
    '/bench/S-1',
    'yes yes no yes no no none',
    { factId: randomUUID(), enteredAt: '2026-03-02T14:50:00.000Z', knows: passed.factId, test: takenDown },
  ],
  ['GET /sticks/:id/say', 'report danger', ofStick, '/sticks/S-1/say', 'yes yes yes yes yes yes yes'],
  ['GET /proposals', 'read proposals', aList, '/proposals', 'yes yes yes no no no yes'],
  ['GET /outlook', 'read the roster', aList, '/outlook', 'yes yes nothing yes yes nothing nothing'],
  ['GET /outlook', 'read the roster', ofStick, '/outlook?depot=DEP-1', 'yes yes none yes yes nothing none'],
  ['GET /imports', 'import', aList, '/imports', 'yes yes yes yes no no yes'],
  ['POST /imports', 'import', aList, '/imports', 'yes yes yes yes no no yes', { kind: 'uses' }],
  ['GET /imports/templates/:kind', 'import', aList, '/imports/templates/uses', 'yes yes yes yes no no yes'],
  ['GET /exports/:kind', 'take out files', aList, '/exports/sticks', 'yes yes yes yes no no yes'],
  ['GET /exports/:kind', 'read people', aList, '/exports/people?format=xlsx', 'yes yes yes no no no yes'],
  ['GET /imports/:id', 'import', ofAll, `/imports/${asked}`, 'yes yes yes yes no no none'],
  ['GET /imports/:id', 'import', ofAll, `/imports/${checked}`, 'yes yes yes yes no no none'],
  [
    'POST /imports/:id/reading',
    'import',
    ofAll,
    `/imports/${asked}/reading`,
    'yes yes yes yes no no none',
    { dates: 'day first' },
    `/imports/${asked}`,
  ],
  [
    'POST /imports/:id/apply',
    'import',
    ofAll,
    `/imports/${checked}/apply`,
    'yes yes yes yes no no none',
    {},
    `/imports/${checked}`,
  ],
  ['GET /plan', 'read a plan', ofStick, '/plan?depot=DEP-1', 'yes yes no yes no no none'],
  ['GET /plan/try', 'read a plan', ofStick, '/plan/try?depot=DEP-1&hours=4', 'yes yes no yes no no none'],
  ['GET /plan/week.csv', 'read a plan', ofStick, '/plan/week.csv?depot=DEP-1', 'yes yes no yes no no none'],
  [
    'POST /plan',
    'plan a bench',
    ofStick,
    '/plan',
    'yes yes no no no no none',
    { act: 'anew', depot: 'DEP-1' },
    '/plan?depot=DEP-1&done=recorded',
  ],
  ['GET /outlook/year', 'read the fleet', aList, '/outlook/year', 'yes yes yes no no no yes'],
  ['GET /outlook/year.csv', 'read the fleet', aList, '/outlook/year.csv', 'yes yes yes no no no yes'],
  ['GET /instruments', 'read instruments', aList, '/instruments', 'yes yes yes yes no no yes'],
  ['GET /instruments/:id', 'read instruments', ofAll, '/instruments/INS-1', 'yes yes yes yes no no none'],
  ['GET /sticks/:id', 'read a stick', ofStick, '/sticks/S-1', 'yes yes no yes yes no none'],
  ['GET /sticks/:id/bench-tests/:factId', 'read a stick', ofStick, test, 'yes yes no yes yes no none'],

  ['GET /sticks/:id/report', 'report danger', ofStick, '/sticks/S-1/report', 'yes yes yes yes yes yes yes'],
  [
    'POST /sticks/:id/report',
    'report danger',
    ofStick,
    '/sticks/S-1/report',
    'yes yes yes yes yes yes waits',
    { ...today, '/kind': 'tingle' },
  ],
  ['GET /sticks/:id/missing', 'report danger', ofStick, '/sticks/S-1/missing', 'yes yes yes yes yes yes yes'],
  [
    'POST /sticks/:id/missing',
    'report danger',
    ofStick,
    '/sticks/S-1/missing',
    'yes yes yes yes yes yes waits',
    { ...today, '/to': 'missing' },
  ],
  ['GET /sticks/:id/use', 'record a use', ofStick, '/sticks/S-1/use', 'yes yes no yes yes no none'],
  ['POST /sticks/:id/use', 'record a use', ofStick, '/sticks/S-1/use', 'yes yes no yes yes no none', today],
  ['GET /sticks/:id/look', 'record a check', ofStick, '/sticks/S-1/look', 'yes yes no yes yes no none'],
  ['POST /sticks/:id/look', 'record a check', ofStick, '/sticks/S-1/look', 'yes yes no yes yes no none', today],
  ['GET /sticks/:id/step', 'record a step', ofStick, '/sticks/S-1/step', 'yes yes no yes no no none'],
  [
    'POST /sticks/:id/step',
    'record a step',
    ofStick,
    '/sticks/S-1/step',
    'yes yes no yes no no none',
    { ...today, '/at': '08:50', '/kind': 'cleaned', '/by': 'Ines Roth' },
  ],
  ['GET /sticks/:id/remove', 'remove a stick', ofStick, '/sticks/S-1/remove', 'yes yes no no no no none'],
  [
    'POST /sticks/:id/remove',
    'remove a stick',
    ofStick,
    '/sticks/S-1/remove',
    'yes yes no no no no none',
    { ...today, ...why },
  ],
  ['GET /sticks/:id/release', 'release a stick', ofStick, '/sticks/S-1/release', 'yes yes no yes no no none'],
  [
    'POST /sticks/:id/release',
    'release a stick',
    ofStick,
    '/sticks/S-1/release',
    'yes yes no yes no no none',
    { ...today, '/at': '08:50' },
  ],
  ['GET /sticks/:id/paper', 'look at the paper', ofStick, '/sticks/S-9/paper', 'yes yes no no no no none'],
  [
    'POST /sticks/:id/paper',
    'look at the paper',
    ofStick,
    '/sticks/S-9/paper',
    'yes yes no no no no none',
    { ...today, '/at': '09:00' },
  ],
  ['GET /sticks/:id/facts/:factId/withdraw', 'correct a fact', ofStick, `${slip}/withdraw`, 'yes yes no no no no none'],
  [
    'POST /sticks/:id/facts/:factId/withdraw',
    'correct a fact',
    ofStick,
    `${slip}/withdraw`,
    'yes yes no no no no none',
    why,
  ],
  [
    'GET /sticks/:id/facts/:factId/other-stick',
    'correct a fact',
    ofStick,
    `${slip}/other-stick`,
    'yes yes no no no no none',
  ],
  [
    'POST /sticks/:id/facts/:factId/other-stick',
    'correct a fact',
    ofStick,
    `${slip}/other-stick`,
    'yes yes no no no no none',
    { ...why, '/stickId': 'S-3' },
  ],
  ['GET /sticks/:id/facts/:factId/replace', 'correct a fact', ofStick, `${slip}/replace`, 'yes yes no no no no none'],
  [
    'POST /sticks/:id/facts/:factId/replace',
    'correct a fact',
    ofStick,
    `${slip}/replace`,
    'yes yes no no no no none',
    { ...why, '/replacement/dry/readings/0/leakageMicroamps': '4,2' },
  ],
  ['GET /sticks/:id/hand-over', 'hand over a stick', ofStick, '/sticks/S-5/hand-over', 'yes yes no yes yes no none'],
  [
    'POST /sticks/:id/hand-over',
    'hand over a stick',
    ofStick,
    '/sticks/S-5/hand-over',
    'yes yes no yes yes no none',
    { ...today, '/at': '08:50', '/to': '{"crewId":"CR-3"}' },
  ],
  ['GET /remind', 'remind of a stick', ofStick, '/remind?stick=S-5', 'yes yes no no no no none'],
  ['POST /remind', 'remind of a stick', ofStick, '/remind?stick=S-5', 'yes yes no no no no none', {}],
  ['GET /count-before', 'count a test from before', aList, '/count-before?stick=S-3', 'yes yes yes no no no yes'],
  [
    'POST /count-before',
    'count a test from before',
    ofStick,
    '/count-before?stick=S-3',
    'waits waits no no no no wrong',
    why,
  ],
  ['GET /move', 'move a stick', aList, '/move?stick=S-1', 'yes yes yes yes no no yes'],
  [
    'POST /move',
    'move a stick',
    ofStick,
    '/move?stick=S-1',
    'yes yes nothing yes no no nothing',
    { ...today, '/at': '08:50', '/to': '{"store":"DEP-1"}' },
  ],
  [
    // whoever decides may enter the same
    'GET /proposals/:id/approve',
    'enter a stick',
    ofStick,
    `/proposals/${proposalId}/approve`,
    'yes yes no no no no none',
  ],
  [
    // whoever decides may enter the same
    'POST /proposals/:id/approve',
    'enter a stick',
    ofStick,
    `/proposals/${proposalId}/approve`,
    'yes yes no no no no none',
    {},
  ],
  [
    // whoever decides may enter the same
    'GET /proposals/:id/decline',
    'enter a stick',
    ofStick,
    `/proposals/${proposalId}/decline`,
    'yes yes no no no no none',
  ],
  [
    // whoever decides may enter the same
    'POST /proposals/:id/decline',
    'enter a stick',
    ofStick,
    `/proposals/${proposalId}/decline`,
    'yes yes no no no no none',
    why,
  ],
  [
    'GET /registers/people/:id/sign-in/free',
    'enter a person',
    ofAll,
    '/registers/people/bench-2/sign-in/free',
    'yes yes no no no no none',
  ],
  [
    'POST /registers/people/:id/sign-in/free',
    'enter a person',
    ofAll,
    '/registers/people/bench-2/sign-in/free',
    'yes yes no no no no none',
    why,
  ],
  [
    'GET /registers/people/:id/sign-in/sign-out',
    'enter a person',
    ofAll,
    '/registers/people/bench-2/sign-in/sign-out',
    'yes yes no no no no none',
  ],
  [
    'POST /registers/people/:id/sign-in/sign-out',
    'enter a person',
    ofAll,
    '/registers/people/bench-2/sign-in/sign-out',
    'yes yes no no no no none',
    why,
  ],
  ['GET /notices/:id/told', 'record a telling', ofStick, `/notices/${errand}/told`, 'yes yes no yes yes no none'],
  [
    'POST /notices/:id/told',
    'record a telling',
    ofStick,
    `/notices/${errand}/told`,
    'yes yes no yes yes no none',
    { '/name': 'Kai Brandt' },
  ],
  ['GET /crews/:id/feeds', 'keep feeds', ofStick, '/crews/CR-1/feeds', 'yes yes no no yes no none'],
  ['POST /crews/:id/feeds', 'keep feeds', ofStick, '/crews/CR-1/feeds', 'yes yes no no yes no none', {}],
  [
    'GET /crews/:id/feeds/:feedId/revoke',
    'keep feeds',
    ofStick,
    `/crews/CR-1/feeds/${feed}/revoke`,
    'yes yes no no yes no none',
  ],
  [
    'POST /crews/:id/feeds/:feedId/revoke',
    'keep feeds',
    ofStick,
    `/crews/CR-1/feeds/${feed}/revoke`,
    'yes yes no no yes no none',
    {},
  ],
  ['GET /recalls', 'read recalls', aList, '/recalls', 'yes yes yes yes no no yes'],
  ['GET /recalls/:id', 'read recalls', aList, `/recalls/${recall}`, 'yes yes yes yes no no none'],
  ['GET /recalls/:id/report.csv', 'read recalls', aList, `/recalls/${recall}/report.csv`, 'yes yes yes yes no no none'],
  ['GET /recalls/:id/close', 'close a recall', aList, `/recalls/${recall}/close`, 'yes yes yes no no no none'],
  ['POST /recalls/:id/close', 'close a recall', aList, `/recalls/${recall}/close`, 'yes yes yes no no no none', {}],
  ['GET /recall/lot', 'open a recall', aList, '/recall/lot', 'yes yes yes no no no yes'],
  [
    'POST /recall/lot',
    'open a recall',
    aList,
    '/recall/lot',
    'yes yes yes no no no yes',
    { '/cause/lot': 'L-9', ...why },
  ],
  ['GET /recall/order', 'open a recall', aList, '/recall/order', 'yes yes yes no no no yes'],
  [
    'POST /recall/order',
    'open a recall',
    aList,
    '/recall/order',
    'yes yes yes no no no wrong',
    { '/cause/order': 'ORD-1', '/cause/stickIds': 'S-3', ...why },
  ],
  ['GET /recall/instrument', 'open a recall', aList, '/recall/instrument', 'yes yes yes no no no yes'],
  [
    'POST /recall/instrument',
    'open a recall',
    aList,
    '/recall/instrument',
    'yes yes yes no no no wrong',
    {
      '/cause/instrumentId': 'INS-1',
      '/cause/lastGoodOn': '2026-01-31',
      '/cause/foundOutOn': '2026-03-02',
      '/cause/error/kind': 'percent of reading',
      '/cause/error/value': '-5',
      ...why,
    },
  ],
  ['GET /marked-addresses/clear', 'keep addresses', aList, '/marked-addresses/clear', 'yes yes yes no no no yes'],
  [
    'POST /marked-addresses/clear',
    'keep addresses',
    aList,
    '/marked-addresses/clear',
    'yes yes yes no no no none',
    { '/email': 'ana@crew-one.example', '/reason': 'a new mailbox' },
  ],

  ['GET /registers', 'anybody', aList, '/registers', 'yes yes yes yes yes yes yes'],
  ['GET /registers/:register', 'read depots', aList, '/registers/depots', 'yes yes yes yes yes yes yes'],
  ['GET /registers/:register', 'read crews', aList, '/registers/crews', 'yes yes yes yes yes yes yes'],
  ['GET /registers/:register', 'read people', aList, '/registers/people', 'yes yes yes no no no yes'],
  ['GET /registers/:register', 'read instruments', aList, '/registers/instruments', 'yes yes yes yes no no yes'],
  ['GET /registers/:register', 'read procedures', aList, '/registers/procedures', 'yes yes yes yes no no yes'],
  ['GET /registers/:register', 'read policies', aList, '/registers/policies', 'yes yes yes yes yes yes yes'],
  ['GET /registers/:register', 'read a stick', aList, '/registers/sticks', 'yes yes yes yes yes yes yes'],
  ['GET /registers/:register', 'read demonstrations', aList, '/registers/demonstrations', 'yes yes yes yes no no yes'],
  ['GET /registers/:register', 'read the organisation', aList, '/registers/organisations', 'yes yes yes no no no yes'],
  ['GET /registers/sticks', 'anybody', aList, '/registers/sticks?id=S-1', 'on on on on on on on'],
  ['GET /registers/:register/:id', 'read depots', ofAll, '/registers/depots/DEP-1', 'yes yes yes yes yes yes none'],
  ['GET /registers/:register/:id', 'read crews', ofStick, '/registers/crews/CR-1', 'yes yes yes yes yes yes none'],
  ['GET /registers/:register/:id', 'read people', ofAll, '/registers/people/bench', 'yes yes yes no no no none'],
  [
    'GET /registers/:register/:id',
    'read instruments',
    ofAll,
    '/registers/instruments/INS-1',
    'yes yes yes yes no no none',
  ],
  [
    'GET /registers/:register/:id',
    'read procedures',
    ofAll,
    '/registers/procedures/PRC-1',
    'yes yes yes yes no no none',
  ],
  [
    'GET /registers/:register/:id',
    'read policies',
    ofAll,
    '/registers/policies/employer',
    'yes yes yes yes yes yes yes',
  ],
  ['GET /registers/:register/:id', 'read a stick', ofStick, '/registers/sticks/S-1', 'yes yes no yes yes no none'],
  [
    'GET /registers/:register/:id',
    'read demonstrations',
    ofAll,
    '/registers/demonstrations/DEM-1',
    'yes yes yes yes no no none',
  ],
  [
    'GET /registers/:register/:id',
    'read the organisation',
    ofAll,
    `/registers/organisations/${demo}`,
    'yes yes yes no no no none',
  ],

  ...entries('depots', 'enter a depot', {
    enters: [ofAll, 'yes yes no no no no yes'],
    changes: [ofDepot, 'DEP-1', 'yes yes no no no no none', { '/name': 'North hall' }],
  }),
  ...entries('crews', 'enter a crew', {
    opens: anyManager,
    enters: [ofDepot, 'yes yes no no no no wrong'],
    changes: [ofDepot, 'CR-1', 'yes yes no no no no none', { '/name': 'Crew one of all' }],
  }),
  ...entries('people', 'enter a person', {
    opens: anyManager,
    enters: [ofDepot, 'yes yes no no no no yes', { '/email': 'nils@x.example' }],
    changes: [ofAll, 'bench', 'yes yes no no no no none', { '/name': 'Ines Marsh' }],
  }),
  ...entries('instruments', 'enter an instrument', {
    enters: [ofAll, 'yes yes no yes no no yes'],
    changes: [ofAll, 'INS-1', 'waits waits no waits no no none', { '/spanMetres': '0,31' }],
  }),
  ...entries('procedures', 'enter a procedure', {
    enters: [ofAll, 'yes yes no no no no yes'],
    changes: [ofAll, 'PRC-1', 'yes yes no no no no none', { '/title': 'Survey' }],
  }),
  ...entries('sticks', 'enter a stick', {
    opens: anyManager,
    enters: [ofDepot, 'yes yes no no no no wrong'],
    changes: [ofStick, 'S-1', 'waits waits no no no no none', milder],
  }),
  ...entries('demonstrations', 'enter a demonstration', {
    enters: [ofAll, 'waits waits no no no no waits'],
    changes: [ofAll, 'DEM-1', 'yes yes no no no no none', { '/by': 'Engineer' }],
  }),
  ...entries('policies', 'enter a policy', {
    enters: null,
    changes: [ofAll, 'employer', 'yes yes no no no no yes', { '/answerWithinHours': '2' }],
  }),
  ...entries('organisations', 'enter the organisation', {
    enters: null,
    changes: [ofAll, demo, 'yes yes no no no no none', { '/name': 'The utility' }],
  }),
]

interface OfRegister {
  /** whose form of a new entry opens, where that is not known before somebody says whose the entry is */
  readonly opens?: readonly [whose: Whose, outcomes: string]
  /** null: it has one entry, which is changed and never added to */
  readonly enters: readonly [whose: Whose, outcomes: string, typed?: Typing] | null
  readonly changes: readonly [whose: Whose, id: string, outcomes: string, typed: Typing]
}

/** A register has two acts, of which each has a form and what is sent of it. */
function entries(path: string, rule: Action, { opens, enters, changes }: OfRegister): readonly Cells[] {
  const [whoseIsIt, id, mayChange, typed] = changes
  const [enter, edition] = [`/enter/${path}`, `/registers/${path}/:id/edition`]
  const at = edition.replace(':id', id)
  const [whose, mayEnter, typedAnew = {}] = enters ?? [aList, 'no no no no no no no']
  const [whoseForm, mayOpen] = opens ?? [whose, mayEnter.replaceAll('waits', 'yes')]
  const entering = enters === null ? 'nobody' : rule
  return [
    [`GET ${enter}`, entering, whoseForm, enter, mayOpen],
    [`POST ${enter}`, entering, whose, enter, mayEnter, { '/id': 'NEW-9', from: null, ...typedAnew }, at],
    [`GET ${edition}`, rule, whoseIsIt, at, mayChange.replaceAll('waits', 'yes')],
    [`POST ${edition}`, rule, whoseIsIt, at, mayChange, typed],
  ]
}

export const everyPage: readonly Line[] = cells.map(([route, rule, whose, at, outcomes, typed = {}, form = at]) => {
  return { route, rule, whose, at, outcomes, typed, form }
})
