/**
 * A working length that may be on the register in feet. A test in feet of a stick in metres is refused, and told so
 * there.
 */
import type { BenchTest, Reading } from '../bench-test/bench-test.ts'
import { lengthsOf } from '../bench-test/places.ts'
import { feetInMetres, lengthMayBeFeet } from '../feet.ts'
import { metres } from '../quantities.ts'
import { surfaceStates } from '../words.ts'
import type { OddPlace, Tests } from './question.ts'

/** The question stands at the reading that reaches furthest, of a section or of the whole stick. */
export function lengthInFeet(test: BenchTest, { by: { stick } }: Tests): OddPlace[] {
  return lengthsOf(stick).flatMap(({ section, length }) => {
    const reached = surfaceStates.flatMap((state) => furthest(`/${state}/readings`, test[state]?.readings, section))
    const lengthMetres = metres(length)
    const [first] = reached
    if (
      first === undefined ||
      !lengthMayBeFeet(
        lengthMetres,
        reached.map(({ toMetres }) => toMetres),
      )
    )
      return []
    const inMetres = feetInMetres(lengthMetres)
    const figures = { reached: first.toMetres, length: lengthMetres, feet: lengthMetres, inMetres }
    const says =
      section === undefined
        ? { is: 'length in feet' as const, ...figures }
        : { is: 'length of a section in feet' as const, section, ...figures }
    return [{ pointer: first.pointer, says }]
  })
}

interface Reached {
  readonly pointer: string
  readonly toMetres: number
}

function furthest(list: string, readings: readonly Reading[] = [], section: string | undefined): Reached[] {
  const reached = readings
    .map((one, i) => ({ section: one.section, toMetres: one.toMetres, pointer: `${list}/${i}/toMetres` }))
    .filter((one) => one.section === section)
  return reached.sort((one, other) => other.toMetres - one.toMetres).slice(0, 1)
}
