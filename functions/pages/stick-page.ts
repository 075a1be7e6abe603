/** One stick: where it stands and why, its clocks, its holds and what clears them, and its whole history. */

import { html } from 'hono/html'
import type { Judgement } from '../../shared-domain/bench-test/judge.ts'
import { worstFirst } from '../../shared-domain/bench-test/worst-first.ts'
import type { Defect } from '../../shared-domain/fact-bodies.ts'
import { handedIn, isOfKnownKind, type RecordedFact } from '../../shared-domain/facts.ts'
import type { Clock } from '../../shared-domain/policy/clocks.ts'
import { type Action, mayAtAll } from '../../shared-domain/rights.ts'
import { slipNames } from '../../shared-domain/slip.ts'
import { asCountedNow } from '../../shared-domain/state/counted-before.ts'
import { type Hold, hasCode, recordsRestoredCode } from '../../shared-domain/state/hold.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { type CorrectedFact, correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import { orderOn, toOrder } from '../../shared-domain/state/order.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import type { Role } from '../../shared-domain/words.ts'
import type { ToldTest } from '../questions/accounts.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { mayHandOver } from '../questions/hand-over.ts'
import { type StickSheet, sheetFor } from '../questions/sticks.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { headings } from './filter.ts'
import { documentOf } from './layout.ts'
import { handsOf } from './slip.ts'
import { survey, verdictLine } from './test-page.ts'
import type { PageWording } from './wording.ts'
import {
  date,
  depotLine,
  depotNameOf,
  dueFor,
  moment,
  type Names,
  namesIn,
  noted,
  orderMarkup,
  placeOn,
  statusMark,
  testerOf,
  where,
  wrongLabel,
} from './words.ts'

const factsOnPage = 50

/** `past`: how many of the newest facts were seen already. */
interface Asked {
  readonly stickId: string
  readonly past: number
}

export async function stickPage(asker: Asker, { stickId, past }: Asked, wording: PageWording): Promise<WebDocument> {
  const [sheet, directory] = await Promise.all([sheetFor(asker, stickId), directoryFor(asker)])
  const handsOver = await mayHandOver(asker, { state: sheet.stick.state, status: sheet.standing.status })
  const title = wording.say('stick title', { stick: stickId })
  const beside = { names: namesIn(directory), depots: directory.depots, past, role: asker.caller.role, handsOver }
  return documentOf({ title, main: body(sheet, beside, wording) }, wording)
}

interface Beside {
  readonly names: Names
  readonly depots: Directory['depots']
  readonly past: number
  /** the reader's, which says what the page offers to do */
  readonly role: Role
  readonly handsOver: boolean
}

function body(sheet: StickSheet, { names, depots, past, role, handsOver }: Beside, wording: PageWording): Markup {
  const { stick, standing, silent, last } = sheet
  const { say } = wording
  return html`<h1>${say('stick title', { stick: stick.stickId })}</h1>
${orderMarkup({ standing, state: stick.state, place: depotNameOf(stick.depotId, names) }, wording)}
${placeToGo(sheet, depots, wording)}
<p class="lead">${statusMark(standing, wording)} ${lead(standing, wording)}</p>
${labelWarning(standing, wording)}
${carriedOver(standing, wording)}
${actsOn(sheet, { role, handsOver }, wording)}
${holds(standing, wording)}
${notConfirmedBy(silent, wording)}
${lastTest(last, sheet, wording)}
<h2>${say('when due')}</h2>
${clockTable(sheet, wording)}
<h2>${say('what it is')}</h2>
${description(sheet, names, wording)}
<h2 id="history">${say('history')}</h2>
${historyTable(sheet, { names, depots, past, role, handsOver }, wording)}
<p><a href="/notices?stick=${encodeURIComponent(stick.stickId)}">${say('notices of stick')}</a></p>
${papersOf(stick.stickId, role, say)}
${proofOf(stick.stickId, role, say)}`
}

/** Papers of a stick, with the right that each takes. */
const papers = [
  { path: 'tag', offer: 'offer tag', action: 'read a stick' },
  { path: 'label', offer: 'offer label', action: 'record a label' },
  { path: 'worksheet', offer: 'offer worksheet', action: 'record a test' },
] as const satisfies readonly { readonly path: string; readonly offer: string; readonly action: Action }[]

