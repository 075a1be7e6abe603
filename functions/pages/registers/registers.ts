/** The registers as pages know them: where each is, what is listed of an entry, its fields, and who may enter one. */
import type { CalendarDate, Instant } from '../../../shared-domain/calendar.ts'
import { type Action, may, mayAtAll, type RightsHolder } from '../../../shared-domain/rights.ts'
import { correctionsBySlip } from '../../../shared-domain/state/known-now.ts'
import { registrationOn } from '../../../shared-domain/state/state.ts'
import { inOrder } from '../../../shared-domain/state/when.ts'
import { notFound } from '../../ground/errors.ts'
import type { Asker } from '../../questions/asker.ts'
import { directoryFor } from '../../questions/directory.ts'
import {
  type EditionStanding,
  editionsFor,
  entriesFor,
  onlyEntryOf,
  toEnter,
  toRead,
} from '../../questions/registers.ts'
import { seenStick } from '../../questions/sticks.ts'
import { todayAt } from '../../questions/today.ts'
import type { Field, FormPart } from '../acts/form.ts'
import type { PageWording } from '../wording.ts'
import { demonstrationFields, instrumentFields, procedureFields, stickFields, voltageTyped } from './bench.ts'
import type { Draw, Drawing } from './drawing.ts'
import { crewFields, depotFields, organisationFields, personFields } from './places-and-people.ts'
import { intervalTyped, policyFields } from './policy.ts'

export type EntryKind = keyof typeof toRead | 'stick'

/** What of a typed body the form asks for in another way than the body has it. */
type Typed = Readonly<Record<string, unknown>>

export interface Register {
  readonly path: RegisterPath
  readonly kind: EntryKind
  readonly draw: Draw<never>
  /** fields that stand in the list */
  readonly listed: readonly Field['name'][]
  readonly asBody?: (typed: Typed) => Typed
}

export const allRegisters = [
  { path: 'depots', kind: 'depot', draw: depotFields, listed: ['/name', '/timeZone', '/sweepHour'] },
  { path: 'crews', kind: 'crew', draw: crewFields, listed: ['/name', '/depotId'] },
  { path: 'people', kind: 'person', draw: personFields, listed: ['/name', '/role', '/depots', '/crewId', '/until'] },
  {
    path: 'instruments',
    kind: 'instrument',
    draw: instrumentFields,
    listed: ['/spanMetres', '/calibratedOn', '/calibrationDueOn'],
  },
  {
    path: 'procedures',
    kind: 'procedure',
    draw: procedureFields,
    listed: ['/title', '/approvedBy'],
    asBody: (typed) => each(typed, 'withstand', (row) => ({ ...row, voltage: voltageTyped(row.voltage) })),
  },
  {
    path: 'policies',
    kind: 'policy',
    draw: policyFields,
    listed: ['/packs'],
    asBody: (typed) => ['shorten', 'add'].reduce((all, list) => each(all, list, intervalOf), typed),
  },
  {
    path: 'sticks',
    kind: 'stick',
    draw: stickFields,
    listed: ['/construction', '/workingLengthMetres', '/crewId', '/lot'],
  },
  { path: 'demonstrations', kind: 'demonstration', draw: demonstrationFields, listed: ['/kind', '/by', '/until'] },
  { path: 'organisations', kind: 'organisation', draw: organisationFields, listed: ['/name', '/packs'] },
] as const satisfies readonly (Omit<Register, 'path'> & { readonly path: string })[]

export type RegisterPath =
  | 'depots'
  | 'crews'
  | 'people'
  | 'instruments'
  | 'procedures'
  | 'policies'
  | 'sticks'
  | 'demonstrations'
  | 'organisations'

const intervalOf = (row: Typed): Typed => ({ ...row, interval: intervalTyped(row.interval) })

function each(typed: Typed, list: string, change: (row: Typed) => Typed): Typed {
  const rows = typed[list]
  return Array.isArray(rows) ? { ...typed, [list]: rows.map((row) => change(row as Typed)) } : typed
}

export function registerAt(path: string): Register {
  const found: Register | undefined = allRegisters.find((one) => one.path === path)
  if (found === undefined) throw notFound({ is: 'none: register', register: path })
  return found
}

/** An address of an entry, and of what is done to it. */
export const entryPath = ({ path }: Pick<Register, 'path'>, id: string) =>
  `/registers/${path}/${encodeURIComponent(id)}`

export const readingOf = ({ kind }: Register): Action => (kind === 'stick' ? 'read a stick' : toRead[kind])
const enteringOf = ({ kind }: Register): Action => (kind === 'stick' ? 'enter a stick' : toEnter[kind])

