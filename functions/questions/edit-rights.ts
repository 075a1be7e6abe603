/** The right to put an edition of an entry goes by whose the entry is, will be, and would be. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import type { Refusing } from '../../shared-domain/fault.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { may, mayAtAll } from '../../shared-domain/rights.ts'
import { notAllowed } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Asker } from './asker.ts'
import { toEnter } from './registers.ts'

/** An edition as it is to be put. */
export interface Editing<Body = unknown> extends Asker {
  readonly id: string
  readonly body: Body
}

const ofNoDepot = 'not allowed: entry of no depot'
const refusals = {
  depot: 'not allowed: entry of a depot',
  crew: 'not allowed: entry of a crew',
  person: 'not allowed: entry of a person',
  instrument: ofNoDepot,
  procedure: ofNoDepot,
  demonstration: ofNoDepot,
  policy: ofNoDepot,
  organisation: ofNoDepot,
} as const satisfies { readonly [kind in RegisterKind]: Refusing<'not allowed'>['is'] }

/** Refuses whatever was sent: `body` need not have been checked. */
export async function checkMayEdit(kind: RegisterKind, editing: Editing): Promise<void> {
  const { caller } = editing
  const depots = await depotsOf(kind, editing)
  if (!depots.every((depotId) => may(caller, toEnter[kind], { crewId: null, depotId }))) {
    throw notAllowed({ is: refusals[kind] })
  }
  if (kind === 'person') await checkRank(editing)
}

/** Depots that the entry belongs to, will belong to, or would; `*` stands for those that nobody can tell yet. */
async function depotsOf(kind: RegisterKind, { organisation, id, body, now }: Editing): Promise<(string | null)[]> {
  const { registers } = organisation
  switch (kind) {
    case 'depot':
      return [(await registers.has('depot', id)) ? id : '*']
    case 'crew': {
      const known = await organisation.crewNow(id, now)
      const editions = known === undefined ? [] : await registers.inForceFrom('crew', id, known.effectiveFrom)
      return [...editions.map((one) => one.body.depotId), ...named(fieldsOf(body).depotId)]
    }
    case 'person': {
      const editions = await registers.inForceFrom('person', id, dayOf(now))
      return (await Promise.all([...editions.map((one) => one.body), body].map((one) => depotsNamed(one)))).flat()
    }
    case 'instrument':
    case 'procedure':
    case 'demonstration':
    case 'policy':
    case 'organisation':
      return [null]
  }

  async function depotsNamed(entry: unknown): Promise<string[]> {
    const { depots, crewId } = fieldsOf(entry)
    const crews = named(crewId).map(async (crew) => (await organisation.crewNow(crew, now))?.body.depotId ?? '*')
    return [...(Array.isArray(depots) ? depots.flatMap(named) : []), ...(await Promise.all(crews))]
  }
}

function named(value: unknown): string[] {
  return value === '*' || registerId.safeParse(value).success ? [String(value)] : []
}

/** The register's own day. */
export const dayOf = (now: Asker['now']) => localDateAt(now, 'UTC')

/** Only an owner makes an owner or changes one, of today or of a day to come. */
async function checkRank({ organisation, caller, id, now, body }: Editing): Promise<void> {
  if (mayAtAll(caller.role, 'enter an owner')) return
  const present = await organisation.registers.inForceFrom('person', id, dayOf(now))
  const isOwner = present.some((one) => one.body.role === 'owner')
  if (isOwner || fieldsOf(body).role === 'owner') throw notAllowed({ is: 'not allowed: entry of an owner' })
}
