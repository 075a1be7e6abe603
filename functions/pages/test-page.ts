/**
 * One bench test: how its stick stands today, the verdict with every reason, the readings as strips, and the whole
 * record.
 */
import { html } from 'hono/html'
import type { Analysis } from '../../shared-domain/bench-test/analysis.ts'
import { worstFirst } from '../../shared-domain/bench-test/worst-first.ts'
import { type Action, mayAtAll } from '../../shared-domain/rights.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import { orderOn, toOrder } from '../../shared-domain/state/order.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import type { Role } from '../../shared-domain/words.ts'
import type { ToldTest } from '../questions/accounts.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type TestOfStick, testFor } from '../questions/sticks.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import { handsOf } from './slip.ts'
import { stripFigure, stripLegend } from './strip.ts'
import { testRecord } from './test-record.ts'
import type { PageWording } from './wording.ts'
import { capital, depotNameOf, moment, namesIn, orderLine, placeOn, saidOrder, statusMark, whyOf } from './words.ts'

interface Asked {
  readonly stickId: string
  readonly factId: string
}

export async function testPage(asker: Asker, { stickId, factId }: Asked, wording: PageWording): Promise<WebDocument> {
  const [known, directory] = await Promise.all([testFor(asker, stickId, factId), directoryFor(asker)])
  const place = depotNameOf(known.stick.depotId, namesIn(directory))
  return documentOf(
    {
      title: wording.say('test title', { stick: stickId }),
      main: body({ known, place, role: asker.caller.role }, wording),
    },
    wording,
  )
}

interface Shown {
  readonly known: TestOfStick
  readonly place: string | null
  readonly role: Role
}

function body({ known, place, role }: Shown, wording: PageWording): Markup {
  const { test: found, standing, zone } = known
  const { stickId } = known.stick
  const { say } = wording
  return html`<h1>${say('test of stick', { stick: stickId, on: found.fact.occurredOn })}</h1>
${standsToday(known, place, wording)}
<p><a href="/sticks/${encodeURIComponent(stickId)}">${say('to the stick', { stick: stickId })}</a></p>
${whatFollows(known, role, say)}
${found.corrected === undefined ? newerTest(known, say) : wasSlip(found, zone, wording)}
<h2>${say('what was found')}</h2>
${verdictLine(found, standing, wording)}
${allReasons(found, wording)}
${earlierVerdicts(found, zone, wording)}
${survey(found.analysis, wording)}
<h2>${say('how it was done')}</h2>
${testRecord(found, zone, wording)}`
}

/** Papers and acts that follow from how the stick stands now, for whoever may do them. */
const following = [
  { path: 'tag', says: 'offer tag', action: 'read a stick', fits: ({ status }) => !mayBeUsed(status) },
  { path: 'label', says: 'offer label', action: 'record a label', fits: ({ status }) => mayBeUsed(status) },
  { path: 'step', says: 'offer step', action: 'record a step', fits: ({ status }) => status === 'on hold' },
  {
    path: 'release',
    says: 'offer release',
    action: 'release a stick',
    fits: ({ holds }) => holds.some(({ code }) => code === 'release-awaited'),
  },
] as const satisfies readonly {
  readonly path: string
  readonly says: string
  readonly action: Action
  readonly fits: (standing: Standing) => boolean
}[]

function whatFollows(known: TestOfStick, role: Role, say: PageWording['say']): Markup {
  const { stick, standing } = known
  const at = encodeURIComponent(stick.stickId)
  const offered = following.filter(({ action, fits }) => mayAtAll(role, action) && fits(standing))
  const isOut = standing.status === 'scrapped' || standing.status === 'removed from service'
  const again = html`<p><a href="/bench/${at}">${say('offer bench again')}</a></p>`
  return html`<h2>${say('what follows')}</h2>
${certificateLink(known, say)}
${offered.map(({ path, says }) => html`<p><a href="/sticks/${at}/${path}">${say(says)}</a></p>`)}
${mayAtAll(role, 'record a test') && !isOut ? again : ''}`
}

