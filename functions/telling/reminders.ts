/**
 * A reminder that somebody asked for. Pointers beside the sticks are written first: they lead to nothing until the
 * notices are there. One transaction then writes the reminder, its id and its notices. Of two who ask at one moment the
 * second sees the first.
 */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { revisionOf } from '../../shared-domain/notices/calendar-entry.ts'
import { lateLoan } from '../../shared-domain/notices/digest.ts'
import { earlierThanShown } from '../../shared-domain/notices/ladder.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import {
  type ChosenStick,
  owedForReminder,
  type ReminderOwed,
  remindedForSeconds,
} from '../../shared-domain/notices/reminder.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import type { Asker } from '../questions/asker.ts'
import { noticeFor } from '../questions/notices.ts'
import { checkMayStick } from '../questions/rights.ts'
import { standingToday } from '../questions/today.ts'
import { noticeNumber } from '../store/notices.ts'
import { type Reminder, reminderBy, remindersSince } from '../store/reminders.ts'
import type { StoredStick } from '../store/sticks.ts'
import { bodyHash } from '../store/sticks.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import { writeInPages } from './in-pages.ts'
import { withinRoom } from './room-in-notice.ts'
import { whoIsWhere } from './who-is-where.ts'

/** What somebody asks to be reminded of. */
export interface Reminding {
  readonly factId: string
  readonly stickIds: readonly string[]
  readonly note?: string | undefined
}

/** A reminder with its notices, as they were owed or as they are kept. */
export interface Reminded {
  readonly reminder: Reminder
  readonly notices: readonly (Pick<OwedNotice, 'to' | 'lines'> & { readonly number: string })[]
  readonly news: boolean
}

export interface NothingToRemind {
  readonly leftOut: Reminder['leftOut']
}

const mostTries = 10

/** Reminds, once for each id; where nobody is to be written to, why not. */
export async function remind(by: Asker, reminding: Reminding): Promise<Reminded | NothingToRemind> {
  const hash = bodyHash('reminder', '', reminding)
  for (let tries = 0; tries < mostTries; tries++) {
    const known = await whatStands(by, reminding.factId, hash)
    if (known !== undefined) return known
    const outcome = await attempt(by, reminding, hash)
    if (outcome !== 'lost') return outcome
    by.organisation.registers.readAnew()
  }
  throw new Refused({ kind: 'try again' })
}

async function whatStands({ organisation }: Asker, factId: string, hash: string): Promise<Reminded | undefined> {
  const guard = await organisation.sticks.guard(factId)
  if (guard === undefined) return undefined
  const reminder = guard.bodyHash === hash ? await reminderBy(organisation, factId) : undefined
  if (reminder === undefined) throw alreadyUsed(factId)
  const found = await Promise.all(reminder.notices.map((number) => organisation.notices.one(number)))
  return { reminder, notices: found.filter((one) => one !== undefined), news: false }
}

const alreadyUsed = (factId: string) =>
  refused({
    code: 'fact-id-used',
    text: `The factId ${factId} already stands for something else. Nothing was changed.`,
  })

/** Who would be written to, and of what. Nothing is written. */
export async function wouldRemind(by: Asker, stickIds: readonly string[]): Promise<ReminderOwed> {
  return (await owedBy(by, { factId: '', stickIds })).owed
}

/** The reminder of this id with its notices, for whoever may read each of them. */
export async function reminderFor(by: Asker, factId: string): Promise<Pick<Reminded, 'reminder' | 'notices'>> {
  const reminder = await reminderBy(by.organisation, factId)
  if (reminder === undefined) throw notFound({ is: 'none: notice', notice: factId })
  return { reminder, notices: await Promise.all(reminder.notices.map((number) => noticeFor(by, number))) }
}

async function owedBy(by: Asker, { factId, stickIds, note }: Reminding) {
  const { organisation, now } = by
  const stored = await chosenSticks(by, stickIds)
  const { reminders, keptWrites } = await remindersSince(organisation, addSeconds(now, -remindedForSeconds))
  const chosen = await Promise.all(stored.map((one) => chosenStick(by, one, reminders)))
  const name = await nameOf(by)
  return { stored, keptWrites, name, owed: owedForReminder(chosen, { factId, by: name, at: now, note }) }
}