function papersOf(stickId: string, role: Role, say: PageWording['say']): Markup {
  const offered = papers.filter(({ action }) => mayAtAll(role, action))
  return html`${offered.map(
    ({ path, offer }) => html`<p><a href="/sticks/${encodeURIComponent(stickId)}/${path}">${say(offer)}</a></p>`,
  )}`
}

function proofOf(stickId: string, role: Role, say: PageWording['say']): Markup | string {
  if (!mayAtAll(role, 'take a proof')) return ''
  return html`<p><a href="/sticks/${encodeURIComponent(stickId)}/proof" download>${say('offer proof')}</a></p>`
}

function lead(standing: Standing, wording: PageWording): string {
  if (standing.status === 'on hold' && standing.holds.length > 1)
    return wording.say('held for', { holds: standing.holds.length })
  // of all else that must not be used the order says why
  return mayBeUsed(standing.status) ? wording.why(standing) : ''
}

/** Where to bring it, and when somebody is there; nothing of a stick that stays where it is. */
function placeToGo(
  { standing, stick: { state, depotId } }: StickSheet,
  depots: Directory['depots'],
  wording: PageWording,
): Markup | string {
  const depot = depots.find(({ id }) => id === depotId)
  const { line, errand } = orderOn(toOrder(standing, state, depot?.name ?? null))
  const isToGo = [line, errand].some(({ is }) => is.endsWith(' to'))
  // the order names it already
  const says = depot?.address ?? depot?.hours
  return isToGo && depot !== undefined && says !== undefined ? depotLine(depot, wording) : ''
}

/** Acts by their addresses, with the right that each takes and whether it fits how the stick stands. */
const offered = [
  { act: 'report', action: 'report danger', fits: () => true },
  { act: 'missing', action: 'report danger', fits: () => true },
  { act: 'use', action: 'record a use', fits: () => true },
  { act: 'look', action: 'record a check', fits: () => true },
  {
    act: 'remind',
    action: 'remind of a stick',
    // of any other stick there is nobody to write to
    fits: ({ status, custody }) => (isDated(status) ? status !== 'in service' : isInHands(custody)),
  },
  { act: 'move', action: 'move a stick', fits: () => true },
  { act: 'bench', action: 'record a test', fits: ({ status }) => !isOut(status) },
  { act: 'step', action: 'record a step', fits: ({ status }) => !isOut(status) },
  {
    act: 'release',
    action: 'release a stick',
    fits: ({ holds }) => holds.some(({ code }) => code === 'release-awaited'),
  },
  {
    act: 'paper',
    action: 'look at the paper',
    fits: ({ holds }) => hasCode(holds, recordsRestoredCode),
  },
  {
    act: 'count-before',
    action: 'count a test from before',
    fits: ({ testedBefore, holds, status }) =>
      testedBefore?.passed === true &&
      testedBefore.countsFrom !== testedBefore.on &&
      holds.length === 0 &&
      !isOut(status),
  },
  { act: 'remove', action: 'remove a stick', fits: ({ status }) => !isOut(status) },
] as const satisfies readonly { act: string; action: Action; fits: (standing: Standing) => boolean }[]

const isInHands = (custody: Standing['custody']) => custody !== null && ('crewId' in custody || 'lentTo' in custody)
const isOut = (status: Standing['status']) => status === 'scrapped' || status === 'removed from service'

function actsOn(
  { stick: { stickId }, standing }: StickSheet,
  { role, handsOver }: Pick<Beside, 'role' | 'handsOver'>,
  { say }: PageWording,
): Markup {
  const at = encodeURIComponent(stickId)
  const acts = offered.filter(({ action, fits }) => mayAtAll(role, action) && fits(standing)).map(({ act }) => act)
  const links = [...acts, ...(handsOver ? (['hand-over'] as const) : [])].map((act) => {
    const elsewhere = {
      move: `/move?stick=${at}`,
      remind: `/remind?stick=${at}`,
      'count-before': `/count-before?stick=${at}`,
      bench: `/bench/${at}`,
    } as const
    const path = act in elsewhere ? elsewhere[act as keyof typeof elsewhere] : `/sticks/${at}/${act}`
    return html`<a href="${path}">${say(`offer ${act}`)}</a> `
  })
  return html`<nav class="acts" aria-label="${say('what to do here')}">${links}</nav>`
}

