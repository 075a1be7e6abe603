/**
 * The ways in which a change of a procedure's own withstand tests loosens. Tests stated for a construction stand in
 * place of all of the rule's own figures. Of several that cover a stick the highest voltage and the longest time hold.
 */

import { isBelowRule, perFoot, rulesOwn } from '../bench-test/withstand-rule.ts'
import type { Procedure, WithstandTest } from '../registers.ts'
import { constructions } from '../words.ts'
import type { Pair, Way } from './way.ts'

type Stated = Pick<WithstandTest, 'voltage' | 'seconds' | 'lineKilovolts'>

const whens = ['new', 'in service'] as const

export function waysOfWithstand({ before, after }: Pair<Procedure>): Way[] {
  return constructions.flatMap((construction) =>
    whens.flatMap((when) => {
      const ofThese = ({ withstand = [] }: Procedure) =>
        withstand.filter((one) => one.construction === construction && one.when === when)
      const were: readonly Stated[] = orRulesOwn(ofThese(before), { construction, when })
      const are: readonly Stated[] = orRulesOwn(ofThese(after), { construction, when })
      return [
        ...were.flatMap((was) => lowered(was, are)),
        ...are.filter((is) => !were.some((was) => isWithin(is, was))).map(widened),
      ].map((text) => ({ code: 'withstand-lowered', text: `${construction}, ${when}: ${text}` }))
    }),
  )
}

export function waysBelowRule({ withstand = [] }: Procedure): Way[] {
  return withstand.flatMap((one, i) => {
    if (!isBelowRule(one)) return []
    const { kilovoltsPerFoot, seconds } = rulesOwn(one.construction, one.when)
    const text = `${one.construction}, ${one.when}: ${inWords(one)} is, or may be, less than the rule’s own ${kilovoltsPerFoot} kV per foot for ${seconds} s.`
    return [{ code: 'withstand-below-rule', text, pointer: `/withstand/${i}` }]
  })
}

function orRulesOwn(stated: readonly Stated[], { construction, when }: Pick<WithstandTest, 'construction' | 'when'>) {
  if (stated.length > 0) return stated
  const { seconds, ...voltage } = rulesOwn(construction, when)
  return [{ voltage, seconds, lineKilovolts: undefined }]
}

function lowered(was: Stated, are: readonly Stated[]): string[] {
  if (are.some((is) => isWithin(was, is) && isNoLower(is, was))) return []
  return [`${inWords(was)} is not asked any more; it becomes ${are.map(inWords).join(', ')}.`]
}

/** A figure for lines of which none was stated loosens: no test could pass for them. */
const widened = (is: Stated) => `${inWords(is)} is to hold for lines of which nothing was stated.`

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

function inWords({ voltage, seconds, lineKilovolts }: Stated): string {
  const lines = lineKilovolts === undefined ? '' : ` on lines of ${lineKilovolts[0]} to ${lineKilovolts[1]} kV`
  return `${voltageInWords(voltage)} for ${seconds} s${lines}`
}

function voltageInWords(voltage: Stated['voltage']): string {
  if ('kilovoltsPerFoot' in voltage) return `${voltage.kilovoltsPerFoot} kV per foot`
  if ('kilovoltsPerMetre' in voltage) return `${voltage.kilovoltsPerMetre} kV per metre`
  if ('kilovolts' in voltage) return `${voltage.kilovolts} kV`
  const least = voltage.atLeastKilovolts === undefined ? '' : `, at least ${voltage.atLeastKilovolts} kV`
  return `${voltage.times} times the ${voltage.of}${least}`
}
