/**
 * The first people of the local stack: an owner for each organisation, by the code of `npm run first-owner`, and the
 * sign-ins of all, as if each had signed in on a page once.
 */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { enterFirstOwner, type FirstOwner } from '../functions/first-owner/first-owner.ts'
import { organisationTable } from '../functions/store/keys.ts'
import { bindingWrites, hashOf, type ProviderSubject, setFree, signInOf, whoIs } from '../functions/store/sign-ins.ts'
import { openTable, type Table } from '../functions/store/table.ts'
import type { Instant } from '../shared-domain/calendar.ts'

export interface SigningIn extends ProviderSubject {
  readonly organisation: string
  readonly personId: string
}

export interface FirstPeople {
  readonly owners: readonly FirstOwner[]
  readonly people: readonly SigningIn[]
  /** ISO 8601, in UTC */
  readonly now: string
}

export async function enterFirstPeople(
  { name, endpoint }: { readonly name: string; readonly endpoint: string },
  { owners, people, now }: FirstPeople,
): Promise<void> {
  const local = { region: 'local', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
  const client = DynamoDBDocumentClient.from(new DynamoDBClient({ endpoint, ...local }), {
    marshallOptions: { removeUndefinedValues: true },
  })
  const table = openTable(client, name)
  try {
    // owners who are there from an earlier start are left as they are
    for (const owner of owners) await enterFirstOwner(table, owner, now as Instant)
    for (const one of people) await signsIn(table, one, now as Instant)
  } finally {
    client.destroy()
  }
}

/** A provider at another address than at the start before says the same people by other subjects. */
async function signsIn(table: Table, { organisation, personId, ...subject }: SigningIn, now: Instant): Promise<void> {
  const place = organisationTable(table, organisation)
  const bound = { organisation, personId, subject: hashOf(subject) }
  const kept = await signInOf(place, personId)
  if (kept?.subject === bound.subject) return
  if (kept?.subject !== undefined) await setFree(place, personId)
  const pointer = await whoIs(table, subject)
  const { done } = await table.transact(bindingWrites(table, bound, { now, pointer }))
  if (!done) throw new Error(`${personId} of ${organisation} is bound to another sign-in`)
}
