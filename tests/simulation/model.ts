/**
 * What is right, worked out a second time from what truly happened: may this stick be used on this day? It shares
 * nothing with the product: no rule, no date arithmetic (luxon counts here), no stored state. What it goes by:
 *
 * | | |
 * |---|---|
 * | examined, tested dry and for FRP wet, at most 2 years apart; waxed with the test | 29 CFR 1910.269(j)(2)(iii) |
 * | after a report, a repair or a refinishing: out of service until tested | the same, (j)(2)(ii), (j)(2)(iii)(C)(1) |
 * | failed again after it was cleaned, refinished or repaired, or taken out by a manager: out for good | common
 * practice |
 * | a removal that was a slip is undone: out of service until tested | the house's own rule |
 * | of a lot that was called back: out of service until tested later | common practice |
 * | last tested with an instrument that read wrong: the same, unless it passes by the error too | common practice |
 * | looked over at most 6 months apart, tested at most 24 | Order 261, as its pack reads it |
 * | its label shows no later a date than its test is due | common practice |
 * | what an employer adds: 12 months, no wood, a second person's release, months on the shelf | the policy of the run |
 */
import { DateTime } from 'luxon'

/** YYYY-MM-DD */
export type Day = string

export type Result = 'passes' | 'over the limit' | 'open crack' | 'turn missing' | 'tap water'
export type Place =
  | { readonly crew: string }
  | { readonly store: string }
  | { readonly bench: string }
  | { readonly lentTo: string }

export type Deed = { readonly at: number; readonly day: Day } & (
  | { readonly did: 'entered'; readonly wood: boolean; readonly crew: string; readonly lot: string }
  | { readonly did: 'tested'; readonly result: Result; readonly waxed: boolean; readonly close: boolean }
  | { readonly did: 'cleaned' | 'waxed' | 'refinished' | 'repaired' | 'used' | 'reported' | 'released' }
  | { readonly did: 'looked over'; readonly sound: boolean }
  | { readonly did: 'missed' | 'found' | 'scrapped' | 'removed' | 'undone' }
  | { readonly did: 'moved'; readonly to: Place }
  | { readonly did: 'label fixed'; readonly shows: Day }
  | { readonly did: 'label taken off' }
)

export interface ModelRules {
  /** of the build that is deployed */
  readonly monthsBetweenTests: number
  readonly shortenedTo12: boolean
  readonly order261: boolean
  readonly noWood: boolean
  readonly release: boolean
  /** null: no limit for lying unissued after a test */
  readonly shelfMonths: number | null
  readonly recalls: readonly ModelRecall[]
}

/** Opened at an instant: for a lot, or for the one instrument there is, whose error is known or not. */
export type ModelRecall =
  | { readonly at: number; readonly lot: string }
  | { readonly at: number; readonly lastGoodOn: Day; readonly foundOutOn: Day; readonly lowByPercent: number | null }

export type ModelStatus =
  | 'scrapped'
  | 'removed from service'
  | 'on hold'
  | 'awaiting first test'
  | 'overdue'
  | 'due soon'
  | 'in service'

export interface Verdict {
  readonly status: ModelStatus
  readonly dueOn: Day | null
  /** what speaks against it, a word each */
  readonly against: readonly string[]
}

interface Spell {
  readonly since: Day
  readonly inUse: boolean
}

export interface Life {
  wood: boolean
  lot: string
  /** the last test that proved it, and whether it passed by a hair */
  proved: { readonly at: number; readonly on: Day; readonly close: boolean } | null
  where: Place | null
  /** the crew that has it or had it last; none once it lies in store */
  crew: string | null
  against: Set<string>
  failed: { corrected: boolean } | null
  crack: { mended: boolean } | null
  toBeReleased: boolean
  unwaxed: boolean
  waxedOn: Day | null
  testedOn: Day | null
  lookedOverOn: Day | null
  spells: Spell[]
  missing: boolean
  removed: boolean
  scrapped: boolean
  /** the date that its label shows */
  label: Day | null
}

export function lifeOf(deeds: readonly Deed[]): Life {
  const life: Life = {
    wood: false,
    lot: '',
    proved: null,
    where: null,
    crew: null,
    against: new Set(),
    failed: null,
    crack: null,
    toBeReleased: false,
    unwaxed: false,
    waxedOn: null,
    testedOn: null,
    lookedOverOn: null,
    spells: [],
    missing: false,
    removed: false,
    scrapped: false,
    label: null,
  }
  for (const deed of deeds.toSorted((a, b) => a.at - b.at)) live(life, deed)
  return life
}

