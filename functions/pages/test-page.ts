/** One bench test: how its stick stands today, the verdict with every reason, the readings as strips, and the whole record. */
import { html } from 'hono/html'
import type { Analysis } from '../../shared-domain/bench-test/analysis.ts'
import type { Trend } from '../../shared-domain/bench-test/trend.ts'
import { worstFirst } from '../../shared-domain/bench-test/worst-first.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import type { ToldTest } from '../questions/accounts.ts'
import type { Asker } from '../questions/asker.ts'
import { testFor } from '../questions/sticks.ts'
import type { Markup } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import { stripFigure, stripLegend } from './strip.ts'
import { testRecord } from './test-record.ts'
import { wording } from './wording.ts'
import { date, order, statusMark, whyOf } from './words.ts'

export async function testPage(asker: Asker, stickId: string, factId: string): Promise<Markup> {
  const { test: found, standing, facts, zone } = await testFor(asker, stickId, factId)
  return documentOf(
    `Bench test of ${stickId}`,
    html`<h1>Bench test of <a href="/sticks/${encodeURIComponent(stickId)}">stick ${stickId}</a>, ${date(found.fact.occurredOn)}</h1>
${standsToday(stickId, standing)}
${found.corrected === undefined ? newerTest(stickId, facts, factId) : wasSlip(found)}
<h2>What this test found</h2>
${verdictLine(found, standing)}
${allReasons(found)}
${earlierVerdicts(found)}
${survey(found.account)}
<h2>How it was done</h2>
${testRecord(found, zone)}`,
  )
}

/** Before anything the test says: whoever holds an old page that passed must not read it as leave to use the stick. */
function standsToday(stickId: string, standing: Standing): Markup {
  const { status } = standing
  const stick = html`<a href="/sticks/${encodeURIComponent(stickId)}">this stick</a>`
  return html`${order(status)}
<p class="lead">${statusMark(standing)} Today ${stick} is ${status}${mayBeUsed(status) ? '.' : ': do not use it.'} ${whyOf(standing)}</p>`
}

/** Before its verdict: it is no evidence any more. */
function wasSlip({ corrected }: ToldTest): Markup | string {
  if (corrected === undefined) return ''
  const { reason, recordedBy, approvedBy, recordedAt, instead } = corrected
  const who = approvedBy === undefined ? recordedBy : `${recordedBy}, approved by ${approvedBy}`
  const stick = instead === null ? '' : `/sticks/${encodeURIComponent(instead.stickId)}`
  const stands =
    instead === null
      ? 'Nothing stands in its place.'
      : html`<a href="${stick}/bench-tests/${encodeURIComponent(instead.factId)}">This test stands in its place</a>, of stick ${instead.stickId}.`
  return html`<section class="hold"><h2>This test was a slip, and stands no more</h2><p>Put right by ${who}, ${recordedAt.slice(0, 10)}: ${reason}. ${stands}</p></section>`
}

function newerTest(stickId: string, facts: readonly RecordedFact[], factId: string): Markup | string {
  const newest = inOrder(asKnownNow(facts))
    .map(({ fact }) => fact)
    .findLast(({ kind }) => kind === 'tested')
  if (newest === undefined || newest.factId === factId) return ''
  return html`<p>This is not its newest test: <a href="/sticks/${encodeURIComponent(stickId)}/bench-tests/${encodeURIComponent(newest.factId)}">that is of ${date(newest.occurredOn)}</a>.</p>`
}

export function verdictLine(found: ToldTest, { status }: Standing): Markup {
  const { verdict, worst, byExaminationAlone } = found.fact.judgement
  const what = byExaminationAlone
    ? 'by examination alone, with the employer’s demonstration'
    : worst === null
      ? ''
      : governing(worst, found.account)
  // a pass may clear nothing, and much may have come after it
  const all = verdict === 'pass' && !mayBeUsed(status) ? ` This pass does not make it fit: today it is ${status}.` : ''
  return html`<p class="lead"><span class="verdict ${verdict}">${verdict}</span> ${what}${all}</p>`
}

type Worst = NonNullable<ToldTest['fact']['judgement']['worst']>

/** The largest share of its limit: only what is over it is called the worst. */
function governing(worst: Worst, { strips }: Analysis): string {
  const { state, section, leakageMicroamps: read } = worst
  const place = `${state}, ${placeOf(worst)}`
  const strip = strips.find((one) => one.state === state && one.section === section)
  const limit = strip?.limitMicroamps ?? null
  if (limit === null) return `highest reading ${read} µA, and no limit covers it (${place}).`
  const marks = (strip?.turns ?? [])
    .filter(({ quarterTurn }) => quarterTurn === worst.quarterTurn)
    .flatMap(({ cells }) => cells.filter((cell) => isAt(cell, worst)).map(({ mark }) => mark))
  if (read > limit || marks.includes('over limit'))
    return `worst reading ${read} µA, over its limit of ${limit} µA (${place}).`
  if (marks.includes('in guard band'))
    return `worst reading ${read} µA, within its limit of ${limit} µA by less than the instrument’s uncertainty (${place}).`
  return `nearest to its limit: ${read} µA of ${limit} µA (${place}).`
}

