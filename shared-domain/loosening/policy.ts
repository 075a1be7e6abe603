/**
 * The ways in which an edit of the employer's layer loosens. A change of when people are told is none: it moves no date
 * and clears no hold, and `due soon`, which the ladder begins, is as fit as `in service`.
 */
import { rulePacks, shorteningName } from '../policy/packs.ts'
import type { EmployerPolicy } from '../policy/policy.ts'
import type { Requirement } from '../policy/requirement.ts'
import { type Rules, rulesFrom } from '../policy/rules.ts'
import { type Construction, constructions, serviceClasses } from '../words.ts'
import { isAskedIn, monthsOf, waysOfRequirement } from './requirement.ts'
import { type FieldRow, type Milder, never, type Pair, type Part, row, type Way, waysBy } from './way.ts'

export function waysOfPolicy({ before, after }: Pair<EmployerPolicy>): readonly Way[] {
  const dropped = before.packs.filter((id) => !after.packs.includes(id))
  const rules = { before: rulesFrom(before), after: rulesFrom(after) }
  return [
    ...dropped.map((pack): Way => ({ code: 'pack-dropped', says: { is: 'pack dropped', pack }, pointer: '/packs' })),
    ...waysBy(parts, { ...rules, before: without(rules.before, dropped) }).map((way) => ({
      ...way,
      pointer: pointerIn(after, way.pointer),
    })),
  ]
}

/** Requirements that leave with their pack are told once, by the pack. */
function without(rules: Rules, packs: readonly string[]): Rules {
  const names = rulePacks
    .filter(({ id }) => packs.includes(id))
    .flatMap(({ requirements }) => requirements.flatMap(({ id }) => [id, shorteningName(id)]))
  return { ...rules, requirements: rules.requirements.filter(({ id }) => !names.includes(id)) }
}

const parts: { readonly [part in keyof Rules]-?: FieldRow<Rules> } = {
  entered: never,
  edition: never,
  id: never,
  // no edit of a policy changes a recall
  recalls: never,
  requirements: (rules) => [
    ...dropped(rules),
    ...changed(rules),
    ...newlyCovered(rules),
    ...waxedBeforeIsEnough(rules),
  ],
  occasionalUse: row(
    'occasional-use-widened',
    ({ before: { occasionalUse: was }, after: { occasionalUse: is } }) =>
      is !== undefined &&
      // a use may fall into another window that it lay outside of, or be the only one in it
      (was === undefined || is.windowDays !== was.windowDays || is.atMostUseDays > was.atMostUseDays),
    ({ before, after }) => ({
      is: 'occasional use widened',
      from: useOf(before.occasionalUse),
      to: useOf(after.occasionalUse),
    }),
  ),
  useWeights: ({ before, after }) =>
    (Object.keys(before.useWeights) as (keyof Rules['useWeights'])[]).flatMap((condition) => {
      const [was, is] = [before.useWeights[condition] ?? 1, after.useWeights[condition] ?? 1]
      if (is >= was) return []
      return [{ code: 'use-weight-lessened', says: { is: 'use weight lessened', condition, from: was, to: is } }]
    }),
  tellDaysBefore: never,
  tellOverdueEveryDays: never,
  answerWithinHours: never,
  overdueClimbs: never,
  examinationOnly: ({ before, after }) => {
    if (!before.examinationOnly && after.examinationOnly) {
      return [{ code: 'examination-alone-allowed', says: { is: 'examination alone allowed' } }]
    }
    if (before.examinationOnly === after.examinationOnly || !before.requirements.some(countsOtherwise)) return []
    return [{ code: 'counted-from-earlier', says: { is: 'examination winds less' } }]
  },
  releaseAfterFailure: row(
    'release-not-asked',
    ({ before, after }) => before.releaseAfterFailure && !after.releaseAfterFailure,
    () => ({ is: 'release not asked' }),
  ),
  removesOnlyAfter: row(
    'fewer-failures-remove',
    ({ before, after }) => before.removesOnlyAfter === undefined && after.removesOnlyAfter !== undefined,
    () => ({ is: 'fewer failures remove' }),
  ),
  woodForbidden: row(
    'wood-allowed',
    ({ before, after }) => before.woodForbidden && !after.woodForbidden,
    () => ({ is: 'wood allowed' }),
  ),
  waxing: (rules) => waxingDropped(rules),
  calibrationCap: ({ before: { calibrationCap: was }, after: { calibrationCap: is } }) => {
    if (was === undefined || (is !== undefined && is.months <= was.months)) return []
    const from = monthsOf(was.months)
    const says: Milder =
      is === undefined
        ? { is: 'calibration cap dropped', from }
        : { is: 'calibration cap lengthened', from, to: monthsOf(is.months) }
    return [{ code: 'calibration-cap-lengthened', says }]
  },
}

const useOf = (one: Rules['occasionalUse']): Part =>
  one === undefined ? { is: 'never' } : { is: 'up to so many days', days: one.atMostUseDays, window: one.windowDays }

const countsOtherwise = ({ examinationOnly = [], byClass, shelfMonths }: Requirement) =>
  examinationOnly.length > 0 && (byClass !== undefined || shelfMonths !== undefined)

function dropped({ before, after }: Pair<Rules>): Way[] {
  return before.requirements
    .filter(({ id }) => !after.requirements.some((one) => one.id === id))
    .map(({ id, words }) => ({
      code: 'requirement-dropped',
      says: { is: 'requirement dropped', id, words },
      pointer: `/requirements/${id}`,
    }))
}

