/**
 * What a crew has to know of its sticks today: each with the part of the list in which it stands, where to bring it,
 * and who of the crew has not heard of what must not be used.
 */

import { localDateAt } from '../../shared-domain/calendar.ts'
import { type CrewPart, crewPartOf, inCrewOrder } from '../../shared-domain/crew-list.ts'
import { mustBeConfirmed } from '../../shared-domain/notices/confirmations.ts'
import { may } from '../../shared-domain/rights.ts'
import { mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { notFound } from '../ground/errors.ts'
import type { Asker } from './asker.ts'
import { type Directory, directoryFor } from './directory.ts'
import { noticesFor } from './notices.ts'
import { shelvesFor, type Whole } from './shelves.ts'
import { type SilentPerson, silentAbout } from './silent.ts'

export interface CrewLine extends Whole {
  readonly part: CrewPart
}

/** Somebody without e-mail who is still to be told face to face, and the notice that asks for it. */
export interface ToTell {
  readonly number: string
  readonly name: string
  readonly phone: string
}

/** Who has not heard that a stick must not be used. */
export interface NotHeard {
  readonly stickId: string
  readonly silent: readonly SilentPerson[]
  readonly toTell: readonly ToTell[]
}

export interface CrewLines {
  readonly crew: Directory['crews'][number]
  readonly directory: Directory
  readonly lines: readonly CrewLine[]
}

export interface CrewSheet extends CrewLines {
  readonly notHeard: readonly NotHeard[]
  /** whether the reader may keep the crew's calendar feeds */
  readonly keepsFeeds: boolean
}

/** The most sticks of which it is asked who has not heard: the worst come first. */
const mostAsked = 30

export async function crewFor(asker: Asker, crewId: string): Promise<CrewSheet> {
  const { crew, directory, lines } = await crewLinesFor(asker, crewId)
  const stopped = lines.filter(({ standing }) => mustNotBeUsed(standing.status)).slice(0, mostAsked)
  const asked = await Promise.all(stopped.map(({ stored }) => notHeardOf(asker, stored)))
  return {
    crew,
    directory,
    lines,
    notHeard: asked.filter(({ silent, toTell }) => silent.length + toTell.length > 0),
    keepsFeeds: may(asker.caller, 'keep feeds', { crewId, depotId: crew.depotId }),
  }
}

/** The sticks alone, the worst first. */
export async function crewLinesFor(asker: Asker, crewId: string): Promise<CrewLines> {
  const [shelves, directory] = await Promise.all([shelvesFor(asker, { crewId }), directoryFor(asker)])
  const crew = directory.crews.find(({ id }) => id === crewId)
  if (crew === undefined) throw notFound({ is: 'none: entry', entry: 'crew', id: crewId })
  const all = (await Promise.all(shelves.map((shelf) => shelf.whole()))).flat()
  const lines = all
    .flatMap((one) => {
      const part = crewPartOf(one.standing, one.stored.state)
      return part === null ? [] : [{ ...one, part }]
    })
    .sort((a, b) => inCrewOrder(placed(a), placed(b)))
  return { crew, directory, lines }
}

const placed = ({ stored: { stickId, state, held }, standing, part }: CrewLine) => ({
  ...{ stickId, state, standing, part },
  heldAt: held?.at,
})

async function notHeardOf(asker: Asker, stored: Whole['stored']): Promise<NotHeard> {
  const { stickId } = stored
  const [silent, toTell] = await Promise.all([silentAbout(asker.organisation, stored), toTellOf(asker, stickId)])
  return { stickId, silent, toTell }
}

/** A stick has few notices between two returns, and each asks for few to be told. */
const mostNotices = 50

/** Each once, by the newest notice that asks for it: whoever was told by one of them has heard of the stick. */
async function toTellOf(asker: Asker, stick: string): Promise<readonly ToTell[]> {
  const { entries } = await noticesFor(asker, { stick, after: '', limit: mostNotices })
  const wasFit = entries.findIndex(({ notice }) => notice.kind === 'return')
  const since = (wasFit < 0 ? entries : entries.slice(0, wasFit)).filter(({ notice }) => mustBeConfirmed(notice.kind))
  const errands = since.flatMap(({ notice: { number, to }, inPerson }) =>
    to.tellInPerson.map(({ name, phone }, place) => ({ number, name, phone, isTold: inPerson[place] != null })),
  )
  const isSame = (a: ToTell, b: ToTell) => a.name === b.name && a.phone === b.phone
  return errands
    .filter((one, i) => errands.findIndex((other) => isSame(one, other)) === i)
    .filter((one) => !errands.some((other) => other.isTold && isSame(one, other)))
    .map(({ number, name, phone }) => ({ number, name, phone }))
}

/** Crews of whose sticks the caller may read. */
export async function crewsToRead(asker: Asker): Promise<Directory['crews']> {
  const { crews } = await directoryFor(asker)
  return crews.filter(({ id, depotId }) => may(asker.caller, 'read the roster', { crewId: id, depotId }))
}

/** The caller's own name, as the register has it. */
export async function nameOf({ organisation, caller, now }: Asker): Promise<string> {
  const entry = await organisation.registers.inForce('person', caller.personId, localDateAt(now, 'UTC'))
  return entry?.body.name ?? caller.personId
}