export const mayRead = ({ role }: RightsHolder, register: Register) => mayAtAll(role, readingOf(register))

export const onlyEntry = (asker: Asker, { kind }: Register) => onlyEntryOf(asker, kind)

/** A depot that nobody entered yet is every depot's; whose the others will be is not known before they are typed. */
export function mayEnter(caller: RightsHolder, register: Register): boolean {
  const action = enteringOf(register)
  if (['crew', 'person', 'stick'].includes(register.kind)) return mayAtAll(caller.role, action)
  return may(caller, action, { crewId: null, depotId: register.kind === 'depot' ? '*' : null })
}

/** The request decides: this is what a page offers. */
export function mayChange(caller: RightsHolder, register: Register, { id, body, depotId }: Present): boolean {
  const action = enteringOf(register)
  const { depots = [], role } = body as { readonly depots?: readonly string[]; readonly role?: string }
  if (register.kind === 'person' && role === 'owner' && !mayAtAll(caller.role, 'enter an owner')) return false
  const whose = { depot: [id], crew: [depotId], stick: [depotId], person: depots } as const
  const all: readonly (string | null)[] = register.kind in whose ? whose[register.kind as keyof typeof whose] : [null]
  return mayAtAll(caller.role, action) && all.every((depot) => may(caller, action, { crewId: null, depotId: depot }))
}

/** An entry as it is today. */
export interface Present {
  readonly id: string
  readonly body: unknown
  /** the depot that it belongs to, where it belongs to one */
  readonly depotId: string | null
}

export interface EditionShown {
  readonly edition: string
  readonly effectiveFrom: CalendarDate
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly approvedBy?: string | undefined
  readonly isForSlip: boolean
  readonly standing: EditionStanding
  readonly body: unknown
}

export interface Entry extends Present {
  readonly register: Register
  readonly present: EditionShown
  /** in the order in which they take effect */
  readonly editions: readonly EditionShown[]
  /** today, by the clock that the entry goes by */
  readonly today: CalendarDate
}

/** An entry with its history. */
export async function entryWithHistory(asker: Asker, register: Register, id: string): Promise<Entry> {
  const { kind } = register
  if (kind === 'stick') return stickEntry(asker, register, id)
  const { present, editions } = await editionsFor(asker, { kind, id })
  const depotId = kind === 'depot' ? id : ((present.body as { readonly depotId?: string }).depotId ?? null)
  const { today } = await todayAt(asker, depotId)
  const told = editions.map((one): EditionShown => ({ ...one, isForSlip: one.correction !== undefined }))
  return {
    register,
    id,
    body: present.body,
    depotId,
    present: { ...present, isForSlip: present.correction !== undefined },
    editions: told,
    today,
  }
}

/** The editions of a stick's entry are facts of its history. */
async function stickEntry(asker: Asker, register: Register, id: string): Promise<Entry> {
  const { state, depotId } = await seenStick(asker, id)
  const facts = await asker.organisation.sticks.facts(id)
  const { today } = await todayAt(asker, depotId)
  const slips = correctionsBySlip(facts)
  const now = registrationOn(state, today)
  const editions = inOrder(facts).flatMap(({ fact }): EditionShown[] => {
    if (fact.kind !== 'registered') return []
    const { seq, factId, occurredOn, recordedAt, recordedBy, approvedBy, stick } = fact
    const standing = slips.has(factId) ? 'taken back' : seq === now?.seq ? 'stands' : 'earlier'
    const edition = String(seq)
    return [
      {
        edition,
        effectiveFrom: occurredOn,
        recordedAt,
        recordedBy,
        approvedBy,
        isForSlip: false,
        standing,
        body: stick,
      },
    ]
  })
  const present = editions.find(({ standing }) => standing === 'stands') ?? editions.at(-1)
  if (present === undefined) throw notFound({ is: 'none: stick', stick: id })
  return { register, id, body: now?.stick ?? present.body, depotId, present, editions, today }
}

/** The fields of an entry, drawn for its reader. */
export const formPartsOf = (register: Register, body: unknown, drawing: Drawing): readonly FormPart[] =>
  (register.draw as Draw<unknown>)(body, drawing) // the register decides the body's type

export async function drawingFor(asker: Asker, wording: PageWording): Promise<Drawing> {
  const mayName = mayAtAll(asker.caller.role, 'read demonstrations')
  const [directory, known] = await Promise.all([
    directoryFor(asker),
    mayName ? entriesFor(asker, { kind: 'demonstration', after: '', limit: mostNamed }) : { entries: [] },
  ])
  return { wording, directory, demonstrations: known.entries.map(({ id }) => id) }
}

const mostNamed = 200
