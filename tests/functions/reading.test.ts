/**
 * What lies in the table is read as its writer wrote it, by this build or an earlier one; what does not read is named.
 */
import { randomUUID } from 'node:crypto'
import type { SQSRecord } from 'aws-lambda'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { seeToThose } from '../../functions/accounts/accounts.ts'
import { takeAll } from '../../functions/feedback/feedback.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import { seeToTrees } from '../../functions/sequence/by-the-clock.ts'
import { accountOf, accountsDue, accountsOwedTo } from '../../functions/store/accounts.ts'
import { organisationOfAddress } from '../../functions/store/addresses.ts'
import { editionCorrectedWrite, editionCorrection, toJudgeAnew } from '../../functions/store/edition-corrections.ts'
import { feedBehind, feedsOf } from '../../functions/store/feeds.ts'
import { handedOn } from '../../functions/store/handed-on.ts'
import {
  importOf,
  keepImport,
  newestImports,
  rememberedMapping,
  rememberMapping,
} from '../../functions/store/imports.ts'
import { markJournal } from '../../functions/store/journal.ts'
import { mailTaken, organisationTable } from '../../functions/store/keys.ts'
import { clearMark, isMarked, addressMarkOf as markOfAddress, marksOf } from '../../functions/store/marked-addresses.ts'
import { listOfStick, newestNotices } from '../../functions/store/notice-lists.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Organisation } from '../../functions/store/organisation.ts'
import { ownersAsTheyAre } from '../../functions/store/owners.ts'
import { aboutLabel, issuePaperCode, paperBehind, paperCodeOf } from '../../functions/store/paper-codes.ts'
import { depotPlanAt, newestDepotPlan, newestPlans, planHead, planSettingsOf } from '../../functions/store/plans.ts'
import { proposal, proposals } from '../../functions/store/proposals.ts'
import { dueIn, noteTaken, unsentSince, wasTakenSince } from '../../functions/store/queues.ts'
import { allRecalls, openedWrites, recallOf, toSettle } from '../../functions/store/recalls.ts'
import { recallsBinding } from '../../functions/store/recalls-binding.ts'
import { beginToRefill } from '../../functions/store/refilled-mark.ts'
import { depotPointers } from '../../functions/store/registers.ts'
import { marksOfDepots, reindexProgressOf } from '../../functions/store/reindexed.ts'
import { reminderBy, remindersSince } from '../../functions/store/reminders.ts'
import { beginToFill, isMailPaused } from '../../functions/store/restored-mark.ts'
import { signInAct, signInActs } from '../../functions/store/sign-in-acts.ts'
import { signInOf, whoIs } from '../../functions/store/sign-ins.ts'
import { owing, stillOwedBy } from '../../functions/store/still-owed.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { type Entity, entities } from '../../functions/store/table-shape.ts'
import {
  allLeaves,
  dayHeads,
  factsAt,
  leavesAt,
  lookedForOf,
  organisationsWithTrees,
  placedFactsOf,
  treeHead,
} from '../../functions/store/tree.ts'
import { unplacedReport, unplacedReports } from '../../functions/store/unplaced-reports.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { type Import, nothingCounted } from '../../shared-domain/import/import.ts'
import type { NoticeState } from '../../shared-domain/notices/life.ts'
import { initial } from '../../shared-domain/state/state.ts'
import { fakePool } from '../support/fake-pool.ts'
import { planAll } from '../support/planning.ts'
import { subjectFor } from '../support/sign-in.ts'
import { aCrew, aStick, aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const now = '2026-03-06T20:00:00.000Z' as Instant
const today = day('2026-03-06')
const bo = 'bo@crew-one.example'

let furnished: readonly Item[]
let secret: string
let printed: string
const label = { stickId: 'S-1', about: aboutLabel }
const reminderId = randomUUID()
beforeAll(async () => {
  silence()
  const house = openHouse([], '2026-03-05T20:00:00.000Z')
  await furnish(house)
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  for (const id of ['S-2', 'S-3']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  await house.call('PUT', '/v1/sticks/S-3', { ...aStick, primaryProtection: false }, 'manager')
  for (const id of ['S-1', 'S-2'])
    await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day('2024-03-20') }), 'bench')
  house.at(now)
  await sweep(house.table, house.clock)
  for (const id of ['S-1', 'S-2', 'NOT-THERE']) {
    const tingle = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'tingle' }
    await house.done('POST', `/v1/sticks/${id}/defects`, tingle, 'crew')
  }
  await house.done('POST', '/v1/reminders', { factId: reminderId, stickIds: ['S-1', 'S-2'] }, 'manager')
  const organisation = house.organisation()
  await house.done('PUT', '/v1/people/olu', {
    name: 'Olu Adeyemi',
    email: 'olu@demo.example',
    role: 'owner',
    depots: [],
  })
  const { keys, notices } = organisation
  const errand = noticesIn(house.table).find(({ to }) => to.tellInPerson.length > 0) as Notice
  const told = { name: 'Kai Brandt', toldOn: day('2026-03-06'), by: 'manager', recordedAt: now }
  await notices.keepToldInPerson(errand, 0, told)
  const toBo = noticesIn(house.table).filter(({ to, kind }) => to.email === bo && kind === 'hold')
  for (const notice of toBo) {
    await notices.sent(notice, now, `ses-${notice.number}`)
    await comesBack(house, notice)
    const mark = await markOfAddress(organisation, bo)
    if (mark !== undefined && notice !== toBo.at(-1))
      await clearMark(organisation, mark, { personId: 'manager', now, reason: 'put right' })
  }
  await noteTaken(house.table, now)
  await markJournal(house.table, now)
  await seeToOlu(house)
  const lost = { factId: randomUUID(), reason: 'a phone was lost' }
  await house.done('POST', '/v1/people/bench/sign-in/sign-out', lost)
  await leaveToJudgeAnew(house)
  await leaveOwed(house, errand)
  await reindex(house.table, now, () => true)
  house.table.settled()
  await seeToTrees({ table: house.table, clock: house.clock })
  await leaveImport(house)
  await leavePlan(house)
  await leaveToSettle(house)
  const to = { ...label, issuedAt: now, issuedBy: 'manager', labelFactId: null }
  printed = (await issuePaperCode(organisationTable(house.table, demo), to, undefined))?.code ?? ''
  secret = (await feedsOf(house.table, keys, demo).make('CR-1', { personId: 'crew', now })).secret
  await beginToFill(house.table, earlier, now)
  await beginToRefill(organisation, { seal: 'sealed', now, isEmpty: async () => true })
  furnished = house.table.items()
})
beforeEach(silence)
afterEach(() => vi.restoreAllMocks())

