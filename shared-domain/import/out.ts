/**
 * All that is kept, as rows that come in again unchanged: for each kind of file its columns, in the order and under the
 * headings of the templates, and what stands in them.
 */

import type { Move, TestedBefore, Use } from '../fact-bodies.ts'
import type { RecordedFact } from '../facts.ts'
import type { Crew, Instrument, Person, Recipient, Stick } from '../registers.ts'
import { listInCell, partOfList } from './as-text.ts'

export type CellOut = string | number | null

interface ColumnsOut<Row> {
  readonly headings: readonly string[]
  readonly cells: (row: Row) => readonly CellOut[]
}

type Cell<Row> = (row: Row) => CellOut | boolean | undefined

/** Yes and no are words, and what is not said is an empty cell. */
function columns<Row>(...all: readonly (readonly [heading: string, cell: Cell<Row>])[]): ColumnsOut<Row> {
  return {
    headings: all.map(([heading]) => heading),
    cells: (row) => all.map(([, cell]) => inWords(cell(row))),
  }
}

function inWords(value: CellOut | boolean | undefined): CellOut {
  if (value === true) return 'yes'
  return value === false ? 'no' : (value ?? null)
}

export interface EntryOut<Body> {
  readonly id: string
  readonly body: Body
}

export const sticksOut = columns<EntryOut<Stick>>(
  ['Stick', ({ id }) => id],
  ['Construction', ({ body }) => body.construction],
  ['Working length (m)', ({ body }) => body.workingLengthMetres],
  ['Diameter (mm)', ({ body }) => body.diameterMillimetres],
  ['Primary protection', ({ body }) => body.primaryProtection],
  ['Crew', ({ body }) => body.crewId],
  ['Lot', ({ body }) => body.lot],
  ['Line kV', ({ body }) => body.lineKilovolts],
  ['In service since', ({ body }) => body.inServiceSince],
  ['Sections', ({ body }) => sectionsOf(body)],
  ['Same stick', ({ body }) => body.sameStick],
)

const sectionsOf = ({ sections = [] }: Stick): CellOut =>
  sections.length === 0
    ? null
    : listInCell(sections.map(({ name, lengthMetres }) => `${partOfList(name)} ${lengthMetres}`))

export const peopleOut = columns<EntryOut<Person>>(
  ['Person', ({ id }) => id],
  ['Name', ({ body }) => body.name],
  ['Email', ({ body }) => body.email],
  ['Role', ({ body }) => body.role],
  ['Depots', ({ body }) => listInCell(body.depots)],
  ['Crew', ({ body }) => body.crewId],
  ['Language', ({ body }) => body.language],
  ['Units', ({ body }) => body.units],
  ['Until', ({ body }) => body.until],
)

interface Reader extends EntryOut<Omit<Crew, 'recipients'>> {
  /** none of a crew that nobody reads for */
  readonly recipient?: Recipient | undefined
}

export const crewsOut = columns<Reader>(
  ['Crew id', ({ id }) => id],
  ['Crew', ({ body }) => body.name],
  ['Depot', ({ body }) => body.depotId],
  ['Name', ({ recipient }) => recipient?.name],
  ['Email', ({ recipient }) => recipient?.email],
  ['Phone', ({ recipient }) => recipient?.phone],
  ['Role', ({ recipient }) => recipient?.role],
  ['Language', ({ recipient }) => recipient?.language],
  ['Units', ({ recipient }) => recipient?.units],
)

/** A row for each reader of the crew, and one for a crew without any. */
export function readersOf({ id, body }: EntryOut<Crew>): readonly Reader[] {
  const { recipients } = body
  return recipients.length === 0 ? [{ id, body }] : recipients.map((recipient) => ({ id, body, recipient }))
}

export const instrumentsOut = columns<EntryOut<Instrument>>(
  ['Instrument', ({ id }) => id],
  ['Span (m)', ({ body }) => body.spanMetres],
  ['Calibrated on', ({ body }) => body.calibratedOn],
  ['Calibration due on', ({ body }) => body.calibrationDueOn],
  ['Expanded uncertainty', ({ body }) => body.expandedUncertaintyPercent],
  ['Kilovolts', ({ body }) => body.kilovolts],
  ['Hertz', ({ body }) => body.hertz],
  ['Found out of tolerance', ({ body }) => body.foundOutOfTolerance],
  ['Kind of error', ({ body }) => body.foundError?.kind],
  ['Error found', ({ body }) => body.foundError?.value],
  ['Full scale', ({ body }) => body.foundError?.fullScaleMicroamps],
  ['Certificate', ({ body }) => body.certificate],
  ['Laboratory', ({ body }) => body.laboratory],
)

export interface OfStick<Body> {
  readonly stickId: string
  readonly fact: Pick<RecordedFact, 'factId'>
  readonly body: Body
}

export const testsBeforeOut = columns<OfStick<TestedBefore>>(
  ['Stick', ({ stickId }) => stickId],
  ['Tested on', ({ body }) => body.testedOn],
  ['Hour', ({ body }) => body.at],
  ['Result', ({ body }) => body.passed],
  ['Tested by', ({ body }) => body.testedBy],
  ['Reason', ({ body }) => body.reason],
  ['Instrument', ({ body }) => body.instrumentId],
  ['Note', ({ body }) => body.note],
  ['Fact', ({ fact }) => fact.factId],
)

export const usesOut = columns<OfStick<Use>>(
  ['Stick', ({ stickId }) => stickId],
  ['Date', ({ body }) => body.occurredOn],
  ['Hour', ({ body }) => body.at],
  ['Days', ({ body }) => body.days],
  ['Conditions', ({ body }) => listInCell(body.conditions)],
  ['Note', ({ body }) => body.note],
  ['Fact', ({ fact }) => fact.factId],
)

const placeOf = ({ to }: Move, name: 'crewId' | 'store' | 'bench' | 'lentTo' | 'returnBy'): CellOut =>
  // each form of a place has other fields
  typeof to === 'object' && name in to ? String((to as Readonly<Record<string, unknown>>)[name]) : null // of those

export const movesOut = columns<OfStick<Move>>(
  ['Stick', ({ stickId }) => stickId],
  ['Date', ({ body }) => body.occurredOn],
  ['Hour', ({ body }) => body.at],
  ['Crew', ({ body }) => placeOf(body, 'crewId')],
  ['Store', ({ body }) => placeOf(body, 'store')],
  ['Bench', ({ body }) => placeOf(body, 'bench')],
  ['Lent to', ({ body }) => placeOf(body, 'lentTo')],
  ['Return by', ({ body }) => placeOf(body, 'returnBy')],
  ['What', ({ body }) => (typeof body.to === 'string' ? body.to : null)],
  ['Note', ({ body }) => body.note],
  ['Fact', ({ fact }) => fact.factId],
)
