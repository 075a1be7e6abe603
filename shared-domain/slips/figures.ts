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
    return tenfold(reads).flatMap((meant): OddPlace[] => {
      const piece = pieceFor(meant)
      if (piece === undefined) return []
      const figures = { reads, asked: piece.expectedMicroamps, meant }
      return [
        { pointer: `/instrumentChecks/${i}/checkMicroamps`, says: { is: 'check slipped', state, when, ...figures } },
      ]
    })
  })
}

/** Water that conducts more than the procedure allows, where the last water was within it. */
export function conductivitySlipped({ wet }: BenchTest, { by: { procedure }, earlier }: Tests): OddPlace[] {
  const most = procedure.waterConductivityAtMostMicrosiemensPerCm
  const conducts = wet?.conductivityMicrosiemensPerCm
  const last = earlier.find((one) => one.wet?.conductivityMicrosiemensPerCm !== undefined)
  const was = last?.wet?.conductivityMicrosiemensPerCm
  if (most === undefined || conducts === undefined || last === undefined || was === undefined) return []
  if (conducts <= most || was > most) return []
  const [meant = 0] = tenfold(conducts)
  if (!agree(meant, was)) return []
  const says = { is: 'water slipped', conducts, most, last: last.testedOn, was, meant } as const
  return [{ pointer: '/wet/conductivityMicrosiemensPerCm', says }]
}

/** Air colder than the procedure allows. Air that is too warm is not asked about: no bench is a tenth as warm. */
export function airSlipped({ ambient }: BenchTest, { by: { procedure } }: Tests): OddPlace[] {
  const window = procedure.ambient?.celsius
  if (window === undefined || ambient === undefined || ambient.celsius >= window[0]) return []
  const [, meant = 0] = tenfold(ambient.celsius)
  if (meant < window[0] || meant > window[1]) return []
  const says = { is: 'air slipped', celsius: ambient.celsius, from: window[0], to: window[1], meant } as const
  return [{ pointer: '/ambient/celsius', says }]
}

/** Kilovolts are compared with the last withstand test of the same span. */
export function kilovoltsSlipped({ withstand = [] }: BenchTest, { earlier }: Tests): OddPlace[] {
  return withstand.flatMap((row, i) => {
    const last = earlier.find((one) => one.withstand?.some((other) => isSameSpan(row, other)))
    const was = last?.withstand?.find((other) => isSameSpan(row, other))?.kilovolts
    if (last === undefined || was === undefined) return []
    const { kilovolts } = row
    return tenfold(kilovolts)
      .filter((meant) => agree(meant, was))
      .map((meant) => ({
        pointer: `/withstand/${i}/kilovolts`,
        says: { is: 'kilovolts slipped' as const, kilovolts, last: last.testedOn, was, meant },
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
