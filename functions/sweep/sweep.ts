/**
 * The hourly run over all organisations: the depots whose mornings have come, in turn, each round with its share of the
 * time.
 */
import { type Instant, localDateAt, localHourAt } from '../../shared-domain/calendar.ts'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { inTurn } from '../ground/turn.ts'
import { type DepotPointer, depotPointers } from '../store/registers.ts'
import type { Table } from '../store/table.ts'
import { type Round, type RoundRun, sweepRound } from './round.ts'

export interface Swept {
  readonly rounds: number
  /** digests, and word of what a day has changed */
  readonly digests: number
  readonly failed: number
  /** rounds that the next run goes on with */
  readonly left: number
}

/** Answers how many milliseconds a run has left. */
export type TimeLeft = () => number

/**
 * Rounds come in turn: another is first with each hour, and each has its share of the time. A round whose share was too
 * short goes on in the time that is left in the end. So no round with a great many sticks due keeps another waiting.
 */
export async function sweep(table: Table, clock: WallClock, timeLeft: TimeLeft = withoutEnd): Promise<Swept> {
  const rounds = inTurn(roundsDue(await depotPointers(table, clock()), clock()), clock(), hourMillis)
  let digests = 0
  let failed = 0
  /** Answers the rounds that are not finished. */
  async function tellAll(some: readonly Round[], goesOn: Pick<RoundRun, 'isLastGo'>): Promise<Round[]> {
    const left: Round[] = []
    for (const [i, round] of some.entries()) {
      try {
        const time = shareOf(timeLeft, some.length - i)
        const outcome = await sweepRound({ table, clock, round, ...time, ...goesOn })
        digests += outcome.digests
        if (!outcome.finished) left.push(round)
      } catch (error) {
        failed += 1
        log('error', 'a round of the sweep failed', { round: round.name, trouble: describe(error) })
      }
    }
    return left
  }
  const long = await tellAll(rounds, { isLastGo: false })
  const left = await tellAll(long, { isLastGo: true })
  return { rounds: rounds.length, digests, failed, left: left.length }
}

const withoutEnd: TimeLeft = () => Number.MAX_SAFE_INTEGER

/** Half of a round's share is for looking, so that what was found can be told. */
function shareOf(timeLeft: TimeLeft, among: number): Pick<RoundRun, 'mayLook' | 'mayGoOn'> {
  const begun = timeLeft()
  const [half, end] = [begun * (1 - 0.5 / among), begun * (1 - 1 / among)]
  return { mayLook: () => timeLeft() > half, mayGoOn: () => timeLeft() > end }
}

const hourMillis = 3_600_000

function roundsDue(pointers: readonly DepotPointer[], now: Instant): Round[] {
  const organisations = [...new Set(pointers.map((pointer) => pointer.organisation))]
  const places = [
    ...pointers,
    ...organisations.map((organisation) => ({ organisation, depotId: null, timeZone: 'UTC', sweepHour: 6 })),
  ]
  const rounds = new Map<string, Round>()
  for (const { organisation, depotId, timeZone, sweepHour } of places) {
    if (localHourAt(now, timeZone) < sweepHour) continue
    const name = `${timeZone} ${sweepHour}`
    const key = `${organisation}|${name}`
    const known = rounds.get(key) ?? { organisation, name, day: localDateAt(now, timeZone), depotIds: [] }
    rounds.set(key, { ...known, depotIds: [...known.depotIds, depotId] })
  }
  return [...rounds.values()]
}
