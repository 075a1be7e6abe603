/**
 * The notice log: what was told, when, to whom, what became of it, and who of those without e-mail was told face to
 * face. All readers of a notice stand in one row.
 */
import { html } from 'hono/html'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { type MarkedAddress, markedAddressesFor } from '../questions/addresses.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type FoldPage, foldedNoticesFor } from '../questions/notice-folds.ts'
import type { LogEntry } from '../questions/notices.ts'
import { stickCalled } from '../questions/sticks.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { headings, select } from './filter.ts'
import { documentOf } from './layout.ts'
import { addressWith, type Trail, turning } from './trail.ts'
import type { PageWording } from './wording.ts'
import { moment, sharedZone } from './words.ts'

type Say = PageWording['say']
type Notice = LogEntry['notice']
type Fold = FoldPage['folds'][number]

export interface LogChoice {
  /** as somebody typed it */
  readonly stick: string | undefined
  readonly crew: string | undefined
  readonly person: string | undefined
  readonly to: string | undefined
  readonly since: CalendarDate | undefined
  readonly trail: Trail
  /** choices that have not the form of what they name */
  readonly unknown: readonly ('no such crew' | 'no such person' | 'no such address' | 'no such date')[]
}

const mostSticksNamed = 4
const noticesOnPage = 25
const mostAddresses = 20
const mostConfirmersNamed = 3

export async function noticesPage(asker: Asker, choice: LogChoice, wording: PageWording): Promise<WebDocument> {
  const [directory, called, marks] = await Promise.all([
    directoryFor(asker),
    choice.stick === undefined ? undefined : stickCalled(asker, choice.stick),
    mayAtAll(asker.caller.role, 'keep addresses') ? markedAddressesFor(asker) : [],
  ])
  const stick = typeof called === 'object' ? called.stickId : undefined
  const said = whyNothing({ choice, directory, called }, wording.say)
  const { crew, person, to, since, trail } = choice
  const asked = { stick, crew, person, to, since, after: trail.after ?? '', limit: noticesOnPage }
  // to show everything would answer another question
  const log = said.length > 0 ? { folds: [], next: null } : await foldedNoticesFor(asker, asked)
  const main = body({ choice, stick, said, directory, log, marks }, wording)
  return documentOf({ title: wording.say('notices'), main, here: 'notices' }, wording)
}

interface Called {
  readonly choice: LogChoice
  readonly directory: Directory
  readonly called: Awaited<ReturnType<typeof stickCalled>> | undefined
}

const longestName = 64

/** What was typed or followed, and names nothing: the form is kept, and says so. */
function whyNothing({ choice, directory, called }: Called, say: Say): string[] {
  const { crew, person, unknown } = choice
  const name = (choice.stick ?? '').slice(0, longestName)
  const isUnknown = (id: string | undefined, among: readonly { readonly id: string }[]) =>
    id !== undefined && among.length > 0 && !among.some((one) => one.id === id)
  return [
    ...(called === 'unknown' ? [say('no stick called', { name })] : []),
    ...(called === 'not yours' ? [say('not your stick', { name })] : []),
    ...unknown.map((one) => say(one)),
    ...(isUnknown(crew, directory.crews) ? [say('no such crew')] : []),
    ...(isUnknown(person, directory.people) ? [say('no such person')] : []),
  ]
}

interface Known {
  readonly choice: LogChoice
  /** the number of the stick that was typed, as it is written */
  readonly stick: string | undefined
  /** why there is nothing to show */
  readonly said: readonly string[]
  readonly directory: Directory
  readonly log: FoldPage
  readonly marks: readonly MarkedAddress[]
}