/** Whoever goes by a due date has to know that nobody has the readings behind it. */
function carriedOver({ testedBefore: last }: Standing, { say }: PageWording): Markup | string {
  if (last === undefined || (!last.passed && last.countsFrom === null)) return ''
  const { on, countsFrom } = last
  const said = countsFrom === null ? say('tested before', { on }) : say('due by before', { on: countsFrom })
  return html`<p><strong>${said}</strong></p>`
}

function labelWarning(standing: Standing, wording: PageWording): Markup | string {
  const label = wrongLabel(standing, wording)
  return label === null ? '' : html`<p><strong>${label}</strong></p>`
}

function holds(standing: Standing, wording: PageWording): Markup | string {
  if (standing.status !== 'on hold') return ''
  const boxes = worstHoldFirst(standing.holds).map((hold) => holdBox(hold, wording))
  return html`<h2>${wording.say('why held')}</h2>${boxes}`
}

function notConfirmedBy(silent: StickSheet['silent'], { say, list }: PageWording): Markup | string {
  if (silent.length === 0) return ''
  const names = [...new Set(silent.map(({ name, role }) => say('name and role', { name, role })))]
  return html`<p><strong>${say('not confirmed as read')}</strong> ${list(names)}.</p>`
}

function holdBox(hold: Hold, { say, hold: toSay }: PageWording): Markup {
  const { text, clearedBy: what } = toSay(hold)
  const { since: on } = hold
  const since = on === null ? '' : html` <span class="quiet">${say('since day', { on })}</span>`
  return html`<div class="hold"><p><strong>${text}.</strong>${since}</p>
<p>${say('ended by', { what })}</p></div>`
}

type Row = readonly [name: string, value: Markup | string]

function description(sheet: StickSheet, names: Names, wording: PageWording): Markup {
  const { stick, standing } = sheet
  const { say } = wording
  const { crewId } = stick.state
  const rows: Row[] = [
    [say('where'), where(stick.state, names, wording)],
    [say('crew told'), crewId === null ? say('no crew told') : names.crew(crewId)],
    ...entryRows(sheet, wording),
    ...(standing.label === undefined ? [] : [[say('label'), labelled(standing.label, say)] as const]),
  ]
  return html`<dl class="facts">${rows.map(([name, value]) => html`<dt>${name}</dt><dd>${value}</dd>`)}</dl>`
}

function entryRows({ stick: { state }, day }: StickSheet, wording: PageWording): Row[] {
  const { say, list } = wording
  const stick = registrationOn(state, day)?.stick
  if (stick === undefined) return [[say('construction'), say('unknown')]]
  const { construction, workingLengthMetres: at, diameterMillimetres: across, sections, lot, inServiceSince } = stick
  const parts = sections?.map(({ name, lengthMetres }) => say('section and length', { name, at: lengthMetres }))
  return [
    [say('construction'), spelt(construction, wording)],
    [say('working length'), say('length', { at })],
    [say('diameter name'), say('diameter', { across })],
    [say('primary protection'), stick.primaryProtection ? say('relied on') : say('not relied on')],
    ...(parts === undefined ? [] : [[say('sections'), say('sections in order', { sections: list(parts) })] as const]),
    ...(lot === undefined ? [] : [[say('lot'), lot] as const]),
    ...(inServiceSince === undefined ? [] : [[say('in use since'), date(inServiceSince, wording)] as const]),
  ]
}

function labelled({ shows, since }: NonNullable<Standing['label']>, say: PageWording['say']): string {
  return shows === null ? say('label taken off', { since }) : say('label shows', { shows, since })
}

function spelt(construction: string, { say, word }: PageWording): string {
  return construction.includes('FRP')
    ? say('construction of FRP', { construction })
    : word('construction', construction)
}

function clockTable(sheet: StickSheet, wording: PageWording): Markup {
  const { clocks } = sheet.standing
  if (clocks.length === 0) return html`<p class="empty">${wording.say('no duty')}</p>`
  return html`<table class="cards">${headings(['duty', 'rule', 'last done', 'due'], wording)}
<tbody>${clocks.map((clock) => clockRow(clock, sheet, wording))}</tbody></table>`
}

