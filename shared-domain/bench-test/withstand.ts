/** The withstand method: the voltage each span has to hold, for how long, and what came of it. */
import { isInBand, metres } from '../quantities.ts'
import type { Reason } from '../reason.ts'
import type { Procedure, Stick, WithstandTest } from '../registers.ts'
import type { SurfaceState } from '../words.ts'
import type { BenchTest, Withstand } from './bench-test.ts'
import { gapsBetween, inMetres, outermostSpans } from './coverage.ts'
import { type Demonstrated, isShown } from './demonstration.ts'
import { lengthsOf, placeOf, reasonAt } from './places.ts'
import { metresPerFoot, roundingOfTheRule, rulesOwn } from './withstand-rule.ts'

export interface WithstandRule {
  readonly voltage: WithstandTest['voltage']
  readonly seconds: number
  /** the source, for a rule that the procedure states */
  readonly source?: string
  readonly demonstrationId?: string | undefined
}

/** The stick, the reason of its test and the procedure: all three decide which withstand test is asked for. */
export interface WithstandAsked {
  readonly stick: Stick
  readonly reason: BenchTest['reason']
  readonly procedure?: Pick<Procedure, 'withstand'>
  readonly demonstrated?: Demonstrated | undefined
}

type UnknownRule = 'line voltage unknown' | 'not stated'

/**
 * All of the procedure's own rules that cover such a stick, where it states any for its construction, else the
 * standard's. A stick at the edge of two bands is held to both.
 * @lintignore held to the figures of the standard
 */
export function withstandRules(
  stick: Pick<Stick, 'construction' | 'lineKilovolts'>,
  reason: BenchTest['reason'],
  procedure: Pick<Procedure, 'withstand'> = {},
): readonly WithstandRule[] | UnknownRule {
  const when = reason === 'first issue' ? 'new' : 'in service'
  const stated = (procedure.withstand ?? []).filter(
    (one) => one.construction === stick.construction && one.when === when,
  )
  const { lineKilovolts } = stick
  if (lineKilovolts === undefined && stated.some(dependsOnLine)) return 'line voltage unknown'
  const covering = stated.filter(
    ({ lineKilovolts: band }) => band === undefined || (lineKilovolts !== undefined && isInBand(lineKilovolts, band)),
  )
  if (covering.length > 0) return covering
  if (stated.length > 0) return 'not stated'
  return [rulesOwnFor(stick, reason)]
}

function rulesOwnFor({ construction }: Pick<Stick, 'construction'>, reason: BenchTest['reason']): WithstandRule {
  const { seconds, ...voltage } = rulesOwn(construction, reason === 'first issue' ? 'new' : 'in service')
  return { voltage, seconds }
}

function dependsOnLine({ lineKilovolts, voltage }: WithstandTest): boolean {
  return lineKilovolts !== undefined || 'times' in voltage
}

/** @lintignore held to the figures of the standard */
export function requiredKilovolts({ voltage }: WithstandRule, spanMetres: number, lineKilovolts = 0): number {
  if ('kilovoltsPerFoot' in voltage) return (voltage.kilovoltsPerFoot * spanMetres) / metresPerFoot
  if ('kilovoltsPerMetre' in voltage) return voltage.kilovoltsPerMetre * spanMetres
  if ('kilovolts' in voltage) return voltage.kilovolts
  const base = voltage.of === 'line voltage' ? lineKilovolts : lineKilovolts / Math.sqrt(3)
  return Math.max(voltage.times * base, voltage.atLeastKilovolts ?? 0)
}

export function failureOf(state: SurfaceState, row: Withstand): Reason {
  const says = { is: 'withstand failed' as const, outcome: row.outcome, kilovolts: row.kilovolts }
  return reasonAt(placeOf(state, row), 'withstand-failed', says)
}

/**
 * A puncture or a track is damage done (UFC 3-560-01 5-4.5 lists tracking among the signs to reject), whatever voltage
 * or water made it. A flashover or warmth may be the doing of either.
 */
export function leavesDamage(row: Withstand): boolean {
  return row.outcome === 'puncture' || row.outcome === 'tracking'
}

/**
 * Reasons for what the rows leave unshown: the voltage, its time, or a part of the entire working length
 * (…(j)(2)(iii)(D)).
 */
