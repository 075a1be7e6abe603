/**
 * What there is in a run: sticks with all that truly happened to them, crews, people, the rules that bind; and so what
 * is right.
 */
import type { Crew, Person } from '../../shared-domain/registers.ts'
import * as fleet from './fleet.ts'
import {
  type Day,
  type Deed,
  dayAt,
  hasLateLabel,
  isKept,
  type Life,
  lifeOf,
  type ModelRules,
  type Place,
  type Verdict,
  verdictOn,
} from './model.ts'

/** Under which id it was handed in. */
export interface Told {
  readonly factId?: string
}

export interface StickThere {
  readonly id: string
  readonly wood: boolean
  readonly deeds: (Deed & Told)[]
  readonly factIds: string[]
  /** how it stood when last looked at */
  known: Verdict
  /** since when it stands under its due date */
  datedSince: Day
  /**
   * since when its people believe it can be used, or only that it is due, and its label shows too late a date for that
   */
  lateLabelSince: Day | null
  withCrewSince: Day
  /** worked out from so many deeds */
  life?: { readonly of: number; readonly life: Life } | undefined
}

export type There = ReturnType<typeof there>

export function there(first: ModelRules, now: () => number) {
  const sticks = new Map<string, StickThere>()
  const crews = new Map<string, Crew>(Object.entries(fleet.crews))
  const people = new Map<string, Person>(Object.entries(fleet.people))
  let rules = first

  function depotOf(where: Place | null, crew: string | null): string | null {
    if (where !== null && 'bench' in where) return where.bench
    if (where !== null && 'store' in where) return where.store
    return crew === null ? null : (crews.get(crew)?.depotId ?? null)
  }

  function lifeThere(stick: StickThere): Life {
    if (stick.life?.of !== stick.deeds.length) stick.life = { of: stick.deeds.length, life: lifeOf(stick.deeds) }
    return stick.life.life
  }

  function placeOf(stick: StickThere) {
    const { where, crew } = lifeThere(stick)
    const depotId = depotOf(where, crew)
    const zone = depotId === null ? 'UTC' : fleet.zoneOf(depotId)
    return { where, crew, depotId, zone, today: dayAt(now(), zone) }
  }

  const rightOf = (stick: StickThere): Verdict => verdictOn(lifeThere(stick), placeOf(stick).today, rules)

  const showsTooLate = (stick: StickThere): boolean =>
    isKept(rightOf(stick).status) && hasLateLabel(lifeThere(stick), rules)

  /** Whoever is in charge of the depot where it lies. */
  function managersOf(depotId: string | null): Person[] {
    return [...people.values()].filter(
      ({ role, depots, until }) =>
        role === 'manager' &&
        (until === undefined || until >= dayAt(now(), 'UTC')) &&
        (depots.includes('*') || depotId === null || depots.includes(depotId)),
    )
  }

  /**
   * Who must hear at once that it must not be used: its crew and the managers; without wax alone it is the bench's to
   * put right.
   */
  function hearersOf(stick: StickThere): string[] {
    const { crew, depotId, where } = placeOf(stick)
    const { against } = stick.known
    const isOfBench = against.length > 0 && against.every((one) => one === 'unwaxed')
    const isInHands = where !== null && ('crew' in where || 'lentTo' in where)
    const recipients = crew === null || (isOfBench && !isInHands) ? [] : (crews.get(crew)?.recipients ?? [])
    return [...recipients.flatMap(({ email }) => email ?? []), ...managersOf(depotId).map(({ email }) => email)]
  }

  return {
    sticks,
    crews,
    people,
    lifeThere,
    placeOf,
    rightOf,
    showsTooLate,
    hearersOf,
    rules: () => rules,
    bind(next: ModelRules) {
      rules = next
    },
    add(stick: Pick<StickThere, 'id' | 'wood' | 'deeds'>) {
      const [{ day } = { day: '' }] = stick.deeds
      const known = verdictOn(lifeOf(stick.deeds), day, rules)
      sticks.set(stick.id, { ...stick, factIds: [], known, datedSince: day, lateLabelSince: null, withCrewSince: day })
    },
  }
}
