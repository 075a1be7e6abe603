/**
 * The ways in which a change of a procedure's own withstand tests loosens. Tests stated for a construction stand in
 * place of all of the rule's own figures. Of several that cover a stick the highest voltage and the longest time hold.
 */

import { isBelowRule, perFoot, rulesOwn } from '../bench-test/withstand-rule.ts'
import type { Procedure, WithstandTest } from '../registers.ts'
import { constructions } from '../words.ts'
import type { Milder, Pair, Part, Way } from './way.ts'

type Stated = Pick<WithstandTest, 'voltage' | 'seconds' | 'lineKilovolts'>

const whens = ['new', 'in service'] as const

export function waysOfWithstand({ before, after }: Pair<Procedure>): Way[] {
  return constructions.flatMap((construction) =>
    whens.flatMap((when) => {
      const ofThese = ({ withstand = [] }: Procedure) =>
        withstand.filter((one) => one.construction === construction && one.when === when)
      const were: readonly Stated[] = orRulesOwn(ofThese(before), { construction, when })
      const are: readonly Stated[] = orRulesOwn(ofThese(after), { construction, when })
      const lowered = were.filter((was) => !are.some((is) => isWithin(was, is) && isNoLower(is, was)))
      // a figure for lines of which none was stated loosens: no test could pass for them
      const widened = are.filter((is) => !were.some((was) => isWithin(is, was)))
      const [of, to] = [{ construction, when }, are.map(saidOf)]
      return [
        ...lowered.map((was): Milder => ({ is: 'withstand lowered', ...of, from: saidOf(was), to })),
        ...widened.map((is): Milder => ({ is: 'withstand widened', ...of, what: saidOf(is) })),
      ].map((says) => ({ code: 'withstand-lowered', says }))
    }),
  )
}

export function waysBelowRule({ withstand = [] }: Procedure): Way[] {
  return withstand.flatMap((one, i) => {
    if (!isBelowRule(one)) return []
    const { construction, when } = one
    const { kilovoltsPerFoot: perFoot, seconds } = rulesOwn(construction, when)
    const says: Milder = { is: 'withstand below rule', construction, when, what: saidOf(one), perFoot, seconds }
    return [{ code: 'withstand-below-rule', says, pointer: `/withstand/${i}` }]
  })
}

function orRulesOwn(stated: readonly Stated[], { construction, when }: Pick<WithstandTest, 'construction' | 'when'>) {
  if (stated.length > 0) return stated
  const { seconds, ...voltage } = rulesOwn(construction, when)
  return [{ voltage, seconds, lineKilovolts: undefined }]
}

function isWithin({ lineKilovolts: inner }: Stated, { lineKilovolts: outer }: Stated): boolean {
  return outer === undefined || (inner !== undefined && outer[0] <= inner[0] && inner[1] <= outer[1])
}

/** Voltages of different kinds compare with nothing, except per foot with per metre. */
function isNoLower(is: Stated, was: Stated): boolean {
  if (is.seconds < was.seconds) return false
  const [a, b] = [is.voltage, was.voltage]
  const [one, other] = [perFoot(a), perFoot(b)]
  if (one !== undefined && other !== undefined) return one >= other
  if ('kilovolts' in a && 'kilovolts' in b) return a.kilovolts >= b.kilovolts
  if ('times' in a && 'times' in b) {
    return a.of === b.of && a.times >= b.times && (a.atLeastKilovolts ?? 0) >= (b.atLeastKilovolts ?? 0)
  }
  return false
}

function saidOf({ voltage, seconds, lineKilovolts }: Stated): Part {
  const asked = { voltage: voltageSaid(voltage), seconds }
  if (lineKilovolts === undefined) return { is: 'for so long', ...asked }
  return { is: 'for so long, on lines', ...asked, from: lineKilovolts[0], to: lineKilovolts[1] }
}

function voltageSaid(voltage: Stated['voltage']): Part {
  if ('kilovoltsPerFoot' in voltage) return { is: 'kilovolts per foot', kilovolts: voltage.kilovoltsPerFoot }
  if ('kilovoltsPerMetre' in voltage) return { is: 'kilovolts per metre', kilovolts: voltage.kilovoltsPerMetre }
  if ('kilovolts' in voltage) return { is: 'kilovolts', kilovolts: voltage.kilovolts }
  const { times, of, atLeastKilovolts: kilovolts } = voltage
  if (kilovolts === undefined) return { is: 'times a voltage', times, of }
  return { is: 'times a voltage, at least', times, of, kilovolts }
}
