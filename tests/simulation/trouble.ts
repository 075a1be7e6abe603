/**
 * What fails, by seed: any call now and then with any error there is, and the whole of the mail service or the table
 * for hours.
 */
import { type Chance, chanceOf, oneOf, whole } from '../../seed/chance.ts'
import { type Fault, faultsAt, inTheWindow, type Step } from '../faults/faults.ts'
import { type Away, pick, type Strikes } from '../faults/plan.ts'
import { hour } from '../faults/service.ts'

/** Of a hundred calls, how many fail. */
const often: Readonly<Record<Step, number>> = {
  record: 3,
  'hand on': 3,
  claim: 2,
  send: 3,
  mark: 2,
  settle: 3,
  feedback: 3,
  tell: 3,
  answer: 3,
  read: 0.2,
  lists: 1,
}

export interface Outage {
  readonly what: Away
  readonly from: number
  readonly until: number
}

export interface Trouble extends Strikes {
  /** how often what struck may have left the mail of a notice with nobody knowing it */
  unknownlySent(number: string): number
  readonly struck: Map<Step, number>
  /** those there were, the last perhaps not over */
  readonly outages: readonly Outage[]
  /** Perhaps an outage begins; asked once a day. */
  newDay(now: number): void
}

export const noTrouble: Trouble = {
  at: () => undefined,
  atOther: () => undefined,
  isAway: () => false,
  unknownlySent: () => 0,
  struck: new Map(),
  outages: [],
  newDay: () => undefined,
}

export function troubleBy(seed: string, now: () => number): Trouble {
  const chance: Chance = chanceOf(`${seed} trouble`)
  const struck = new Map<Step, number>()
  const windows = new Map<string, number>()
  const outages: Outage[] = []

  function strike(step: Step, numbers: readonly string[]): Fault | undefined {
    if (chance() * 100 >= often[step]) return undefined
    const fault = pick(chance, faultsAt[step])
    struck.set(step, (struck.get(step) ?? 0) + 1)
    if (inTheWindow({ step, fault })) for (const one of numbers) windows.set(one, (windows.get(one) ?? 0) + 1)
    return fault
  }

  return {
    at: (step, numbers) => (numbers.length === 0 ? undefined : strike(step, numbers)),
    atOther: (step) => strike(step, []),
    isAway: (what) => outages.some((one) => one.what === what && one.from <= now() && now() < one.until),
    unknownlySent: (number) => windows.get(number) ?? 0,
    struck,
    outages,
    newDay(from) {
      if (chance() >= 1 / 60) return
      const begin = from + whole(chance, 6, 18) * hour
      outages.push({
        what: oneOf(chance, ['mail', 'mail', 'items']),
        from: begin,
        until: begin + whole(chance, 1, 8) * hour,
      })
    },
  }
}