function silence(): void {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
}

const said = () => vi.mocked(console.error).mock.calls.flat().join('\n')
const noticesIn = ({ items }: House['table']) =>
  items().filter(({ entity }) => entity === 'notice') as unknown as Notice[]

/** As if whoever recorded had been broken off between the fact and the last of its notices. */
async function leaveOwed({ table, organisation }: House, notice: Notice): Promise<void> {
  const many = Array.from({ length: 120 }, (_, i) => {
    const to = { ...notice.to, email: `c${i}@crew-one.example` }
    return { ...notice, to, key: `hold|S-1|left|${to.email}` }
  })
  const { writes } = owing(organisation(), { always: [], notices: many, cause: 'left', now: earlier })
  await table.transact(writes.filter(({ Put }) => Put?.Item?.entity === 'still owed'))
}
/** As if whoever corrected had been broken off before its tests were judged anew. */
async function leaveToJudgeAnew({ table, organisation }: House): Promise<void> {
  const one = {
    organisation: demo,
    factId: '00000000-0000-4000-8000-00000000c0de',
    secret: '00000000-0000-4000-8000-000000005ec2',
    corrects: { register: 'instrument', id: 'INS-1', edition: '2026-01-01#0001' },
    reason: 'the year was mistyped',
    by: 'manager',
    at: earlier,
  } as const
  await table.transact([editionCorrectedWrite(organisation(), one)])
}

