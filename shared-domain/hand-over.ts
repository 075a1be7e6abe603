/**
 * Sticks that change hands among the crews of one depot. It is the one move that a foreman records; the bench records
 * all others.
 */
import { sameMailbox } from './mailbox.ts'
import type { Crew, Person } from './registers.ts'

/**
 * The crew names its foremen by their addresses, as it does for mail.
 * @lintignore whom a crew names is tried by itself
 */
export function isForeman({ email }: Pick<Person, 'email'>, { recipients }: Pick<Crew, 'recipients'>): boolean {
  return recipients.some(
    ({ role, email: one }) => role === 'foreman' && one !== undefined && sameMailbox(one) === sameMailbox(email),
  )
}

interface Named {
  readonly id: string
  readonly body: Pick<Crew, 'depotId' | 'recipients'>
}

/** Answers the other crews of the depot of a crew. */
export function crewsBeside<C extends Named>(crewId: string, crews: readonly C[]): readonly C[] {
  const own = crews.find(({ id }) => id === crewId)
  return own === undefined ? [] : crews.filter(({ id, body }) => id !== own.id && body.depotId === own.body.depotId)
}

/** Answers the crews to which the person may hand over what is with their own; none where they are no foreman of it. */
export function crewsToHandTo<C extends Named>(
  person: Pick<Person, 'email' | 'crewId'>,
  crews: readonly C[],
): readonly C[] {
  const own = crews.find(({ id }) => id === person.crewId)
  return own !== undefined && isForeman(person, own.body) ? crewsBeside(own.id, crews) : []
}
