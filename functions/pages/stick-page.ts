/** One stick: where it stands and why, its clocks, its holds and what clears them, and its whole history. */

import { html } from 'hono/html'
import { testerInWords } from '../../shared-domain/bench-test/bench-test.ts'
import type { Judgement } from '../../shared-domain/bench-test/judge.ts'
import { worstFirst } from '../../shared-domain/bench-test/worst-first.ts'
import { type CalendarDate, inWords } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Clock } from '../../shared-domain/policy/clocks.ts'
import { slipNames } from '../../shared-domain/slip.ts'
import type { Hold } from '../../shared-domain/state/hold.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { type CorrectedFact, correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { isDated } from '../../shared-domain/state/use.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { Construction } from '../../shared-domain/words.ts'
import type { ToldTest } from '../questions/accounts.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type StickSheet, sheetFor } from '../questions/sticks.ts'
import type { Markup } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import { survey, verdictLine } from './test-page.ts'
import { wording } from './wording.ts'
import { date, dueFor, moment, type Names, namesIn, order, statusMark, where, wrongLabel } from './words.ts'

const factsOnPage = 50

export async function stickPage(asker: Asker, stickId: string, past: number): Promise<Markup> {
  const [sheet, directory] = await Promise.all([sheetFor(asker, stickId), directoryFor(asker)])
  return documentOf(`Stick ${stickId}`, body(sheet, namesIn(directory), past))
}

/** `past`: how many of the newest facts were seen already. */
function body(sheet: StickSheet, names: Names, past: number): Markup {
  const { stick, standing, silent, last } = sheet
  return html`<h1>Stick ${stick.stickId}</h1>
${order(standing.status)}
<p class="lead">${statusMark(standing)} ${lead(standing)}</p>
${labelWarning(standing)}
${standing.status !== 'on hold' ? '' : html`<h2>Holds, and what alone clears each</h2>${worstHoldFirst(standing.holds).map(holdBox)}`}
${notConfirmedBy(silent)}
${lastTest(last, stick.stickId, standing)}
<h2>Clocks</h2>
${clockTable(sheet)}
<h2>What it is</h2>
${description(sheet, names)}
<h2 id="history">History</h2>
${historyTable(sheet, names, past)}
<p><a href="/notices?stick=${encodeURIComponent(stick.stickId)}">What was told of it, and to whom</a></p>`
}

function lead(standing: Standing): string {
  const { status, holds } = standing
  const why = wording.why(standing)
  if (status === 'removed from service') return `It is out of service for good, and no test brings it back. ${why}`
  if (status !== 'on hold') return why
  return `${holds.length === 1 ? 'One hold stands' : `${holds.length} holds stand`} against it.`
}

function labelWarning(standing: Standing): Markup | string {
  const label = wrongLabel(standing)
  return label === null ? '' : html`<p><strong>${label}</strong></p>`
}

function notConfirmedBy(silent: StickSheet['silent']): Markup | string {
  if (silent.length === 0) return ''
  return html`<p><strong>Not confirmed as read by:</strong> ${[...new Set(silent.map(({ name, role }) => `${name} (${role})`))].join(', ')}.</p>`
}

function holdBox(hold: Hold): Markup {
  const said = wording.hold(hold)
  return html`<div class="hold"><p><strong>${said.text}.</strong>${hold.since === null ? '' : html` <span class="quiet">Since ${date(hold.since)}.</span>`}</p>
<p>Cleared by: ${said.clearedBy}.</p></div>`
}

function description({ stick: { state }, standing, day }: StickSheet, names: Names): Markup {
  const stick = registrationOn(state, day)?.stick
  const rows: [string, unknown][] = [
    ['Where', where(state, names)],
    ['Crew told of it', state.crewId === null ? 'none; its depot’s managers are told' : names.crew(state.crewId)],
    ['Construction', stick === undefined ? 'unknown' : spelt(stick.construction)],
    ['Working length', stick === undefined ? 'unknown' : `${stick.workingLengthMetres} m`],
    ['Diameter', stick === undefined ? 'unknown' : `${stick.diameterMillimetres} mm`],
    ['Primary protection', stick?.primaryProtection ? 'yes, relied on for it' : 'not relied on for it'],
  ]
  if (stick?.sections !== undefined) {
    const sections = stick.sections.map((one) => `${one.name} ${one.lengthMetres} m`).join(', ')
    rows.push(['Sections', `${sections}, in order from the working end`])
  }
  if (stick?.lot !== undefined) rows.push(['Lot', stick.lot])
  if (standing.label !== undefined) rows.push(['Label', labelled(standing.label)])
  if (stick?.inServiceSince !== undefined) rows.push(['In use since', date(stick.inServiceSince)])
  return html`<dl class="facts">${rows.map(([name, value]) => html`<dt>${name}</dt><dd>${value}</dd>`)}</dl>`
}

