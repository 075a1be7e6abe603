/**
 * Takes a file in, page by page. A check does what an import does, on a table in memory: so it says of every row what
 * the import will say. Progress is kept with every page, so that whoever goes on begins where the last one stopped.
 */

import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import {
  dataRows,
  headerOf,
  type NumberedRow,
  type ProposedReading,
  proposedReading,
} from '../../shared-domain/import/asked.ts'
import type { ImportKind } from '../../shared-domain/import/choices.ts'
import type { Mapping } from '../../shared-domain/import/columns.ts'
import {
  type Import,
  type ImportCounts,
  isUnderWay,
  mostFaultsTold,
  nothingCounted,
  type RowFault,
} from '../../shared-domain/import/import.ts'
import { subjectField } from '../../shared-domain/import/subjects.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { WallClock } from '../ground/clock.ts'
import { log } from '../ground/log.ts'
import { senderOf } from '../questions/imports.ts'
import { todayAt } from '../questions/today.ts'
import { importOf, keepImport, rememberedMapping, type StoredImport } from '../store/imports.ts'
import { keysOf, organisationTable } from '../store/keys.ts'
import { openOrganisation } from '../store/organisation.ts'
import type { Key, Table } from '../store/table.ts'
import { tellOfUnsafe } from '../telling/imports.ts'
import { openFile, type SaidOfFile } from './files/read.ts'
import { Unreadable } from './files/unreadable.ts'
import { groupReader, groupsOf, pageFrom, type ReadGroup, type RowGroup, rowKeeper } from './groups.ts'
import { type JudgedRows, type Judging, judgedRows } from './judging.ts'
import { restBegins, restLines } from './rest.ts'
import { supposing } from './supposing.ts'
import { importWordingFor } from './wording.ts'
import { watched } from './written.ts'

export interface ImportParts {
  readonly table: Table
  readonly clock: WallClock
  readonly bucket: {
    readonly get: (key: string) => Promise<Uint8Array>
    readonly put: (key: string, bytes: Uint8Array) => Promise<unknown>
  }
  readonly feedsUrl: string
}

export interface NamedImport {
  readonly organisation: string
  readonly id: string
}

/** The rows that are handed back, in parts and as one file. @lintignore tests look there too */
export const restKey = ({ organisation, id }: NamedImport) => `rest/${organisation}/${id}`
/** The file as it came. @lintignore tests put it there */
export const fileKey = ({ organisation, id }: NamedImport) => `files/${organisation}/${id}`

/** Goes on with an import for as long as there is time; hands it on where there is none left. */
export async function goOn(parts: ImportParts, named: NamedImport, hasTime: () => boolean): Promise<void> {
  const place = organisationTable(parts.table, named.organisation)
  const found = await importOf(place, named.id)
  const isDue = found !== undefined && (found.state === 'awaiting file' || isUnderWay(found.state))
  if (!isDue) return
  const running = { parts, named, hasTime, kept: { ...found, state: begun(found) } }
  try {
    await run(running)
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    await keep(running, { state: 'refused', refused: error.says })
  }
}

const begun = ({ state }: Import): Import['state'] => (state === 'awaiting file' ? 'checking' : state)

interface Running {
  readonly parts: ImportParts
  readonly named: NamedImport
  readonly hasTime: () => boolean
  kept: StoredImport
}

/** Somebody else goes on with it: whatever this run would still do is theirs. */
class Overtaken extends Error {}

async function keep(running: Running, change: Partial<Import>, goesOn?: { readonly at: Instant }): Promise<void> {
  const { revision, ...before } = running.kept
  const next = { ...before, ...change }
  const place = organisationTable(running.parts.table, running.named.organisation)
  const kept = await keepImport(place, { import: next, revision, ...(goesOn === undefined ? {} : { goesOn }) })
  if (kept === undefined) throw new Overtaken('somebody else goes on with it')
  running.kept = { ...next, revision: kept }
}

async function run(running: Running): Promise<void> {
  try {
    const read = await readAs(running)
    if (read !== null) await pages(running, read)
  } catch (error) {
    if (!(error instanceof Overtaken)) throw error
    log('info', 'an import is gone on with by another run', { import: running.named.id })
  }
}

interface Read {
  readonly proposed: ProposedReading
  readonly groups: readonly RowGroup[]
  readonly data: readonly NumberedRow[]
}

