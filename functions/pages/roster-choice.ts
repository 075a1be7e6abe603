/** What is chosen on the roster: as an address, and as words with an address without each of them. */
import type { Directory } from '../questions/directory.ts'
import type { Edge, RosterFilter } from '../questions/roster.ts'
import type { FirstWording } from './first-wording.ts'
import { namesIn } from './words.ts'

export interface RosterChoice {
  readonly filter: RosterFilter
  /** the row of another page after which this one begins, or before which it ends */
  readonly edge: Edge
  /** sticks of one crew stand together */
  readonly byCrew: boolean
  /** the boxes of all rows are ticked */
  readonly isAllTicked: boolean
  /** the number of the first row as a link of ours counted it; 0 where nobody did */
  readonly from: number
}

export type Chosen = Pick<RosterChoice, 'filter' | 'byCrew'>

const names = {
  status: 'status',
  depotId: 'depot',
  crewId: 'crew',
  store: 'store',
  lot: 'lot',
  part: 'q',
} as const satisfies Partial<Record<keyof RosterFilter, string>>

export function addressOf({ filter, byCrew }: Chosen, more: Readonly<Record<string, string>> = {}, path = '/roster') {
  const query = new URLSearchParams()
  for (const [field, name] of Object.entries(names)) {
    const value = filter[field as keyof typeof names]
    if (value !== undefined) query.set(name, value)
  }
  if (filter.due !== undefined) {
    query.set('dueFrom', filter.due.from)
    query.set('dueTo', filter.due.to)
  }
  if (filter.lent) query.set('lent', 'true')
  if (filter.atBench) query.set('bench', 'true')
  if (byCrew) query.set('group', 'crew')
  for (const [name, value] of Object.entries(more)) query.set(name, value)
  return query.size === 0 ? path : `${path}?${query}`
}

/** The very page of the list, as what is done to its sticks leads back to it. */
export function addressHere(choice: RosterChoice, more: Readonly<Record<string, string>> = {}, path = '/roster') {
  const { edge, from } = choice
  const [place] = Object.entries(edge).filter(([, key]) => key !== '')
  const where = place === undefined ? {} : { [place[0]]: place[1], ...(from === 0 ? {} : { from: `${from}` }) }
  return addressOf(choice, { ...where, ...more }, path)
}

export interface Chip {
  readonly text: string
  /** the list without it */
  readonly without: string
}

/** Everything that the list is narrowed by, in words. */
export function chipsOf({ filter, byCrew }: Chosen, directory: Directory, { say, word }: FirstWording): Chip[] {
  const called = namesIn(directory)
  const { status, depotId, crewId, store, lot, part, lent, atBench, due } = filter
  const chips: readonly (readonly [text: string | undefined, taken: Partial<RosterFilter>])[] = [
    [part && say('chosen number', { part }), { part: undefined }],
    [status && word('status', status), { status: undefined }],
    [depotId && called.depot(depotId), { depotId: undefined }],
    [crewId && called.crew(crewId), { crewId: undefined }],
    [store && say('chosen store', { depot: called.depot(store) }), { store: undefined }],
    [lot && say('chosen lot', { lot }), { lot: undefined }],
    [due && say('due between', { from: due.from, to: due.to }), { due: undefined }],
    [lent ? say('loans only') : undefined, { lent: false }],
    [atBench ? say('bench only') : undefined, { atBench: false }],
  ]
  const of = chips.flatMap(([text, taken]) =>
    text === undefined ? [] : [{ text, without: addressOf({ filter: { ...filter, ...taken }, byCrew }) }],
  )
  return byCrew ? [...of, { text: say('grouped by crew'), without: addressOf({ filter, byCrew: false }) }] : of
}
