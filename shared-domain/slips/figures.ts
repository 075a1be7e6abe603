/**
 * Figures of a bench test, beside its leakage readings, whose decimal may have slipped. A figure is asked about only
 * where something says clearly what it should be: it is wrong as it was typed, and right with the decimal moved by one.
 */
import type { BenchTest, Withstand } from '../bench-test/bench-test.ts'
import { readsTrue } from '../bench-test/trust.ts'
import { millimetres } from '../quantities.ts'
import type { OddPlace, Tests } from './question.ts'
import { agree, tenfold } from './tenfold.ts'

/** Checks are compared with the check pieces of the procedure, by their own tolerance. */
export function checkSlipped({ instrumentChecks }: BenchTest, { by: { procedure } }: Tests): OddPlace[] {
  return instrumentChecks.flatMap(({ state, when, checkMicroamps: reads }, i) => {
    const pieces = procedure.checks.filter((piece) => piece.state === state)
    const pieceFor = (checkMicroamps: number) => pieces.find((piece) => readsTrue(piece, { checkMicroamps }))
    if (pieceFor(reads) !== undefined) return []
    return tenfold(reads).flatMap((meant) => {
      const piece = pieceFor(meant)
      if (piece === undefined) return []
      const text = `The ${state} check ${when} the readings reads ${reads} µA where the procedure asks for ${piece.expectedMicroamps} µA. Is it ${meant}?`
      return [{ pointer: `/instrumentChecks/${i}/checkMicroamps`, text }]
    })
  })
}

/** Water that conducts more than the procedure allows, where the last water was within it. */
export function conductivitySlipped({ wet }: BenchTest, { by: { procedure }, earlier }: Tests): OddPlace[] {
  const most = procedure.waterConductivityAtMostMicrosiemensPerCm
  const conducts = wet?.conductivityMicrosiemensPerCm
  const last = earlier.find((one) => one.wet?.conductivityMicrosiemensPerCm !== undefined)
  const was = last?.wet?.conductivityMicrosiemensPerCm
  if (most === undefined || conducts === undefined || was === undefined || conducts <= most || was > most) return []
  const [meant = 0] = tenfold(conducts)
  if (!agree(meant, was)) return []
  const text = `The water conducts ${conducts} µS/cm; the procedure allows ${most} and that of the last test, on ${last?.testedOn}, conducted ${was}. Is it ${meant}?`
  return [{ pointer: '/wet/conductivityMicrosiemensPerCm', text }]
}

/** Air colder than the procedure allows. Air that is too warm is not asked about: no bench is a tenth as warm. */
export function airSlipped({ ambient }: BenchTest, { by: { procedure } }: Tests): OddPlace[] {
  const window = procedure.ambient?.celsius
  if (window === undefined || ambient === undefined || ambient.celsius >= window[0]) return []
  const [, meant = 0] = tenfold(ambient.celsius)
  if (meant < window[0] || meant > window[1]) return []
  const text = `The air was ${ambient.celsius} °C; the procedure asks for ${window[0]} to ${window[1]} °C. Is it ${meant}?`
  return [{ pointer: '/ambient/celsius', text }]
}

/** Kilovolts are compared with the last withstand test of the same span. */
export function kilovoltsSlipped({ withstand = [] }: BenchTest, { earlier }: Tests): OddPlace[] {
  return withstand.flatMap((row, i) => {
    const last = earlier.find((one) => one.withstand?.some((other) => isSameSpan(row, other)))
    const was = last?.withstand?.find((other) => isSameSpan(row, other))?.kilovolts
    if (was === undefined) return []
    return tenfold(row.kilovolts)
      .filter((meant) => agree(meant, was))
      .map((meant) => ({
        pointer: `/withstand/${i}/kilovolts`,
        text: `${row.kilovolts} kV where the last test, on ${last?.testedOn}, applied ${was} kV. Is it ${meant}?`,
      }))
  })
}

function isSameSpan(one: Withstand, other: Withstand): boolean {
  return (
    one.state === other.state &&
    one.section === other.section &&
    millimetres(one.fromMetres) === millimetres(other.fromMetres) &&
    millimetres(one.toMetres) === millimetres(other.toMetres)
  )
}