function live(life: Life, deed: Deed): void {
  switch (deed.did) {
    case 'entered':
      life.wood = deed.wood
      life.lot = deed.lot
      goTo(life, { crew: deed.crew }, deed.day)
      break
    case 'tested':
      test(life, deed)
      break
    case 'cleaned':
    case 'refinished':
    case 'repaired':
      mend(life, deed.did)
      break
    case 'waxed':
      life.waxedOn = deed.day
      life.unwaxed = false
      break
    case 'used':
      if (life.where !== null && 'store' in life.where && !life.spells.at(-1)?.inUse)
        life.spells.push({ since: deed.day, inUse: true })
      break
    case 'reported':
      life.against.add('reported')
      break
    case 'looked over':
      if (deed.sound) life.lookedOverOn = deed.day
      else life.against.add('reported')
      break
    case 'missed':
      life.missing = true
      life.against.add('missing')
      break
    case 'found':
      life.missing = false
      life.against.delete('missing')
      life.against.add('found')
      break
    case 'scrapped':
      life.scrapped = true
      break
    case 'released':
      life.toBeReleased = false
      break
    case 'moved':
      goTo(life, deed.to, deed.day)
      break
    case 'removed':
      life.removed = true
      break
    case 'undone':
      life.against.add('undone')
      break
    case 'label fixed':
      life.label = deed.shows
      break
    case 'label taken off':
      life.label = null
      break
  }
}

function goTo(life: Life, to: Place, since: Day): void {
  life.where = to
  life.spells.push({ since, inUse: 'crew' in to || 'lentTo' in to })
  if ('crew' in to) life.crew = to.crew
  if ('store' in to) life.crew = null
}

function mend(life: Life, step: 'cleaned' | 'refinished' | 'repaired'): void {
  life.waxedOn = null
  if (life.failed !== null) life.failed.corrected = true
  life.against.delete('no step')
  if (step === 'cleaned') return
  if (life.crack !== null) life.crack.mended = true
  life.against.delete('not mended')
  life.against.add('repaired')
}

function test(life: Life, deed: Deed & { did: 'tested' }): void {
  const { result } = deed
  switch (result) {
    case 'turn missing':
    case 'tap water':
      life.against.add('unproven')
      return
    case 'open crack':
      life.toBeReleased = false
      life.crack = { mended: false }
      life.against.add('crack')
      return
    case 'over the limit':
      life.toBeReleased = false
      life.against.add('failed')
      if (life.failed?.corrected) life.removed = true
      else if (life.failed !== null) life.against.add('no step')
      else life.failed = { corrected: false }
      return
    case 'passes':
      if (life.crack?.mended === false) life.against.add('not mended')
      else if (life.failed?.corrected === false) life.against.add('no step')
      else pass(life, deed)
  }
}

function pass(life: Life, { at, waxed, day, close }: Deed & { did: 'tested' }): void {
  life.proved = { at, on: day, close }
  if (life.failed !== null || life.against.has('crack')) life.toBeReleased = true
  // wax is on it where it was put on with this test, or on this day: the cleaning of a test takes off what is older
  life.unwaxed = !waxed && life.waxedOn !== day
  life.waxedOn = life.unwaxed ? null : day
  life.failed = null
  life.crack = null
  life.against = new Set(life.missing ? ['missing'] : [])
  life.testedOn = day
  life.lookedOverOn = day
  life.spells = life.spells.slice(-1)
}

/** The first days of the ladder; the first of them begins `due soon`. */
export const toldDaysBefore = [60, 30, 14, 7, 1, 0] as const

export function verdictOn(life: Life, day: Day, rules: ModelRules): Verdict {
  const against = [...life.against, ...againstBy(life, day, rules)]
  const dueOn = dueOf(life, rules)
  return { status: statusOf(life, { against, dueOn, day }), dueOn, against }
}

function againstBy(life: Life, day: Day, rules: ModelRules): string[] {
  return [
    ...(rules.release && life.toBeReleased ? ['to be released'] : []),
    ...(life.unwaxed ? ['unwaxed'] : []),
    ...(rules.noWood && life.wood ? ['wood'] : []),
    ...(isShelved(life, day, rules) ? ['shelved'] : []),
    ...(rules.recalls.some((recall) => isCalledBack(life, recall)) ? ['called back'] : []),
  ]
}

/** The reading of a close test as it was recorded, and the limit of it. */
export const closeMicroamps = 9.7
const limitMicroamps = 10

export function isCalledBack({ lot, proved }: Life, recall: ModelRecall): boolean {
  if ('lot' in recall) return lot === recall.lot && (proved === null || proved.at <= recall.at)
  if (proved === null || proved.on <= recall.lastGoodOn || proved.on > recall.foundOutOn) return false
  // it read so many percent too little
  return (
    recall.lowByPercent === null || (proved.close && closeMicroamps / (1 - recall.lowByPercent / 100) > limitMicroamps)
  )
}