function body(known: Known, wording: PageWording): Markup {
  const { choice, stick, said, directory, log, marks } = known
  const { say } = wording
  const { crew, person, to, since, trail } = choice
  return html`<h1>${headingOf(known, say)}</h1>
${marks.length === 0 || trail.after !== undefined ? '' : markedAddresses(marks, sharedZone(directory), wording)}
${said.map((one) => html`<p class="said">${one}</p>`)}
<form class="filter" method="get" action="/notices">
<label>${say('stick')}<input name="stick" value="${stick ?? choice.stick ?? ''}" autocomplete="off"></label>
${select({
  name: 'crew',
  label: say('crew'),
  none: say('every crew'),
  entries: directory.crews.map(({ id, name }) => [id, name]),
  chosen: crew,
})}
${select({
  name: 'person',
  label: say('person'),
  none: say('everybody'),
  entries: directory.people.map(({ id, name }) => [id, name]),
  chosen: person,
})}
<button>${say('show')}</button>
</form>
${log.folds.length === 0 ? empty(known, say) : table(known, wording)}
${turning(
  {
    trail,
    next: log.next,
    path: '/notices',
    query: { stick, crew, person, to, since },
    names: { previous: say('previous notices'), next: say('next notices'), first: say('newest notices') },
  },
  wording,
)}`
}

/** A page that looked through a great many and found none has a next one all the same. */
function empty({ said, log }: Known, say: Say): Markup {
  if (said.length > 0) return html`<p><a href="/notices">${say('show all notices')}</a></p>`
  const all = log.next === null ? html` <a href="/notices">${say('show all notices')}</a>` : ''
  return html`<p class="empty">${say('log empty')}${all}</p>`
}

/** Whoever reads mail there hears nothing from this service: the first thing a manager has to see. */
function markedAddresses(marks: readonly MarkedAddress[], zone: string, wording: PageWording): Markup {
  const { say } = wording
  const more = marks.length - mostAddresses
  const lines = marks.slice(0, mostAddresses).map(({ email, why, since, notice: number }) => {
    const when = moment(since, zone, wording)
    const known = why === 'bounced' || why === 'complained'
    const what = known ? say(`address ${why}`, { number, when }) : say('address otherwise', { why, number, when })
    return html`<li><a href="${addressWith('/notices', { to: email })}">${email}</a>: ${what}
${clearing(email, say)}</li>`
  })
  return html`<section class="hold" aria-labelledby="marked">
<h2 id="marked">${say('addresses lost', { addresses: marks.length })}</h2>
<p>${say('do addresses lost')}</p>
<ul class="reasons">${lines}${more > 0 ? html`<li>${say('more addresses', { more })}</li>` : ''}</ul></section>`
}

function clearing(email: string, say: Say): Markup {
  const path = addressWith('/marked-addresses/clear', { email })
  return html`<a class="do" href="${path}">${say('offer clear')}<span class="unseen"> (${email})</span></a>`
}

function headingOf({ stick, choice: { to } }: Known, say: Say): string {
  if (stick !== undefined) return say('notices of', { stick })
  return to === undefined ? say('notices') : say('notices to', { to })
}

/** By the clock of the depot of which crew a notice tells its times; of no one crew, by the clock that all share. */
function zoneFor(notice: Notice, directory: Directory): string {
  const crewId = notice.lines[0]?.crewId
  const depotId = directory.crews.find(({ id }) => id === crewId)?.depotId
  return directory.depots.find(({ id }) => id === depotId)?.timeZone ?? sharedZone(directory)
}

const columns = ['told at', 'what', 'sticks', 'readers and outcome'] as const

function table({ log: { folds }, choice: { since }, directory, marks }: Known, wording: PageWording): Markup {
  const { say } = wording
  const marked = new Set(marks.map(({ email }) => sameMailbox(email)))
  const shown = (fold: Fold) => row(fold, { zone: zoneFor(fold[0].notice, directory), marked }, wording)
  return html`<table class="cards">
<caption>${since === undefined ? say('log caption') : say('log caption since', { on: since })}</caption>
${headings(columns, wording)}
<tbody>${folds.map(shown)}</tbody></table>`
}