function isAt(cell: { fromMetres: number; toMetres: number; leakageMicroamps: number | null }, worst: Worst): boolean {
  return (
    cell.fromMetres === worst.fromMetres &&
    cell.toMetres === worst.toMetres &&
    cell.leakageMicroamps === worst.leakageMicroamps
  )
}

function allReasons({ fact: { judgement } }: ToldTest): Markup | string {
  const reasons = worstFirst(judgement)
  if (reasons.length === 0) return ''
  return html`<h3>Why</h3><ul class="reasons">${reasons.map((reason) => html`<li>${wording.reason(reason)}</li>`)}</ul>`
}

function earlierVerdicts({ judgements }: ToldTest): Markup | string {
  if (judgements.length < 2) return ''
  return html`<h2>How it was judged</h2><ul class="reasons">${judgements.map(
    ({ recordedAt, recordedBy, reason, verdict }) =>
      html`<li><strong>${verdict}</strong>, <time datetime="${recordedAt}">${recordedAt.slice(0, 16).replace('T', ' ')} UTC</time>, by ${recordedBy}${reason === null ? '' : `, because ${reason}`}</li>`,
  )}</ul>`
}

/** The strips and what can be read from them; nothing for a test without readings. */
export function survey(account: Analysis): Markup | string {
  const { strips } = account
  if (strips.length === 0) return ''
  const hints = [...tellLikely(account), ...tellTrends(account), ...tellInPhase(account)]
  return html`<h2>The readings</h2>
${stripLegend(strips)}
${strips.map(stripFigure)}
${hints.length === 0 ? '' : html`<h3>What to look at</h3><ul class="reasons">${hints.map((hint) => html`<li>${hint}</li>`)}</ul>`}`
}

/** A rise on several quarter turns is told once. */
function tellLikely({ likely }: Analysis): string[] {
  const rises = likely.filter(({ code }) => code === 'rising-since-last-test')
  const others = likely.filter(({ code }) => code !== 'rising-since-last-test').map(wording.reason)
  const grouped = Map.groupBy(rises, ({ state, section }) => `${state} ${section ?? ''}`).values()
  const told = [...grouped].map(([first, ...more]) => {
    const turns = new Set(more.map(({ quarterTurn }) => quarterTurn)).size
    return `${first === undefined ? '' : wording.reason(first)}${turns === 0 ? '' : ` (so on ${turns} more)`}`
  })
  return [...others, ...told]
}

function tellTrends({ rising, meetsLimitBeforeDue }: Analysis): Markup[] {
  const [pressing] = meetsLimitBeforeDue
  if (pressing !== undefined) return [tellTrend(pressing)]
  return rising[0] === undefined ? [] : [html`${sentenceOf(rising[0])}.`]
}

/** Told from half the baseline on: below that the difference of two readings is mostly their noise. */
function tellInPhase({ inPhase }: Analysis): string[] {
  const [highest] = [...inPhase].sort((a, b) => b.inPhaseMicroamps - a.inPhaseMicroamps)
  if (highest === undefined || highest.inPhaseMicroamps < Math.max(2, highest.baselineMicroamps / 2)) return []
  const { leakageMicroamps, baselineMicroamps, inPhaseMicroamps } = highest
  const grown = `${baselineMicroamps} µA at its first dry test, ${leakageMicroamps} µA now`
  return [
    `Dry, ${placeOf(highest)}: ${grown}; were the first all capacitive, about ${round(inPhaseMicroamps)} µA of it would be leakage in phase`,
  ]
}

function tellTrend(trend: Trend): Markup {
  return html`${sentenceOf(trend)} and would meet its limit about ${trend.limitMetOn === null ? 'never' : date(trend.limitMetOn)}, before the next test falls due: test it earlier.`
}

function sentenceOf(trend: Trend): string {
  return `From test to test the ${trend.state} reading at ${placeOf(trend)} rises by about ${round(trend.microampsPerYear)} µA a year`
}

function placeOf(one: { section?: string; quarterTurn: number; fromMetres: number; toMetres: number }): string {
  const section = one.section === undefined ? '' : `section ${one.section}, `
  return `${section}${one.quarterTurn}°, ${one.fromMetres} to ${one.toMetres} m`
}

const round = (microamps: number) => Math.round(microamps * 10) / 10
