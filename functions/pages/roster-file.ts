/**
 * The roster as a file for spreadsheets: what is shown, all pages of it. Comma-separated values as RFC 4180 has them.
 * The byte order mark lets spreadsheets read it as UTF-8.
 */
import { type CalendarDate, daysBetween, localDateAt } from '../../shared-domain/calendar.ts'
import { textForSeparated } from '../../shared-domain/import/as-text.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type RosterRow, rosterFor, silentOn } from '../questions/roster.ts'
import type { RosterChoice } from './roster-choice.ts'
import type { PageWording } from './wording.ts'
import { type Names, namesIn, sharedZone, where, whyOf, wrongLabel } from './words.ts'

const mostRows = 10_000
const rowsAtOnce = 500

export async function rosterFile(asker: Asker, { filter }: RosterChoice, wording: PageWording): Promise<Response> {
  const directory = await directoryFor(asker)
  const names = namesIn(directory)
  const lines = [lineOf(headingsIn(wording))]
  let after: string | null = ''
  while (after !== null && lines.length <= mostRows) {
    const limit = Math.min(rowsAtOnce, mostRows + 1 - lines.length)
    const { rows, next } = await rosterFor(asker, { ...filter, after, limit })
    const silent = await silentOn(asker, rows)
    for (const row of rows) {
      const unconfirmed = new Set((silent.get(row.stored.stickId) ?? []).map(({ name }) => name))
      lines.push(lineOf(cellsOf(row, { names, unconfirmed: [...unconfirmed] }, wording)))
    }
    after = next === after ? null : next
  }
  const day = localDateAt(asker.now, sharedZone(directory))
  return new Response(`\uFEFF${lines.join('')}`, { headers: headersOfFile(nameFor(day, after !== null)) })
}

const nameFor = (day: CalendarDate, isCut: boolean) =>
  isCut ? `roster-${day}-first-${mostRows}.csv` : `roster-${day}.csv`

/** The name has letters of ASCII alone. */
export function headersOfFile(name: string): Record<string, string> {
  return {
    'content-type': 'text/csv; charset=utf-8; header=present',
    'content-disposition': `attachment; filename="${name}"`,
    vary: 'accept-language',
    'cache-control': 'no-store',
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'same-origin',
  }
}

export type CellOfFile = string | number | null

const headingsIn = ({ say }: PageWording): CellOfFile[] => [
  say('file stick'),
  say('status'),
  say('file use'),
  say('file due'),
  say('file days'),
  say('where'),
  say('crew'),
  say('file depot'),
  say('file back'),
  say('lot'),
  say('why'),
  say('file note'),
  say('file not confirmed'),
]

interface Beside {
  readonly names: Names
  readonly unconfirmed: readonly string[]
}

function cellsOf(
  { stored, standing, today }: RosterRow,
  { names, unconfirmed }: Beside,
  wording: PageWording,
): CellOfFile[] {
  const { stickId, state, depotId } = stored
  const { status } = standing
  const { say, word } = wording
  const dueOn = isDated(status) ? standing.dueOn : null
  const { custody, crewId } = state
  return [
    stickId,
    word('status', status),
    say(mayBeUsed(status) ? 'file yes' : 'file no'),
    dueOn,
    dueOn === null ? null : daysBetween(today, dueOn),
    where(state, names, wording),
    crewId === null ? null : names.crew(crewId),
    depotId === null ? null : names.depot(depotId),
    custody !== null && 'lentTo' in custody ? custody.returnBy : null,
    state.registrations.at(-1)?.stick.lot ?? null,
    whyOf(standing, wording),
    wrongLabel(standing, wording),
    unconfirmed.join('; '),
  ]
}

/** Each text is in quotes, a number of a stick too; figures and what is empty are bare. */
export function lineOf(cells: readonly CellOfFile[]): string {
  return `${cells.map(cellOf).join(',')}\r\n`
}

function cellOf(cell: CellOfFile): string {
  if (cell === null || cell === '') return ''
  if (typeof cell === 'number') return String(cell)
  return `"${textForSeparated(cell).replaceAll('"', '""')}"`
}
