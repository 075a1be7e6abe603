/** A utility in memory, what happens in it within a day, and what its people do. */
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { standingToday } from '../../functions/questions/today.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { chanceOf, uuidOf, whole } from '../../seed/chance.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import { demo, furnish, openHouse } from '../functions/house.ts'
import { fakeTable } from '../support/fake-table.ts'
import { aCrew, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import * as deployed from './deployed.ts'
import { type Away, type Plan, pick } from './plan.ts'
import { hour, minute, serviceOf } from './service.ts'

const begin = Date.parse('2026-03-06T15:00:00.000Z')

/**
 * S-1 and S-5 are sound, S-2 runs out soon and S-4 has run out, S-3 failed once and was refinished: its next failure
 * removes it.
 */
export async function furnished(): Promise<readonly Item[]> {
  const house = openHouse([], '2026-03-05T15:00:00.000Z')
  await furnish(house)
  for (const id of ['S-2', 'S-3', 'S-4', 'S-5']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  const test = (id: string, on: string, over = false) =>
    house.done('POST', `/v1/sticks/${id}/bench-tests`, (over ? overTheLimit : aTest)({ testedOn: day(on) }))
  for (const id of ['S-1', 'S-3', 'S-5']) await test(id, '2026-01-10')
  await test('S-2', '2024-03-20')
  await test('S-4', '2024-03-04')
  await test('S-3', '2026-03-02', true)
  const step = {
    factId: uuidOf('refinished'),
    occurredOn: '2026-03-03',
    at: '10:00',
    kind: 'refinished',
    by: 'Ines Roth',
  }
  await house.done('POST', '/v1/sticks/S-3/corrective-steps', step)
  const { notices } = house.organisation()
  for (const notice of noticesIn(house.table.items())) await notices.confirm(notice, house.clock())
  return house.table.items()
}

const yearly = {
  packs: ['us-29-cfr-1910-269-j'],
  shorten: [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'company rule 7' }],
}

const noticesIn = (items: readonly Item[]) => items.filter(({ entity }) => entity === 'notice') as unknown as Notice[]

export interface Outcome {
  /** those owed since the beginning */
  readonly notices: readonly Notice[]
  /** by number: how often SES has accepted it */
  readonly accepted: ReadonlyMap<string, number>
  /** what does not hold of the states */
  readonly faults: readonly string[]
}

const everyDeed = ['hold', 'second hold', 'removal', 'sweep'] as const
/** What lists have to follow; after all else, so that the next morning tells of it whatever came before. */
const everyChange = ['shorter rule', 'crew moved'] as const
type Deed = (typeof everyDeed)[number] | (typeof everyChange)[number]
const crewMember = 'ana@crew-one.example'
const foreman = 'bo@crew-one.example'
export const southManager = 'sol@demo-utility.example'

export interface Scene {
  readonly deeds: readonly Deed[]
  /** an address that mail comes back from, for good */
  readonly bounces: string | null
  /** the crew member confirms what came within minutes */
  readonly answers: boolean
  /** for an hour */
  readonly away: Away | null
}

const neverAway = Array.from({ length: 10 }, () => null)

/** What is done in a run, each at least now and then and in any order, and what the people do. */
export function sceneOf(seed: string): Scene {
  const chance = chanceOf(`${seed} deeds`)
  const some = everyDeed.filter(() => chance() < 0.4)
  const deeds = some.length > 0 ? some.sort(() => chance() - 0.5) : [pick(chance, everyDeed)]
  const people = { bounces: pick(chance, [null, null, foreman, crewMember]), answers: chance() < 0.3 }
  const changes = everyChange.filter(() => chance() < 0.15)
  return { deeds: [...deeds, ...changes], ...people, away: pick(chance, [...neverAway, 'mail', 'items']) }
}

export async function simulate(
  kept: readonly Item[],
  seed: string,
  { deeds, bounces, answers, away }: Scene,
  plan: Plan,
): Promise<Outcome> {
  const chance = chanceOf(`${seed} order`)
  // composing takes longer than all else: a run in ten does it
  const composes = chance() < 0.1
  const before = new Set(noticesIn(kept).map(({ number }) => number))
  const table = fakeTable(kept)
  const service = serviceOf(deployed, {
    table,
    plan,
    chance,
    begin,
    organisation: demo,
    composes,
    bounces: (email) => email === bounces,
  })
  const { accepted } = service

  const defect = (kind: string) => ({ factId: uuidOf(`${seed} ${kind}`), occurredOn: '2026-03-06', kind })
  const does: Record<Deed, () => Promise<unknown>> = {
    hold: () => service.done('POST', '/v1/sticks/S-1/defects', defect('tingle')),
    'second hold': () => service.done('POST', '/v1/sticks/S-5/defects', defect('drop')),
    removal: () =>
      service.done(
        'POST',
        '/v1/sticks/S-3/bench-tests',
        overTheLimit({ factId: uuidOf(`${seed} removal`), testedOn: day('2026-03-06') }),
      ),
    sweep: service.sweep,
    'shorter rule': () => service.done('PUT', '/v1/policies/employer', yearly),
    'crew moved': () => service.done('PUT', '/v1/crews/CR-1', { ...aCrew, depotId: 'DEP-2' }),
  }
  const changes = deeds.some((deed) => deed === 'shorter rule' || deed === 'crew moved')
  const mornings = deeds.includes('sweep') || changes

  /** Presses the button in each mail that came. */
  async function confirm(): Promise<void> {
    const open = noticesIn(table.items()).filter(
      ({ number, to, answerKey, answeredAt }) =>
        accepted.has(number) && to.email === crewMember && answerKey !== undefined && answeredAt === undefined,
    )
    for (const notice of open) await service.press(notice)
  }

  async function round(minutes: number): Promise<void> {
    service.wait(minutes * minute)
    await service.drain()
    await service.unsent()
    await service.hear()
    await service.drain()
    await service.tellUndelivered()
    if (answers) await confirm()
    if (changes) await service.reindex()
  }

  for (const deed of deeds) {
    await does[deed]()
    if (away === null && chance() < 0.5) await round(whole(chance, 0, 4))
  }
  plan.sendAway(away)
  for (let rounds = 0; away !== null && rounds < 12; rounds++) await round(5)
  plan.sendAway(null)
  await round(whole(chance, 0, 3))
  await round(5)
  service.wait(4 * hour)
  await service.followUp()
  await round(1)

  plan.stop()
  service.calm()
  for (let rounds = 0; rounds < 3; rounds++) await round(5)
  // as often as the crew's silence can climb, and what was due meanwhile
  for (let climbs = 0; climbs < 3; climbs++) {
    service.wait(4 * hour + 5 * minute)
    if (mornings) await does.sweep()
    await service.followUp()
    await round(0)
  }
  service.until(begin + 24 * hour)
  if (mornings) await does.sweep()
  // a reader who had a list on the first day hears of a later silence on the second, and silent again is passed by
  await service.followUp()
  for (let rounds = 0; rounds < 2; rounds++) await round(5)

  const notices = noticesIn(table.items()).filter(({ number }) => !before.has(number))
  const faults = [...(await statesAgainstFacts(table)), ...(await listsAgainstStates(table, service.clock()))]
  return { notices, accepted, faults }
}

async function statesAgainstFacts(table: Table): Promise<string[]> {
  const organisation = openOrganisation(table, demo)
  const proofs = await Promise.all(['S-1', 'S-2', 'S-3', 'S-4', 'S-5'].map((id) => proveStick(organisation, id)))
  return proofs.flatMap(({ stickId, faults }) => faults.map((fault) => `${stickId}: ${fault}`))
}

/**
 * Every stick lies where its crew belongs, and by the date that the rules of the day give it, unless it is out for
 * good.
 */
async function listsAgainstStates(table: Table, now: Instant): Promise<string[]> {
  const organisation = openOrganisation(table, demo)
  const crew = await organisation.crewNow('CR-1', now)
  const sticks = await organisation.sticks.fresh(['S-1', 'S-2', 'S-3', 'S-4', 'S-5'])
  const wrong = sticks.map(async (stored) => {
    const { dueOn, status } = (await standingToday({ organisation, now }, stored)).standing
    const depotId = depotOf(stored.state, crew?.body.depotId ?? null)
    const inPlace = status === 'removed from service' || stored.shownDueOn === dueOn
    if (stored.depotId === depotId && inPlace) return []
    return [`${stored.stickId} lies at ${stored.depotId} by ${stored.shownDueOn}, not at ${depotId} by ${dueOn}`]
  })
  return (await Promise.all(wrong)).flat()
}
