/**
 * RFC 5545 (iCalendar), RFC 5546 (how it is published) and RFC 7986 (identifiers), read back by a parser of other
 * hands. Runs in several time zones: the date of an entry is the same in all of them.
 */
import fc from 'fast-check'
import ICAL from 'ical.js'
import { describe, expect, test } from 'vitest'
import { calendarText } from '../../functions/web/calendar-file.ts'
import { addDays, type Instant } from '../../shared-domain/calendar.ts'
import type { CalendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import { day } from '../support/trade.ts'

const entry: CalendarEntry = {
  stickId: 'S-0001',
  revision: 461_130_007,
  day: day('2028-03-02'),
  calledOff: false,
  summary: 'Stick S-0001: bring it to the bench (due soon)',
  description: 'Status: due soon.\nRule: 29 CFR 1910.269(j)(2)(iii).',
}

const file = {
  organisation: 'demo-utility',
  name: 'Crew one',
  safety: safetyWords,
  from: 'notices@quarterturn.example',
  writtenAt: '2026-03-02T15:00:00.000Z' as Instant,
}

const written = (...entries: Partial<CalendarEntry>[]) =>
  calendarText({ ...file, entries: entries.map((one) => ({ ...entry, ...one })) })

const read = (text: string) => new ICAL.Component(ICAL.parse(text))
const events = (text: string) =>
  read(text)
    .getAllSubcomponents('vevent')
    .map((one) => new ICAL.Event(one))
const only = (text: string) => {
  const [event, ...others] = events(text)
  if (event === undefined || others.length > 0) throw new Error('not exactly one event')
  return event
}
const propertyOf = (event: ICAL.Event, name: string) => event.component.getFirstPropertyValue(name)

/** Days on which a clock on some wall skips midnight, a whole day is left out, or the calendar itself is odd. */
const oddDays = [
  '2011-12-30',
  '2024-02-29',
  '2026-03-08',
  '2026-04-05',
  '2026-09-06',
  '2026-10-04',
  '2026-11-01',
  '2026-12-31',
  '2027-01-01',
  '2028-02-29',
  '2100-02-28',
]

describe('the date of an entry', () => {
  test.each(oddDays)('%s is an all-day date without zone or hour, and lasts that day', (on) => {
    const text = written({ day: day(on) })
    const { startDate, endDate } = only(text)
    expect([startDate.isDate, startDate.toString()]).toEqual([true, on])
    expect([endDate.isDate, endDate.toString()]).toEqual([true, addDays(day(on), 1)])
    expect(text).toContain(`\r\nDTSTART;VALUE=DATE:${on.replaceAll('-', '')}\r\n`)
    expect(text).not.toMatch(/TZID|VTIMEZONE/)
  })

  // the one day of them that Apia never had
  test.each(oddDays.filter((on) => on !== '2011-12-30'))('%s is that date on the reader’s own wall', (on) => {
    const shown = only(written({ day: day(on) })).startDate.toJSDate()
    expect([shown.getFullYear(), shown.getMonth() + 1, shown.getDate()]).toEqual(on.split('-').map(Number))
  })

  test('any date at all', () => {
    const anyDay = fc.integer({ min: 0, max: 80_000 }).map((days) => addDays(day('1950-01-01'), days))
    fc.assert(
      fc.property(anyDay, (on) => {
        expect(only(written({ day: on })).startDate.toString()).toBe(on)
      }),
      { seed: 55, numRuns: 100 },
    )
  })
})

describe('the text of a file', () => {
  const hostile = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 200 }),
    fc.string({
      unit: fc.constantFrom('\\', ';', ',', ':', '"', '\n', 'n', 'N', '電', '🪵', 'é', ' ', '\t'),
      maxLength: 200,
    }),
    fc.constantFrom(
      'BEGIN:VEVENT\nEND:VCALENDAR',
      'x\r\nSUMMARY:another',
      '\\n is no line break, \\, no comma',
      '電'.repeat(90),
      `a${'🪵'.repeat(60)}`,
      'e\u0301'.repeat(80),
    ),
  )

  test('comes back as it was meant, whatever is in it', () => {
    fc.assert(
      fc.property(hostile, hostile, (summary, description) => {
        const event = only(written({ summary: `Stick ${summary}`, description: `Why ${description}` }))
        expect(event.summary).toBe(`Stick ${asOneLineBreak(summary)}`)
        expect(event.description).toBe(`Why ${asOneLineBreak(description)}`)
      }),
      { seed: 55, numRuns: 200 },
    )
  })

  test('has lines of at most 75 octets that end in CRLF, and no character is cut in two (3.1)', () => {
    fc.assert(
      fc.property(hostile, (summary) => {
        const bytes = Buffer.from(written({ summary, description: summary.repeat(3) }))
        const lines = bytes.toString('latin1').split('\r\n')
        for (const line of lines) {
          expect(line.length).toBeLessThanOrEqual(75)
          expect(line).not.toMatch(/[\r\n]/)
          new TextDecoder('utf-8', { fatal: true }).decode(Buffer.from(line, 'latin1'))
        }
      }),
      { seed: 55, numRuns: 100 },
    )
  })

  test.each(['Crew one', 'Crew; one, two', 'North\\new', 'Équipe 電 🪵'])('names the calendar %s', (name) => {
    const calendar = read(calendarText({ ...file, name, entries: [entry] }))
    for (const property of ['name', 'x-wr-calname']) expect(asText(calendar, property)).toBe(name)
    expect(asText(calendar, 'x-wr-caldesc')).toBe(safetyWords)
  })

  /** The parser hands over properties it does not know as they are written: 3.3.11 says how text is. */
  function asText(calendar: ICAL.Component, property: string): string | undefined {
    return calendar
      .getFirstPropertyValue(property)
      ?.toString()
      .replace(/\\([\\;,])/g, '$1')
  }

  // a line break is one, however it was written
  function asOneLineBreak(text: string): string {
    return text.replace(/\r\n|\r/g, '\n')
  }
})

