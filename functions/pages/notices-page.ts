/** The notice log: what was told to whom, when, what became of it, and who of those without e-mail was told face to face. */
import { html } from 'hono/html'
import { addDays, type CalendarDate } from '../../shared-domain/calendar.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { type MarkedAddress, markedAddressesFor } from '../questions/addresses.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type LogEntry, type LogPage, type LogQuery, noticesFor } from '../questions/notices.ts'
import { todayAt } from '../questions/today.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { headings, select } from './filter.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { date, moment, sharedZone } from './words.ts'

type Notice = LogEntry['notice']

export interface LogChoice extends Pick<LogQuery, 'stick' | 'crew' | 'person' | 'to'> {
  readonly since: CalendarDate | undefined
  /** the place of the last notice of the page before */
  readonly after: string | undefined
}

const daysShown = 90
const mostSticksNamed = 4

const noticesOnPage = 100

export async function noticesPage(asker: Asker, choice: LogChoice, wording: PageWording): Promise<WebDocument> {
  const { after = '', ...asked } = choice
  const since = choice.since ?? addDays((await todayAt(asker, null)).today, -daysShown)
  const [directory, log, marks] = await Promise.all([
    directoryFor(asker),
    noticesFor(asker, { ...asked, since, after, limit: noticesOnPage }),
    mayAtAll(asker.caller.role, 'keep addresses') ? markedAddressesFor(asker) : [],
  ])
  const main = body({ choice, since, directory, log, marks }, wording)
  return documentOf({ title: wording.say('notices'), main, here: 'notices' }, wording)
}

interface Known {
  readonly choice: LogChoice
  readonly since: CalendarDate
  readonly directory: Directory
  readonly log: LogPage
  readonly marks: readonly MarkedAddress[]
}

function body(known: Known, wording: PageWording): Markup {
  const { choice, since, directory, log, marks } = known
  const { say } = wording
  return html`<h1>${headingOf(choice, say)}</h1>
${marks.length === 0 ? '' : markedAddresses(marks, sharedZone(directory), wording)}
<form class="filter" method="get" action="/notices">
<label>${say('stick')}<input name="stick" value="${choice.stick ?? ''}" autocomplete="off"></label>
${select({
  name: 'crew',
  label: say('crew'),
  none: say('every crew'),
  entries: directory.crews.map(({ id, name }) => [id, name]),
  chosen: choice.crew,
})}
${select({
  name: 'person',
  label: say('person'),
  none: say('everybody'),
  entries: directory.people.map(({ id, name }) => [id, name]),
  chosen: choice.person,
})}
<button>${say('show')}</button>
</form>
${log.entries.length === 0 ? html`<p class="empty">${say('notices none', { on: since })}</p>` : table(known, wording)}
<nav class="pages" aria-label="${say('pages')}">${further(known, say)}</nav>`
}

function further({ choice, since, log: { next } }: Known, say: PageWording['say']): Markup {
  if (next !== null) return html`<a href="${linkTo({ ...choice, since, after: next })}">${say('next notices')}</a>`
  const earlier = linkTo({ ...choice, after: undefined, since: addDays(since, -2 * daysShown) })
  return html`<a href="${earlier}">${say('earlier notices')}</a>`
}

/** Whoever reads mail there hears nothing from this service: the first thing a manager has to see. */
function markedAddresses(marks: readonly MarkedAddress[], zone: string, wording: PageWording): Markup {
  const { say } = wording
  const lines = marks.map(({ email, why, since, notice: number }) => {
    const when = moment(since, zone, wording)
    const known = why === 'bounced' || why === 'complained'
    const what = known ? say(`address ${why}`, { number, when }) : say('address otherwise', { why, number, when })
    return html`<li><a href="${linkTo({ to: email })}">${email}</a>: ${what}</li>`
  })
  return html`<section class="hold" aria-labelledby="marked">
<h2 id="marked">${say('addresses lost', { addresses: marks.length })}</h2>
<p>${say('do addresses lost')}</p>
<ul class="reasons">${lines}</ul></section>`
}

function headingOf({ stick, to }: LogChoice, say: PageWording['say']): string {
  if (stick !== undefined) return say('notices of', { stick })
  return to === undefined ? say('notices') : say('notices to', { to })
}

/** By the clock of the depot of which crew a notice tells its times; of no one crew, by the clock that all share. */
function zoneFor(notice: Notice, directory: Directory): string {
  const crewId = notice.lines[0]?.crewId
  const depotId = directory.crews.find(({ id }) => id === crewId)?.depotId
  return directory.depots.find(({ id }) => id === depotId)?.timeZone ?? sharedZone(directory)
}

const columns = ['number', 'told on', 'what', 'to', 'sticks', 'sent', 'in person'] as const

function table({ log: { entries }, since, directory }: Known, wording: PageWording): Markup {
  return html`<table class="cards">
<caption>${wording.say('notices caption', { on: since })}</caption>
${headings(columns, wording)}
<tbody>${entries.map((entry) => row(entry, zoneFor(entry.notice, directory), wording))}</tbody></table>`
}