async function leavePlan(house: House): Promise<void> {
  await house.done('PUT', '/v1/depots/DEP-1/bench', { weekMinutes: 600 })
  await house.done('POST', '/v1/plans', { depotId: 'DEP-1' })
  await planAll(house)
}

async function leaveImport({ organisation }: House): Promise<void> {
  const one: Import = {
    ...{
      id: '20260306T200000000Z-0a0b0c0d',
      kind: 'uses',
      mode: 'check',
      goodOnly: false,
      by: 'manager',
      at: now,
      said: {},
    },
    ...{ state: 'checked', questions: [], looked: null, counts: nothingCounted, page: 0, faults: [], refused: null },
    rest: [],
  }
  await keepImport(organisation(), { import: one, revision: 0 })
  await rememberMapping(organisation(), 'uses', { fields: { Stick: 'stickId' }, units: {} })
}

/** As if whoever opened it had been broken off before its sticks were written. */
async function leaveToSettle({ table, organisation }: House): Promise<void> {
  const one = {
    organisation: demo,
    id: reminderId,
    cause: { lot: 'L-9' },
    reason: 'cracks',
    by: 'manager',
    at: earlier,
  }
  await table.transact(openedWrites(organisation(), one, { version: 0, recalls: [] }) ?? [])
}

/** All others' accounts are still owed. */
async function seeToOlu({ table, clock, organisation }: House): Promise<void> {
  const pool = fakePool()
  const key = organisation().keys.accountsOwed('olu')
  const record = { messageId: '1', body: handedOn([key]) } as SQSRecord
  await seeToThose({ table, clock, pool: async () => pool }, [record])
}

const earlier = '2026-03-06T19:00:00.000Z' as Instant

function comesBack({ table, clock }: House, { number, to }: Notice) {
  const bouncedRecipients = [{ emailAddress: to.email, diagnosticCode: 'no such user' }]
  const tags = { notice: [number], organisation: [demo] }
  const mail = { messageId: `ses-${number}`, timestamp: now, destination: [to.email], tags }
  const bounce = { bounceType: 'Permanent', bounceSubType: 'General', bouncedRecipients, feedbackId: number }
  return takeAll({ table, clock }, [{ id: number, message: JSON.stringify({ eventType: 'Bounce', bounce, mail }) }])
}

interface Read {
  readonly house: House
  readonly organisation: Organisation
  readonly table: Table
  readonly keys: Organisation['keys']
  readonly item: Item
}
type Reader = (read: Read) => Promise<unknown>

/** How an item of the kind is read by itself, and in lists; and an attribute that none can be without. */
interface Readers {
  readonly needs: string
  readonly alone?: readonly Reader[]
  readonly listed?: readonly Reader[]
}

