/** All that is kept, asked for in pages and laid out as rows: each kind by the question that pages ask too. */
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { listInCell } from '../../shared-domain/import/as-text.ts'
import type { TakenOut } from '../../shared-domain/import/choices.ts'
import {
  type CellOut,
  crewsOut,
  type EntryOut,
  instrumentsOut,
  movesOut,
  peopleOut,
  readersOf,
  sticksOut,
  testsBeforeOut,
  usesOut,
} from '../../shared-domain/import/out.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
import type { Crew, Instrument, Person } from '../../shared-domain/registers.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { Asker } from './asker.ts'
import { isPlaceInLog, noticesFor } from './notices.ts'
import { editionsFor, entriesFor } from './registers.ts'
import { isPlaceIn, type RosterRow, rosterFor } from './roster.ts'
import { historyFor } from './sticks.ts'

type Row = readonly CellOut[]

/** A page of what is kept, and the place to go on after; null when there is no more. */
interface PageOut {
  readonly rows: readonly Row[]
  readonly next: string | null
}

interface KindOut {
  readonly headings: readonly string[]
  readonly isPlace: (place: string) => boolean
  readonly page: (asker: Asker, after: string) => Promise<PageOut>
}

const atOnce = 200

const register = <Body>(
  kind: 'person' | 'crew' | 'instrument',
  headings: readonly string[],
  rowsOf: (entry: EntryOut<Body>, asker: Asker) => Promise<readonly Row[]>,
): KindOut => ({
  headings,
  isPlace: (place) => registerIdPattern.test(place),
  page: async (asker, after) => {
    const { entries, next } = await entriesFor(asker, { kind, after, limit: atOnce })
    const rows = await Promise.all(entries.map((one) => rowsOf(one as EntryOut<Body>, asker))) // the kind says the body
    return { rows: rows.flat(), next }
  },
})

/** Every calibration that stands. What was a slip was taken back, and would come in again as if it were none. */
async function calibrationsOf({ id }: EntryOut<Instrument>, asker: Asker): Promise<readonly Row[]> {
  const { editions } = await editionsFor(asker, { kind: 'instrument', id })
  return editions
    .filter(({ standing }) => standing !== 'taken back')
    .map(({ body }) => instrumentsOut.cells({ id, body: body as Instrument })) // the kind says the body
}

/** The list of a manager's morning leaves out what is out of use for good; what is kept does not. */
const listsOfAll: readonly (Status | undefined)[] = [undefined, 'removed from service', 'scrapped']

const places = /^([012])(?: (.+))?$/

function isPlaceAmongSticks(place: string): boolean {
  const [, list, inList] = places.exec(place) ?? []
  return list !== undefined && (inList === undefined || isPlaceIn(inList, { status: listsOfAll[Number(list)] }))
}

async function sticksAfter(asker: Asker, after: string) {
  const [, list = '0', inList = ''] = places.exec(after) ?? []
  const { rows, next } = await rosterFor(asker, {
    status: listsOfAll[Number(list)],
    after: inList,
    limit: atOnce,
  })
  if (next !== null) return { rows, next: `${list} ${next}` }
  const following = Number(list) + 1
  return { rows, next: following < listsOfAll.length ? String(following) : null }
}

const ofSticks = (
  headings: readonly string[],
  rowsOf: (row: RosterRow, asker: Asker) => Promise<readonly Row[]>,
): KindOut => ({
  headings,
  isPlace: isPlaceAmongSticks,
  page: async (asker, after) => {
    const { rows, next } = await sticksAfter(asker, after)
    const cells: Row[] = []
    for (let at = 0; at < rows.length; at += historiesAtOnce)
      cells.push(...(await Promise.all(rows.slice(at, at + historiesAtOnce).map((row) => rowsOf(row, asker)))).flat())
    return { rows: cells, next }
  },
})

const historiesAtOnce = 20

type RowsOfFact = (stickId: string, fact: RecordedFact) => readonly Row[]

/** A slip is left out of what comes in again, and stands in the history alone. */
const ofFacts = (headings: readonly string[], rowsOf: RowsOfFact, { slips }: { readonly slips: boolean }): KindOut =>
  ofSticks(headings, async ({ stored: { stickId } }, asker) => {
    const facts = (await historyFor(asker, stickId)).map(({ fact }) => fact)
    const wrong = new Set(slips ? [] : facts.flatMap((fact) => (fact.kind === 'corrected' ? [fact.corrects] : [])))
    return facts.filter(({ factId }) => !wrong.has(factId)).flatMap((fact) => rowsOf(stickId, fact))
  })

const toComeIn = { slips: false }
const usesOf: RowsOfFact = (stickId, fact) =>
  fact.kind === 'used' ? [usesOut.cells({ stickId, fact, body: fact.use })] : []
const testsBeforeOf: RowsOfFact = (stickId, fact) =>
  fact.kind === 'tested before' ? [testsBeforeOut.cells({ stickId, fact, body: fact.before })] : []
const movesOf: RowsOfFact = (stickId, fact) =>
  fact.kind === 'moved' ? [movesOut.cells({ stickId, fact, body: fact.move })] : []

