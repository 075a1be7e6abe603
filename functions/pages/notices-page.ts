/** The notice log: what was told to whom, when, what became of it, and who of those without e-mail was told face to face. */
import { html } from 'hono/html'
import { addDays, type CalendarDate } from '../../shared-domain/calendar.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
import type { NoticeKind } from '../../shared-domain/notices/notice.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { type MarkedAddress, markedAddressesFor } from '../questions/addresses.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type LogEntry, type LogPage, type LogQuery, noticesFor } from '../questions/notices.ts'
import { todayAt } from '../questions/today.ts'
import type { Markup } from '../web/web-page.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import { date, moment } from './words.ts'

type Notice = LogEntry['notice']

export interface LogChoice extends Pick<LogQuery, 'stick' | 'crew' | 'person' | 'to'> {
  readonly since: CalendarDate | undefined
  /** the place of the last notice of the page before */
  readonly after: string | undefined
}

const daysShown = 90
const mostSticksNamed = 4

const noticesOnPage = 100

export async function noticesPage(asker: Asker, choice: LogChoice): Promise<Markup> {
  const { after = '', ...asked } = choice
  const since = choice.since ?? addDays((await todayAt(asker, null)).today, -daysShown)
  const [directory, log, marks] = await Promise.all([
    directoryFor(asker),
    noticesFor(asker, { ...asked, since, after, limit: noticesOnPage }),
    mayAtAll(asker.caller.role, 'keep addresses') ? markedAddressesFor(asker) : [],
  ])
  return documentOf('Notices', body({ choice, since, directory, log, marks }), 'notices')
}

interface Known {
  readonly choice: LogChoice
  readonly since: CalendarDate
  readonly directory: Directory
  readonly log: LogPage
  readonly marks: readonly MarkedAddress[]
}

function body({ choice, since, directory, log, marks }: Known): Markup {
  const zones: Zones = (notice) => zoneFor(notice, directory)
  const { entries, next } = log
  const further =
    next === null
      ? html`<a href="${linkTo({ ...choice, after: undefined, since: addDays(since, -2 * daysShown) })}">Earlier notices too</a>`
      : html`<a href="${linkTo({ ...choice, since, after: next })}">Next notices</a>`
  return html`<h1>Notices${about(choice)}</h1>
${marks.length === 0 ? '' : markedAddresses(marks, zones(null))}
<form class="filter" method="get" action="/notices">
<label>Stick<input name="stick" value="${choice.stick ?? ''}" autocomplete="off"></label>
${select({ name: 'crew', label: 'Crew', none: 'every crew', entries: directory.crews.map(({ id, name }) => [id, name]), chosen: choice.crew })}
${select({ name: 'person', label: 'Person', none: 'everybody', entries: directory.people.map(({ id, name }) => [id, name]), chosen: choice.person })}
<button>Show</button>
</form>
${entries.length === 0 ? html`<p class="empty">Nothing was told since ${date(since)}.</p>` : table(entries, since, zones)}
<nav class="pages" aria-label="Pages">${further}</nav>`
}

/** Whoever reads mail there hears nothing from this service: the first thing a manager has to see. */
function markedAddresses(marks: readonly MarkedAddress[], zone: string): Markup {
  return html`<section class="hold" aria-labelledby="marked"><h2 id="marked">Nothing is sent to ${marks.length === 1 ? 'this address' : 'these addresses'}</h2>
<ul class="reasons">${marks.map(
    ({ email, why, since, notice }) =>
      html`<li><a href="${linkTo({ to: email })}">${email}</a>: ${marked[why] ?? why}, notice ${notice}, ${moment(since, zone)}</li>`,
  )}</ul>
<p>What is owed there goes to the next person up until a manager clears the mark. Until then, tell its reader by other means.</p></section>`
}

const marked: { readonly [why: string]: string } = {
  bounced: 'mail came back',
  complained: 'its reader reported our mail as unwanted',
}

function about({ stick, to }: LogChoice): string {
  if (stick !== undefined) return ` about stick ${stick}`
  return to === undefined ? '' : ` to ${to}`
}

/** By the clock of the depot of which crew a notice tells its times; of no one crew, by the clock that all depots share. */
type Zones = (notice: Notice | null) => string

function zoneFor(notice: Notice | null, { crews, depots }: Directory): string {
  const crewId = notice?.lines[0]?.crewId
  const depotId = crews.find(({ id }) => id === crewId)?.depotId
  const own = depots.find(({ id }) => id === depotId)?.timeZone
  const [first, ...others] = new Set(depots.map(({ timeZone }) => timeZone))
  return own ?? (others.length === 0 ? first : undefined) ?? 'UTC'
}

function table(entries: readonly LogEntry[], since: CalendarDate, zones: Zones): Markup {
  return html`<table class="cards">
<caption>Owed since ${date(since)}, the newest first. The number stands in each mail’s subject; times are by the clock of the crew’s depot.</caption>
<thead><tr><th scope="col">Number</th><th scope="col">Owed</th><th scope="col">What</th><th scope="col">To</th><th scope="col">Sticks</th><th scope="col">Sent</th><th scope="col">Face to face</th></tr></thead>
<tbody>${entries.map((entry) => row(entry, zones(entry.notice)))}</tbody></table>`
}

