/** Papers are printed from this, for those who may: looked up here, drawn by the pages. */
import type { AtTheBench } from '../../shared-domain/bench-test/next-place.ts'
import { addDays, type CalendarDate } from '../../shared-domain/calendar.ts'
import type { LabelSheetName } from '../../shared-domain/label-sheets.ts'
import type { Instrument, Procedure } from '../../shared-domain/registers.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { notFound } from '../ground/errors.ts'
import type { Asker } from './asker.ts'
import { checkMayStick, checkRole } from './rights.ts'
import { type RosterRow, rosterFor } from './roster.ts'
import { type StickSheet, sheetFor, type TestOfStick, testFor } from './sticks.ts'
import { todayAt } from './today.ts'

/** The test with this id, or without an id the newest. */
export async function certificateFor(asker: Asker, stickId: string, factId?: string): Promise<TestOfStick> {
  if (factId !== undefined) return testFor(asker, stickId, factId)
  const { last, ...known } = await sheetFor(asker, stickId)
  if (last === undefined) throw notFound({ is: 'none: bench test', test: 'newest', stick: stickId })
  return { ...known, test: last }
}

export interface LabelAsked {
  readonly sheet: LabelSheetName
  /** counted from 1 in rows from the top: sheets are begun and gone on with */
  readonly place: number
}

export async function labelFor(asker: Asker, stickId: string): Promise<StickSheet> {
  const known = await sheetFor(asker, stickId)
  const { crewId } = known.stick.state
  checkMayStick(asker.caller, 'record a label', { crewId, depotId: known.stick.depotId })
  return known
}

/** Procedure and instrument that a stick is to be tested by, as they are entered today. */
export interface Worksheet extends StickSheet {
  /** undefined where nobody named both, and no test did before */
  readonly bench: (AtTheBench & { readonly procedure: Procedure; readonly instrument: Instrument }) | undefined
  readonly procedureId: string | undefined
  readonly instrumentId: string | undefined
}

interface WorksheetAsked {
  readonly procedureId: string | undefined
  readonly instrumentId: string | undefined
}

/** Names left out are those of the newest test. */
export async function worksheetFor(asker: Asker, stickId: string, asked: WorksheetAsked): Promise<Worksheet> {
  const known = await sheetFor(asker, stickId)
  const { stick, day, last } = known
  checkMayStick(asker.caller, 'record a test', { crewId: stick.state.crewId, depotId: stick.depotId })
  const procedureId = asked.procedureId ?? last?.fact.test.procedureId
  const instrumentId = asked.instrumentId ?? last?.fact.test.instrumentId
  const { registers } = asker.organisation
  const [procedure, instrument] = await Promise.all([
    procedureId === undefined ? undefined : registers.inForce('procedure', procedureId, day),
    instrumentId === undefined ? undefined : registers.inForce('instrument', instrumentId, day),
  ])
  const entry = registrationOn(stick.state, day)?.stick
  const bench =
    procedure === undefined || instrument === undefined || entry === undefined
      ? undefined
      : { stick: entry, procedure: procedure.body, instrument: instrument.body }
  return { ...known, bench, procedureId, instrumentId }
}

export interface BenchList {
  readonly depotId: string
  /** the last day of the list */
  readonly to: CalendarDate
  readonly zone: string
  readonly rows: readonly RosterRow[]
  readonly isCut: boolean
}

const mostOnList = 200

/** The sticks of a depot that are overdue, or due in the week from today on. */
export async function benchListFor(asker: Asker, depotId: string): Promise<BenchList> {
  checkRole(asker.caller, 'record a test')
  const { today, zone } = await todayAt(asker, depotId)
  const to = addDays(today, 6)
  const { rows, next } = await rosterFor(asker, {
    depotId,
    due: { from: '1900-01-01' as CalendarDate, to }, // no stick was entered yet
    after: '',
    limit: mostOnList,
  })
  return { depotId, to, zone, rows, isCut: next !== null }
}

/** A paper, and what it is drawn from. */
export type PaperToDraw =
  | { readonly kind: 'certificate'; readonly known: TestOfStick }
  | { readonly kind: 'tag'; readonly known: StickSheet }
  | { readonly kind: 'label'; readonly known: StickSheet; readonly asked: LabelAsked }
  | { readonly kind: 'worksheet'; readonly known: Worksheet }
  | { readonly kind: 'bench list'; readonly known: BenchList }