async function attempt(by: Asker, reminding: Reminding, hash: string): Promise<Reminded | NothingToRemind | 'lost'> {
  const { organisation, caller, now } = by
  const { factId, note } = reminding
  const { stored, keptWrites, name, owed: all } = await owedBy(by, reminding)
  const { notices, leftOut } = all
  if (notices.length === 0) return { leftOut }
  const owed = notices.map((one) => ({ ...withinRoom(one), number: noticeNumber(organisation, one.key) }))
  const left = new Set(leftOut.map(({ stickId }) => stickId))
  const told = stored.filter(({ stickId }) => !left.has(stickId))
  const reminder: Reminder = {
    factId,
    by: caller.personId,
    name,
    at: now,
    ...(note ? { note } : {}),
    stickIds: told.map(({ stickId }) => stickId),
    leftOut,
    notices: owed.map(({ number }) => number),
  }
  await writeInPages(
    organisation.table,
    told.flatMap((one) => pointersOf(by, one, { factId, owed })),
  )
  const { writes, left: later } = owing(organisation, {
    always: [organisation.sticks.waitingWrite(factId, hash), ...keptWrites(reminder)],
    notices: owed.map(({ number: _, ...one }) => one),
    cause: factId,
    now,
  })
  if (!(await organisation.table.transact(writes)).done) return 'lost'
  await writeLeft(organisation, later)
  return { reminder, notices: owed, news: true }
}

/** Each stick once; all numbers that no stick has are told in one answer. */
async function chosenSticks({ organisation, caller }: Asker, stickIds: readonly string[]): Promise<StoredStick[]> {
  const ids = [...new Set(stickIds)]
  const known = await organisation.sticks.fresh(ids)
  for (const { state, depotId } of known) checkMayStick(caller, 'remind of a stick', { crewId: state.crewId, depotId })
  const found = new Map(known.map((one) => [one.stickId, one]))
  const expected = { is: 'right: stick on the register' } as const
  const faults = stickIds.flatMap((id, i) => (found.has(id) ? [] : [{ pointer: `/stickIds/${i}`, came: id, expected }]))
  if (faults.length > 0) throw invalid(...faults)
  return ids.flatMap((id) => found.get(id) ?? [])
}

async function chosenStick(
  when: Asker,
  stored: StoredStick,
  reminders: readonly Pick<Reminder, 'name' | 'at' | 'stickIds'>[],
): Promise<ChosenStick> {
  const { stickId, state, depotId, held, shownDueOn } = stored
  const { zone, today, rules, standing } = await standingToday(when, stored)
  const { crews, depotNames, people } = await whoIsWhere(when.organisation, [stored], { day: today, now: when.now })
  const { crewId } = state
  const crew = (crewId === null ? undefined : crews.get(crewId)) ?? null
  const depotName = (depotId === null ? undefined : depotNames.get(depotId)) ?? null
  const last = newestOf(reminders.filter((one) => one.stickIds.includes(stickId)))
  return {
    belonging: { stickId, crewId, crewName: crew?.name ?? null, depotName, revision: revisionOf(state, rules, today) },
    standing,
    broughtForwardFrom: stored.broughtForwardFrom ?? earlierThanShown(shownDueOn, standing),
    who: { crew, people, depotId },
    zone,
    held,
    loan: lateLoan(state, today),
    answerWithinHours: rules.answerWithinHours,
    ...(last === undefined ? {} : { reminded: { by: last.name, at: last.at } }),
  }
}

const newestOf = <One extends { readonly at: Instant }>(all: readonly One[]): One | undefined =>
  [...all].sort((a, b) => (a.at < b.at ? 1 : -1))[0]

/** The name of whoever asks; their id where they have no entry. */
async function nameOf({ organisation, caller, now }: Asker): Promise<string> {
  const entries = await organisation.entriesOfPeople(now)
  return entries.find(({ id }) => id === caller.personId)?.body.name ?? caller.personId
}

interface Told {
  readonly factId: string
  readonly owed: readonly (OwedNotice & { readonly number: string })[]
}

function pointersOf({ organisation, now }: Asker, stored: StoredStick, { factId, owed }: Told) {
  const { stickId } = stored
  const naming = owed.filter(({ lines }) => lines.some((line) => line.stickId === stickId))
  const elsewhere = naming.filter(({ lines }) => lines[0]?.stickId !== stickId)
  const [first] = elsewhere
  if (first === undefined) return []
  const numbers = elsewhere.map(({ number }) => number)
  return [
    {
      stickId: null,
      writes: [organisation.sticks.remindedWrite(stored, { day: first.day, factId, numbers, now })],
    },
  ]
}
