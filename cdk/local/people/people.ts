/**
 * The people of the first start. Owners are entered as `npm run first-owner` does; all others come onto the registers
 * through the API, as everything else does.
 */
import { enterFirstPeople } from '../../../seed/first-people.ts'
import type { Properties } from '../template/template.ts'

export interface DemoPerson {
  readonly id: string
  readonly organisation: string
  readonly role: 'crew' | 'bench' | 'manager' | 'owner'
}

const person = (organisation: string, id: string, role: DemoPerson['role']): DemoPerson => ({ id, organisation, role })

export const people: readonly DemoPerson[] = [
  person('demo-utility', 'owner', 'owner'),
  person('demo-utility', 'manager', 'manager'),
  person('demo-utility', 'manager-2', 'manager'),
  person('demo-utility', 'bench', 'bench'),
  person('demo-utility', 'bench-2', 'bench'),
  person('demo-utility', 'crew', 'crew'),
  person('other-utility', 'owner', 'owner'),
  person('other-utility', 'manager', 'manager'),
]

/** The name of a person's token in the ready file. The other organisation's owner has none there. */
export function tokenName({ organisation, id, role }: DemoPerson): string | undefined {
  if (organisation === 'demo-utility') return id
  return role === 'owner' ? undefined : `other-organisation-${id}`
}

/** The value of a person's button on the sign-in page. */
export const buttonOf = (person: DemoPerson) => tokenName(person) ?? `other-organisation-${person.id}`

export const emailOf = ({ id, organisation }: DemoPerson) => `${id}@${organisation}.example`

const packs = ['us-29-cfr-1910-269-j']
const effectiveFrom = '1994-11-01'

const called: Readonly<Record<string, string>> = { 'demo-utility': 'Demo utility', 'other-utility': 'Other utility' }

export interface Furnishing {
  readonly api: string
  readonly table: { readonly name: string; readonly endpoint: string }
  readonly tokenOf: (person: DemoPerson) => string
  /** as whom the provider knows the person */
  readonly subjectOf: (person: DemoPerson) => { readonly issuer: string; readonly sub: string }
  readonly now: number
}

/** Each organisation is furnished once: one that has a policy was furnished before. */
export async function furnish({ api, table, tokenOf, subjectOf, now }: Furnishing): Promise<void> {
  const owners = people.filter(({ role }) => role === 'owner')
  await enterFirstPeople(table, {
    owners: owners.map((one) => ({ organisation: one.organisation, name: nameOf(one), email: emailOf(one) })),
    people: people.map((one) => ({ ...subjectOf(one), organisation: one.organisation, personId: one.id })),
    now: new Date(now).toISOString(),
  })
  for (const owner of owners) {
    const call = caller(api, tokenOf(owner))
    const { items } = await call('GET', '/v1/policies')
    if (items.length > 0) continue
    // the law is pinned before anybody enters a policy
    const { organisation } = owner
    await call('PUT', `/v1/organisations/${organisation}`, { name: called[organisation], packs, effectiveFrom })
    for (const one of people.filter((person) => person.organisation === organisation && person.role !== 'owner')) {
      await call('PUT', `/v1/people/${one.id}`, entryOf(one))
    }
    await call('PUT', '/v1/policies/employer', { packs, effectiveFrom })
  }
}

const names: Readonly<Record<string, string>> = {
  owner: 'Olive Tran',
  manager: 'Marek Ahlgren',
  'manager-2': 'Mina Castillo',
  bench: 'Ines Roth',
  'bench-2': 'Bela Novak',
  crew: 'Carl Weber',
}

const nameOf = ({ id }: DemoPerson) => names[id] ?? id

function entryOf(person: DemoPerson): object {
  const { role } = person
  return {
    name: nameOf(person),
    email: emailOf(person),
    role,
    depots: role === 'crew' ? [] : ['*'],
    ...(role === 'crew' ? { crewId: 'CR-1' } : {}),
  }
}

function caller(api: string, token: string) {
  return async (method: string, path: string, body?: object): Promise<Properties> => {
    const answer = await fetch(api + path, {
      method,
      headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    })
    const text = await answer.text()
    if (!answer.ok)
      throw new Error(`The first start could not ${method} ${path}: ${answer.status} ${text.slice(0, 500)}`)
    return text === '' ? {} : JSON.parse(text)
  }
}
