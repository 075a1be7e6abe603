/**
 * Brings the demo fleet in through the API's own routes. The clock walks from the first day of the history to the
 * start, so that everything is recorded near the day on which it happened and what it owed people lies in the past too.
 * Loading that broke off is taken up again by calling it again; once complete, another call changes nothing.
 */
import {
  addDays,
  type CalendarDate,
  daysBetween,
  earliest,
  type Instant,
  localDateAt,
} from '../shared-domain/calendar.ts'
import type { SeedRequest, SeedRole } from './diary.ts'
import { demoDepots } from './fleet.ts'
import { firstDayOf, historyOf, startDayOf } from './history.ts'

export type Call = (request: {
  role: SeedRole
  method: 'GET' | 'PUT' | 'POST'
  path: string
  body?: object
}) => Promise<{ status: number; body: unknown }>

export interface Loading {
  readonly call: Call
  /** Sets the clock of the service; resolves once what fell due by it (the hourly round) is done. */
  readonly setClock: (instant: Instant) => Promise<void>
  /** Confirms as read what its managers were sent, where that is asked for; called at the end of each step. */
  readonly confirm?: () => Promise<void>
  /** The last day of the history: `startDayAt` the instant at which the clock is to stand in the end. */
  readonly startDay: CalendarDate
  /** that instant; the evening of the start day unless given */
  readonly startAt?: Instant
  readonly daysInAStep?: number
  readonly atOnce?: number
  /** Hears how far the loading is: at the beginning of each step and after each request. */
  readonly progress?: (progress: Progress) => void
}

/** How far the loading is. */
export interface Progress {
  /** the months of the history that go in now, counted from 1 */
  readonly from: number
  readonly to: number
  readonly months: number
  /** requests that are in, and requests in all */
  readonly done: number
  readonly requests: number
}

/** How many requests were sent, and the start day of the history that is now there. */
export interface Loaded {
  readonly requests: number
  readonly startDay: CalendarDate
}

/** The day it is at the depot where it is earliest. */
export function startDayAt(instant: Instant): CalendarDate {
  const days = Object.values(demoDepots).map(({ timeZone }) => localDateAt(instant, timeZone))
  return earliest(days) ?? localDateAt(instant, 'UTC')
}

export async function loadDemo(loading: Loading): Promise<Loaded> {
  const { call, setClock, daysInAStep = 183, atOnce = 16, progress } = loading
  const startAt = loading.startAt ?? eveningOf(loading.startDay)
  const startDay = await startDayInTheTable(call, loading.startDay)
  const history = historyOf(startDay)
  const last = history.at(-1)
  if (last === undefined || (await isThere(call, last.path))) return { requests: 0, startDay }

  let done = 0
  for (const { after, until, requests } of inSteps(history.slice(0, -1), startDay, daysInAStep)) {
    const { morning, evening } = hoursOf(until, startAt)
    const tell = () => progress?.({ ...monthsOf({ after, until }, startDay), done, requests: history.length })
    const sent = () => {
      done += 1
      tell()
    }
    tell()
    await setClock(morning)
    await sendStep({ call, atOnce, sent }, requests)
    await setClock(evening)
    await loading.confirm?.()
  }
  await setClock(startAt)
  await send(call, last)
  return { requests: history.length, startDay }
}

/** A history once begun is finished for the day it was begun for: its facts cannot be told twice with other dates. */
async function startDayInTheTable(call: Call, startDay: CalendarDate): Promise<CalendarDate> {
  const [id] = Object.keys(demoDepots)
  const { status, body } = await call({ role: 'owner', method: 'GET', path: `/v1/depots/${id}?on=1900-01-01` })
  if (status === 404) return startDay
  return startDayOf((body as { effectiveFrom: CalendarDate }).effectiveFrom)
}

async function isThere(call: Call, path: string): Promise<boolean> {
  const { status } = await call({ role: 'owner', method: 'GET', path })
  return status === 200
}

interface Step {
  readonly after: CalendarDate
  readonly until: CalendarDate
  readonly requests: readonly SeedRequest[]
}

function inSteps(history: readonly SeedRequest[], startDay: CalendarDate, days: number): Step[] {
  const steps: Step[] = []
  let after = firstDayOf(startDay)
  while (after < startDay) {
    const next = addDays(after, days)
    const from = after
    const until = next < startDay ? next : startDay
    // the hours of the last day lie ahead still; only the entries of new sticks, which have none, are of the start day
    const isIn = (on: CalendarDate) => from <= on && (on < until || until === startDay)
    steps.push({ after, until, requests: history.filter(({ on }) => isIn(on)) })
    after = until
  }
  return steps
}

const daysInAMonth = 365.25 / 12

function monthsOf({ after, until }: Pick<Step, 'after' | 'until'>, startDay: CalendarDate) {
  const first = firstDayOf(startDay)
  const monthsUntil = (day: CalendarDate) => Math.round(daysBetween(first, day) / daysInAMonth)
  return { from: monthsUntil(after) + 1, to: monthsUntil(until), months: monthsUntil(startDay) }
}

/**
 * Facts go in while it is night at every depot, before any morning's digests: else those would tell of sticks as
 * overdue whose test of last week is about to be recorded. In the evening the round finds the day as it was.
 */
function hoursOf(day: CalendarDate, startAt: Instant): { morning: Instant; evening: Instant } {
  const atMost = (instant: Instant) => (instant < startAt ? instant : startAt)
  return { morning: atMost(`${day}T08:00:00.000Z` as Instant), evening: atMost(eveningOf(day)) }
}

function eveningOf(day: CalendarDate): Instant {
  return `${day}T20:00:00.000Z` as Instant
}

interface Sender {
  readonly call: Call
  readonly atOnce: number
  readonly sent: () => void
}

/** Registers first, as each may name entries of the one before; then the sticks. */
async function sendStep(sender: Sender, requests: readonly SeedRequest[]): Promise<void> {
  const byRegister = Map.groupBy(requests, ({ path }) => path.split('/')[2] ?? '')
  const sticks = byRegister.get('sticks') ?? []
  byRegister.delete('sticks')
  for (const entries of byRegister.values()) await sendSideBySide(sender, entries)
  await sendSideBySide(sender, sticks)
}

/** Requests about different things go side by side, those about the same one in order. */
async function sendSideBySide(sender: Sender, requests: readonly SeedRequest[]): Promise<void> {
  const waiting = [...Map.groupBy(requests, ({ path }) => path.split('/').slice(0, 4).join('/')).values()]
  await Promise.all(Array.from({ length: sender.atOnce }, () => work(sender, waiting)))
}

async function work({ call, sent }: Sender, waiting: (readonly SeedRequest[])[]): Promise<void> {
  for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
    for (const request of next) {
      await send(call, request)
      sent()
    }
  }
}

/** What needs two people is approved by the second. */
async function approve(call: Call, { proposal }: { proposal: { id: string } }, on: CalendarDate): Promise<void> {
  await send(call, { role: 'manager-2', method: 'POST', path: `/v1/proposals/${proposal.id}/approve`, body: {}, on })
}

async function send(call: Call, { role, method, path, body, on }: SeedRequest): Promise<void> {
  const { status, body: answer } = await call({ role, method, path, body })
  if (status === 200 || status === 201) return
  if (status === 202) return approve(call, answer as { proposal: { id: string } }, on)
  const text = JSON.stringify(answer).slice(0, 600)
  throw new Error(`The demo fleet stopped at ${method} ${path} of ${on}, sent as ${role}: ${status} ${text}`)
}