/** The rows as they are to be taken in; null where a person is asked first. */
async function readAs(running: Running): Promise<Read | null> {
  const { kind, said } = running.kept
  const file = await openFile(await running.parts.bucket.get(fileKey(running.named)), said as SaidOfFile)
  if (file.is !== 'rows') {
    const about = file.is === 'encoding asked' ? 'encoding' : 'sheet'
    const asked = file.is === 'encoding asked' ? { beginnings: file.beginnings } : { sheets: file.sheets }
    await keep(running, { state: 'asked', questions: [{ about, ...asked } as Import['questions'][number]] })
    return null
  }
  const rows: NumberedRow[] = []
  const kept = rowKeeper()
  for await (const row of file.rows()) if (row.cells.some((cell) => cell !== '')) rows.push(kept(row))
  const proposed = proposedReading(rows, kind, { ...said, ...(await remembered(running, rows)) })
  if (proposed === null) throw new Unreadable({ is: 'file: empty' })
  const data = dataRows(rows, proposed)
  const looked = {
    headerRow: proposed.headerRow,
    headings: proposed.headings,
    mapping: proposed.reading.mapping,
    sample: data.slice(0, rowsShown).map(({ cells }) => cells.map((cell) => String(cell).slice(0, lettersShown))),
  }
  if (proposed.questions.length > 0) {
    await keep(running, { state: 'asked', questions: proposed.questions, looked })
    return null
  }
  running.kept = { ...running.kept, looked, questions: [] }
  return { proposed, groups: groupsOf(data, proposed), data }
}

const rowsShown = 5
const lettersShown = 60

/** Answers on files with the same headings before, where nobody says otherwise of this one. */
async function remembered({ parts, named, kept }: Running, rows: readonly NumberedRow[]) {
  if (kept.said.mapping !== undefined) return {}
  const known = await rememberedMapping(organisationTable(parts.table, named.organisation), kept.kind)
  const header = headerOf(rows, kept.kind, kept.said)
  if (known === undefined || header === null) return {}
  const { headings } = header
  const isKnown = headings.every((heading) => heading in known.fields)
  const mapping = headings.map((heading) => known.fields[heading] ?? null)
  const used = mapping.filter((field) => field !== null)
  if (!isKnown || new Set(used).size !== used.length) return {}
  return { mapping, units: { ...known.units, ...kept.said.units } }
}

/** Things that are recorded at one moment. */
const atOnce = 16

async function pages(running: Running, { proposed, groups, data }: Read): Promise<void> {
  const { kept } = running
  const isCheck = kept.state === 'checking'
  if (kept.counts.of === 0) running.kept = { ...kept, counts: { ...nothingCounted, of: data.length } }
  const readGroup = groupReader(proposed)
  let at = running.kept.page
  while (at < groups.length) {
    if (!running.hasTime()) {
      await keep(running, {}, { at: running.parts.clock() })
      return
    }
    const part = pageFrom(groups, at)
    const page = part.map(readGroup)
    const outcome = await pageJudged(running, { proposed, page, isCheck })
    if (outcome === 'sender left') return keep(running, { state: 'refused', refused: { is: 'file: sender left' } })
    at += part.length
    await afterPage(running, { proposed, page, outcome, at, isCheck, data })
  }
  await atEnd(running, { isCheck, groups })
}

interface Page {
  readonly proposed: ProposedReading
  readonly page: readonly ReadGroup[]
  readonly isCheck: boolean
}

interface PageOutcome {
  readonly judgedRows: readonly JudgedRows[]
  readonly told: number
  readonly unsafe: number
}

async function pageJudged(
  { parts, named, kept }: Running,
  { proposed, page, isCheck }: Page,
): Promise<PageOutcome | 'sender left'> {
  const supposed = isCheck ? supposing(parts.table) : undefined
  const { table, watch } = watched(supposed ?? parts.table)
  const organisation = openOrganisation(table, named.organisation)
  const now = parts.clock()
  const { today } = await todayAt({ organisation, now }, null)
  const caller = await senderOf(organisation, kept.by, today)
  if (caller === undefined) return 'sender left'
  const by = { organisation, caller, now, arrivedAt: now, feedsUrl: parts.feedsUrl, importing: named.id }
  const keys = keysOfPage(named.organisation, kept.kind, page)
  if (supposed === undefined) organisation.table.ahead(keys)
  else await supposed.readFirst(keys)
  const judging: Judging = { by, reading: proposed.reading, today, watch }
  // entries of people have the owners between them, and are put one after the other
  const together = isCheck || !isAboutSticks(kept.kind) ? 1 : atOnce
  const all: JudgedRows[] = []
  const { notices, untold } = await watch.during(async () => {
    for (let at = 0; at < page.length; at += together)
      all.push(...(await Promise.all(page.slice(at, at + together).map((group) => groupJudged(judging, group)))))
  })
  return { judgedRows: all, told: notices, unsafe: untold }
}

const isAboutSticks = (kind: ImportKind) => subjectField[kind] === 'stickId'

function keysOfPage(organisation: string, kind: ImportKind, page: readonly ReadGroup[]): Key[] {
  if (!isAboutSticks(kind)) return []
  return page
    .filter(({ rows, subject }) => rows.length > 0 && subject !== '')
    .map(({ subject }) => keysOf(organisation).state(subject))
}

