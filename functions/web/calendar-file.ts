/** Calendar entries as a file after RFC 5545 that mails carry and feeds answer with; what it says is the domain's. */
import { createHash } from 'node:crypto'
import ical, { ICalCalendarMethod, ICalEventStatus, ICalEventTransparency } from 'ical-generator'
import { addDays, type CalendarDate, type Instant } from '../../shared-domain/calendar.ts'
import type { CalendarEntry } from '../../shared-domain/notices/calendar-entry.ts'

export interface CalendarFile {
  readonly organisation: string
  readonly name: string
  /** the safety words of every screen and mail, in the reader's language */
  readonly safety: string
  /** the publisher's address: RFC 5546 asks for an organiser, and a calendar shows that the reader is none */
  readonly from: string
  readonly writtenAt: Instant
  readonly entries: readonly CalendarEntry[]
}

export const calendarFileName = 'due-dates.ics'

const hoursBetweenLooks = 6

export function calendarText({ organisation, name, safety, from, writtenAt, entries }: CalendarFile): string {
  const calendar = ical({
    prodId: '//Quarterturn//Due dates//EN',
    scale: 'GREGORIAN',
    method: ICalCalendarMethod.PUBLISH,
    name: escaped(name),
    description: escaped(safety),
    ttl: hoursBetweenLooks * 3600,
  })
  for (const { stickId, revision, day, calledOff, summary, description } of entries) {
    calendar.createEvent({
      id: entryId(organisation, stickId),
      sequence: revision,
      stamp: new Date(writtenAt),
      allDay: true,
      start: midnight(day),
      end: midnight(addDays(day, 1)),
      summary,
      description,
      organizer: { name: 'Quarterturn', email: from },
      transparency: ICalEventTransparency.TRANSPARENT,
      status: calledOff ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
    })
  }
  return calendar.toString()
}

/**
 * The id of a stick's entry is the same for ever, another in every organisation, and tells neither: a calendar keeps
 * and shares it. It is a UUID of version 8, as RFC 7986 advises.
 */
function entryId(organisation: string, stickId: string): string {
  const digest = createHash('sha256').update(`calendar entry|${organisation}|${stickId}`).digest('hex')
  return [
    digest.slice(0, 8),
    digest.slice(8, 12),
    `8${digest.slice(13, 16)}`,
    `8${digest.slice(17, 20)}`,
    digest.slice(20, 32),
  ].join('-')
}

/** The library takes a date of an all-day entry from an instant, by UTC. */
function midnight(day: CalendarDate): Date {
  return new Date(`${day}T00:00:00Z`)
}

/** The library escapes the texts of entries and leaves those of the calendar as they are. */
function escaped(text: string): string {
  return text.replace(/[\\;,]/g, '\\$&')
}