describe('what RFC 5546 asks of what is published', () => {
  test('method, product, version and, in each event, who, when written, and what', () => {
    const calendar = read(written({}))
    expect(['version', 'method', 'calscale'].map((name) => calendar.getFirstPropertyValue(name))).toEqual([
      '2.0',
      'PUBLISH',
      'GREGORIAN',
    ])
    expect(calendar.getFirstPropertyValue('prodid')).toContain('Quarterturn')
    expect(calendar.getFirstPropertyValue('refresh-interval')?.toString()).toBe('PT6H')
    const event = only(written({}))
    expect(propertyOf(event, 'dtstamp')?.toString()).toBe('2026-03-02T15:00:00Z')
    expect(propertyOf(event, 'organizer')).toBe('mailto:notices@quarterturn.example')
    expect(propertyOf(event, 'attendee')).toBeNull()
    expect([event.sequence, event.summary]).toEqual([461_130_007, entry.summary])
  })

  test('a due date keeps nobody’s day busy', () => {
    expect(propertyOf(only(written({})), 'transp')).toBe('TRANSPARENT')
  })

  test('a date that counts is confirmed, one that no longer does is cancelled', () => {
    expect(propertyOf(only(written({})), 'status')).toBe('CONFIRMED')
    expect(propertyOf(only(written({ calledOff: true })), 'status')).toBe('CANCELLED')
  })

  test('each stick has an entry of its own, and none is no entry', () => {
    expect(events(written({}, { stickId: 'S-0002' }))).toHaveLength(2)
    expect(events(written())).toEqual([])
  })
})

describe('the identifier of an entry', () => {
  const idOf = (stickId: string, organisation = file.organisation) =>
    only(calendarText({ ...file, organisation, entries: [{ ...entry, stickId }] })).uid

  test('is a UUID that tells neither stick nor organisation (RFC 7986, 5.3)', () => {
    expect(idOf('S-0001')).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-8[0-9a-f]{3}-[0-9a-f]{12}$/)
  })

  test('stays when everything else changes', () => {
    const later = { revision: 9, day: day('2030-01-01'), calledOff: true, summary: 'x', description: 'y' }
    expect(only(written(later)).uid).toBe(only(written({})).uid)
  })

  test('is another for every stick and every organisation', () => {
    const names = ['S-1', 's-1', 'S-10', 'S-1.0', 'demo', 'other']
    const ids = names.flatMap((stick) => names.map((organisation) => idOf(stick, organisation)))
    expect(new Set(ids).size).toBe(names.length ** 2)
  })
})