function labelled({ shows, since }: NonNullable<Standing['label']>): Markup {
  return shows === null ? html`taken off on ${date(since)}` : html`shows ${date(shows)}, fixed on ${date(since)}`
}

function spelt(construction: Construction): string {
  return construction.includes('FRP') ? `${construction}; fibreglass-reinforced plastic (FRP)` : construction
}

function clockTable({ standing, day }: StickSheet): Markup {
  if (standing.clocks.length === 0) return html`<p class="empty">No requirement with an interval applies to it.</p>`
  return html`<table class="cards"><thead><tr><th scope="col">Duty</th><th scope="col">Source</th><th scope="col">Evidence of</th><th scope="col">Due</th></tr></thead>
<tbody>${standing.clocks.map(
    (
      clock,
    ) => html`<tr><td data-label="Duty">${clock.words}${clock.requirement === standing.governedBy?.requirement && standing.clocks.length > 1 ? html` <strong>(governs)</strong>` : ''}</td>
<td data-label="Source">${clock.source}</td>
<td data-label="Evidence of">${clock.since === null ? html`<span class="quiet">none yet</span>` : date(clock.since)}</td>
<td data-label="Due">${due(clock, standing, day)}</td></tr>`,
  )}</tbody></table>`
}

function due(clock: Clock, standing: Standing, today: CalendarDate): Markup {
  if (!isDated(standing.status) || clock.dueOn !== null) return dueFor(standing.status, clock.dueOn, today)
  if (clock.since === null) return html`<span class="quiet">not fit before its first test</span>`
  if (clock.useDaysLeft === undefined) return html`<span class="quiet">does not run out</span>`
  const { expected } = clock
  const left = html`after ${clock.useDaysLeft} more days of use`
  if (expected === undefined) return left
  return html`${left}<span class="days">likely about ${date(expected.on)}, between ${date(expected.earliest)} and ${date(expected.latest)}, as it was used of late</span>`
}

function lastTest(last: ToldTest | undefined, stickId: string, standing: Standing): Markup | string {
  if (last === undefined || last.account.strips.length === 0) return ''
  return html`<h2>Last bench test, <a href="${linkTo(stickId, last.fact.factId)}">${date(last.fact.occurredOn)}</a></h2>
${verdictLine(last, standing)}
${survey(last.account)}`
}

const linkTo = (stickId: string, factId: string) =>
  `/sticks/${encodeURIComponent(stickId)}/bench-tests/${encodeURIComponent(factId)}`

function historyTable({ stick: { stickId }, facts, zone }: StickSheet, names: Names, past: number): Markup {
  const slips = correctionsBySlip(facts)
  const telling = { names, stickId, facts }
  const newestFirst = inOrder(asJudgedNow(facts))
    .map(({ fact }) => fact)
    .reverse()
  const next = past + factsOnPage
  const earlier = html`<nav class="pages" aria-label="Pages"><a href="/sticks/${encodeURIComponent(stickId)}?past=${next}#history">Earlier history</a></nav>`
  return html`<table class="cards"><thead><tr><th scope="col">Day</th><th scope="col">What happened</th><th scope="col">Recorded</th></tr></thead>
<tbody>${newestFirst.slice(past, next).map(
    (
      fact,
    ) => html`<tr><td data-label="Day">${date(fact.occurredOn)}${fact.at === undefined ? '' : html`<span class="days">${fact.at}</span>`}</td>
<td data-label="What happened">${struckOr(fact, slips.get(fact.factId), telling)}</td>
<td data-label="Recorded" class="quiet">by ${fact.recordedBy}, ${moment(fact.recordedAt, zone)}</td></tr>`,
  )}</tbody></table>${next < newestFirst.length ? earlier : ''}`
}

interface Telling {
  readonly names: Names
  readonly stickId: string
  readonly facts: readonly RecordedFact[]
}

