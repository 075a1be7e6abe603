/** The plan of a bench: its weeks as a picture and a table, what breaks in it, and what changed since the last one. */
import { html, raw } from 'hono/html'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { DepotPlan, PlanChange, PlannedStick, PlannedWeek } from '../../shared-domain/plan/depot-plan.ts'
import type { PlanSettings } from '../../shared-domain/plan/settings.ts'
import { codeOfBroken, hoursUp, sentenceOfBroken } from '../../shared-domain/plan/told.ts'
import { may } from '../../shared-domain/rights.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type DepotPlanAnswer, depotsPlannedBy, newestPlanFor } from '../questions/plans.ts'
import { checkRole } from '../questions/rights.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { loads } from './chart.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import { type OnPlan, planForms } from './plan-forms.ts'
import { addressWith } from './trail.ts'
import type { PageWording } from './wording.ts'
import { date, namesIn } from './words.ts'

const minutesPerHour = 60
/** Hours to a tenth, as a figure. */
export const hoursOf = (minutes: number): number => Math.round((minutes * 10) / minutesPerHour) / 10

interface PlanAsked {
  readonly depotId: string | undefined
  /** what was wrong in a form that was sent */
  readonly trouble?: readonly string[]
}

export async function planPage(
  asker: Asker,
  { depotId: asked, trouble = [] }: PlanAsked,
  wording: PageWording,
): Promise<WebDocument> {
  const { say } = wording
  checkRole(asker.caller, 'read a plan')
  const [directory, mine] = await Promise.all([directoryFor(asker), depotsPlannedBy(asker, 'read a plan')])
  const depotId = asked ?? mine[0]
  if (depotId === undefined)
    return pageOf(say('bench plan'), html`<p class="empty">${say('plan no depot')}</p>`, wording)
  const names = namesIn(directory)
  const found = await newestPlanFor(asker, depotId)
  const on: OnPlan = {
    ...{ depotId, names, found },
    crews: directory.crews.filter((one) => one.depotId === depotId),
    mayPlan: may(asker.caller, 'plan a bench', { crewId: null, depotId }),
  }
  const choice =
    mine.length < 2
      ? ''
      : html`<form class="filter" method="get" action="/plan">
${select({
  name: 'depot',
  label: say('depot'),
  none: names.depot(mine[0] ?? ''),
  entries: mine.slice(1).map((id) => [id, names.depot(id)]),
  chosen: depotId,
})}
<button>${say('show')}</button></form>`
  const wrong = html`<div class="trouble" role="alert"><h2>${say('plan not saved')}</h2>
<ul>${trouble.map((one) => html`<li>${one}</li>`)}</ul></div>`
  const main = html`${trouble.length === 0 ? '' : wrong}<p class="quiet">${say('bench plan lead')}</p>
${choice}
${body(on, wording)}`
  return pageOf(say('plan of depot', { depot: names.depot(depotId) }), main, wording)
}

export const pageOf = (title: string, main: Markup, wording: PageWording): WebDocument =>
  documentOf({ title, main: html`<h1>${title}</h1>\n${main}`, here: 'outlook', more: 'plan' }, wording)

function body(on: OnPlan, wording: PageWording): Markup {
  const { plan } = on.found
  return html`${underWay(on, wording)}
${plan === undefined || plan.value === null ? withoutPlan(on, wording) : planned(plan, on, wording)}
${on.mayPlan ? planForms(on, wording) : ''}`
}

/** The page's own script looks again every few seconds; without it the link does. */
function underWay({ depotId, found }: OnPlan, { say }: PageWording): Markup | string {
  if (found.underWay === undefined) return ''
  const address = addressWith('/plan', { depot: depotId })
  return html`<div role="status" data-looks-again="${address}"><p>${say('plan under way')}</p>
<progress aria-label="${say('plan under way')}"></progress></div>
<p>${say('plan by itself')} <a href="${address}">${say('plan look again')}</a></p>`
}

function withoutPlan(on: OnPlan, wording: PageWording): Markup | string {
  const { plan, settings, underWay: isMade } = on.found
  // why there is none is said by the plan, as long as nothing was said since
  if (plan !== undefined && settings !== undefined) return broken(plan, on, wording)
  return isMade === undefined ? html`<p class="empty">${wording.say('plan none yet')}</p>` : ''
}

type KeptPlan = NonNullable<DepotPlanAnswer['plan']>

function planned(plan: KeptPlan, on: OnPlan, wording: PageWording): Markup {
  const { say } = wording
  return html`<p class="quiet">${say('plan as of', { on: plan.on })}</p>
${plan.broken.length === 0 ? html`<p class="fits">${say('plan fits')}</p>` : broken(plan, on, wording)}
${figures(plan, wording)}
${picture(plan, wording)}
${table(plan, on, wording)}
${changes(plan, wording)}
<p><a class="do" href="${addressWith('/plan/try', { depot: on.depotId })}">${say('plan try')}</a></p>`
}

function broken(plan: DepotPlan, { depotId, names }: OnPlan, { say, told }: PageWording): Markup {
  const lines = plan.broken.map((one) => {
    const says = sentenceOfBroken(one, names.depot(depotId), names.crew)
    return html`<li>${told({ code: codeOfBroken(one), says })}</li>`
  })
  return html`<section class="trouble" aria-labelledby="breaks"><h2 id="breaks">${say('plan breaks')}</h2>
<ul>${lines}</ul>
${plan.value === null ? '' : html`<p>${say('plan mend')}</p>`}</section>`
}

const asked = ({ sticks }: PlannedWeek): number => sticks.reduce((sum, { minutes }) => sum + minutes, 0)
const total = (numbers: readonly number[]): number => numbers.reduce((sum, one) => sum + one, 0)