const readers: { readonly [entity in Entity]: Readers | 'is only written' } = {
  stick: {
    needs: 'told',
    alone: [
      ({ organisation, item }) => organisation.sticks.stored(String(item.stickId)),
      // of what is about to be said of it
      ({ organisation, item }) => organisation.sticks.fresh([String(item.stickId)]),
    ],
    listed: [
      ({ organisation, item }) =>
        organisation.sticks.standingPage('DEP-1', item.stickId === 'S-3' ? 'awaiting' : 'held', everything),
      ({ organisation }) => organisation.sticks.crewPage('CR-1', everything),
    ],
  },
  fact: {
    needs: 'fact',
    alone: [
      ({ organisation, item }) => organisation.sticks.facts(stickOf(item)),
      ({ organisation, item }) => organisation.sticks.fact(stickOf(item), Number(item.sk.slice('FACT#'.length))),
      ({ table, item }) => factsAt(table, [item]),
      ({ organisation, item }) => placedFactsOf(organisation, stickOf(item)),
    ],
  },
  guard: { needs: 'bodyHash', alone: [({ organisation, item }) => organisation.sticks.guard(lastOf(item.pk))] },
  likeness: {
    needs: 'factId',
    alone: [({ organisation, item }) => organisation.sticks.copyOf(stickOf(item), lastOf(item.sk))],
  },
  told: {
    needs: 'notices',
    listed: [
      ({ organisation, item }) => organisation.notices.ofStick(stickOf(item), '0'),
      ({ organisation, keys, item }) => logOf(organisation, listOfStick(keys, stickOf(item))),
    ],
  },
  register: {
    needs: 'newest',
    alone: [({ organisation, item }) => organisation.registers.inForce(item.kind as never, String(item.id), today)],
    listed: [
      ({ organisation, item }) => organisation.registers.allInForce(item.kind as never, today),
      ({ organisation, item }) =>
        organisation.registers.pageInForce(item.kind as never, today, { after: '', limit: 100 }),
    ],
  },
  edition: {
    needs: 'body',
    alone: [({ organisation, item }) => organisation.registers.editions(item.kind as never, String(item.id))],
  },
  'depot pointer': { needs: 'mornings', listed: [({ table }) => depotPointers(table, now)] },
  notice: {
    needs: 'lines',
    alone: [({ organisation, item }) => organisation.notices.one(String(item.number))],
    listed: [
      ({ organisation }) => organisation.notices.ofStick('S-1', '0'),
      ({ organisation, keys }) => logOf(organisation, listOfStick(keys, 'S-1')),
      ({ organisation }) => organisation.notices.notConfirmed('S-1'),
    ],
  },
  owners: { needs: 'version', alone: [({ organisation }) => ownersAsTheyAre(organisation)] },
  'told in person': {
    needs: 'toldOn',
    alone: [
      async ({ organisation, item }) => {
        const notice = await organisation.notices.one(String(item.number))
        return notice === undefined ? undefined : organisation.notices.toldInPerson([notice])
      },
    ],
  },
  feedback: 'is only written',
  'journal mark': 'is only written',
  refilled: {
    needs: 'seal',
    alone: [({ organisation }) => beginToRefill(organisation, { seal: 'another', now, isEmpty: async () => false })],
  },
  restored: { needs: 'backupAt', alone: [({ table }) => isMailPaused(table)] },
  'mail taken': { needs: 'takenAt', alone: [({ table }) => wasTakenSince(table, now)] },
  'marked address': {
    needs: 'clearedAt',
    alone: [({ table }) => isMarked(table, { organisation: demo, to: { email: bo } } as Notice)],
    listed: [({ organisation }) => marksOf(organisation)],
  },
  mark: 'is only written',
  'mark cleared': 'is only written',
  feed: {
    needs: 'revokedAt',
    alone: [({ table, keys, item }) => feedsOf(table, keys, demo).one('CR-1', item.sk)],
    listed: [({ table, keys }) => feedsOf(table, keys, demo).ofCrew('CR-1')],
  },
  'paper code': {
    needs: 'code',
    alone: [({ table }) => paperCodeOf(organisationTable(table, demo), label)],
  },
  'paper code pointer': { needs: 'about', alone: [({ table }) => paperBehind(table, printed)] },
  'feed pointer': { needs: 'crewId', alone: [({ table }) => feedBehind(table, secret)] },
  'unplaced report': {
    needs: 'placed',
    alone: [({ organisation, item }) => unplacedReport(organisation, item.sk)],
    listed: [({ organisation }) => unplacedReports(organisation)],
  },
  proposal: {
    needs: 'ways',
    alone: [({ organisation, item }) => proposal(organisation, item.sk)],
    listed: [({ organisation }) => proposals(organisation)],
  },
  reindexed: {
    needs: 'next',
    alone: [
      ({ organisation, item }) => reindexProgressOf(organisation, item.sk === '-' ? null : item.sk),
      ({ organisation }) => marksOfDepots(organisation),
    ],
  },
  'still owed': { needs: 'told', listed: [({ table }) => stillOwedBy(table, now)] },
  // one that is left out is followed anew
  'edition correction': {
    needs: 'reason',
    alone: [({ organisation, item }) => editionCorrection(organisation, item.pk.split('#').at(-1) ?? '')],
    listed: [({ table }) => toJudgeAnew(table, now)],
  },
  'recalls binding': { needs: 'recalls', alone: [({ organisation }) => recallsBinding(organisation)] },
  recall: {
    needs: 'reason',
    alone: [({ organisation, item }) => recallOf(organisation, item.sk)],
    listed: [({ table }) => toSettle(table, now), ({ organisation }) => allRecalls(organisation)],
  },
  reminder: {
    needs: 'stickIds',
    alone: [({ organisation, item }) => reminderBy(organisation, item.pk.split('#').at(-1) ?? '')],
    listed: [async ({ organisation }) => (await remindersSince(organisation, earlier)).reminders],
  },
  'newest reminders': { needs: 'newest', alone: [({ organisation }) => remindersSince(organisation, earlier)] },
  'crew followed': { needs: 'edition', listed: [({ table }) => reindex(table, now, () => true)] },
  subject: { needs: 'personId', alone: [({ table }) => whoIs(table, subjectFor([demo, 'owner']))] },
  'sign-in': { needs: 'personId', alone: [({ organisation, item }) => signInOf(organisation, stickOf(item))] },
  address: {
    needs: 'organisation',
    alone: [({ table }) => organisationOfAddress(table, 'owner@demo-utility.example')],
  },
  'sign-in act': {
    needs: 'reason',
    alone: [({ organisation, item }) => signInAct(organisation, stickOf(item), item.sk)],
    listed: [({ organisation, item }) => signInActs(organisation, stickOf(item))],
  },
  'accounts owed': {
    needs: 'edition',
    alone: [
      async ({ organisation, table, item }) =>
        (await accountsOwedTo(table, organisation.keys.accountsOwed(stickOf(item)), now)) ?? null,
    ],
    listed: [({ table }) => accountsDue(table, now)],
  },
  tree: {
    needs: 'organisation',
    alone: [({ organisation }) => lookedForOf(organisation)],
    listed: [({ table }) => organisationsWithTrees(table)],
  },
  'tree head': { needs: 'root', alone: [({ organisation }) => treeHead(organisation)] },
  'tree leaf': {
    needs: 'ends',
    alone: [
      ({ organisation }) => allLeaves(organisation),
      ({ organisation, item }) => leavesAt(organisation, [Number(item.index)]),
    ],
  },
  'day head': { needs: 'size', alone: [({ organisation }) => dayHeads(organisation)] },
  import: {
    needs: 'counts',
    alone: [({ organisation, item }) => importOf(organisation, item.sk)],
    listed: [({ organisation }) => newestImports(organisation, 10)],
  },
  plan: {
    needs: 'places',
    alone: [({ organisation, item }) => planHead(organisation, item.sk)],
    listed: [({ organisation }) => newestPlans(organisation, 10)],
  },
  'depot plan': {
    needs: 'weeks',
    alone: [
      ({ organisation, item }) =>
        item.sk === 'NEWEST'
          ? newestDepotPlan(organisation, 'DEP-1')
          : depotPlanAt(organisation, { depotId: 'DEP-1', place: Number(item.sk), planId: String(item.planId) }),
    ],
  },
  'plan settings': { needs: 'settings', alone: [({ organisation }) => planSettingsOf(organisation, 'DEP-1')] },
  'import mapping': { needs: 'fields', alone: [({ organisation }) => rememberedMapping(organisation, 'uses')] },
  account: { needs: 'standing', alone: [({ table }) => accountOf(table, 'olu@demo.example')] },
}