function certificateLink(
  { stick: { stickId }, test: { fact, corrected } }: TestOfStick,
  say: PageWording['say'],
): Markup {
  const isGood = fact.judgement.verdict === 'pass' && corrected === undefined
  const query = `?test=${encodeURIComponent(fact.factId)}`
  return html`<p><a href="/sticks/${encodeURIComponent(stickId)}/certificate${query}">
${say(isGood ? 'offer certificate' : 'offer record of test')}</a></p>`
}

const pathOf = (stickId: string, factId: string) =>
  `/sticks/${encodeURIComponent(stickId)}/bench-tests/${encodeURIComponent(factId)}`

/** Before anything the test says: whoever holds an old page that passed must not read it as leave to use the stick. */
function standsToday({ standing, stick }: TestOfStick, place: string | null, wording: PageWording): Markup {
  const { status } = standing
  const { say } = wording
  const today = say(mayBeUsed(status) ? 'today fit' : 'today not fit', { status })
  const { line, errand } = orderOn(toOrder(standing, stick.state, place))
  const order = html`${orderLine(status, saidOrder(line, wording))}
<p class="todo">${saidOrder(errand, wording)}</p>`
  return html`${mayBeUsed(status) ? '' : order}
<p class="lead">${statusMark(standing, wording)} ${today} ${whyOf(standing, wording)}</p>`
}

/** Before its verdict: it is no evidence any more. */
function wasSlip({ corrected }: ToldTest, zone: string, wording: PageWording): Markup | string {
  if (corrected === undefined) return ''
  const { say } = wording
  const { reason, recordedAt, instead } = corrected
  const values = { who: handsOf(corrected, say), when: moment(recordedAt, zone, wording), reason }
  const stands =
    instead === null
      ? say('nothing instead')
      : html`<a href="${pathOf(instead.stickId, instead.factId)}">
${say('test instead', { stick: instead.stickId })}</a>`
  return html`<section class="hold"><h2>${say('slip no more')}</h2>
<p>${say('slip put right', values)} ${stands}</p></section>`
}

function newerTest({ stick: { stickId }, facts, test }: TestOfStick, say: PageWording['say']): Markup | string {
  const newest = inOrder(asKnownNow(facts))
    .map(({ fact }) => fact)
    .findLast(({ kind }) => kind === 'tested')
  if (newest === undefined || newest.factId === test.fact.factId) return ''
  return html`<p><a href="${pathOf(stickId, newest.factId)}">${say('newer test', { on: newest.occurredOn })}</a></p>`
}

export function verdictLine(found: ToldTest, standing: Standing, wording: PageWording): Markup {
  const { verdict } = found.fact.judgement
  const { word, text } = verdictInWords(found, standing, wording)
  return html`<p class="lead"><span class="verdict ${verdict}">${word}</span> ${text}</p>`
}

export function verdictInWords(found: ToldTest, { status }: Standing, { say, word }: PageWording) {
  const { verdict, worst, byExaminationAlone } = found.fact.judgement
  const figures = worst === null ? '' : governing(worst, found.analysis, say)
  const what = byExaminationAlone ? say('by examination alone') : figures
  // a pass may clear nothing, and much may have come after it
  const all = verdict === 'pass' && !mayBeUsed(status) ? ` ${say('pass makes not fit', { status })}` : ''
  return { word: word('verdict', verdict), text: `${what}${all}` }
}

type Worst = NonNullable<ToldTest['fact']['judgement']['worst']>

/** The largest share of its limit: only what is over it is called the worst. */
function governing(worst: Worst, { strips }: Analysis, say: PageWording['say']): string {
  const { state, section, leakageMicroamps: read } = worst
  const place = placeOn(worst, say)
  const strip = strips.find((one) => one.state === state && one.section === section)
  const limit = strip?.limitMicroamps ?? null
  if (limit === null) return say('highest without limit', { read, place })
  const marks = (strip?.turns ?? [])
    .filter(({ quarterTurn }) => quarterTurn === worst.quarterTurn)
    .flatMap(({ cells }) => cells.filter((cell) => isAt(cell, worst)).map(({ mark }) => mark))
  if (read > limit || marks.includes('over limit')) return say('worst reading', { read, limit, place })
  return say(marks.includes('in guard band') ? 'within uncertainty' : 'nearest to limit', { read, limit, place })
}