/** What a row is told by. */
interface Told {
  readonly zone: string
  /** mailboxes to which nothing is sent until somebody clears them */
  readonly marked: ReadonlySet<string>
}

function row(fold: Fold, told: Told, wording: PageWording): Markup {
  const { zone } = told
  const [first] = fold
  const { say } = wording
  return html`<tr><th scope="row" class="when">${moment(first.notice.owedAt, zone, wording)}</th>
<td data-label="${say('what')}">${what(first, say)}
${askedFor(first.notice, wording)}${insteadOf(first.notice, wording)}</td>
<td data-label="${say('sticks')}" class="sticks">${named(first.notice, say)}</td>
<td data-label="${say('readers and outcome')}">${readersOf(fold, told, wording)}</td></tr>`
}

/** Whoever it did not reach, or has still to tell somebody face to face, stands open; the others are folded away. */
function readersOf(fold: Fold, told: Told, wording: PageWording): Markup {
  const { say } = wording
  const lines = (entries: readonly LogEntry[]) =>
    html`<ul class="readers">${entries.map((entry) => html`<li>${reader(entry, told, wording)}</li>`)}</ul>`
  if (fold.length === 1) return lines(fold)
  const open = fold.filter(isToBeSeenTo)
  const others = fold.filter((entry) => !isToBeSeenTo(entry))
  const folded =
    others.length === 0
      ? ''
      : html`<details class="readers"><summary>${say('readers', { readers: others.length })}</summary>
${lines(others)}</details>`
  return html`${outcome(fold, wording)}${open.length === 0 ? '' : lines(open)}${folded}`
}

function isToBeSeenTo({ notice, inPerson }: LogEntry): boolean {
  const isUntold = notice.to.tellInPerson.some((_, place) => inPerson[place] == null)
  return isUntold || ['not delivered', 'unknown'].includes(shownState[notice.state])
}

/** One of those who are asked speaks for all. */
function outcome(fold: Fold, { say, list }: PageWording): Markup {
  const sentTo = fold.filter(({ notice }) => notice.sentAt !== undefined).length
  const asked = fold.filter(({ notice }) => notice.answer !== undefined)
  const confirmed = asked.filter(({ notice }) => notice.answeredAt !== undefined).map(({ notice }) => notice.to.name)
  const names = list(confirmed.slice(0, mostConfirmersNamed))
  const all = sentTo === fold.length ? say('sent to all') : say('sent to some', { sent: sentTo })
  const sent = sentTo === 0 ? sentToNobody(fold, say) : all
  const answer =
    asked.length === 0
      ? ''
      : confirmed.length === 0
        ? html`, <strong class="silent">${say('confirmed by nobody')}</strong>`
        : html`, ${say('confirmed by', { names })}`
  return html`<span class="outcome">${sent}${answer}</span>`
}

function sentToNobody(fold: Fold, say: Say): string {
  const states = new Set(fold.map(({ notice }) => shownState[notice.state]))
  if (states.has('owed')) return say('not sent yet')
  if (states.has('unknown')) return say('unknown whether sent')
  return states.has('not delivered') ? say('not delivered') : say('withdrawn before sent')
}

/** One reader: who, under which number, what became of the mail, and whom they are to tell. */
function reader(entry: LogEntry, { zone, marked }: Told, wording: PageWording): Markup {
  const { notice } = entry
  const { to, number } = notice
  const { email } = to
  const isLost = shownState[notice.state] === 'not delivered' && email !== null && marked.has(sameMailbox(email))
  return html`${nameOf(notice)} <span class="quiet">${wording.word('role', to.role)}, ${number}</span>:
${sent(notice, zone, wording)} ${isLost ? clearing(email, wording.say) : ''}
${inPersonOf(entry, wording.say)}`
}