function clockRow(clock: Clock, { standing, day }: StickSheet, wording: PageWording): Markup {
  const { say, word } = wording
  const isFirst = clock.requirement === standing.governedBy?.requirement && standing.clocks.length > 1
  const duty = isFirst ? say('duty first', { duty: clock.words }) : word('duty', clock.words)
  const done = clock.since === null ? html`<span class="quiet">${say('never done')}</span>` : date(clock.since, wording)
  return html`<tr><td data-label="${say('duty')}">${duty}</td>
<td data-label="${say('rule')}">${clock.source}</td>
<td data-label="${say('last done')}">${done}</td>
<td data-label="${say('due')}">${due(clock, { standing, day }, wording)}</td></tr>`
}

function due(clock: Clock, { standing, day }: Pick<StickSheet, 'standing' | 'day'>, wording: PageWording): Markup {
  const { status } = standing
  const { say } = wording
  if (!isDated(status) || clock.dueOn !== null) return dueFor({ status, dueOn: clock.dueOn, today: day }, wording)
  if (clock.since === null) return html`<span class="quiet">${say('no date untested')}</span>`
  if (clock.useDaysLeft === undefined) return html`<span class="quiet">${say('no end')}</span>`
  const left = say('after use', { days: clock.useDaysLeft })
  const { expected } = clock
  if (expected === undefined) return html`${left}`
  const { on, earliest, latest } = expected
  return html`${left}<span class="days">${say('likely about', { on, earliest, latest })}</span>`
}

function lastTest(last: ToldTest | undefined, sheet: StickSheet, wording: PageWording): Markup | string {
  if (last === undefined || last.analysis.strips.length === 0) return ''
  const { factId, occurredOn: on } = last.fact
  return html`<h2><a href="${linkTo(sheet.stick.stickId, factId)}">${wording.say('last test', { on })}</a></h2>
${verdictLine(last, sheet.standing, wording)}
${survey(last.analysis, wording)}`
}

const linkTo = (stickId: string, factId: string) =>
  `/sticks/${encodeURIComponent(stickId)}/bench-tests/${encodeURIComponent(factId)}`

interface Telling {
  readonly names: Names
  readonly stickId: string
  readonly facts: readonly RecordedFact[]
  readonly wording: PageWording
}

function historyTable(sheet: StickSheet, { names, past, role }: Beside, wording: PageWording): Markup {
  const { stick, facts, zone } = sheet
  const { stickId } = stick
  const slips = correctionsBySlip(facts)
  const telling = { names, stickId, facts, wording }
  const newestFirst = inOrder(asCountedNow(asJudgedNow(facts)))
    .map(({ fact }) => fact)
    .reverse()
  const next = past + factsOnPage
  const { say } = wording
  const earlier = html`<nav class="pages" aria-label="${say('pages')}">
<a href="/sticks/${encodeURIComponent(stickId)}?past=${next}#history">${say('earlier history')}</a></nav>`
  const rows = newestFirst.slice(past, next).map((fact) => {
    const slip = slips.get(fact.factId)
    const ways = waysToCorrect(fact, { ...telling, role, isSlip: slip !== undefined })
    return historyRow(fact, { what: html`${struckOr(fact, slip, telling)}${ways}`, zone }, wording)
  })
  return html`<table class="cards">${headings(['day', 'what happened', 'recorded in history'], wording)}
<tbody>${rows}</tbody></table>${next < newestFirst.length ? earlier : ''}`
}

interface Shown {
  readonly what: Markup
  readonly zone: string
}

function historyRow(fact: RecordedFact, { what, zone }: Shown, wording: PageWording): Markup {
  const { say } = wording
  const hour = fact.at === undefined ? '' : html`<span class="days">${fact.at}</span>`
  const recorded = say('by whom and when', { who: fact.recordedBy, when: moment(fact.recordedAt, zone, wording) })
  return html`<tr><td data-label="${say('day')}">${date(fact.occurredOn, wording)}${hour}</td>
<td data-label="${say('what happened')}">${what}</td>
<td data-label="${say('recorded in history')}" class="quiet">${recorded}</td></tr>`
}

