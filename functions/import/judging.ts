/**
 * Rows about one thing, judged and recorded by the very requests that people send by hand. Nothing is decided here. The
 * answer of a request is told by the rows that it was made of.
 */

import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import { placeOfFault, type ReadRow, type Wanted, wantedOf } from '../../shared-domain/import/bodies.ts'
import type { ImportKind } from '../../shared-domain/import/choices.ts'
import type { RowFault } from '../../shared-domain/import/import.ts'
import type { FileReading } from '../../shared-domain/import/rows.ts'
import type { Status } from '../../shared-domain/words.ts'
import { idFrom } from '../ground/derived-id.ts'
import { Refused } from '../ground/errors.ts'
import { checkRole } from '../questions/rights.ts'
import type { FactEntry } from '../recording/entry.ts'
import { factDoors } from '../recording/fact-kinds.ts'
import { record } from '../recording/part.ts'
import { checked } from '../requests/checked.ts'
import { perform } from '../requests/perform.ts'
import type { Recorder, Route } from '../requests/request.ts'
import { routes } from '../requests/routes.ts'
import type { Watch } from './written.ts'

/** The requests that rows become. */
const addressOf: { readonly [kind in ImportKind]: `${'PUT' | 'POST'} /v1/${string}` } = {
  sticks: 'PUT /v1/sticks/:id',
  people: 'PUT /v1/people/:id',
  crews: 'PUT /v1/crews/:id',
  instruments: 'PUT /v1/instruments/:id',
  uses: 'POST /v1/sticks/:id/uses',
  moves: 'POST /v1/sticks/:id/moves',
  'bench-tests': 'POST /v1/sticks/:id/past-tests',
}

function routeOf(kind: ImportKind): Route {
  const found = routes.find(({ method, path }) => `${method} ${path}` === addressOf[kind])
  if (found === undefined) throw new Error(`no request takes ${kind}`)
  return found
}

export interface JudgedRows {
  readonly added: number
  readonly changed: number
  readonly known: number
  readonly waiting: number
  readonly faults: readonly RowFault[]
  /** the status of the stick then, where the rows are about one */
  readonly status: Status | null
}

export interface Judging {
  readonly by: Recorder
  readonly reading: FileReading
  readonly today: CalendarDate
  readonly watch: Watch
}

/** All rows about one thing, in the order in which they happened. */
export async function judgedRows(judging: Judging, rows: readonly ReadRow[]): Promise<JudgedRows> {
  const { kind } = judging.reading
  const all = wantedOf(rows, judging.reading)
  const door = doorsOfFacts[kind]
  return door === undefined ? entriesJudged(judging, all) : factsJudged(judging, door, all)
}

/** The doors of rows that are facts; of the others a register has entries. */
const doorsOfFacts: { readonly [kind in ImportKind]?: 'uses' | 'moves' | 'past-tests' } = {
  uses: 'uses',
  moves: 'moves',
  'bench-tests': 'past-tests',
}
type FactsDoor = NonNullable<(typeof doorsOfFacts)[ImportKind]>

const nothing: JudgedRows = { added: 0, changed: 0, known: 0, waiting: 0, faults: [], status: null }

const together = (a: JudgedRows, b: JudgedRows): JudgedRows => ({
  added: a.added + b.added,
  changed: a.changed + b.changed,
  known: a.known + b.known,
  waiting: a.waiting + b.waiting,
  faults: [...a.faults, ...b.faults],
  status: b.status ?? a.status,
})

/** Entries of registers: each is put as the register's own form puts it. */
async function entriesJudged(judging: Judging, all: readonly Wanted[]): Promise<JudgedRows> {
  let sum = nothing
  const { kind } = judging.reading
  for (const [place, one] of all.entries()) {
    // a register has one entry of a name, and what a later row says of it would undo the earlier in silence
    const first = kind === 'instruments' ? undefined : all[0]
    const isAgain = place > 0 && first !== undefined
    if (!isAgain) sum = together(sum, await entryJudged(judging, one))
    else if (canonical(first.body) === canonical(one.body)) sum = together(sum, { ...nothing, known: one.rows.length })
    else sum = together(sum, withFaults(twice(judging, one, first)))
  }
  return sum
}

function twice({ reading: { kind } }: Judging, one: Wanted, first: Wanted): RowFault[] {
  const at = placeOfFault(one, kind, '/id')
  return [{ ...at, column: null, came: one.id, why: { is: 'named twice', first: first.rows[0] ?? 0 } }]
}

const withFaults = (faults: readonly RowFault[]): JudgedRows => ({ ...nothing, faults })

