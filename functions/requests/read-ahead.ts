/**
 * Keys of the items that a request will need, as far as its path and body tell. They are read in one call with its
 * caller.
 */
import { registerId } from '../../shared-domain/identifiers.ts'
import type { Keys } from '../store/keys.ts'
import type { Key } from '../store/table.ts'

interface Foretelling {
  readonly path: string
  readonly id: string
  readonly body: unknown
}

/** The keys; the body has not been checked yet, and whatever is no name in it is passed over. */
export function keysForetold(keys: Keys, { path, id, body }: Foretelling): Key[] {
  const fields = isObject(body) ? body : {}
  const to = isObject(fields.to) ? fields.to : {}
  return [
    ...(path.startsWith('/v1/sticks/:id') ? named(id, keys.state) : []),
    ...named(fields.instrumentId, (instrument) => keys.registerHead('instrument', instrument)),
    ...named(fields.procedureId, (procedure) => keys.registerHead('procedure', procedure)),
    ...named(fields.crewId ?? to.crewId, (crew) => keys.registerHead('crew', crew)),
    ...named(fields.depotId ?? to.store ?? to.bench, (depot) => keys.registerHead('depot', depot)),
  ]
}

function named(value: unknown, key: (name: string) => Key): Key[] {
  const name = registerId.safeParse(value)
  return name.success ? [key(name.data)] : []
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null
}
