/** What other hours, loaners or intervals would do to a bench, beside its plan as it is. Nothing of it is stored. */
import { html } from 'hono/html'
import { type CalendarDate, isCalendarDate, mondayOf } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import { type Coming, comesTo, type Tried, triedOn } from '../../shared-domain/plan/trial.ts'
import { invalid } from '../ground/errors.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { benchFor } from '../questions/plans.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { fieldOf } from './plan-forms.ts'
import { hoursOf, pageOf } from './plan-page.ts'
import { addressWith } from './trail.ts'
import type { PageWording } from './wording.ts'
import { namesIn } from './words.ts'

interface TriedOnPage {
  readonly depotId: string
  readonly hours: number | undefined
  readonly closedFrom: CalendarDate | undefined
  readonly closedWeeks: number | undefined
  readonly loaners: number | undefined
  readonly interval: number | undefined
}

const minutesPerHour = 60

type Query = Readonly<Record<string, string>>

/** What has not the form of a figure is named, and not passed over. */
function figureIn(query: Query, name: string, [least, most]: readonly [number, number]): number | undefined {
  const text = (query[name] ?? '').trim()
  if (text === '') return undefined
  const figure = Number(text)
  if (figure >= least && figure <= most) return figure
  throw invalid({ pointer: `/${name}`, came: text, expected: { is: 'right: a number' } })
}

function askedIn(query: Query): TriedOnPage {
  const whole = (name: string, within: readonly [number, number]) => {
    const figure = figureIn(query, name, within)
    return figure === undefined ? undefined : Math.round(figure)
  }
  const closedFrom = (query.closedFrom ?? '').trim()
  if (closedFrom !== '' && !isCalendarDate(closedFrom))
    throw invalid({ pointer: '/closedFrom', came: closedFrom, expected: { is: 'right: a date' } })
  return {
    depotId: registerIdPattern.test(query.depot ?? '') ? (query.depot ?? '') : '',
    hours: figureIn(query, 'hours', [0, 700]),
    closedFrom: closedFrom === '' ? undefined : closedFrom,
    closedWeeks: whole('closedWeeks', [0, 52]),
    loaners: whole('loaners', [0, 100]),
    interval: whole('interval', [-26, 26]),
  }
}

export async function tryPage(asker: Asker, query: Query, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const asked = askedIn(query)
  const { depotId } = asked
  const [directory, bench] = await Promise.all([directoryFor(asker), benchFor(asker, depotId)])
  const back = html`<p><a href="${addressWith('/plan', { depot: depotId })}">${say('plan back')}</a></p>`
  const title = say('plan of depot', { depot: namesIn(directory).depot(depotId) })
  if (bench === undefined) return pageOf(title, html`<p class="empty">${say('plan none yet')}</p>${back}`, wording)
  const tried: Tried = {
    weekMinutes: asked.hours === undefined ? undefined : Math.round(asked.hours * minutesPerHour),
    closed:
      asked.closedFrom === undefined ? undefined : { from: mondayOf(asked.closedFrom), weeks: asked.closedWeeks ?? 1 },
    loaners: asked.loaners,
    earlierByWeeks: asked.interval,
  }
  const isTried = Object.values(tried).some((one) => one !== undefined)
  const today = comesTo(bench, {})
  const after = isTried ? comesTo(triedOn(bench, tried), tried) : undefined
  const main = html`${back}<h2>${say('plan try')}</h2><p class="quiet">${say('plan try lead')}</p>
${after === undefined ? '' : result(today, after, wording)}
${form(asked, bench.settings.weekMinutes, wording)}`
  return pageOf(title, main, wording)
}

function result(today: Coming, after: Coming, { say }: PageWording): Markup {
  const row = (name: string, of: (one: Coming) => number) => html`<tr><th scope="row">${name}</th>
<td class="count">${of(today)}</td><td class="count">${of(after)}</td></tr>`
  return html`<table class="weeks" role="status"><caption>${say('plan try result')}</caption>
<thead><tr><td></td><th scope="col">${say('plan try today')}</th>
<th scope="col">${say('plan try tried')}</th></tr></thead>
<tbody>${row(say('plan try overdue'), ({ daysOverdue }) => daysOverdue)}
${row(say('plan try overtime'), ({ overtimeMinutes }) => hoursOf(overtimeMinutes))}
${row(say('plan try crews'), ({ crewsLack }) => crewsLack)}
${row(say('plan try lost'), ({ weeksLost }) => weeksLost)}</tbody></table>`
}

function form(asked: TriedOnPage, weekMinutes: number, { say }: PageWording): Markup {
  const optional = (one: Parameters<typeof fieldOf>[0]) => fieldOf({ step: 'any', ...one, isOptional: true })
  return html`<form class="act" method="get" action="/plan/try">
<input type="hidden" name="depot" value="${asked.depotId}">
${optional({ name: 'hours', label: say('plan try hours'), value: asked.hours ?? hoursOf(weekMinutes), most: 700 })}
${optional({ name: 'closedFrom', label: say('plan try closed from'), value: asked.closedFrom, type: 'date' })}
${optional({ name: 'closedWeeks', label: say('plan try closed weeks'), value: asked.closedWeeks, most: 52 })}
${optional({ name: 'loaners', label: say('plan try loaners'), value: asked.loaners, most: 100 })}
${optional({ name: 'interval', label: say('plan try interval'), value: asked.interval, least: -26, most: 26 })}
<p class="send"><button>${say('plan try see')}</button></p></form>`
}