/** Whoever asked for a reminder, and when. */
function askedFor({ reminder }: Notice, { say }: PageWording): Markup {
  if (reminder === undefined) return html``
  const { by, on, at } = reminder
  return html`<span class="below">${say('notice asked for', { by, on, at })}</span>`
}

/** A slip stays to be read, and nobody is to go by it. */
function what({ notice: { kind }, isOfSlip }: LogEntry, say: Say): Markup {
  const name = say(`notice ${kind}`)
  if (!isOfSlip) return html`${name}`
  return html`<s>${name}</s><span class="below">${say('notice of slip')}</span>`
}

function named({ lines, report, proposal, calibration }: Notice, say: Say): Markup {
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

function ofProposal({ kind, entryId }: NonNullable<Notice['proposal']>, say: Say): string {
  return kind === 'policy' ? say('change of policy') : say(`change of ${kind}`, { id: entryId })
}

function whyNotSent({ state }: Notice): 'sent anew' | 'left unsent' | 'withdrawn before sent' {
  return state === 'sent anew' || state === 'left unsent' ? state : 'withdrawn before sent'
}

function sent(notice: Notice, zone: string, wording: PageWording): Markup {
  const { sentAt, undeliveredWhy: why, trouble } = notice
  const { say } = wording
  const state = shownState[notice.state]
  if (state === 'not delivered') {
    const because = say(why === undefined ? 'not delivered' : `undelivered ${why}`)
    return html`<strong>${because}</strong>${recorded(trouble, say)}`
  }
  if (state === 'unknown') return html`<strong>${say('unknown whether sent')}</strong>`
  if (state === 'withdrawn') return html`<span class="quiet">${say(whyNotSent(notice))}</span>`
  if (sentAt === undefined) return html`<span class="quiet">${say('not sent yet')}</span>`
  const when = moment(sentAt, zone, wording)
  return html`${say('sent at', { when })}${delivered(notice, zone, wording)}${answered(notice, zone, wording)}`
}

/** In the words of the mail service. */
function recorded(trouble: string | undefined, say: Say): Markup | string {
  return trouble === undefined ? '' : html`<span class="below quiet">${say('recorded', { text: trouble })}</span>`
}

function delivered({ deliveredAt, trouble }: Notice, zone: string, wording: PageWording): Markup | string {
  if (deliveredAt === undefined) return recorded(trouble, wording.say)
  const when = moment(deliveredAt, zone, wording)
  return html`<span class="below quiet">${wording.say('was delivered', { when })}</span>`
}

function insteadOf({ passedOnFor = [], missed }: Notice, { say, list }: PageWording): Markup | string {
  if (missed !== undefined) {
    const email = missed.email === null ? '' : html`, ${breakable(missed.email)}`
    return html`<span class="below quiet">${missed.name}${email}</span>`
  }
  if (passedOnFor.length === 0) return ''
  return html`<span class="below quiet">${say('passed on for', { names: list(passedOnFor) })}</span>`
}

function nameOf({ to: { name, email } }: Notice): Markup {
  return email === null ? html`${name}` : html`<a href="${addressWith('/notices', { to: email })}">${name}</a>`
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

function inPersonOf({ notice, inPerson }: LogEntry, say: Say): Markup | string {
  const { number, to } = notice
  const { tellInPerson } = to
  if (tellInPerson.length === 0) return ''
  return html`<ul class="reasons">${tellInPerson.map(({ name, phone }, place) => {
    const told = inPerson[place]
    const isOneOfTwo = tellInPerson.filter((one) => one.name === name).length > 1
    const path = addressWith(`/notices/${encodeURIComponent(number)}/told`, isOneOfTwo ? { name, phone } : { name })
    return told == null
      ? html`<li>${say('not told in person', { name, phone })} <strong>${say('not told yet')}</strong>
<a class="do" href="${path}">${say('offer told', { name })}</a></li>`
      : html`<li>${say('told in person', { name, on: told.toldOn, by: told.by })}</li>`
  })}</ul>`
}