function tellFact(fact: RecordedFact, telling: Telling): Markup | string {
  const { names, wording } = telling
  const { say, list } = wording
  if (!isOfKnownKind(fact)) return say('was recorded by another version')
  switch (fact.kind) {
    case 'registered': {
      const { construction, workingLengthMetres: at } = fact.stick
      return say('was registered', { construction, at })
    }
    case 'tested':
      return tested(fact, telling)
    case 'judged again':
      return judgedAgain(fact, telling)
    case 'corrected':
      return corrected(fact, telling)
    case 'tested before':
      return testedBefore(fact, say)
    case 'test before counted':
      return countedBefore(fact, telling)
    case 'corrective step':
      return say(`was ${fact.step.kind}`, { by: fact.step.by })
    case 'used': {
      const { days, conditions } = fact.use
      const used = say('was used', { days })
      if (conditions.length === 0) return used
      return say('used when', { used, conditions: list(conditions.map((one) => say(`condition ${one}`))) })
    }
    case 'defect reported':
      return noted(reported(fact.defect, say), fact.defect.note, say)
    case 'certificate received':
      return say('had certificate', { by: fact.certificate.issuedBy })
    case 'condition checked': {
      const { by, sound, note } = fact.check
      return noted(say(sound ? 'was looked over, sound' : 'was looked over, not sound', { by }), note, say)
    }
    case 'released':
      return say('was released')
    case 'moved':
      return moved(fact.move.to, names, say)
    case 'removed':
      return noted(say('was removed', { reason: fact.removal.reason }), fact.removal.note, say)
    case 'records restored':
      return restored(fact, telling)
    case 'paper looked at':
      return noted(say('had paper looked at'), fact.look.note, say)
    case 'label changed':
      return labelChanged(fact.label, say)
  }
}

function reported({ kind: defect, place }: Defect, say: PageWording['say']): string {
  const what = say('was reported', { defect })
  if (place === undefined) return what
  const where = 'part' in place ? say(`part ${place.part}`) : placeOn(place, say)
  return say('what and where', { what, where })
}

function tested(fact: RecordedFact & { kind: 'tested' }, { stickId, facts, wording }: Telling): Markup {
  const { say } = wording
  const { test, judgement, factId } = fact
  const what = say('was tested', { verdict: judgement.verdict })
  const why = say('tested for and by', { reason: test.reason, by: testerOf(test.testedBy) })
  const before = firstVerdict(fact, facts, say)
  return html`<a href="${linkTo(stickId, factId)}"><strong>${what}</strong></a>${before} ${why}
${reasons(judgement, wording)}`
}

function testedBefore({ before, counted }: RecordedFact & { kind: 'tested before' }, say: PageWording['say']): Markup {
  const { passed, testedBy: by, instrumentId: instrument, note } = before
  const said = [
    say(passed ? 'was tested before, passed' : 'was tested before, failed'),
    ...(by === undefined ? [] : [say('tested before by', { by })]),
    ...(instrument === undefined ? [] : [say('tested before with', { instrument })]),
  ].join(' ')
  const counts = passed ? say(counted === undefined ? 'before counts not' : 'before counts') : say('before failed')
  return html`${noted(said, note, say)} <span class="below quiet">${counts}</span>`
}

function countedBefore(
  { counting: { counts, reason }, recordedBy, approvedBy = '' }: RecordedFact & { kind: 'test before counted' },
  { facts, wording: { say } }: Telling,
): string {
  const test = facts.find(({ factId }) => factId === counts)
  const who = { by: recordedBy, and: approvedBy }
  const what =
    test === undefined ? say('had some test counted', who) : say('had test counted', { ...who, on: test.occurredOn })
  return `${what}, ${say('because', { reason })}`
}

/** A slip stays to be read, and nobody is to go by it. */
export function struckOr(fact: RecordedFact, correction: CorrectedFact | undefined, telling: Telling): Markup {
  const said = tellFact(fact, telling)
  const { say } = telling.wording
  if (correction === undefined) return html`${said}${standsFor(fact, say)}`
  const { reason, instead } = correction
  return html`<s>${said}</s><span class="below"><strong>${say('was slip')}</strong>
${say('put right by', { who: handsOf(correction, say), reason })} ${standsInstead(instead, telling)}</span>`
}

interface Correctable extends Telling {
  readonly role: Role
  readonly isSlip: boolean
}