const everything = { from: '0', to: '~', limit: 100 }
const nameOf = ({ pk, sk }: Item) => `${pk} ${sk === bo ? '(an address)' : sk}`
const stickOf = ({ pk }: Item) => pk.split('#')[3] ?? ''
const lastOf = (key: string) => key.split('#').at(-1) ?? ''
const logOf = (organisation: Organisation, list: ReturnType<typeof listOfStick>) =>
  newestNotices(organisation, { lists: [list], since: '0', after: null, limit: 100, isAskedFor: () => true })

function opened(items: readonly Item[], item: Item): Read {
  const house = openHouse(items, now)
  const organisation = house.organisation()
  return { house, organisation, table: house.table, keys: organisation.keys, item }
}

/** Of the notices one of those of S-1, of the sticks S-1, of the registers a crew, and of all else the first. */
function itemOf(entity: Entity): Item {
  const found = furnished.filter((item) => item.entity === entity)
  const [first] = found
  if (first === undefined) throw new Error(`nobody wrote a ${entity}`)
  const ofS1 = found.find(({ pk, noticeStickKey }) => `${noticeStickKey ?? pk}`.includes('#STICK#S-1'))
  return ofS1 ?? found.find(({ kind }) => kind === 'crew') ?? first
}

function instead(item: Item, changed: Record<string, unknown>): Item[] {
  const whole = { ...item, ...changed }
  const left = Object.fromEntries(Object.entries(whole).filter(([, value]) => value !== undefined)) as Item
  return furnished.map((one) => (one === item ? left : one))
}

