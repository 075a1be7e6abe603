/** Who is told of a fact that somebody has just recorded, for that reader; and what a form on a stick begins with. */
import { type CalendarDate, localTimeAt } from '../../shared-domain/calendar.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import { may } from '../../shared-domain/rights.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { factIn } from '../store/notices.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { noticesFor } from './notices.ts'
import type { SilentPerson } from './silent.ts'
import { todayAt } from './today.ts'

/** The stick, where there is such a one and the caller may see it: to whoever may not, all numbers look alike. */
export async function stickIfSeen(asker: Asker, stickId: string): Promise<StoredStick | undefined> {
  const stored = await asker.organisation.sticks.stored(stickId)
  return stored !== undefined && sees(asker, stored) ? stored : undefined
}

const sees = ({ caller }: Asker, { state: { crewId }, depotId }: StoredStick) =>
  may(caller, 'read a stick', { crewId, depotId })

/** The number as it is written on the stick, in capitals or not; as it was typed where no stick has it. */
export async function numberAsKnown({ organisation }: Asker, typed: string): Promise<string> {
  const spellings = [...new Set([typed, typed.toUpperCase(), typed.toLowerCase()])]
  const known = await organisation.sticks.known(spellings)
  return spellings.find((one) => known.some(({ stickId }) => stickId === one)) ?? typed
}

interface BeginsWith {
  /** the day and the hour where the stick lies */
  readonly day: CalendarDate
  readonly hour: string
  /** its entry on the register, where the caller may see it */
  readonly entry: Stick | undefined
}

/** It tells nobody who may not see the stick whether there is one. */
export async function beginsWith(asker: Asker, stickId: string): Promise<BeginsWith> {
  const stored = await asker.organisation.sticks.stored(stickId)
  const { today: day, zone } = await todayAt(asker, stored?.depotId ?? null)
  const entry = stored !== undefined && sees(asker, stored) ? registrationOn(stored.state, day)?.stick : undefined
  return { day, hour: localTimeAt(asker.now, zone), entry }
}

interface ToldOf {
  /** those to whom a notice is on its way */
  readonly written: readonly SilentPerson[]
  /** those whom one of them is asked to tell face to face */
  readonly inPerson: readonly string[]
}

/** A fact owes at most a notice a person, and they are the newest. */
const mostNotices = 100

/** Null where the caller may not see the stick, or sees none of its notices yet. */
export async function toldOf(asker: Asker, stick: string, factId: string): Promise<ToldOf | null> {
  if ((await stickIfSeen(asker, stick)) === undefined) return null
  const { entries } = await noticesFor(asker, { stick, after: '', limit: mostNotices })
  const of = entries.map(({ notice }) => notice).filter((notice) => factIn(notice) === factId)
  const written = of.map(({ to: { name, role } }) => ({ name, role }))
  return {
    written: written.filter((one, i) => written.findIndex(({ name }) => name === one.name) === i),
    inPerson: [...new Set(of.flatMap(({ to }) => to.tellInPerson.map(({ name }) => name)))],
  }
}