/** The ways in which a slip is put right; a verdict and a correction have none of their own. */
function waysToCorrect(fact: RecordedFact, { role, isSlip, stickId, wording: { say } }: Correctable): Markup | string {
  const hasBody = handedIn(fact) !== null
  if (isSlip || !hasBody || !mayAtAll(role, 'correct a fact')) return ''
  const at = `/sticks/${encodeURIComponent(stickId)}/facts/${encodeURIComponent(fact.factId)}`
  const links = (['replace', 'other-stick', 'withdraw'] as const).map(
    (way) => html`<li><a href="${at}/${way}">${say(`offer ${way}`)}</a></li>`,
  )
  return html`<details class="below"><summary>${say('offer correct')}</summary><ul>${links}</ul></details>`
}

function standsFor({ standsFor: slip }: RecordedFact, say: PageWording['say']): Markup | string {
  return slip === undefined ? '' : html`<span class="below quiet">${say('stands for slip')}</span>`
}

function standsInstead(instead: CorrectedFact['instead'], { stickId, facts, wording }: Telling): Markup | string {
  const { say } = wording
  if (instead === null) return say('nothing instead')
  if (instead.stickId !== stickId) {
    const { stickId: stick } = instead
    return html`<a href="/sticks/${encodeURIComponent(stick)}">${say('belongs to', { stick })}</a>`
  }
  const stands = facts.find(({ factId }) => factId === instead.factId)
  return stands === undefined ? '' : say('instead is', { on: stands.occurredOn })
}

function corrected({ corrects, undoes }: CorrectedFact, { facts, wording: { say } }: Telling): string {
  const slip = facts.find(({ factId }) => factId === corrects)
  const what =
    slip === undefined || !isOfKnownKind(slip)
      ? say('had some slip')
      : say('had slip', { what: slipNames[slip.kind], on: slip.occurredOn })
  return undoes === undefined ? what : `${what} ${say(`undone ${undoes}`)}`
}

/** The verdict of now goes first: nobody is to read an old one as if it stood. */
function firstVerdict(
  { factId, judgedAgain: again }: RecordedFact & { kind: 'tested' },
  facts: readonly RecordedFact[],
  say: PageWording['say'],
): string {
  const first = facts.find((fact) => fact.factId === factId)
  if (again === undefined || first?.kind !== 'tested') return ''
  return say('judged again, at first', { verdict: first.judgement.verdict })
}

function judgedAgain(
  { judges, again, judgement: { verdict } }: RecordedFact & { kind: 'judged again' },
  { stickId, facts, wording: { say } }: Telling,
): Markup {
  const test = facts.find((fact) => fact.factId === judges)
  const what =
    test === undefined
      ? say('test judged again', { verdict })
      : say('test of day judged again', { verdict, on: test.occurredOn })
  return html`<a href="${linkTo(stickId, judges)}">${what}</a>, ${say('because', { reason: again.reason })}`
}

function restored({ lost, clock }: RecordedFact & { kind: 'records restored' }, { wording }: Telling): string {
  return wording.say('was restored', { from: moment(lost.from, clock, wording), to: moment(lost.to, clock, wording) })
}

function labelChanged(label: (RecordedFact & { kind: 'label changed' })['label'], say: PageWording['say']): string {
  return noted(
    label.kind === 'fixed' ? say('had label fixed', { on: label.shows }) : say('had label taken off'),
    label.note,
    say,
  )
}

type Destination = (RecordedFact & { kind: 'moved' })['move']['to']

function moved(to: Destination, names: Names, say: PageWording['say']): string {
  if (typeof to === 'string') return say(`went ${to}`)
  if ('crewId' in to) return say('went to crew', { crew: names.crew(to.crewId) })
  if ('store' in to) return say('went to store', { depot: names.depot(to.store) })
  if ('bench' in to) return say('went to bench', { depot: names.depot(to.bench) })
  return say('went on loan', { to: to.lentTo })
}

const mostReasonsShown = 6

function reasons(judgement: Judgement, { say, reason }: PageWording): Markup | string {
  const all = worstFirst(judgement)
  if (all.length === 0) return ''
  const more = all.length - mostReasonsShown
  const shown = all.slice(0, mostReasonsShown).map((one) => html`<li>${reason(one)}</li>`)
  return html`<ul class="reasons">${shown}${more > 0 ? html`<li>${say('and reasons', { more })}</li>` : ''}</ul>`
}
