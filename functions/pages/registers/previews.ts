/** What would follow from a policy or a procedure that nobody recorded: tables beside the form. */
import { html } from 'hono/html'
import type { CalendarDate } from '../../../shared-domain/calendar.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import type { Tally } from '../../../shared-domain/state/policy-change.ts'
import type { Status, Verdict } from '../../../shared-domain/words.ts'
import { directoryFor } from '../../questions/directory.ts'
import type { Markup } from '../../web/web-page.ts'
import { type Acting, performed } from '../acts/act.ts'
import type { PageWording } from '../wording.ts'
import { date, namesIn, statusMark } from '../words.ts'

/** The most sticks that one look counts, and the most rows that a page shows. */
const mostPages = 4
const mostRows = 200

interface Page<Item> {
  readonly items: readonly Item[]
  readonly next: string | null
}

/** The answers of a request, page by page as far as a page goes; it decides who may ask, and what is wrong with it. */
async function answers<Answer extends Page<unknown>>(path: string, acting: Acting, body: object) {
  const found: Answer[] = []
  for (let cursor: string | null | undefined; cursor !== null && found.length < mostPages; ) {
    const query: Acting['query'] = cursor === undefined ? {} : { cursor }
    const { body: answer } = await performed({ method: 'POST', path }, { ...acting, query }, body)
    found.push(answer as Answer) // the route's own answer
    cursor = (answer as Answer).next
  }
  return { found, isWhole: found.at(-1)?.next === null }
}

interface Stands {
  readonly status: Status
  readonly dueOn: CalendarDate | null
}

interface StickEffect {
  readonly stickId: string
  readonly crewId: string | null
  readonly on: CalendarDate
  readonly inForce: Stands
  readonly proposed: Stands
}

export async function policyPreview(acting: Acting, body: object): Promise<Markup> {
  const { wording, by } = acting
  const { say } = wording
  const { found, isWhole } = await answers<Tally & Page<StickEffect>>('/v1/policies/:id/preview', acting, body)
  const sum = (name: 'sticks' | 'dueEarlier' | 'dueLater' | 'noLongerFit' | 'newlyFit') =>
    found.reduce((all, page) => all + page[name], 0)
  const [sticks, dueEarlier, dueLater] = [sum('sticks'), sum('dueEarlier'), sum('dueLater')]
  const changed = found.flatMap(({ items }) => items)
  const names = namesIn(await directoryFor(by))
  const figures = { sticks, dueEarlier, dueLater, noLongerFit: sum('noLongerFit'), newlyFit: sum('newlyFit') }
  const lines = html`<p>${say('policy would', figures)}</p>
${isWhole ? '' : html`<p class="note">${say('stopped at sticks', { sticks })}</p>`}
${changed.length === 0 && isWhole ? html`<p>${say('nothing would change')}</p>` : ''}`
  const rows = changed.slice(0, mostRows).map(
    ({ stickId, crewId, on, inForce, proposed }) =>
      html`<tr><th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td data-label="${say('crew')}">${crewId === null ? '' : names.crew(crewId)}</td>
<td data-label="${say('due now')}">${stands(inForce, wording)}</td>
<td data-label="${say('due then')}">${stands(proposed, wording)}</td>
<td data-label="${say('on day')}">${date(on, wording)}</td></tr>`,
  )
  const columns = [say('stick'), say('crew'), say('due now'), say('due then'), say('on day')]
  return framed(
    html`${lines}${tableOf(columns, rows, { of: changed.length, wording })}${months(found, wording)}`,
    wording,
  )
}

function stands({ status, dueOn }: Stands, wording: PageWording): Markup {
  const due = dueOn === null ? '' : html`<span class="below">${date(dueOn, wording)}</span>`
  return html`${statusMark({ status }, wording)}${due}`
}

/** How many run out in each month, which is what the bench has to do. */
function months(pages: readonly Tally[], wording: PageWording): Markup | string {
  const { say } = wording
  const names = [...new Set(pages.flatMap(({ dueInMonth }) => Object.keys(dueInMonth)))].sort()
  const sum = (month: string, which: 'inForce' | 'proposed') =>
    pages.reduce((all, { dueInMonth }) => all + (dueInMonth[month]?.[which] ?? 0), 0)
  const rows = names.map(
    (month) => html`<tr><th scope="row">${month}</th>
<td data-label="${say('due now')}">${sum(month, 'inForce')}</td>
<td data-label="${say('due then')}">${sum(month, 'proposed')}</td></tr>`,
  )
  if (rows.length === 0) return ''
  const table = tableOf([say('month'), say('due now'), say('due then')], rows, { of: rows.length, wording })
  return html`<details><summary>${say('months of due')}</summary>${table}</details>`
}

interface FailingTest {
  readonly stickId: string
  readonly factId: string
  readonly testedOn: CalendarDate
  readonly verdict: Verdict
  readonly reasons: readonly Reason[]
}

export async function procedurePreview(acting: Acting, body: object): Promise<Markup> {
  const { wording } = acting
  const path = '/v1/procedures/:id/preview'
  const { found, isWhole } = await answers<Page<FailingTest> & { readonly tests: number }>(path, acting, body)
  const tests = found.reduce((all, page) => all + page.tests, 0)
  const items = found.flatMap((page) => page.items)
  return framed(overMarkup({ tests, items, isWhole }, wording), wording)
}

interface Over {
  readonly tests: number
  readonly items: readonly FailingTest[]
  readonly isWhole: boolean
}

function overMarkup({ tests, items, isWhole }: Over, wording: PageWording): Markup {
  const { say, reason, word } = wording
  const rows = items.slice(0, mostRows).map(({ stickId, factId, testedOn, verdict, reasons }) => {
    const test = `/sticks/${encodeURIComponent(stickId)}/bench-tests/${encodeURIComponent(factId)}`
    const first = reasons.slice(0, 1).map(reason).join('')
    const why = reasons.length < 2 ? first : say('reasons', { what: first, more: reasons.length - 1 })
    return html`<tr><th scope="row"><a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a></th>
<td data-label="${say('tested day')}"><a href="${test}">${date(testedOn, wording)}</a></td>
<td data-label="${say('verdict then')}">${word('verdict', verdict)}</td>
<td data-label="${say('reasons then')}">${why}</td></tr>`
  })
  const columns = [say('stick'), say('tested day'), say('verdict then'), say('reasons then')]
  return html`<p>${say('procedure would', { tests, over: items.length })}</p>
${isWhole ? '' : html`<p class="note">${say('stopped at sticks', { sticks: mostPages * 200 })}</p>`}
${items.length === 0 ? '' : html`<p>${say('judged stays')}</p>`}
${tableOf(columns, rows, { of: items.length, wording })}`
}

function framed(what: Markup, { say }: PageWording): Markup {
  return html`<section class="preview" aria-labelledby="preview" role="status">
<h2 id="preview">${say('would follow')}</h2>
<p>${say('nothing recorded')}</p>${what}</section>`
}

interface Whole {
  readonly of: number
  readonly wording: PageWording
}

function tableOf(columns: readonly string[], rows: readonly Markup[], { of, wording }: Whole): Markup | string {
  if (rows.length === 0) return ''
  const cut =
    of > rows.length ? html`<p class="note">${wording.say('stopped at rows', { rows: rows.length, of })}</p>` : ''
  const heads = columns.map((name) => html`<th scope="col">${name}</th>`)
  return html`${cut}<table class="cards"><thead><tr>${heads}</tr></thead>
<tbody>${rows}</tbody></table>`
}
