/**
 * What people do on a day: crews that use, report and lose sticks, a bench that tests and mends, managers who change
 * rules.
 */
import { type Chance, whole } from '../../seed/chance.ts'
import { pick } from '../faults/plan.ts'
import { type Deployed, hour, minute } from '../faults/service.ts'
import { day as asDate, aTest, survey } from '../support/trade.ts'
import * as fleet from './fleet.ts'
import {
  closeMicroamps,
  type Day,
  type Deed,
  instantOn,
  isKept,
  type ModelRecall,
  mayBeUsed,
  type Place,
  plus,
} from './model.ts'
import type { StickThere } from './there.ts'
import type { Correcting, World } from './world.ts'

export interface Builds {
  readonly ours: Deployed
  readonly corrected: Deployed
}

type Slip = Pick<Correcting, 'stick' | 'slip'>

interface Doing {
  readonly at: number
  readonly does: () => Promise<void>
}

const days = (seldom: number) => 1 / seldom

export function peopleOf(world: World, chance: Chance, builds: Builds) {
  let replaced = 0
  let isCorrected = false
  const openRecalls: { readonly closeOn: Day; readonly close: () => Promise<void> }[] = []
  let calibratedUntil: Day = fleet.firstCalibratedUntil

  /** In the order of the hours at which they are done. */
  function doingsOf(day: Day): Doing[] {
    const ofSticks = [...world.there.sticks.values()].flatMap((stick) => doingOf(stick, day) ?? [])
    return [...ofSticks, ...officeOn(day)].sort((a, b) => a.at - b.at)
  }

  function doingOf(stick: StickThere, day: Day): Doing | null {
    const { where, zone } = world.there.placeOf(stick)
    if (where === null || stick.known.status === 'scrapped') return null
    const { missing } = world.there.lifeThere(stick)
    const does = missing
      ? whileMissing(stick)
      : 'crew' in where
        ? withCrew(stick)
        : 'bench' in where
          ? atBench(stick)
          : 'store' in where
            ? inStore(stick)
            : whileLent(stick)
    if (does === null) return null
    const clock = `${String(whole(chance, 7, 16)).padStart(2, '0')}:${String(whole(chance, 0, 59)).padStart(2, '0')}`
    return { at: instantOn(day, clock, zone), does }
  }

  const depotFor = (stick: StickThere) => world.there.placeOf(stick).depotId ?? 'DEP-1'

  const move = (stick: StickThere, to: Place) =>
    world.record(stick, {
      door: 'moves',
      body: {
        to:
          'crew' in to
            ? { crewId: to.crew }
            : 'lentTo' in to
              ? { ...to, returnBy: plus(world.there.placeOf(stick).today, { days: 20 }) }
              : to,
      },
      did: { did: 'moved', to },
    })

  const toBench = (stick: StickThere) => move(stick, { bench: depotFor(stick) })

  function withCrew(stick: StickThere): (() => Promise<void>) | null {
    const { status, dueOn } = stick.known
    const isNear = dueOn !== null && status === 'due soon'
    if (chance() < days(500)) return () => report(stick)
    if (chance() < days(2500)) return () => mark(stick, 'missing')
    if (chance() < days(2500)) return () => remove(stick)
    if (stick.lateLabelSince !== null && chance() < 0.02) return () => takeOffLabel(stick)
    if (!isKept(status)) return chance() < 0.3 ? () => toBench(stick) : chance() < 0.01 ? () => use(stick) : null
    if (chance() < (status === 'overdue' ? 0.04 : isNear ? 0.02 : 0.0005)) return () => toBench(stick)
    if (chance() < days(300)) return () => move(stick, { store: depotFor(stick) })
    if (chance() < days(2000)) return () => lend(stick)
    if (chance() < days(30)) return () => use(stick)
    return chance() < days(90) ? () => lookOver(stick, chance() > 0.02) : null
  }

  /** By how it stands at that hour: the morning's plan may be over. */
  const lend = (stick: StickThere) =>
    mayBeUsed(stick.known.status) ? move(stick, { lentTo: 'Other utility' }) : toBench(stick)

  function inStore(stick: StickThere): (() => Promise<void>) | null {
    if (chance() < days(90)) return () => lookOver(stick, true)
    if (chance() < days(1500)) return () => use(stick)
    if (chance() > days(90)) return null
    return () => (mayBeUsed(stick.known.status) ? issue(stick) : toBench(stick))
  }

  const whileLent = (stick: StickThere) => (chance() < days(25) ? () => toBench(stick) : null)

  const whileMissing = (stick: StickThere) => (chance() < days(12) ? () => mark(stick, 'found') : null)

  function atBench(stick: StickThere): (() => Promise<void>) | null {
    if (chance() < 0.5) return null
    return () => benchWork(stick)
  }

  async function benchWork(stick: StickThere): Promise<void> {
    const { status, against } = stick.known
    const life = world.there.lifeThere(stick)
    if (status === 'removed from service' && life.label !== null && chance() < 0.5) return takeOffLabel(stick)
    if (status === 'removed from service') return scrap(stick)
    if (status === 'on hold' && against.every((one) => one === 'wood')) return scrap(stick)
    if (chance() > 0.05) {
      if (life.crack?.mended === false) return step(stick, pick(chance, ['repaired', 'refinished']))
      if (life.failed?.corrected === false) return step(stick, pick(chance, ['cleaned', 'cleaned', 'refinished']))
      if (against.length > 0 && against.every((one) => one === 'unwaxed')) return step(stick, 'waxed')
      if (against.length > 0 && against.every((one) => one === 'to be released' || one === 'unwaxed'))
        return release(stick)
    }
    if (life.label !== null && (!isKept(status) || world.there.showsTooLate(stick))) return takeOffLabel(stick)
    const isLabelled = life.label !== null && life.label >= (stick.known.dueOn ?? '')
    if (mayBeUsed(status) && !isLabelled && chance() < 0.7) return fixLabel(stick)
    if (mayBeUsed(status) && chance() < 0.9)
      return chance() < 0.25 ? move(stick, { store: depotFor(stick) }) : issue(stick)
    return test(stick)
  }

  async function fixLabel(stick: StickThere): Promise<void> {
    const shows = stick.known.dueOn
    if (shows === null) return
    await world.record(stick, { door: 'labels', body: { kind: 'fixed', shows }, did: { did: 'label fixed', shows } })
  }

  const takeOffLabel = (stick: StickThere) =>
    world.record(stick, { door: 'labels', body: { kind: 'taken off' }, did: { did: 'label taken off' } })

  const issue = (stick: StickThere) =>
    move(stick, {
      crew:
        pick(
          chance,
          [...world.there.crews.keys()].filter((id) => world.there.crews.get(id)?.depotId === depotFor(stick)),
        ) ?? 'CR-1',
    })

  function use(stick: StickThere): Promise<void> {
    return world.record(stick, { door: 'uses', body: {}, did: { did: 'used' }, hoursAgo: late(stick) })
  }

  function report(stick: StickThere): Promise<void> {
    const kind = pick(chance, ['tingle', 'drop', 'scratch', 'flashover', 'crack'])
    return world.record(stick, { door: 'defects', body: { kind }, did: { did: 'reported' }, hoursAgo: late(stick) })
  }

  /** Now and then somebody tells of it only the next day; nothing of the stick may lie between by then. */
  function late(stick: StickThere): number {
    const last = Math.max(...stick.deeds.map(({ at }) => at))
    return chance() < 0.1 && last < world.now() - 30 * hour ? 20 : 0
  }

  function lookOver(stick: StickThere, sound: boolean): Promise<void> {
    // what was put right since may have taken it out of service for good
    if (sound && stick.known.status === 'removed from service') return toBench(stick)
    return world.record(stick, {
      door: 'condition-checks',
      body: { by: 'Ines', sound },
      did: { did: 'looked over', sound },
    })
  }

  function mark(stick: StickThere, to: 'missing' | 'found'): Promise<void> {
    return world.record(stick, { door: 'moves', body: { to }, did: { did: to === 'missing' ? 'missed' : 'found' } })
  }

  function step(stick: StickThere, kind: 'cleaned' | 'waxed' | 'refinished' | 'repaired'): Promise<void> {
    return world.record(stick, { door: 'corrective-steps', body: { kind, by: 'Ines' }, did: { did: kind } })
  }

  const release = (stick: StickThere) =>
    world.record(stick, { door: 'releases', body: {}, did: { did: 'released' }, by: 'ivo' })

  /** A manager takes it out for good, unless something has by then. */
  const remove = (stick: StickThere) =>
    stick.known.status === 'removed from service'
      ? toBench(stick)
      : world.record(stick, {
          door: 'removals',
          body: { reason: 'Fitting recalled' },
          did: { did: 'removed' },
          by: 'mia',
        })

  async function scrap(stick: StickThere): Promise<void> {
    const { crew } = world.there.placeOf(stick)
    await world.record(stick, { door: 'moves', body: { to: 'scrapped' }, did: { did: 'scrapped' } })
    replaced += 1
    await world.enterStick(`N-${replaced}`, chance() < 0.2 && !world.there.rules().noWood, crew ?? 'CR-1')
  }

  function test(stick: StickThere): Promise<void> {
    const result =
      chance() < 0.85
        ? 'passes'
        : pick(chance, ['over the limit', 'over the limit', 'open crack', 'turn missing', 'tap water'] as const)
    const able = stick.wood && result === 'tap water' ? 'turn missing' : result
    const waxed = chance() < 0.93
    const close = chance() < 0.2
    return world.record(stick, {
      door: 'bench-tests',
      body: testThat({ result: able, waxed, close }, stick.wood),
      did: { did: 'tested', result: able, waxed, close },
    })
  }

  function officeOn(day: Day): Doing[] {
    const at = (from: number, to: number) =>
      instantOn(day, `${String(whole(chance, from, to)).padStart(2, '0')}:30`, 'UTC') + whole(chance, 0, 25) * minute
    return [
      ...(chance() < days(100) ? [{ at: at(15, 16), does: changeRules }] : []),
      ...(chance() < 0.15 ? [{ at: at(9, 17), does: putRight }] : []),
      ...(chance() < days(250) ? [{ at: at(9, 17), does: deploy }] : []),
      ...(chance() < days(400) ? [{ at: at(15, 16), does: moveCrew }] : []),
      ...(chance() < days(200) ? [{ at: at(15, 16), does: () => comeOrGo(day) }] : []),
      ...(chance() < days(250) ? [{ at: at(14, 16), does: () => recallLot(day) }] : []),
      ...(chance() < days(250) ? [{ at: at(14, 16), does: () => findLying(day) }] : []),
      ...openRecalls.filter(({ closeOn }) => closeOn === day).map(({ close }) => ({ at: at(16, 17), does: close })),
      // some day of the last twelve, and none of them is left to pass without it
      ...(plus(day, { days: 12 }) >= calibratedUntil && (chance() < 0.3 || plus(day, { days: 4 }) >= calibratedUntil)
        ? [{ at: at(12, 13), does: () => calibrate(day) }]
        : []),
    ]
  }

  /** Somebody finds that what was recorded of late was a slip. */
  async function putRight(): Promise<void> {
    const since = world.now() - 20 * 24 * hour
    const all = [...world.there.sticks.values()].flatMap((stick) =>
      stick.deeds.flatMap((slip, i) =>
        slip.factId !== undefined && slip.at > since && (slip.did !== 'moved' || i === stick.deeds.length - 1)
          ? [{ stick, slip }]
          : [],
      ),
    )
    if (all.length === 0) return
    const one = pick(chance, all)
    const to = chance() < 0.4 ? otherThan(one) : undefined
    if (to !== undefined) return world.correct({ ...one, to })
    const instead = chance() < 0.5 ? insteadOf(one) : undefined
    await world.correct({ ...one, ...(instead === undefined ? {} : { instead }) })
  }

  /** Of the same make, at the same place all the while. */
  function otherThan({ stick, slip }: Slip): StickThere | undefined {
    if (slip.did === 'moved' || slip.did === 'scrapped' || slip.at < world.now() - 2 * 24 * hour) return undefined
    const { depotId } = world.there.placeOf(stick)
    const others = [...world.there.sticks.values()].filter(
      (other) =>
        other !== stick &&
        other.wood === stick.wood &&
        world.there.placeOf(other).depotId === depotId &&
        [stick, other].every(({ deeds }) =>
          deeds.every(({ did, at }) => at < slip.at || (did !== 'moved' && did !== 'entered')),
        ) &&
        other.deeds.every(({ at }) => at !== slip.at),
    )
    return others.length === 0 ? undefined : pick(chance, others)
  }

  function insteadOf({ stick, slip }: Slip): Correcting['instead'] | undefined {
    if (slip.did === 'reported') return { door: 'defects', body: { kind: 'blister' }, did: { did: 'reported' } }
    if (slip.did === 'looked over') {
      const sound = !slip.sound
      return { door: 'condition-checks', body: { by: 'Ines', sound }, did: { did: 'looked over', sound } }
    }
    if (slip.did !== 'tested') return undefined
    const result = pick(
      chance,
      (['passes', 'over the limit', 'turn missing'] as const).filter((one) => one !== slip.result),
    )
    const { waxed, close } = slip
    return {
      door: 'bench-tests',
      body: testThat({ result, waxed, close }, stick.wood),
      did: { did: 'tested', result, waxed, close },
    }
  }

  function changeRules(): Promise<void> {
    const { noWood, release: asked, order261, shortenedTo12, shelfMonths } = world.there.rules()
    return world.changeRules(
      pick(chance, [
        { noWood: !noWood },
        { release: !asked },
        { order261: !order261 },
        { shortenedTo12: !shortenedTo12 },
        { shelfMonths: shelfMonths === null ? fleet.shelfMonths : null },
      ]),
    )
  }

  async function deploy(): Promise<void> {
    isCorrected = !isCorrected
    world.deploy(isCorrected ? builds.corrected : builds.ours, isCorrected ? 18 : 24)
  }

  const moveCrew = () => world.moveCrew('CR-2', world.there.crews.get('CR-2')?.depotId === 'DEP-1' ? 'DEP-2' : 'DEP-1')

  async function recallLot(day: Day): Promise<void> {
    const lot = pick(chance, fleet.lots)
    await recall(day, { lot }, (at) => ({ at, lot }))
  }

  async function recall(day: Day, cause: object, asModel: (at: number) => ModelRecall): Promise<void> {
    const [id, opened] = await world.recall(cause, asModel)
    const close = () => world.closeRecall(id, opened)
    openRecalls.push({ closeOn: plus(day, { days: whole(chance, 5, 90) }), close })
  }

  /** The instrument reads too little, nobody knows since when, and it is calibrated anew at once. */
  async function findLying(day: Day): Promise<void> {
    const lastGoodOn = plus(day, { days: -whole(chance, 10, 150) })
    const lowByPercent = chance() < 0.5 ? null : pick(chance, [1, 5])
    const error = lowByPercent === null ? null : { kind: 'percent of reading', value: -lowByPercent }
    const cause = { instrumentId: 'INS-1', lastGoodOn, foundOutOn: day, error }
    await recall(day, cause, (at) => ({ at, lastGoodOn, foundOutOn: day, lowByPercent }))
    await calibrate(day)
  }

  /** A third manager of all depots, who leaves again. */
  function comeOrGo(day: Day): Promise<void> {
    const isThere = world.there.people.get('nell')?.until === undefined && world.there.people.has('nell')
    return world.changePerson('nell', isThere ? { ...fleet.newManager, until: asDate(day) } : fleet.newManager)
  }

  async function calibrate(day: Day): Promise<void> {
    calibratedUntil = plus(day, { months: 12 })
    await world.enter('/v1/instruments/INS-1', fleet.calibration(day, calibratedUntil), 'ines')
  }

  return { doingsOf }
}

const dryCheck = { state: 'dry' as const, when: 'before' as const, openMicroamps: 0, checkMicroamps: 98 }

type Tested = Extract<Deed, { readonly did: 'tested' }>

/** A record of a bench test with this outcome. */
function testThat({ result, waxed, close }: Omit<Tested, 'did' | 'at' | 'day'>, wood: boolean): object {
  const microamps = result === 'over the limit' ? 12 : close ? closeMicroamps : 4
  const {
    wet,
    testedOn: _,
    factId: __,
    ...test
  } = aTest({
    waxed,
    testedBy: { personId: 'ines' },
    examination: { defects: result === 'open crack' ? [{ kind: 'crack', open: true }] : [], gloss: 'sound' },
    dry: {
      readings: survey(fleet.lengthMetres, microamps, ({ quarterTurn }) =>
        result === 'turn missing' && quarterTurn === 270 ? null : {},
      ),
    },
  })
  if (wood) return { ...test, instrumentChecks: [dryCheck] }
  return {
    ...test,
    wet: {
      ...wet,
      readings: survey(fleet.lengthMetres, 9, undefined, true),
      water: result === 'tap water' ? 'tap' : 'distilled',
    },
  }
}