const rows = entities.flatMap((entity) => {
  const known = readers[entity]
  return known === 'is only written' ? [] : [{ entity, alone: [], listed: [], ...known }]
})

test('the house writes items of every kind, and each says which it is', () => {
  expect(new Set(furnished.map(({ entity }) => entity))).toEqual(new Set(entities))
})

describe('an item of each kind', () => {
  test.each(rows)('reads as it was written, whichever it is: $entity', async ({ entity, alone, listed }) => {
    const items = furnished.filter((item) => item.entity === entity)
    for (const item of items) {
      for (const read of [...alone, ...listed]) expect(await read(opened(furnished, item))).toBeDefined()
    }
    expect(said()).toBe('')
  })

  const readAlone = rows.filter(({ alone }) => alone.length > 0)
  test.each(readAlone)('read by itself fails by name, $entity without its $needs', async ({ entity, needs, alone }) => {
    const item = itemOf(entity)
    for (const read of alone) {
      const named = `the item at ${nameOf(item)} has no ${needs} that a ${entity} can have`
      await expect(read(opened(instead(item, { [needs]: undefined }), item))).rejects.toThrow(named)
    }
  })

  test.each(readAlone)('is not taken for another kind that lies in its place: $entity', async ({ entity, alone }) => {
    const item = itemOf(entity)
    const other = instead(item, { entity: entity === 'stick' ? 'fact' : 'stick' })
    for (const read of alone) await expect(read(opened(other, item))).rejects.toThrow(`is no ${entity}`)
  })

  const readInLists = rows.filter(({ listed }) => listed.length > 0)
  test.each(readInLists)(
    'is left out of a list by name and keeps out no other, $entity without its $needs',
    async ({ entity, needs, listed }) => {
      const item = itemOf(entity)
      for (const read of listed) {
        vi.mocked(console.error).mockClear()
        const others = await read(
          opened(
            furnished.filter((one) => one !== item),
            item,
          ),
        )
        expect(said()).toBe('')
        expect(await read(opened(instead(item, { [needs]: undefined }), item))).toEqual(others)
        expect(said()).toContain(nameOf(item))
        expect(said()).not.toContain('@')
      }
    },
  )
})

