/**
 * Faults are what of a bench test cannot be true of the stick it names. Such a test is refused with every fault, not
 * judged.
 */
import type { misfits } from '../catalogue/en/misfits.ts'
import type { SaidOf } from '../catalogue/say.ts'
import type { Fault } from '../fault.ts'
import { feetMeant } from '../feet.ts'
import { type Millimetres, metres, millimetres } from '../quantities.ts'
import type { Stick } from '../registers.ts'
import type { BenchTest } from './bench-test.ts'
import { lengthsOf, statesAskedOf } from './places.ts'

/** A fault that the stick's own entry tells. */
export interface Misfit extends Fault {
  readonly expected: SaidOf<typeof misfits>
}

interface Row {
  readonly section?: string | undefined
  readonly fromMetres: number
  readonly toMetres: number
}

/** The rows of one list of a test. */
interface Rows<R extends Row> {
  /** the pointer to the list, in the body of the test */
  readonly pointer: string
  readonly rows: readonly R[]
  /** the mark beside the place that sets two rows apart */
  readonly kindOf: (row: R) => string
}

export function faultsAgainstStick(test: BenchTest, stick: Stick): Misfit[] {
  const { dry, wet, withstand = [] } = test
  return [
    ...rowFaults({ pointer: '/dry/readings', rows: dry?.readings ?? [], kindOf: turnOf }, stick),
    ...stateFaults(test, stick),
    ...rowFaults({ pointer: '/wet/readings', rows: wet?.readings ?? [], kindOf: turnOf }, stick),
    ...rowFaults(
      { pointer: '/wet/driedAndRepeated/readings', rows: wet?.driedAndRepeated?.readings ?? [], kindOf: turnOf },
      stick,
    ),
    ...rowFaults({ pointer: '/withstand', rows: withstand, kindOf: (row) => row.state }, stick),
    ...defectFaults(test, stick),
  ]
}

function turnOf(row: { quarterTurn: number }): string {
  return `quarter turn ${row.quarterTurn}°`
}

/** A wet test is asked of FRP only (29 CFR 1910.269(j)(2)(iii)(D)); misting wood would wet the wood itself. */
function stateFaults({ wet, withstand = [] }: BenchTest, { construction }: Stick): Misfit[] {
  if (statesAskedOf(construction).includes('wet')) return []
  const expected = { is: 'right: no wet test', construction } as const
  return [
    ...(wet === undefined ? [] : [{ pointer: '/wet', came: 'a wet test', expected }]),
    ...withstand.flatMap((row, index) =>
      row.state === 'wet' ? [{ pointer: `/withstand/${index}/state`, came: row.state, expected }] : [],
    ),
  ]
}

function rowFaults<R extends Row>(list: Rows<R>, stick: Stick): Misfit[] {
  const { pointer, rows } = list
  return [...rows.flatMap((row, index) => placeFaults(`${pointer}/${index}`, row, stick)), ...repeated(list)]
}

function placeFaults(at: string, { section, fromMetres, toMetres }: Row, stick: Stick): Misfit[] {
  const pointer = `${at}/toMetres`
  const expected = { is: 'right: beyond its beginning', least: 1, from: fromMetres } as const
  return [
    ...sectionFaults(at, section, stick),
    ...(millimetres(fromMetres) < millimetres(toMetres) ? [] : [{ pointer, came: toMetres, expected }]),
    ...beyond(pointer, toMetres, lengthFor(section, stick)),
  ]
}

function repeated<R extends Row>({ pointer, rows, kindOf }: Rows<R>): Misfit[] {
  const first = new Map<string, number>()
  return rows.flatMap((row, index) => {
    const place = `${millimetres(row.fromMetres)} to ${millimetres(row.toMetres)} mm`
    const came = `${kindOf(row)}, ${place}${row.section === undefined ? '' : `, section ${row.section}`}`
    const earlier = first.get(came)
    if (earlier === undefined) {
      first.set(came, index)
      return []
    }
    const expected = { is: 'right: a place given once', earlier: `${pointer}/${earlier}` } as const
    return [{ pointer: `${pointer}/${index}`, came, expected }]
  })
}

function defectFaults({ examination }: BenchTest, stick: Stick): Misfit[] {
  return examination.defects.flatMap(({ section, atMetres }, index) => {
    const at = `/examination/defects/${index}`
    // a defect may be placed on the stick as a whole, also where the stick telescopes
    if (section === undefined) return beyond(`${at}/atMetres`, atMetres, millimetres(stick.workingLengthMetres))
    return [...sectionFaults(at, section, stick), ...beyond(`${at}/atMetres`, atMetres, lengthFor(section, stick))]
  })
}

function sectionFaults(at: string, section: string | undefined, { sections }: Stick): Misfit[] {
  const pointer = `${at}/section`
  if (sections === undefined) {
    return section === undefined ? [] : [{ pointer, came: section, expected: { is: 'right: no section' } }]
  }
  if (sections.some(({ name }) => name === section)) return []
  // null and not undefined, which would vanish from the answer
  return [
    {
      pointer,
      came: section ?? null,
      expected: { is: 'right: a section of this stick', sections: sections.map(({ name }) => name).join(', ') },
    },
  ]
}

function beyond(pointer: string, came: number | undefined, length: Millimetres | undefined): Misfit[] {
  if (came === undefined || length === undefined || millimetres(came) <= length) return []
  const within = { length: metres(length) }
  const feet = feetMeant(came, length)
  const expected =
    feet === null
      ? ({ is: 'right: within its length', ...within } as const)
      : ({ is: 'right: within its length, in feet', ...within, ...feet } as const)
  return [{ pointer, came, expected }]
}

/** A place on a section nobody knows cannot be measured against anything; that it is unknown is the fault. */
function lengthFor(section: string | undefined, stick: Stick): Millimetres | undefined {
  return lengthsOf(stick).find((one) => one.section === section)?.length
}
