/**
 * Entries of the registers that a body names. A name that nobody entered is told as a fault, whatever else is wrong
 * with the body.
 */
import type { Fault } from '../../shared-domain/fault.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { type Fields, fieldsOf } from '../ground/fields.ts'
import type { Organisation } from '../store/organisation.ts'

type Referred = 'depot' | 'crew' | 'person' | 'instrument' | 'procedure' | 'demonstration'
type Named = readonly [pointer: string, kind: Referred, id: unknown]

/** Names in a body, by the kind of entry or the last word of the path of a fact. */
const namedBy = {
  crew: (body: Fields): Named[] => [['/depotId', 'depot', body.depotId]],
  procedure: ({ withstand }: Fields): Named[] =>
    (Array.isArray(withstand) ? withstand : []).map(
      (row, i): Named => [`/withstand/${i}/demonstrationId`, 'demonstration', fieldsOf(row).demonstrationId],
    ),
  stick: (body: Fields): Named[] => [['/crewId', 'crew', body.crewId]],
  'bench-tests': (body: Fields): Named[] => [
    ['/instrumentId', 'instrument', body.instrumentId],
    ['/procedureId', 'procedure', body.procedureId],
    ['/demonstrationId', 'demonstration', body.demonstrationId],
    ['/testedBy/personId', 'person', fieldsOf(body.testedBy).personId],
  ],
  moves: ({ to }: Fields): Named[] => [
    ['/to/crewId', 'crew', fieldsOf(to).crewId],
    ['/to/store', 'depot', fieldsOf(to).store],
    ['/to/bench', 'depot', fieldsOf(to).bench],
  ],
}

export type Referring = keyof typeof namedBy

export const isReferring = (kind: unknown): kind is Referring =>
  typeof kind === 'string' && Object.hasOwn(namedBy, kind)

/** The body need not have been checked: what is no name in it is a fault of its schema and passed over here. */
export async function referenceFaults({ registers }: Organisation, kind: Referring, body: unknown): Promise<Fault[]> {
  const named = namedBy[kind](fieldsOf(body)).filter(([, , id]) => registerId.safeParse(id).success)
  const known = await Promise.all(named.map(([, of, id]) => registers.has(of, String(id))))
  return named.flatMap(([pointer, of, id], i) =>
    !known[i] ? [{ pointer, came: id, expected: { is: `right: ${of} on the register` } }] : [],
  )
}

/** The check of a route whose whole body is of one kind. */
export const referencesOf = (kind: Referring) => (organisation: Organisation, body: unknown) =>
  referenceFaults(organisation, kind, body)