describe('in the queues', () => {
  test('a notice that does not read keeps no other from its reader, nor from whoever is above', async () => {
    const [broken, sound] = furnished.filter(({ queue }) => `${queue}`.startsWith('SYSTEM#URGENT#'))
    if (broken === undefined || sound === undefined) throw new Error('two wait')
    const { table } = opened(instead(broken, { to: undefined }), broken)
    const waiting = (await unsentSince(table, now, 100)).map(({ number }) => number)
    expect(waiting).toContain(sound.number)
    expect(waiting).not.toContain(broken.number)
    expect(said()).toContain(`${broken.pk} ${broken.sk}`)
    expect((await dueIn(table, 'undelivered', now)).map(({ to }) => to.email)).toContain(bo)
  })
})

describe('what an earlier build wrote', () => {
  test('a stick, with nothing known of what it did not keep', async () => {
    const item = itemOf('stick')
    const { past: _, ...state } = item.state as Record<string, unknown>
    const left = {
      shape: undefined,
      recorded: undefined,
      shownDueOn: undefined,
      broughtForwardFrom: undefined,
      writtenUnder: undefined,
      seen: undefined,
    }
    const { organisation } = opened(instead(item, { ...left, held: undefined, state }), item)
    expect(await organisation.sticks.stored('S-1')).toEqual({
      ...{ stickId: 'S-1', told: item.told, depotId: item.depotId, version: item.version },
      ...{ shape: 1, recorded: state.facts, shownDueOn: null, broughtForwardFrom: null, writtenUnder: null },
      state: { ...initial, ...state, stickId: 'S-1', uses: [] },
    })
  })

  test('a mark of how far lists were rewritten, by the edition alone: they are rewritten anew', async () => {
    const item = itemOf('reindexed')
    const { organisation } = opened(instead(item, { rules: undefined, edition: '2020-01-01#0001' }), item)
    expect(await reindexProgressOf(organisation, item.sk)).toEqual({ rules: '', next: item.next, untold: false })
  })

  test('a pointer to a depot, and when mail was last taken, that do not say what they are', async () => {
    const pointer = itemOf('depot pointer')
    const [morning] = pointer.mornings as { timeZone: string; sweepHour: number }[]
    const left = { ...morning, effectiveFrom: undefined, mornings: undefined, entity: undefined }
    const ofDepot = opened(instead(pointer, left), pointer)
    expect(await depotPointers(ofDepot.table, now)).toEqual(await depotPointers(opened(furnished, pointer).table, now))
    const taken = itemOf('mail taken')
    expect(taken).toMatchObject(mailTaken)
    const ofMail = opened(instead(taken, { entity: undefined }), taken)
    expect(await wasTakenSince(ofMail.table, '2026-03-06T19:59:59.000Z' as Instant)).toBe(true)
    expect(said()).toBe('')
  })

  const answered = { answeredAt: now }
  const passedOn = { passedOnAt: now }
  const old: [NoticeState, Record<string, unknown>, NoticeState][] = [
    ['owed', {}, 'owed'],
    ['claimed', {}, 'claimed'],
    ['sent', { answer: undefined }, 'sent'],
    ['sent', {}, 'awaiting confirmation'],
    ['sent', passedOn, 'passed on'],
    ['sent', answered, 'confirmed'],
    ['sent', { ...answered, ...passedOn }, 'confirmed'],
    ['not delivered', { queue: 'SYSTEM#UNDELIVERED#0' }, 'not delivered'],
    ['not delivered', passedOn, 'not delivered, seen to'],
    ['not delivered', { ...answered, ...passedOn }, 'not delivered, seen to, confirmed'],
    ['withdrawn', {}, 'withdrawn'],
  ]
  test.each(old)('a notice that is %s, with %o: %s', async (state, beside, now) => {
    const item = itemOf('notice')
    expect(item.answer).toBeDefined()
    const { organisation } = opened(instead(item, { queue: undefined, queueAt: undefined, state, ...beside }), item)
    expect((await organisation.notices.one(String(item.number)))?.state).toBe(now)
  })
})
