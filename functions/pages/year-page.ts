/** The page of a fleet's year: what it came to, what its tests teach of intervals, and lots that stand out. */
import { html } from 'hono/html'
import { sentenceOfLot, sentenceOfLots } from '../../shared-domain/fleet/told.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type AdviceAnswer, mostSticks, type YearAnswer, type YearAsked, yearAndAdviceFor } from '../questions/fleet.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import { addressWith } from './trail.ts'
import type { PageWording } from './wording.ts'
import { type Names, namesIn } from './words.ts'
import { advicePart, type YearPart, yearParts } from './year-parts.ts'

const yearsToChoose = 10

export async function yearPage(asker: Asker, asked: YearAsked, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [directory, { year, advice }] = await Promise.all([directoryFor(asker), yearAndAdviceFor(asker, asked)])
  const names = namesIn(directory)
  const title = say('year of', { year: String(year.year) })
  const depots = wording.list(year.depotIds.map((id) => names.depot(id))) || '–'
  const main = html`<p><a href="/outlook">${say('to the weeks')}</a></p>
<h1>${title}</h1>
<p class="quiet">${say('year told', { ...year.period, depots })}</p>
${year.isAll ? '' : html`<p class="hold">${say('year cut', { sticks: mostSticks })}</p>`}
${choice(year, { asked, directory }, say)}
<p><a href="${addressWith('/outlook/year.csv', { year: String(year.year), depot: asked.depotId })}">
${say('year as file')}</a></p>
${lots(advice, wording)}
${intervals(advice, names, wording)}
${yearParts(year, wording).map(part)}`
  return documentOf({ title, main, here: 'outlook' }, wording)
}

interface Asked {
  readonly asked: YearAsked
  readonly directory: Directory
}

function choice({ year, today }: YearAnswer, { asked, directory }: Asked, say: PageWording['say']): Markup {
  const thisYear = Number(today.slice(0, 4))
  const years = Array.from({ length: yearsToChoose }, (_, i) => String(thisYear - i))
  const chosen = String(year)
  const entries = (years.includes(chosen) ? years : [...years, chosen]).map((one) => [one, one] as const)
  return html`<form class="filter" method="get" action="/outlook/year">
${select({ name: 'year', label: say('year asked'), none: String(thisYear), entries: entries.slice(1), chosen })}
${select({
  name: 'depot',
  label: say('depot'),
  none: say('every depot'),
  entries: directory.depots.map(({ id, name }) => [id, name]),
  chosen: asked.depotId,
})}
<button>${say('show')}</button>
</form>`
}

/** Lots that may hurt somebody stand first. */
function lots({ lots: seen }: AdviceAnswer, { say, told }: PageWording): Markup {
  const none = sentenceOfLots(seen)
  const found = seen.standingOut.map(
    (one) => html`<div class="hold"><p>${told({ code: 'lot', says: sentenceOfLot(one, seen.looked) })}</p>
<p><a class="do" href="${addressWith('/recall/lot', { lot: one.lot })}">
${say('preview recall', { lot: one.lot })}</a></p></div>`,
  )
  return html`<h2>${say('part lots')}</h2>
<p class="quiet">${say('lots told')}</p>
${none === null ? found : html`<p>${told({ code: 'lots', says: none })}</p>`}`
}

function intervals(advice: AdviceAnswer, names: Names, wording: PageWording): Markup {
  const { say } = wording
  const all = advicePart(advice, names, wording)
  const { lotsWithTooFew: left } = advice
  return html`<h2>${all.title}</h2>
<p class="quiet">${say('advice told', { target: Math.round(advice.target * 1000) / 10 })}</p>
${all.rows.length === 0 ? html`<p class="empty">${say('advice none')}</p>` : table(all)}
${left === 0 ? '' : html`<p class="quiet">${say('advice lots left out', { lots: left })}</p>`}`
}

function part(one: YearPart): Markup {
  return html`<h2>${one.title}</h2>
${one.note === undefined ? '' : html`<p class="quiet">${one.note}</p>`}
${table(one)}`
}

function table({ title, head, columns, rows }: YearPart): Markup {
  return html`<div class="wide" role="region" tabindex="0" aria-label="${title}"><table class="year">
<thead><tr><th scope="col">${head}</th>${columns.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody>${rows.map(
    ({ name, cells }) =>
      html`<tr><th scope="row">${name}</th>${cells.map((cell) => html`<td>${cell ?? '–'}</td>`)}</tr>`,
  )}</tbody></table></div>`
}