function figures({ weeks, value, bound, by }: DepotPlan, { say }: PageWording): Markup {
  const one = (figure: number | string, name: string) => html`<li><strong>${figure}</strong> <span>${name}</span></li>`
  return html`<ul class="tally">
${one(total(weeks.map(({ sticks }) => sticks.length)), say('plan sticks'))}
${one(hoursOf(total(weeks.map(asked))), say('plan hours asked'))}
${one(hoursOf(total(weeks.map(({ capacityMinutes }) => capacityMinutes))), say('plan hours there'))}
${one(value ?? '–', say('plan value'))}
${one(bound === null ? say('plan bound unknown') : Math.ceil(bound - 1e-6), say('plan bound'))}</ul>
<p class="quiet">${say('plan value told')}${by === 'greedy' && bound === null ? ` ${say('plan without solver')}` : ''}
</p>`
}

function picture({ weeks }: DepotPlan, { say }: PageWording): Markup | string {
  const [first] = weeks
  if (first === undefined) return ''
  const busiest = weeks.reduce((a, b) => (asked(b) > asked(a) ? b : a), first)
  const title = say('plan hours each week')
  const there = hoursOf(busiest.capacityMinutes)
  const desc = say('plan picture', { week: busiest.week, asked: hoursOf(asked(busiest)), there })
  const drawn = weeks.map((one, i) => {
    const [year, month] = [one.week.slice(0, 4), one.week.slice(5, 7)]
    const isNew = i > 0 && weeks[i - 1]?.week.slice(5, 7) !== month
    return {
      value: hoursOf(asked(one)),
      most: hoursOf(one.capacityMinutes),
      ...(isNew ? { name: say('month begins', { on: `${year}-${month}-01` }), isRare: Number(month) % 3 !== 1 } : {}),
    }
  })
  return html`<figure class="picture"><figcaption>${title}</figcaption>
${loads({ id: 'plan-weeks', title, desc, unit: say('plan hours unit') }, drawn)}
<p class="quiet">${desc}</p></figure>`
}

function table({ weeks }: DepotPlan, on: OnPlan, wording: PageWording): Markup {
  const { say } = wording
  const settings = on.found.settings?.settings
  const shown = weeks.filter((one) => one.sticks.length > 0)
  const lines = shown.map((week) => weekLine(week, { on, settings }, wording))
  return html`<table class="cards plan"><caption>${say('plan caption')}</caption>
<thead><tr><th scope="col">${say('plan week')}</th><th scope="col">${say('plan column asked')}</th>
<th scope="col">${say('plan column there')}</th><th scope="col">${say('plan column sticks')}</th></tr></thead>
<tbody>${lines}</tbody></table>
<p class="quiet">${say('plan quiet weeks', { weeks: weeks.length - shown.length })}</p>`
}

interface Around {
  readonly on: OnPlan
  readonly settings: PlanSettings | undefined
}

function weekLine(one: PlannedWeek, { on, settings }: Around, wording: PageWording): Markup {
  const { say } = wording
  const { week, capacityMinutes, sticks } = one
  const isShort = asked(one) > capacityMinutes
  const lock = settings?.lockedWeeks.includes(week) ? html` <span class="mark">${say('plan locked')}</span>` : ''
  const list = addressWith('/plan/week.csv', { depot: on.depotId, week })
  const name = html`<span class="unseen">${say('plan week')} ${wording.day(week)}</span>`
  const there = capacityMinutes === 0 ? say('plan closed') : say('plan hours', { hours: hoursOf(capacityMinutes) })
  return html`<tr${isShort ? raw(' class="short"') : ''}><th scope="row">${date(week, wording)}${lock}</th>
<td data-label="${say('plan column asked')}">${say('plan hours', { hours: hoursUp(asked(one)) })}</td>
<td data-label="${say('plan column there')}">${there}</td>
<td data-label="${say('plan column sticks')}"><details${sticks.length <= 6 ? raw(' open') : ''}>
<summary>${say('plan count', { count: sticks.length })} ${name}</summary>
<ul>${sticks.map((stick) => stickLine(stick, settings, wording))}</ul></details>
<a href="${list}" download>${say('plan pick list')} ${name}</a></td></tr>`
}

function stickLine({ stickId, dueOn }: PlannedStick, settings: PlanSettings | undefined, wording: PageWording): Markup {
  const isPinned = settings?.pins.some((pin) => pin.stickId === stickId)
  const mark = isPinned ? html` <span class="mark">${wording.say('plan pinned')}</span>` : ''
  return html`<li><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a>
${wording.say('plan stick due', { on: dueOn })}${mark}</li>`
}

function changes({ changes: all, changed }: DepotPlan, wording: PageWording): Markup {
  const { say } = wording
  const lines = all.map((one) => changeLine(one, wording))
  const list = html`<table class="cards"><thead><tr><th scope="col">${say('plan column stick')}</th>
<th scope="col">${say('plan column from')}</th><th scope="col">${say('plan column to')}</th>
<th scope="col">${say('plan column why')}</th></tr></thead><tbody>${lines}</tbody></table>`
  return html`<h2 id="changed">${say('plan changed')}</h2>
${changed > all.length ? html`<p>${say('plan changed more', { count: changed })}</p>` : ''}
${all.length === 0 ? html`<p>${say('plan changed none')}</p>` : list}`
}

function changeLine({ stickId, from, to, why }: PlanChange, wording: PageWording): Markup {
  const { say } = wording
  const week = (day: CalendarDate | null) => (day === null ? '–' : date(day, wording))
  return html`<tr><th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td data-label="${say('plan column from')}">${week(from)}</td>
<td data-label="${say('plan column to')}">${week(to)}</td>
<td data-label="${say('plan column why')}">${say(`plan why ${why}`)}</td></tr>`
}
