/** Proves that every recall that was opened binds, as it was opened, and that nothing binds that nobody opened. */
import { isDeepStrictEqual } from 'node:util'
import type { Organisation } from '../store/organisation.ts'
import { allRecalls } from '../store/recalls.ts'
import { recallsBinding } from '../store/recalls-binding.ts'

/** Faults in words; empty when all holds. */
export async function proveRecalls(organisation: Organisation): Promise<readonly string[]> {
  const [opened, { recalls }] = await Promise.all([allRecalls(organisation), recallsBinding(organisation)])
  const known = new Map(opened.map((one) => [one.id, one]))
  const bound = new Map(recalls.map((one) => [one.id, one]))
  return [
    ...opened.flatMap(({ id, cause, at }) =>
      isDeepStrictEqual(bound.get(id), { id, cause, at }) ? [] : [`recall ${id}: it does not bind as it was opened`],
    ),
    ...recalls.flatMap(({ id }) => (known.has(id) ? [] : [`recall ${id}: it binds, and nobody opened it`])),
  ]
}
