/** What is done on the page of a plan, each by the requests that the API has for it; what is tried; a week's list. */
import type { Context } from 'hono'
import { addDays, type CalendarDate, isCalendarDate, mondayOf } from '../../shared-domain/calendar.ts'
import type { PlanSettings } from '../../shared-domain/plan/settings.ts'
import { invalid, Refused } from '../ground/errors.ts'
import { newestPlanFor } from '../questions/plans.ts'
import type { WebDocument } from '../web/web-page.ts'
import { type Acting, performed, whyNot } from './acts/act.ts'
import { planPage } from './plan-page.ts'
import { addressWith } from './trail.ts'

const acts = ['anew', 'hours', 'weeks', 'cover', 'stick', 'lock']

const largestForm = 20_000
const daysOfWeek = 7
const minutesPerHour = 60
const mostWeeks = 104

type Changed = { readonly goTo: string } | { readonly document: WebDocument }

/** Answers where to go on; of what has a fault, the plan with what is wrong. */
export async function changePlan(acting: Acting, context: Context): Promise<Changed> {
  const text = await context.req.text()
  if (text.length > largestForm)
    throw invalid({ pointer: '', came: text.length, expected: { is: 'right: letters at most', most: largestForm } })
  const typed = new URLSearchParams(text)
  const depotId = typed.get('depot') ?? ''
  try {
    return { goTo: await changedTo(acting, depotId, typed) }
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'invalid') throw error
    const trouble = whyNot(error.refusal, acting.wording)
    return { document: await planPage(acting.by, { depotId, trouble }, acting.wording) }
  }
}

async function changedTo(acting: Acting, depotId: string, typed: URLSearchParams): Promise<string> {
  const changed = await changedBy(acting, depotId, typed)
  if (changed !== null) {
    const to = { ...acting, params: { id: depotId }, query: {} }
    await performed({ method: 'PUT', path: '/v1/depots/:id/bench' }, to, changed)
  }
  await performed({ method: 'POST', path: '/v1/plans' }, { ...acting, params: {}, query: {} }, { depotId })
  return addressWith('/plan', { depot: depotId, done: 'recorded' })
}

/** The settings as the form leaves them, to be judged by the request; null where it changes none. */
async function changedBy({ by }: Acting, depotId: string, typed: URLSearchParams): Promise<object | null> {
  const name = typed.get('act') ?? ''
  if (name === 'anew') return null
  const kept = (await newestPlanFor(by, depotId)).settings?.settings
  const before = { ...kept }
  switch (name) {
    case 'hours':
      return { ...before, ...hoursTyped(typed) }
    case 'weeks':
      return { ...before, weeks: weeksTyped(typed, kept?.weeks ?? []) }
    case 'cover':
      return { ...before, cover: coverTyped(typed, kept?.cover ?? []) }
    case 'stick': {
      const stickId = (typed.get('stick') ?? '').trim()
      const others = (kept?.pins ?? []).filter((pin) => pin.stickId !== stickId)
      return { ...before, pins: typed.get('week') ? [...others, { stickId, week: weekIn(typed, 'week') }] : others }
    }
    case 'lock': {
      const locked = kept?.lockedWeeks ?? []
      const unlocked = typed.get('unlock')
      if (unlocked !== null) return { ...before, lockedWeeks: locked.filter((week) => week !== unlocked) }
      return { ...before, lockedWeeks: [...new Set([...locked, weekIn(typed, 'lock')])] }
    }
    default:
      throw invalid({ pointer: '/act', came: name, expected: { is: 'right: this', one: acts.join(', ') } })
  }
}

const figure = (typed: URLSearchParams, name: string): number => Number(typed.get(name) || Number.NaN)

function hoursTyped(typed: URLSearchParams): object {
  return {
    weekMinutes: Math.round(figure(typed, 'hours') * minutesPerHour),
    marginWeeks: figure(typed, 'margin'),
    weeksAway: figure(typed, 'away'),
    keepPercent: figure(typed, 'keep'),
    work: {
      setUpMinutes: figure(typed, 'setUp'),
      readingMinutes: figure(typed, 'reading'),
      wettingMinutes: figure(typed, 'wetting'),
      refinishingMinutes: figure(typed, 'refinishing'),
      failingShare: figure(typed, 'failing') / 100,
    },
  }
}

/** Any day of a week stands for it. */
function weekIn(typed: URLSearchParams, name: string): CalendarDate {
  const day = (typed.get(name) ?? '').trim()
  if (!isCalendarDate(day)) throw invalid({ pointer: `/${name}`, came: day, expected: { is: 'right: a date' } })
  return mondayOf(day)
}

/** A crew's constructions are in one row: what is said of one of them now stands in place of what was said before. */
function coverTyped(typed: URLSearchParams, kept: PlanSettings['cover']): object[] {
  const [crewId, chosen] = [typed.get('crew') ?? '', typed.getAll('construction')]
  const others = kept.filter((row) => row.crewId !== crewId || !row.constructions.some((one) => chosen.includes(one)))
  const [least, loaners] = [typed.get('least'), typed.get('loaners')]
  if (!least && !loaners) return [...others]
  return [...others, { crewId, constructions: chosen, least: Number(least || 0), loaners: Number(loaners || 0) }]
}

function weeksTyped(typed: URLSearchParams, kept: PlanSettings['weeks']): PlanSettings['weeks'] {
  const from = weekIn(typed, 'from')
  const to = typed.get('to') ? weekIn(typed, 'to') : from
  const said = new Map(kept.map(({ week, minutes }) => [week, minutes]))
  const hours = typed.get('weekHours')
  for (let week = from, i = 0; week <= to && i < mostWeeks; week = addDays(week, daysOfWeek), i++) {
    if (hours) said.set(week, Math.round(Number(hours) * minutesPerHour))
    else said.delete(week)
  }
  return [...said].map(([week, minutes]) => ({ week, minutes }))
}
