/** The withstand method: the voltage each span has to hold, for how long, and what came of it. */
import { metres } from '../quantities.ts'
import type { Reason } from '../reason.ts'
import type { Stick } from '../registers.ts'
import type { Construction, SurfaceState } from '../words.ts'
import type { BenchTest, Withstand } from './bench-test.ts'
import { gapsBetween, inMetres, outermostSpans } from './coverage.ts'
import { lengthsOf, placeOf, reasonAt } from './places.ts'

/**
 * In service: 29 CFR 1910.269(j)(2)(iii)(E)(1) and (2), UFC 3-560-01 5-4.10. Before first issue, what the tool is designed
 * to withstand: 29 CFR 1910.269(j)(1)(i) and (ii), UFC 3-560-01 5-4.1. In feet, as their metric figures are rounded.
 */
const rules = {
  new: { FRP: { kilovoltsPerFoot: 100, seconds: 300 }, wood: { kilovoltsPerFoot: 75, seconds: 180 } },
  'in service': { FRP: { kilovoltsPerFoot: 75, seconds: 60 }, wood: { kilovoltsPerFoot: 50, seconds: 60 } },
} as const

const metresPerFoot = 0.3048

/** What the rule's own expressions differ by: 164,000 V/m and 1,640 V/cm are 0.026 % under 50 kV per foot. */
const roundingOfTheRule = 0.0003

export interface WithstandRule {
  readonly kilovoltsPerFoot: number
  readonly seconds: number
}

/** @lintignore held to the figures of the standard */
export function withstandRule(construction: Construction, reason: BenchTest['reason']): WithstandRule {
  return rules[reason === 'first issue' ? 'new' : 'in service'][construction === 'wood' ? 'wood' : 'FRP']
}

/** @lintignore held to the figures of the standard */
export function requiredKilovolts({ kilovoltsPerFoot }: WithstandRule, spanMetres: number): number {
  return (kilovoltsPerFoot * spanMetres) / metresPerFoot
}

export function failureOf(state: SurfaceState, row: Withstand): Reason {
  const text = `${row.outcome} at ${row.kilovolts} kV; the span has to withstand it`
  return reasonAt(placeOf(state, row), 'withstand-failed', text)
}

/**
 * A puncture or a track is damage done (UFC 3-560-01 5-4.5 lists tracking among the signs to reject), whatever voltage
 * or water made it; a flashover or warmth may be the doing of either.
 */
export function leavesDamage(row: Withstand): boolean {
  return row.outcome === 'puncture' || row.outcome === 'tracking'
}

/** What the rows leave unshown: the voltage, its time, or a part of the entire working length (…(j)(2)(iii)(D)). */
export function unshown(
  state: SurfaceState,
  rows: readonly Withstand[],
  stick: Stick,
  reason: BenchTest['reason'],
): Reason[] {
  const rule = withstandRule(stick.construction, reason)
  return [...rows.flatMap((row) => tooLittle(state, row, rule)), ...uncovered(state, rows, stick)]
}

function tooLittle(state: SurfaceState, row: Withstand, rule: WithstandRule): Reason[] {
  // the span as written: in whole millimetres a foot would be 305 mm and ask for more than the rule does
  const required = requiredKilovolts(rule, row.toMetres - row.fromMetres)
  const place = placeOf(state, row)
  const asked = `${Math.round(required * 100) / 100} kV (${rule.kilovoltsPerFoot} kV per foot) is asked for`
  return [
    ...(row.kilovolts >= required * (1 - roundingOfTheRule)
      ? []
      : [reasonAt(place, 'withstand-too-low', `tested at ${row.kilovolts} kV; ${asked}`)]),
    ...(row.seconds >= rule.seconds
      ? []
      : [reasonAt(place, 'withstand-too-short', `tested for ${row.seconds} s; ${rule.seconds} s is asked for`)]),
  ]
}

function uncovered(state: SurfaceState, rows: readonly Withstand[], stick: Stick): Reason[] {
  return lengthsOf(stick).flatMap(({ section, length }) => {
    const spans = outermostSpans(
      rows.filter((row) => row.section === section),
      length,
    )
    const place = { state, ...(section === undefined ? {} : { section }) }
    return gapsBetween(spans, length).map((gap) =>
      reasonAt(
        { ...place, ...inMetres(gap) },
        'gap',
        `no withstand test; the tests cover the whole ${metres(length)} m`,
      ),
    )
  })
}