function changed({ before, after }: Pair<Rules>): Way[] {
  return before.requirements.flatMap((was) =>
    after.requirements.filter(({ id }) => id === was.id).flatMap((is) => waysOfRequirement({ before: was, after: is })),
  )
}

/** A kind of stick of which a requirement may ask something. */
interface Asked {
  readonly construction: Construction
  readonly primaryProtection: boolean
}
const everybody: readonly Asked[] = constructions.flatMap((construction) =>
  [true, false].map((primaryProtection) => ({ construction, primaryProtection })),
)

/** Tells whether the requirement asks something of such a stick, put into service on some day. */
function mayAsk({ appliesTo }: Requirement, { construction, primaryProtection }: Asked): boolean {
  return (primaryProtection || !appliesTo.primaryProtectionOnly) && appliesTo.constructions.includes(construction)
}

/** Tells whether the requirement asks something of such a stick, on whatever day it was put into service. */
function asksSurely(one: Requirement, asked: Asked): boolean {
  return one.appliesTo.inServiceFrom === undefined && mayAsk(one, asked)
}

/**
 * A stick relied on for protection is on hold while no rule asks for its test. A rule that newly asks for it ends that
 * hold.
 */
function newlyCovered({ before, after }: Pair<Rules>): Way[] {
  return constructions.flatMap((construction) => {
    const asked = { construction, primaryProtection: true }
    const tests = (one: Requirement) => one.evidence.includes('dry test')
    if (before.requirements.some((one) => tests(one) && asksSurely(one, asked) && runsInEveryClass(one))) return []
    const now = after.requirements.find((is) => isNewly(tests, is, { rules: before, asked }))
    if (now === undefined) return []
    const says: Milder = { is: 'uncovered sticks covered', construction, id: now.id }
    return [{ code: 'uncovered-sticks-covered', says, pointer: `/requirements/${now.id}` }]
  })
}

const runsInEveryClass = (one: Requirement) => serviceClasses.every((inClass) => isAskedIn(inClass, one))

/** Tells whether the requirement is so now for some sticks for which the same requirement was not so before. */
function isNewly(
  isSo: (one: Requirement) => boolean,
  is: Requirement,
  { rules, asked }: { readonly rules: Rules; readonly asked: Asked },
): boolean {
  const was = rules.requirements.find(({ id }) => id === is.id)
  if (!isSo(is) || !mayAsk(is, asked)) return false
  return was === undefined || !isSo(was) || !mayAsk(was, asked) || !asksAsManyOf(was, is)
}

/**
 * Tells whether `was` asked as much as `is` of sticks of one construction, whatever their first day of service and
 * service class.
 */
function asksAsManyOf(was: Requirement, is: Requirement): boolean {
  const [since, from] = [was.appliesTo.inServiceFrom, is.appliesTo.inServiceFrom]
  const classes = serviceClasses.every((inClass) => isAskedIn(inClass, was) || !isAskedIn(inClass, is))
  return classes && (since === undefined || (from !== undefined && since <= from))
}

/**
 * Wax that the test's own cleaning took off is no fault where a rule asks for a test after waxing. Such a rule, newly
 * in force, therefore ends a hold for want of wax.
 */
function waxedBeforeIsEnough({ before, after }: Pair<Rules>): Way[] {
  const stops = (one: Requirement) => one.stops?.includes('waxed') ?? false
  const found = everybody.find(
    (asked) =>
      (before.waxing !== undefined ||
        before.requirements.some((one) => one.waxing !== undefined && mayAsk(one, asked))) &&
      after.requirements.some((is) => isNewly(stops, is, { rules: before, asked })) &&
      !before.requirements.some((one) => stops(one) && asksSurely(one, asked)),
  )
  if (found === undefined) return []
  return [{ code: 'waxed-before-is-enough', says: { is: 'waxed before is enough', construction: found.construction } }]
}

/** Waxing that is dropped from requirements that stay. A requirement left out whole is told as that. */
function waxingDropped({ before, after }: Pair<Rules>): Way[] {
  const asksNow = (asked: Asked) =>
    after.waxing !== undefined || after.requirements.some((one) => one.waxing !== undefined && asksSurely(one, asked))
  const ended = before.requirements.filter(
    ({ id, waxing }) =>
      waxing !== undefined && after.requirements.some((one) => one.id === id && one.waxing === undefined),
  )
  const lost = everybody.find(
    (asked) =>
      ((before.waxing !== undefined && after.waxing === undefined) || ended.some((one) => mayAsk(one, asked))) &&
      !asksNow(asked),
  )
  if (lost === undefined) return []
  return [{ code: 'waxing-not-asked', says: { is: 'waxing not asked', construction: lost.construction } }]
}

/** The pointer into the body of the policy, from which the requirements were opened up. */
function pointerIn({ add = [] }: EmployerPolicy, pointer = ''): string {
  const [, part, id = '', ...rest] = pointer.split('/')
  if (part !== 'requirements') return pointer === '/calibrationCap' ? '/turnOn' : pointer
  const own = add.findIndex((one) => one.id === id)
  if (own >= 0) return ['', 'add', own, ...rest].join('/')
  return id.endsWith(shorteningName('')) ? '/shorten' : '/packs'
}