function isAt(cell: { fromMetres: number; toMetres: number; leakageMicroamps: number | null }, worst: Worst): boolean {
  return (
    cell.fromMetres === worst.fromMetres &&
    cell.toMetres === worst.toMetres &&
    cell.leakageMicroamps === worst.leakageMicroamps
  )
}

export function allReasons({ fact: { judgement } }: ToldTest, { say, reason }: PageWording): Markup | string {
  const reasons = worstFirst(judgement)
  if (reasons.length === 0) return ''
  return html`<h3>${say('why')}</h3>
<ul class="reasons">${reasons.map((one) => html`<li>${reason(one)}</li>`)}</ul>`
}

function earlierVerdicts({ judgements }: ToldTest, zone: string, wording: PageWording): Markup | string {
  if (judgements.length < 2) return ''
  const { say, word } = wording
  const all = judgements.map(({ recordedAt, recordedBy: who, reason, verdict }) => {
    const by = say('judged by and when', { when: moment(recordedAt, zone, wording), who })
    const because = reason === null ? '' : `, ${say('because', { reason })}`
    return html`<li><strong>${word('verdict', verdict)}</strong>, ${by}${because}</li>`
  })
  return html`<h2>${say('how it was judged')}</h2><ul class="reasons">${all}</ul>`
}

/** The strips and what can be read from them; nothing for a test without readings. */
export function survey(analysis: Analysis, wording: PageWording): Markup | string {
  const { strips } = analysis
  const { say } = wording
  if (strips.length === 0) return ''
  const hints = [...tellLikely(analysis, wording), ...tellTrends(analysis, say), ...tellInPhase(analysis, say)]
  const all = html`<h3>${say('what to look at')}</h3>
<ul class="reasons">${hints.map((hint) => html`<li>${hint}</li>`)}</ul>`
  return html`<h2>${say('the readings')}</h2>
${stripLegend(strips, wording)}
${strips.map((strip) => stripFigure(strip, wording))}
${hints.length === 0 ? '' : all}`
}

/** A rise on several quarter turns is told once. */
function tellLikely({ likely }: Analysis, { say, reason }: PageWording): string[] {
  const rises = likely.filter(({ code }) => code === 'rising-since-last-test')
  const others = likely.filter(({ code }) => code !== 'rising-since-last-test').map(reason)
  const grouped = Map.groupBy(rises, ({ state, section }) => `${state} ${section ?? ''}`).values()
  const risen = [...grouped].flatMap(([first, ...more]) => {
    if (first === undefined) return []
    const turns = new Set(more.map(({ quarterTurn }) => quarterTurn)).size
    const what = reason(first)
    return [turns === 0 ? what : say('on more turns', { what, turns })]
  })
  return [...others, ...risen]
}

function tellTrends({ rising, meetsLimitBeforeDue }: Analysis, say: PageWording['say']): string[] {
  const [pressing] = meetsLimitBeforeDue
  const trend = pressing ?? rising[0]
  if (trend === undefined) return []
  const values = { place: capital(placeOn(trend, say)), rise: round(trend.microampsPerYear) }
  const on = pressing?.limitMetOn ?? null
  return [on === null ? say('rises from test to test', values) : say('rises to its limit', { ...values, on })]
}

/** Told from half the baseline on: below that the difference of two readings is mostly their noise. */
function tellInPhase({ inPhase }: Analysis, say: PageWording['say']): string[] {
  const [highest] = [...inPhase].sort((a, b) => b.inPhaseMicroamps - a.inPhaseMicroamps)
  if (highest === undefined || highest.inPhaseMicroamps < Math.max(2, highest.baselineMicroamps / 2)) return []
  const { leakageMicroamps: now, baselineMicroamps: first, inPhaseMicroamps } = highest
  const place = capital(placeOn({ state: 'dry', ...highest }, say))
  return [say('grown since first', { place, first, now, added: round(inPhaseMicroamps) })]
}

const round = (microamps: number) => Math.round(microamps * 10) / 10