const historyHeadings = ['Stick', 'Date', 'Hour', 'What', 'Detail', 'Note', 'Recorded at', 'Recorded by', 'Fact']
const historyOf: RowsOfFact = (stickId, fact) => {
  const { occurredOn, at = null, kind, recordedAt, recordedBy, factId } = fact
  const { detail, note = null } = saidBy(fact)
  return [[stickId, occurredOn, at, kind, detail, note, recordedAt, recordedBy, factId]]
}

interface SaidByFact {
  readonly detail: CellOut
  readonly note?: string | undefined
}

/** The word of the trade that tells most of a fact; all of it is in the folder of the stick's proof. */
function saidBy(fact: RecordedFact): SaidByFact {
  switch (fact.kind) {
    case 'tested':
      return { detail: fact.judgement.verdict }
    case 'judged again':
      return { detail: fact.judgement.verdict, note: fact.again.reason }
    case 'tested before':
      return {
        detail: fact.before.passed ? 'passed, without readings' : 'failed, without readings',
        note: fact.before.note,
      }
    case 'test before counted':
      return { detail: fact.counting.counts, note: fact.counting.reason }
    case 'corrective step':
      return { detail: fact.step.kind, note: fact.step.note }
    case 'used':
      return { detail: listInCell([`${fact.use.days}`, ...fact.use.conditions]), note: fact.use.note }
    case 'defect reported':
      return { detail: fact.defect.kind, note: fact.defect.note }
    case 'moved':
      return { detail: destinationOf(fact.move.to), note: fact.move.note }
    case 'condition checked':
      return { detail: fact.check.sound ? 'sound' : 'not sound' }
    case 'corrected':
      return { detail: fact.corrects, note: fact.reason }
    case 'label changed':
    case 'registered':
    case 'released':
    case 'certificate received':
    case 'removed':
    case 'records restored':
    case 'paper looked at':
      return { detail: null }
  }
}

const destinationOf = (to: Extract<RecordedFact, { kind: 'moved' }>['move']['to']): string =>
  typeof to === 'string' ? to : Object.values(to).join(' · ')

const rosterHeadings = ['Stick', 'Status', 'Due on', 'Days overdue', 'Crew', 'Depot', 'Lot', 'Lent to', 'Return by']
/** A due date beside a stick that must not be used for another reason would read as leave to use it until then. */
async function rosterRow({ stored: { stickId, state, depotId }, standing }: RosterRow): Promise<readonly Row[]> {
  const { status, dueOn, daysOverdue } = standing
  const lent = state.custody !== null && 'lentTo' in state.custody ? state.custody : null
  const due = isDated(status) ? [dueOn, daysOverdue] : [null, null]
  const { lot = null } = state.registrations.at(-1)?.stick ?? {}
  return [[stickId, status, ...due, state.crewId, depotId, lot, lent?.lentTo ?? null, lent?.returnBy ?? null]]
}

const notices: KindOut = {
  headings: [
    'Number',
    'Kind',
    'Owed at',
    'Reader',
    'Mail',
    'State',
    'Sent at',
    'Delivered at',
    'Confirmed at',
    'Sticks',
  ],
  isPlace: isPlaceInLog,
  page: async (asker, after) => {
    const { entries, next } = await noticesFor(asker, { after, limit: atOnce })
    const rows = entries.map(({ notice }): Row => {
      const { number, kind, owedAt, to, state, sentAt = null, deliveredAt = null, answeredAt = null } = notice
      const sticks = listInCell(notice.lines.map(({ stickId }) => stickId))
      return [number, kind, owedAt, to.name, to.email, shownState[state], sentAt, deliveredAt, answeredAt, sticks]
    })
    return { rows, next }
  },
}

const entered = async ({ stored: { stickId, state } }: RosterRow): Promise<readonly Row[]> => {
  const body = state.registrations.at(-1)?.stick
  return body === undefined ? [] : [sticksOut.cells({ id: stickId, body })]
}

const kindsOut: { readonly [kind in TakenOut]: KindOut } = {
  sticks: ofSticks(sticksOut.headings, entered),
  uses: ofFacts(usesOut.headings, usesOf, toComeIn),
  'bench-tests': ofFacts(testsBeforeOut.headings, testsBeforeOf, toComeIn),
  moves: ofFacts(movesOut.headings, movesOf, toComeIn),
  people: register<Person>('person', peopleOut.headings, async (one) => [peopleOut.cells(one)]),
  crews: register<Crew>('crew', crewsOut.headings, async (one) => readersOf(one).map(crewsOut.cells)),
  instruments: register<Instrument>('instrument', instrumentsOut.headings, calibrationsOf),
  roster: ofSticks(rosterHeadings, rosterRow),
  history: ofFacts(historyHeadings, historyOf, { slips: true }),
  notices,
}

/** A function may answer 6 MB, and what is packed into text grows by a third. */
const mostRows = 10_000
const mostLetters = 3_500_000

/** Pages, as many as one file has room for. */
export async function rowsKept(asker: Asker, kind: TakenOut, from: string) {
  const { headings, page } = kindsOut[kind]
  const rows: Row[] = []
  let letters = 0
  let next: string | null = from
  do {
    const found: PageOut = await page(asker, next)
    rows.push(...found.rows)
    letters += found.rows.reduce((sum, row) => sum + row.join().length, 0)
    next = found.next
  } while (next !== null && rows.length < mostRows && letters < mostLetters)
  return { headings, rows, next }
}

export const isPlaceOf = (kind: TakenOut, place: string): boolean => kindsOut[kind].isPlace(place)
