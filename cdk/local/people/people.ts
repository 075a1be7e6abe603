/** The people of the first start. They come onto the registers through the API, as everything else does. */
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

const packs = ['us-29-cfr-1910-269-j']
const effectiveFrom = '1994-11-01'

const called: Readonly<Record<string, string>> = { 'demo-utility': 'Demo utility', 'other-utility': 'Other utility' }

/** Each organisation is furnished once: one that has a policy was furnished before. */
export async function furnish(api: string, tokenOf: (person: DemoPerson) => string): Promise<void> {
  for (const owner of people.filter(({ role }) => role === 'owner')) {
    const call = caller(api, tokenOf(owner))
    const { items } = await call('GET', '/v1/policies')
    if (items.length > 0) continue
    // the law is pinned before anybody enters a policy
    const { organisation } = owner
    await call('PUT', `/v1/organisations/${organisation}`, { name: called[organisation], packs, effectiveFrom })
    for (const one of people.filter((person) => person.organisation === organisation)) {
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

function entryOf({ id, organisation, role }: DemoPerson): object {
  return {
    name: names[id] ?? id,
    email: `${id}@${organisation}.example`,
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