function told(fact: RecordedFact, { names, stickId, facts: history }: Telling): Markup | string {
  switch (fact.kind) {
    case 'registered':
      return `Entered on the register: ${fact.stick.construction}, ${fact.stick.workingLengthMetres} m`
    case 'tested':
      return html`<a href="${linkTo(stickId, fact.factId)}"><strong>Bench test: ${fact.judgement.verdict}</strong></a>${firstVerdict(fact.factId, fact.judgedAgain, history)} (${fact.test.reason}), by ${testerInWords(fact.test.testedBy)}${reasons(fact.judgement)}`
    case 'judged again':
      return judgedAgain(fact, stickId, history)
    case 'corrected':
      return corrected(fact, history)
    case 'corrective step':
      return `${fact.step.kind[0]?.toUpperCase()}${fact.step.kind.slice(1)} by ${fact.step.by}`
    case 'used':
      return `Used, ${fact.use.days === 1 ? '1 day' : `${fact.use.days} days`}${fact.use.conditions.length === 0 ? '' : `: ${fact.use.conditions.join(', ')}`}`
    case 'defect reported':
      return `Reported from use: ${fact.defect.kind}${fact.defect.note ? ` – ${fact.defect.note}` : ''}`
    case 'certificate received':
      return `Maker’s certificate received, from ${fact.certificate.issuedBy}`
    case 'condition checked':
      return `Condition checked by ${fact.check.by}: ${fact.check.sound ? 'sound' : 'not sound'}${fact.check.note ? ` – ${fact.check.note}` : ''}`
    case 'released':
      return 'Released by a second person'
    case 'moved':
      return moved(fact.move.to, names)
    case 'removed':
      return `Removed by decision: ${fact.removal.reason}${fact.removal.note ? ` – ${fact.removal.note}` : ''}`
    case 'label changed':
      return labelChanged(fact.label)
  }
}

/** A slip stays to be read, and nobody is to go by it. */
function struckOr(fact: RecordedFact, correction: CorrectedFact | undefined, telling: Telling): Markup {
  const said = told(fact, telling)
  if (correction === undefined) return html`${said}${standsFor(fact)}`
  const { reason, recordedBy, approvedBy, instead } = correction
  const who = approvedBy === undefined ? recordedBy : `${recordedBy}, approved by ${approvedBy}`
  return html`<s>${said}</s><span class="below"><strong>A slip</strong>, put right by ${who}: ${reason}. ${standsInstead(instead, telling)}</span>`
}

const standsFor = ({ standsFor: slip }: RecordedFact): Markup | string =>
  slip === undefined ? '' : html`<span class="below quiet">stands in place of a slip</span>`

function standsInstead(instead: CorrectedFact['instead'], { stickId, facts }: Telling): Markup | string {
  if (instead === null) return 'Nothing stands in its place.'
  if (instead.stickId !== stickId)
    return html`It belongs to <a href="/sticks/${encodeURIComponent(instead.stickId)}">stick ${instead.stickId}</a>.`
  const stands = facts.find(({ factId }) => factId === instead.factId)
  return stands === undefined ? '' : html`In its place stands what is recorded of ${date(stands.occurredOn)}.`
}

function corrected({ corrects, undoes }: CorrectedFact, history: readonly RecordedFact[]): string {
  const slip = history.find(({ factId }) => factId === corrects)
  const what = slip === undefined ? 'Something' : slipNames[slip.kind].replace(/^the /, 'The ')
  const when = slip === undefined ? '' : ` of ${inWords(slip.occurredOn)}`
  const test = undoes === undefined ? '' : ` With it its ${undoes} is undone: it waits for a full test.`
  return `${what}${when} was a slip and is put right.${test}`
}

/** The verdict of now goes first: nobody is to read an old one as if it stood. */
function firstVerdict(factId: string, again: object | undefined, history: readonly RecordedFact[]): string {
  const first = history.find((fact) => fact.factId === factId)
  return again === undefined || first?.kind !== 'tested' ? '' : `, judged again; at first ${first.judgement.verdict}`
}

function judgedAgain(
  { judges, again, judgement }: RecordedFact & { kind: 'judged again' },
  stickId: string,
  history: readonly RecordedFact[],
): Markup {
  const test = history.find((fact) => fact.factId === judges)
  return html`<a href="${linkTo(stickId, judges)}">Bench test${test === undefined ? '' : html` of ${date(test.occurredOn)}`}</a> judged again: <strong>${judgement.verdict}</strong>, because ${again.reason}`
}

function labelChanged(label: (RecordedFact & { kind: 'label changed' })['label']): Markup {
  const note = label.note ? ` – ${label.note}` : ''
  return label.kind === 'fixed'
    ? html`Label fixed that shows ${date(label.shows)}${note}`
    : html`Label taken off${note}`
}

function moved(to: (RecordedFact & { kind: 'moved' })['move']['to'], names: Names): string {
  if (typeof to === 'string') return `${to[0]?.toUpperCase()}${to.slice(1)}`
  if ('crewId' in to) return `Issued to ${names.crew(to.crewId)}`
  if ('store' in to) return `Put into store at ${names.depot(to.store)}`
  if ('bench' in to) return `Brought to the bench at ${names.depot(to.bench)}`
  return `Lent to ${to.lentTo}`
}

const mostReasonsShown = 6

function reasons(judgement: Judgement): Markup | string {
  const all = worstFirst(judgement)
  if (all.length === 0) return ''
  const more = all.length - mostReasonsShown
  return html`<ul class="reasons">${all.slice(0, mostReasonsShown).map((reason) => html`<li>${wording.reason(reason)}</li>`)}${more > 0 ? html`<li>and ${more} more</li>` : ''}</ul>`
}
