/** Which fault strikes which notice where: by the seed alone, so that a run comes again as it was. */
import { type Chance, chanceOf, whole } from '../../seed/chance.ts'
import { type Fault, faultsAt, type Step, steps } from './faults.ts'

export interface Struck {
  readonly step: Step
  readonly fault: Fault
  /** none where it struck what is about no notice */
  readonly numbers: readonly string[]
}

/** What strikes the calls of a run. */
export interface Strikes {
  at(step: Step, numbers: readonly string[]): Fault | undefined
  atOther(step: 'read' | 'lists'): Fault | undefined
  isAway(what: Away): boolean
}

export type Plan = ReturnType<typeof planOf>

/** What is in trouble for an hour: the account at the mail service, or the leave to read single items. */
export type Away = 'mail' | 'items'

/** Faults that a notice may meet: one, or one to three. */
export type Most = 1 | 3

export function planOf(seed: string, most: Most) {
  const others = {
    read: { chance: chanceOf(`${seed} reads`), often: 0.02, left: most as number },
    lists: { chance: chanceOf(`${seed} lists`), often: 0.2, left: most as number },
  }
  const left = new Map<string, { step: Step; fault: Fault }[]>()
  const struck: Struck[] = []
  let over = false
  let away: Away | null = null

  function of(number: string) {
    const known = left.get(number) ?? picked(chanceOf(`${seed} ${number}`), most)
    left.set(number, known)
    return known
  }

  /** Takes one from each notice that the call is about; none is struck that has had its share. */
  function at(step: Step, numbers: readonly string[]): Fault | undefined {
    if (over) return undefined
    const each = numbers.map(of)
    if (each.some((faults) => faults.length === 0)) return undefined
    const planned = each.find((faults) => faults[0]?.step === step)?.[0]
    if (planned === undefined) return undefined
    for (const faults of each) faults.shift()
    struck.push({ step, fault: planned.fault, numbers })
    return planned.fault
  }

  /** Where the call is about no notice: as often in a run as a notice is struck. */
  function atOther(step: keyof typeof others): Fault | undefined {
    const { chance, often, left } = others[step]
    if (over || left === 0 || chance() > often) return undefined
    others[step].left -= 1
    const fault = pick(chance, faultsAt[step])
    struck.push({ step, fault, numbers: [] })
    return fault
  }

  return {
    at,
    atOther,
    struck,
    /** until it is back, every call there is refused alike */
    isAway: (what: Away) => away === what,
    sendAway(what: Away | null) {
      away = what
    },
    stop() {
      over = true
    },
  }
}

const seldom: { readonly [step in Step]?: number } = { record: 0.15, tell: 0.4, answer: 0.4 }

function picked(chance: Chance, most: Most): { step: Step; fault: Fault }[] {
  const count = most === 1 ? 1 : whole(chance, 1, most)
  return Array.from({ length: count }, (_, i) => {
    // nothing is given back before a first fault; a whole transaction is struck for all of its notices, so more seldom,
    // and few notices are confirmed or come back
    const open = steps.filter((step) => (step !== 'settle' || i > 0) && chance() < (seldom[step] ?? 1))
    const step = pick(chance, open)
    return { step, fault: pick(chance, faultsAt[step]) }
  })
}

export function pick<T>(chance: Chance, choices: readonly T[]): T {
  const choice = choices[Math.floor(chance() * choices.length)]
  if (choice === undefined) throw new Error('nothing to choose from')
  return choice
}
