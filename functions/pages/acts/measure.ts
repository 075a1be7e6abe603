/**
 * Lengths as they are typed in a reader's own unit, and as a body holds them: in metres or millimetres. A length that a
 * form shows and nobody changes stays what it was.
 */
import { metresPerFoot } from '../../../shared-domain/bench-test/withstand-rule.ts'
import { feetInMetres } from '../../../shared-domain/feet.ts'

export type Unit = 'm' | 'ft' | 'mm' | 'in'

const inchesPerFoot = 12
const millimetresPerInch = 25.4

/** A decimal comma counts as a point. What is no number stays as it was typed, and the request says what is wrong. */
export function numberIn(text: string): number | string {
  const plain = text.replace(/^([+-]?\d+),(\d+)$/, '$1.$2')
  return /^[+-]?\d+(\.\d+)?$/.test(plain) ? Number(plain) : text
}

/** Feet may be followed by inches, as on a tape: `8 ft 6 in`, `8' 6"`, `2 in`. */
const onATape =
  /^(?:(\d+(?:[.,]\d+)?)\s*(?:feet|foot|ft|pies|pie|['′’]))?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:inches|inch|in|pulg|["″”]))?$/i

/** What was typed, as the body is to hold it. */
export function measureIn(typed: string, unit: Unit): number | string {
  const text = typed.trim()
  if (unit === 'm' || unit === 'mm') return numberIn(text)
  const figure = numberIn(text)
  if (typeof figure === 'number') return unit === 'ft' ? feetInMetres(figure) : across(figure)
  const [, feet, inches] = onATape.exec(text) ?? []
  if (feet === undefined && inches === undefined) return text
  const [ft, inch] = [feet, inches].map((part) => Number(numberIn(part ?? '0'))) as [number, number]
  return unit === 'ft' ? feetInMetres(ft + inch / inchesPerFoot) : across(ft * inchesPerFoot + inch)
}

/** To the hundredth of a millimetre: finer than anybody measures across a stick. */
function across(inches: number): number {
  return Math.round(inches * millimetresPerInch * 100) / 100
}

/** The shortest figure in the reader's unit that comes back as the very length. */
export function textOf(length: number, unit: Unit): string {
  if (unit === 'm' || unit === 'mm') return String(length)
  const figure = unit === 'ft' ? length / metresPerFoot : length / millimetresPerInch
  const short = [0, 1, 2, 3, 4].map((digits) => String(Number(figure.toFixed(digits))))
  return short.find((text) => measureIn(text, unit) === length) ?? short.at(-1) ?? ''
}