async function entryJudged(judging: Judging, one: Wanted): Promise<JudgedRows> {
  const { by, reading, watch } = judging
  const isRecorded = reading.kind === 'instruments' && (await hasCalibration(judging, one))
  if (isRecorded) return { ...nothing, known: one.rows.length }
  try {
    const { done: answer, entries } = await watch.during(() => perform(routeOf(reading.kind), by, sentAs(one)))
    const status = (answer.body as { status?: Status }).status ?? null
    const rows = one.rows.length
    if (answer.status === 202) return { ...nothing, waiting: rows, status: null }
    if (entries === 0) return { ...nothing, known: rows, status }
    return answer.status === 201 ? { ...nothing, added: rows, status } : { ...nothing, changed: rows, status }
  } catch (error) {
    return withFaults(faultsOf(error, one, reading.kind))
  }
}

/** A calibration that is on the register says nothing new, whichever came after it. */
async function hasCalibration({ by }: Judging, { id, body }: Wanted): Promise<boolean> {
  const editions = await by.organisation.registers.editions('instrument', id)
  const own = ofItself(body)
  return editions.some((one) => ofItself(one.body) === own)
}

/** Words of the certificate alone: the day from which the entry counts was said by whoever entered it. */
const ofItself = ({ effectiveFrom: _, ...said }: { readonly effectiveFrom?: unknown }) => canonical(said)

const sentAs = ({ id, body }: Wanted) => ({
  params: { id },
  query: {},
  body: { json: body, faults: [], refusal: null },
})

/** Facts of one stick that fit in one transaction with all that each writes. */
const factsTogether = 15

/** A fact of a stick, ready to be recorded. */
interface Ready {
  readonly one: Wanted
  readonly entry: FactEntry
}

async function factsJudged(judging: Judging, door: FactsDoor, all: readonly Wanted[]): Promise<JudgedRows> {
  let sum = nothing
  const ready: Ready[] = []
  const seen = new Set<string>()
  for (const one of all) {
    // the same row in another file, or twice in this, is the same fact; a row that went out names its own
    const named = typeof one.body.factId === 'string' ? one.body.factId.toLowerCase() : undefined
    const factId = named ?? idFrom(judging.by.organisation.name, 'import', door, one.id, canonical(one.body))
    if (seen.has(factId)) sum = together(sum, { ...nothing, known: 1 })
    else {
      seen.add(factId)
      const made = await entryOf(judging, door, { ...one, body: { ...one.body, factId } })
      if ('faults' in made) sum = together(sum, withFaults(made.faults))
      else ready.push(made)
    }
  }
  for (let at = 0; at < ready.length; at += factsTogether)
    sum = together(sum, await recorded(judging, ready.slice(at, at + factsTogether)))
  return sum
}

async function entryOf(
  { by, today, reading: { kind } }: Judging,
  door: FactsDoor,
  one: Wanted,
): Promise<Ready | { readonly faults: readonly RowFault[] }> {
  const route = routeOf(kind)
  try {
    checkRole(by.caller, route.action)
    const request = await checked(route, by, sentAs(one))
    const entry: FactEntry = await factDoors[door].entry(request)
    return { one, entry: { ...entry, quiet: isPast(entry, today) } }
  } catch (error) {
    return { faults: faultsOf(error, one, kind) }
  }
}

/** Past days mail nobody; the digest of the import tells of what must not be used today. */
const isPast = ({ occurredOn }: FactEntry, today: CalendarDate) => occurredOn < today

async function recorded(judging: Judging, ready: readonly Ready[]): Promise<JudgedRows> {
  const { by, reading } = judging
  const [first, ...others] = ready
  if (first === undefined) return nothing
  try {
    const outcomes = await record(by, first.one.id, ...ready.map(({ entry }) => entry))
    const added = outcomes.filter(({ news }) => news).length
    const status = outcomes.at(-1)?.standing.status ?? null
    return { ...nothing, added, known: outcomes.length - added, status }
  } catch (error) {
    if (others.length === 0) return withFaults(faultsOf(error, first.one, reading.kind))
    if (!(error instanceof Refused)) throw error
    // a refusal names none of them: each is tried by itself
    let sum = nothing
    for (const one of ready) sum = together(sum, await recorded(judging, [one]))
    return sum
  }
}

/** @throws what is no refusal */
function faultsOf(error: unknown, one: Wanted, kind: ImportKind): RowFault[] {
  if (!(error instanceof Refused)) throw error
  const { refusal } = error
  if (refusal.kind === 'try again' || refusal.kind === 'too many') throw error
  if (refusal.kind !== 'invalid') {
    return [{ row: one.rows[0] ?? 0, column: null, field: null, came: null, why: { is: 'refused', refusal } }]
  }
  return refusal.faults.map((fault) => inFile(fault, one, kind))
}

function inFile({ pointer, came, expected }: Fault, one: Wanted, kind: ImportKind): RowFault {
  const text = came === null || came === undefined ? null : typeof came === 'string' ? came : JSON.stringify(came)
  return {
    ...placeOfFault(one, kind, pointer),
    column: null,
    came: text === null ? null : text.slice(0, longestEcho),
    why: { is: 'body', expected },
  }
}

const longestEcho = 100