export function unshown(
  state: SurfaceState,
  rows: readonly Withstand[],
  { stick, reason, procedure, demonstrated }: WithstandAsked,
): Reason[] {
  const rules = withstandRules(stick, reason, procedure)
  const own = rulesOwnFor(stick, reason)
  const short =
    typeof rules === 'string'
      ? [reasonAt({ state }, unknownRules[rules].code, { is: unknownRules[rules].is })]
      : rows.flatMap((row) => {
          const asked = { rules, stick }
          return [...tooLittle(state, row, asked), ...undemonstrated(state, row, { ...asked, own, demonstrated })]
        })
  return [...short, ...uncovered(state, rows, stick)]
}

const unknownRules = {
  'line voltage unknown': { code: 'line-voltage-missing', is: 'line voltage missing' },
  'not stated': { code: 'no-withstand-covers', is: 'no withstand voltage covers' },
} as const satisfies { readonly [why in UnknownRule]: object }

/** The rules that cover a stick; a voltage may follow from the line it is used on. */
interface RulesOfStick {
  readonly rules: readonly WithstandRule[]
  readonly stick: Pick<Stick, 'lineKilovolts'>
}

interface BesideOwn extends RulesOfStick {
  readonly own: WithstandRule
  readonly demonstrated: Demonstrated | undefined
}

/** (E)(3): another test than the rule's own counts where the employer demonstrates that it is equivalent. */
function undemonstrated(state: SurfaceState, row: Withstand, { rules, stick, own, demonstrated }: BesideOwn): Reason[] {
  const span = row.toMetres - row.fromMetres
  const kilovolts = Math.max(...rules.map((rule) => requiredKilovolts(rule, span, stick.lineKilovolts)))
  const seconds = Math.max(...rules.map((rule) => rule.seconds))
  const ownKilovolts = requiredKilovolts(own, span)
  if (kilovolts >= ownKilovolts * (1 - roundingOfTheRule) && seconds >= own.seconds) return []
  if (rules.some(({ demonstrationId }) => isShown('withstand', demonstrated, demonstrationId))) return []
  const says = { is: 'withstand not demonstrated' as const, kilovolts: hundredths(ownKilovolts), seconds: own.seconds }
  return [reasonAt(placeOf(state, row), 'demonstration-missing', says)]
}

/** The highest voltage and the longest time of several rules are asked for, so that all are met. */
function tooLittle(state: SurfaceState, row: Withstand, { rules, stick }: RulesOfStick): Reason[] {
  // the span is taken as written: in whole millimetres a foot would be 305 mm and ask for more than the rule does
  const span = row.toMetres - row.fromMetres
  const asked = rules.map((rule) => ({ rule, kilovolts: requiredKilovolts(rule, span, stick.lineKilovolts) }))
  const [highest] = asked.sort((a, b) => b.kilovolts - a.kilovolts)
  const seconds = Math.max(...rules.map((rule) => rule.seconds))
  const place = placeOf(state, row)
  return [
    ...(highest === undefined || row.kilovolts >= highest.kilovolts * (1 - roundingOfTheRule)
      ? []
      : [reasonAt(place, 'withstand-too-low', tooLow(row, highest))]),
    ...(row.seconds >= seconds
      ? []
      : [
          reasonAt(place, 'withstand-too-short', {
            is: 'withstand too short',
            seconds: row.seconds,
            required: seconds,
          }),
        ]),
  ]
}

function tooLow(row: Withstand, { rule, kilovolts }: { rule: WithstandRule; kilovolts: number }) {
  const { voltage, source } = rule
  const said = { kilovolts: row.kilovolts, required: hundredths(kilovolts) }
  if (source !== undefined) return { is: 'withstand too low for the procedure' as const, ...said, source }
  if ('kilovoltsPerFoot' in voltage)
    return { is: 'withstand too low' as const, ...said, perFoot: voltage.kilovoltsPerFoot }
  return { is: 'withstand too low for a procedure without a source' as const, ...said }
}

const hundredths = (kilovolts: number) => Math.round(kilovolts * 100) / 100

function uncovered(state: SurfaceState, rows: readonly Withstand[], stick: Stick): Reason[] {
  return lengthsOf(stick).flatMap(({ section, length }) => {
    const spans = outermostSpans(
      rows.filter((row) => row.section === section),
      length,
    )
    const place = { state, ...(section === undefined ? {} : { section }) }
    return gapsBetween(spans, length).map((gap) =>
      reasonAt({ ...place, ...inMetres(gap) }, 'gap', { is: 'gap in withstand tests', whole: metres(length) }),
    )
  })
}