/** Tested, and not in use between that day and the end of the months it may lie. */
function isShelved({ testedOn, spells }: Life, day: Day, { shelfMonths }: ModelRules): boolean {
  if (shelfMonths === null || testedOn === null) return false
  const until = plus(testedOn, { months: shelfMonths })
  if (day <= until) return false
  return !spells.some(({ inUse, since }, i) => {
    const laidBy = spells[i + 1]?.since
    const isIssue = i > 0 || since > testedOn
    return inUse && since <= until && (isIssue || laidBy === undefined || laidBy > until)
  })
}

function dueOf({ testedOn, lookedOverOn }: Life, rules: ModelRules): Day | null {
  if (testedOn === null || lookedOverOn === null) return null
  const ends = [...testEnds(testedOn, rules), ...(rules.order261 ? [plus(lookedOverOn, { months: 6 })] : [])]
  return ends.sort()[0] ?? null
}

function testEnds(testedOn: Day, rules: ModelRules): Day[] {
  return [
    plus(testedOn, { months: rules.monthsBetweenTests }),
    ...(rules.shortenedTo12 ? [plus(testedOn, { months: 12 })] : []),
    ...(rules.order261 ? [plus(testedOn, { months: 24 })] : []),
  ]
}

/** Whoever goes by it would use the stick for longer than its test counts. */
export function hasLateLabel({ label, testedOn }: Life, rules: ModelRules): boolean {
  return label !== null && testedOn !== null && testEnds(testedOn, rules).some((end) => label > end)
}

function statusOf(
  { scrapped, removed, testedOn }: Life,
  { against, dueOn, day }: { readonly against: readonly string[]; readonly dueOn: Day | null; readonly day: Day },
): ModelStatus {
  if (scrapped) return 'scrapped'
  if (removed) return 'removed from service'
  if (against.length > 0) return 'on hold'
  if (testedOn === null || dueOn === null) return 'awaiting first test'
  if (day > dueOn) return 'overdue'
  return day >= plus(dueOn, { days: -toldDaysBefore[0] }) ? 'due soon' : 'in service'
}

export function plus(day: Day, span: { days?: number; months?: number }): Day {
  const name = `${day} ${span.days ?? ''} ${span.months ?? ''}`
  const sum = sums.get(name) ?? DateTime.fromISO(day, { zone: 'UTC' }).plus(span).toISODate() ?? day
  sums.set(name, sum)
  return sum
}

const sums = new Map<string, Day>()

/** As if it were UTC. */
function shownAt(millis: number, zone: string): string {
  const known = lastShown.get(zone)
  if (known?.millis === millis) return known.text
  const text = new Date(millis + aheadAt(millis, zone) * 60_000).toISOString()
  lastShown.set(zone, { millis, text })
  return text
}

const lastShown = new Map<string, { readonly millis: number; readonly text: string }>()

/** In minutes; asked of luxon once a day, unless the clocks change on it. */
function aheadAt(millis: number, zone: string): number {
  const begin = Math.floor(millis / dayMillis) * dayMillis
  const known = ahead.get(`${zone} ${begin}`) ?? aheadOn(begin, zone)
  ahead.set(`${zone} ${begin}`, known)
  return known ?? offsetAt(millis, zone)
}

function aheadOn(begin: number, zone: string): number | null {
  const [first, last] = [offsetAt(begin, zone), offsetAt(begin + dayMillis, zone)]
  return first === last ? first : null
}

const offsetAt = (millis: number, zone: string): number => DateTime.fromMillis(millis, { zone }).offset

const dayMillis = 86_400_000
const ahead = new Map<string, number | null>()

export const dayAt = (millis: number, zone: string): Day => shownAt(millis, zone).slice(0, 10)

export const hourAt = (millis: number, zone: string): number => Number(shownAt(millis, zone).slice(11, 13))

/** HH:MM by the clocks of a zone. */
export const clockAt = (millis: number, zone: string): string => shownAt(millis, zone).slice(11, 16)

/**
 * The instant of an hour of a day there; no clock is put forward or back at the hours at which anything is done here.
 */
export function instantOn(day: Day, clock: string, zone: string): number {
  const asUtc = Date.parse(`${day}T${clock}:00Z`)
  return asUtc - aheadAt(asUtc - aheadAt(asUtc, zone) * 60_000, zone) * 60_000
}

export const mayBeUsed = (status: ModelStatus): boolean => status === 'in service' || status === 'due soon'

/** Its people believe that it can be used, or only that it is due. */
export const isKept = (status: ModelStatus): boolean => mayBeUsed(status) || status === 'overdue'
