/**
 * Thirty months of the demo fleet as requests in order of time, ending on the start day. Same day in, same bytes out.
 */
import { addDays, type CalendarDate } from '../shared-domain/calendar.ts'
import { chanceOf, whole } from './chance.ts'
import { type Diary, openDiary, type SeedRequest } from './diary.ts'
import {
  type DemoStick,
  demoBenchMinutes,
  demoCrews,
  demoDemonstrations,
  demoDepots,
  demoInstruments,
  demoPeople,
  demoProcedures,
  demoStick,
} from './fleet.ts'
import { daysUntilDue, inStore, newSince, overdueBy, stories } from './stories.ts'

export type { SeedRequest } from './diary.ts'

const daysOfHistory = 913
const longestAgo = 905

export function firstDayOf(startDay: CalendarDate): CalendarDate {
  return addDays(startDay, -daysOfHistory)
}

/** The start day of a history that began on `firstDay`. */
export function startDayOf(firstDay: CalendarDate): CalendarDate {
  return addDays(firstDay, daysOfHistory)
}

/** The numbers up to 240 with something to tell, and the first of the quiet ones. The others have left the fleet. */
const numbers = Array.from({ length: 240 }, (_, i) => i + 1).filter(
  (number) => number <= 40 || hasSomethingToTell(number),
)

export const demoSticks: readonly DemoStick[] = numbers.map(demoStick)

function hasSomethingToTell(number: number): boolean {
  return inStore.includes(number) || [stories, newSince, overdueBy, daysUntilDue].some((told) => number in told)
}

/** The last request enters a stick that nothing else touches: where it is on the register, the history is complete. */
export function historyOf(startDay: CalendarDate): SeedRequest[] {
  const lives = numbers.map((number) => lifeOf(openDiary(demoStick(number), startDay), number))
  const [last, ...others] = [...lives].reverse()
  const rest = [...registersOf(startDay), ...others.reverse().flat()]
  return [...rest.sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0)), ...(last ?? [])]
}

function registersOf(startDay: CalendarDate): SeedRequest[] {
  const effectiveFrom = firstDayOf(startDay)
  const put = (register: string, role: SeedRequest['role'], entries: Readonly<Record<string, object>>) =>
    Object.entries(entries).map(([id, entry]) => entryOf(`${register}/${id}`, role, { ...entry, effectiveFrom }))
  const instruments = demoInstruments((days) => addDays(startDay, -days)).flatMap(({ id, editions }) =>
    editions.map((edition) => entryOf(`instruments/${id}`, 'bench', edition)),
  )
  return [
    ...put('depots', 'owner', demoDepots),
    ...put('crews', 'manager', demoCrews),
    ...put('people', 'manager', demoPeople),
    ...put('demonstrations', 'manager', demoDemonstrations),
    ...put('procedures', 'manager', demoProcedures),
    ...Object.entries(demoBenchMinutes).map(([id, weekMinutes]): SeedRequest => {
      const [path, body] = [`/v1/depots/${id}/bench`, { weekMinutes }]
      return { on: startDay, method: 'PUT', path, body, role: 'manager' }
    }),
    // Entries in force before the history begins come in on its first day.
    ...instruments.map((one) => (one.on < effectiveFrom ? { ...one, on: effectiveFrom } : one)),
  ]
}

function entryOf(path: string, role: SeedRequest['role'], body: object & { effectiveFrom: CalendarDate }): SeedRequest {
  return { on: body.effectiveFrom, method: 'PUT', path: `/v1/${path}`, body, role }
}

function lifeOf(diary: Diary, number: number): SeedRequest[] {
  const story = stories[number]
  const since = newSince[number]
  const late = overdueBy[number]
  const soon = daysUntilDue[number]
  if (story !== undefined) story(diary)
  else if (since !== undefined) newlyCome(diary, since)
  else if (late !== undefined) ranOut(diary, late)
  else if (soon !== undefined) quietly(diary, 730 - soon)
  else quietly(diary, whole(chanceOf(`last test ${number}`), 14, 640), inStore.includes(number))
  return diary.requests
}

function newlyCome(diary: Diary, days: number): void {
  diary.enter(days, 0)
  if (days > 0) diary.toBench(days)
}

function ranOut(diary: Diary, daysOverdue: number): void {
  quietly(diary, 731 + daysOverdue)
  if (diary.stick.crewId === 'CR-1') diary.use(4, 1, ['wet'])
}

/** A sound stick: tested within every two years up to its last test, used between. */
function quietly(diary: Diary, lastTest: number, stored = false): void {
  const chance = chanceOf(`life ${diary.stick.id}`)
  const tests = testsBefore(lastTest, chance)
  tests.forEach((days, i) => {
    if (i === 0) comeIn(diary, days, chance)
    else visit(diary, days, chance)
    useAfter(diary, days, tests[i + 1] ?? (stored ? lastTest - 12 : 0), chance)
  })
  if (stored) diary.toStore(Math.max(1, lastTest - 12))
}

/** Days ago, the first test in front: sixteen to twenty-three months from each to the next. */
function testsBefore(lastTest: number, chance: () => number): number[] {
  const earlier = lastTest + whole(chance, 480, 715)
  return earlier > longestAgo - 3 ? [lastTest] : [...testsBefore(earlier, chance), lastTest]
}

function comeIn(diary: Diary, days: number, chance: () => number): void {
  const isNew = chance() < 0.25
  diary.enter(days + 3, isNew ? 0 : whole(chance, 400, 3300))
  diary.test(days, { reason: isNew ? 'first issue' : 'periodic' })
}

function visit(diary: Diary, days: number, chance: () => number): void {
  const moved = chance() < 0.15
  if (moved) diary.toBench(days + 1)
  diary.test(days)
  if (moved) diary.toCrew(days - 1)
}

/** The crew uses a stick for at most one piece of work, of a few days, between one test and the next. */
function useAfter(diary: Diary, days: number, until: number, chance: () => number): void {
  const last = days - Math.min(days - until, 640) + 4
  const used = whole(chance, last, days - 4)
  if (used <= until + 3 || used >= days - 3 || chance() > 0.14) return
  diary.use(used, whole(chance, 1, 12), chance() < 0.3 ? ['wet'] : [])
}