function row(entry: LogEntry, zone: string): Markup {
  const { notice } = entry
  return html`<tr><th scope="row">${notice.number}</th>
<td data-label="Owed">${date(notice.day)}</td>
<td data-label="What">${what(entry)}${insteadOf(notice)}</td>
<td data-label="To">${reader(notice)}<span class="days">${notice.to.role}</span></td>
<td data-label="Sticks">${named(notice)}</td>
<td data-label="Sent">${sent(notice, zone)}</td>
<td data-label="Face to face">${faceToFace(entry)}</td></tr>`
}

/** A slip stays to be read, and nobody is to go by it. */
function what({ notice: { kind }, isOfSlip }: LogEntry): Markup {
  if (!isOfSlip) return html`${kinds[kind]}`
  return html`<s>${kinds[kind]}</s><span class="below">A slip, put right since: see the stick’s history</span>`
}

const kinds: { readonly [kind in NoticeKind]: string } = {
  digest: 'Due and overdue',
  hold: 'On hold',
  removal: 'Removed for good',
  return: 'Back in service',
  'used while unfit': 'Used while not fit',
  report: 'Reported, no hold',
  'date brought forward': 'Due date brought forward',
  unanswered: 'Not confirmed by others',
  'not delivered': 'Not delivered to somebody',
  proposal: 'A change that needs two',
  calibration: 'Calibration runs out',
  'put right': 'Record put right',
}

function named({ lines, report, proposal, calibration }: Notice): Markup {
  if (report?.unknownNumber !== undefined) return html`“${report.unknownNumber}”, which no stick has`
  if (proposal !== undefined) return html`${proposal.kind} ${proposal.entryId}`
  if (calibration !== undefined) return html`instrument ${calibration.instrumentId}`
  const more = lines.length - mostSticksNamed
  const links = lines
    .slice(0, mostSticksNamed)
    .map(
      ({ stickId }, i) => html`${i === 0 ? '' : ', '}<a href="/sticks/${encodeURIComponent(stickId)}">${stickId}</a>`,
    )
  return html`${links}${more > 0 ? ` and ${more} more` : ''}`
}

function sent(notice: Notice, zone: string): Markup {
  const { sentAt, trouble } = notice
  const state = shownState[notice.state]
  if (state === 'not delivered')
    return html`<strong>not delivered</strong>${trouble === undefined ? '' : ` – ${trouble}`}`
  if (state === 'withdrawn') return html`<span class="quiet">withdrawn: ${trouble ?? ''}</span>`
  if (sentAt !== undefined) return html`${moment(sentAt, zone)}${delivered(notice, zone)}${answered(notice, zone)}`
  return html`<span class="quiet">not yet</span>`
}

function delivered({ deliveredAt, trouble }: Notice, zone: string): Markup {
  if (deliveredAt !== undefined) return html`<span class="below quiet">delivered ${moment(deliveredAt, zone)}</span>`
  return trouble === undefined ? html`` : html`<span class="below quiet">${trouble}</span>`
}

function insteadOf({ passedOnFor = [], missed }: Notice): Markup {
  if (missed !== undefined)
    return html`<span class="below quiet">${missed.name}${missed.email === null ? '' : html`, ${breakable(missed.email)}`}</span>`
  return passedOnFor.length === 0
    ? html``
    : html`<span class="below quiet">passed on for ${passedOnFor.join(', ')}</span>`
}

function reader({ to: { name, email } }: Notice): Markup {
  return email === null ? html`${name}` : html`<a href="${linkTo({ to: email })}">${name}</a>`
}

/** No word of a table is as long as an address. */
function breakable(email: string): Markup {
  const at = email.lastIndexOf('@') + 1
  return html`${email.slice(0, at)}<wbr>${email.slice(at)}`
}

function answered({ answer, answeredAt }: Notice, zone: string): Markup {
  if (answer === undefined) return html``
  return answeredAt === undefined
    ? html`<span class="below silent">not confirmed as read</span>`
    : html`<span class="below quiet">confirmed ${moment(answeredAt, zone)}</span>`
}

function faceToFace({ notice, inPerson }: LogEntry): Markup {
  const { tellInPerson } = notice.to
  if (tellInPerson.length === 0) return html`<span class="quiet">nobody</span>`
  return html`<ul class="reasons">${tellInPerson.map(({ name, phone }, place) => {
    const told = inPerson[place]
    return told == null
      ? html`<li>${name}, ${phone}: <strong>not told yet</strong></li>`
      : html`<li>${name}: told on ${date(told.toldOn)}, recorded by ${told.by}</li>`
  })}</ul>`
}

function linkTo(choice: Partial<LogChoice>): string {
  const query = new URLSearchParams()
  for (const [name, value] of Object.entries(choice)) if (value !== undefined) query.set(name, value)
  return `/notices?${query}`
}