function row(entry: LogEntry, zone: string, wording: PageWording): Markup {
  const { notice } = entry
  const { say, word } = wording
  const { role } = notice.to
  return html`<tr><th scope="row">${notice.number}</th>
<td data-label="${say('told on')}">${date(notice.day, wording)}</td>
<td data-label="${say('what')}">${what(entry, say)}${askedFor(notice, wording)}${insteadOf(notice, wording)}</td>
<td data-label="${say('to')}">${reader(notice)}<span class="days">${word('role', role)}</span></td>
<td data-label="${say('sticks')}" class="sticks">${named(notice, say)}</td>
<td data-label="${say('sent')}">${sent(notice, zone, wording)}</td>
<td data-label="${say('in person')}">${inPersonOf(entry, say)}</td></tr>`
}

/** Whoever asked for a reminder, and when. */
function askedFor({ reminder }: Notice, { say }: PageWording): Markup {
  if (reminder === undefined) return html``
  const { by, on, at } = reminder
  return html`<span class="below">${say('notice asked for', { by, on, at })}</span>`
}

/** A slip stays to be read, and nobody is to go by it. */
function what({ notice: { kind }, isOfSlip }: LogEntry, say: PageWording['say']): Markup {
  const name = say(`notice ${kind}`)
  if (!isOfSlip) return html`${name}`
  return html`<s>${name}</s><span class="below">${say('notice of slip')}</span>`
}

function named({ lines, report, proposal, calibration }: Notice, say: PageWording['say']): Markup {
  if (report?.unknownNumber !== undefined) return html`${say('number of no stick', { number: report.unknownNumber })}`
  if (proposal !== undefined) return html`${ofProposal(proposal, say)}`
  if (calibration !== undefined) return html`${say('of instrument', { id: calibration.instrumentId })}`
  const more = lines.length - mostSticksNamed
  const links = lines
    .slice(0, mostSticksNamed)
    .map(
      ({ stickId }, i) => html`${i === 0 ? '' : ', '}<a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a>`,
    )
  return more > 0 ? html`${links} ${say('more sticks', { more })}` : html`${links}`
}

function ofProposal({ kind, entryId }: NonNullable<Notice['proposal']>, say: PageWording['say']): string {
  return kind === 'policy' ? say('change of policy') : say(`change of ${kind}`, { id: entryId })
}

function sent(notice: Notice, zone: string, wording: PageWording): Markup {
  const { sentAt, undeliveredWhy: why, trouble } = notice
  const { say } = wording
  const state = shownState[notice.state]
  if (state === 'not delivered') {
    const because = say(why === undefined ? 'not delivered' : `undelivered ${why}`)
    return html`<strong>${because}</strong>${recorded(trouble, say)}`
  }
  if (state === 'withdrawn') return html`<span class="quiet">${say('withdrawn before sent')}</span>`
  if (sentAt === undefined) return html`<span class="quiet">${say('not sent yet')}</span>`
  return html`${moment(sentAt, zone, wording)}${delivered(notice, zone, wording)}${answered(notice, zone, wording)}`
}

/** In the words of the mail service. */
function recorded(trouble: string | undefined, say: PageWording['say']): Markup | string {
  return trouble === undefined ? '' : html`<span class="below quiet">${say('recorded', { text: trouble })}</span>`
}

function delivered({ deliveredAt, trouble }: Notice, zone: string, wording: PageWording): Markup | string {
  if (deliveredAt === undefined) return recorded(trouble, wording.say)
  const when = moment(deliveredAt, zone, wording)
  return html`<span class="below quiet">${wording.say('was delivered', { when })}</span>`
}

function insteadOf({ passedOnFor = [], missed }: Notice, { say, list }: PageWording): Markup | string {
  if (missed !== undefined)
    return html`<span class="below quiet">${missed.name}${missed.email === null ? '' : html`, ${breakable(missed.email)}`}</span>`
  if (passedOnFor.length === 0) return ''
  return html`<span class="below quiet">${say('passed on for', { names: list(passedOnFor) })}</span>`
}

function reader({ to: { name, email } }: Notice): Markup {
  return email === null ? html`${name}` : html`<a href="${linkTo({ to: email })}">${name}</a>`
}

/** No word of a table is as long as an address. */
function breakable(email: string): Markup {
  const at = email.lastIndexOf('@') + 1
  return html`${email.slice(0, at)}<wbr>${email.slice(at)}`
}

function answered({ answer, answeredAt }: Notice, zone: string, wording: PageWording): Markup | string {
  const { say } = wording
  if (answer === undefined) return ''
  if (answeredAt === undefined) return html`<span class="below silent">${say('not confirmed')}</span>`
  return html`<span class="below quiet">${say('was confirmed', { when: moment(answeredAt, zone, wording) })}</span>`
}

function inPersonOf({ notice, inPerson }: LogEntry, say: PageWording['say']): Markup {
  const { tellInPerson } = notice.to
  if (tellInPerson.length === 0) return html`<span class="quiet">${say('nobody in person')}</span>`
  return html`<ul class="reasons">${tellInPerson.map(({ name, phone }, place) => {
    const told = inPerson[place]
    return told == null
      ? html`<li>${say('not told in person', { name, phone })} <strong>${say('not told yet')}</strong></li>`
      : html`<li>${say('told in person', { name, on: told.toldOn, by: told.by })}</li>`
  })}</ul>`
}

function linkTo(choice: Partial<LogChoice>): string {
  const query = new URLSearchParams()
  for (const [name, value] of Object.entries(choice)) if (value !== undefined) query.set(name, value)
  return `/notices?${query}`
}