async function groupJudged(judging: Judging, group: ReadGroup): Promise<JudgedRows> {
  const outcome = await judgedRows(judging, group.rows)
  return { ...outcome, faults: [...group.faults, ...outcome.faults] }
}

interface Past extends Page {
  readonly outcome: PageOutcome
  /** the number of things that are done with by now */
  readonly at: number
  readonly data: readonly NumberedRow[]
}

async function afterPage(running: Running, { proposed, page, outcome, at, isCheck, data }: Past): Promise<void> {
  const { kept, named, parts } = running
  const { mapping } = proposed.reading
  const found = outcome.judgedRows.flatMap((one) => one.faults)
  const faults = found.map((fault) => ({ ...fault, column: columnOf(fault, mapping) }))
  const wrong = new Set(faults.map(({ row }) => row)).size
  const isHandedBack = !isCheck && wrong > 0
  if (isHandedBack) {
    const lines = restLines({ rows: data, faults, columns: proposed.headings.length }, await wordingOf(running))
    await parts.bucket.put(`${restKey(named)}/${at}`, Buffer.from(lines))
  }
  await keep(running, {
    page: at,
    counts: counted(kept.counts, { page, outcome, wrong }),
    faults: [...kept.faults, ...faults].slice(0, mostFaultsTold),
    rest: isHandedBack ? [...kept.rest, at] : kept.rest,
  })
}

async function wordingOf({ parts, named, kept }: Running) {
  const organisation = openOrganisation(parts.table, named.organisation)
  const entry = await organisation.registers.inForce('person', kept.by, localDateAt(parts.clock(), 'UTC'))
  return importWordingFor({ language: entry?.body.language, units: entry?.body.units })
}

const columnOf = ({ column, field }: RowFault, mapping: Mapping) => {
  const place = column ?? (field === null ? -1 : mapping.indexOf(field))
  return place < 0 ? null : place
}

function counted(
  counts: ImportCounts,
  {
    page,
    outcome,
    wrong,
  }: { readonly page: readonly ReadGroup[]; readonly outcome: PageOutcome; readonly wrong: number },
): ImportCounts {
  const sum = (of: (one: JudgedRows) => number) => outcome.judgedRows.reduce((total, one) => total + of(one), 0)
  const standing: Partial<Record<Status, number>> = { ...counts.standing }
  for (const { status } of outcome.judgedRows) if (status !== null) standing[status] = (standing[status] ?? 0) + 1
  const unread = page.reduce((total, { faults }) => total + new Set(faults.map(({ row }) => row)).size, 0)
  return {
    ...counts,
    done: counts.done + page.reduce((total, { rows }) => total + rows.length, 0) + unread,
    added: counts.added + sum((one) => one.added),
    changed: counts.changed + sum((one) => one.changed),
    known: counts.known + sum((one) => one.known),
    waiting: counts.waiting + sum((one) => one.waiting),
    faulty: counts.faulty + wrong,
    told: counts.told + outcome.told,
    // a build before kept none
    unsafe: (counts.unsafe ?? 0) + outcome.unsafe,
    standing,
  }
}

async function atEnd(
  running: Running,
  { isCheck, groups }: Pick<Page, 'isCheck'> & Pick<Read, 'groups'>,
): Promise<void> {
  const { kept, parts } = running
  if (!isCheck) {
    if (kept.rest.length > 0) await handBack(running)
    const told = await tellOfImport(running, groups)
    if (told === 'no time') return keep(running, {}, { at: parts.clock() })
    const counts = { ...kept.counts, told: kept.counts.told + told }
    return keep(running, { state: 'applied', page: 0, counts })
  }
  const mayApply = kept.mode === 'apply' && (kept.counts.faulty === 0 || kept.goodOnly)
  if (!mayApply) return keep(running, { state: 'checked', page: 0 })
  const again = { state: 'applying', page: 0, counts: nothingCounted, faults: [] } as const
  await keep(running, again, { at: parts.clock() })
}

/** A reader gets one notice of all sticks that must not be used any more because of the file. */
async function tellOfImport({ parts, named, kept, hasTime }: Running, groups: readonly RowGroup[]) {
  if (!isAboutSticks(kept.kind)) return 0
  const organisation = openOrganisation(parts.table, named.organisation)
  const stickIds = [...new Set(groups.map(({ subject }) => subject))]
  return tellOfUnsafe({ organisation, now: parts.clock(), import: named.id }, stickIds, hasTime)
}

/** The parts that pages left, as one file. */
async function handBack(running: Running): Promise<void> {
  const { kept, named, parts } = running
  const begins = Buffer.from(restBegins(kept.looked?.headings ?? [], await wordingOf(running)))
  const lines: Uint8Array[] = []
  for (const at of kept.rest) lines.push(await parts.bucket.get(`${restKey(named)}/${at}`))
  await parts.bucket.put(`${restKey(named)}.csv`, Buffer.concat([begins, ...lines]))
}
