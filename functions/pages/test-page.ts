/** One bench test: its verdict with every reason, its readings as strips, what they are likely to mean, where they tend. */
import { html } from 'hono/html'
import type { Account } from '../../shared-domain/bench-test/account.ts'
import type { Trend } from '../../shared-domain/bench-test/trend.ts'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { type ToldTest, toldTest } from '../platform/accounts.ts'
import type { Organisation } from '../platform/organisation.ts'
import type { Markup } from '../platform/web-page.ts'
import { documentOf } from './layout.ts'
import { stripFigure, stripLegend } from './strip.ts'
import { date } from './words.ts'

export async function testPage(
  organisation: Organisation,
  now: Instant,
  stickId: string,
  factId: string,
): Promise<Markup | undefined> {
  const stored = await organisation.sticks.stored(stickId)
  if (stored === undefined) return undefined
  const today = localDateAt(now, await organisation.zoneAt(stored.depotId))
  const [facts, policy] = await Promise.all([organisation.sticks.facts(stickId), organisation.policyOn(today)])
  const { dueOn } = standingOn(stored.state, today, policy)
  const found = await toldTest(organisation, stored.state, facts, dueOn, factId)
  if (found === undefined) return undefined
  const day = found.fact.occurredOn
  return documentOf(
    `Bench test of ${stickId}`,
    html`<p><a href="/sticks/${encodeURIComponent(stickId)}">Stick ${stickId}</a></p>
<h1>Bench test of ${date(day)}</h1>
${verdictLine(found)}
${allReasons(found)}
${earlierVerdicts(found)}
${survey(found.account)}
<h2>How it was done</h2>
${record(found)}`,
  )
}

export function verdictLine({ fact: { judgement } }: ToldTest): Markup {
  const { verdict, worst, byExaminationAlone } = judgement
  const place =
    worst &&
    `${worst.state}, ${worst.section === undefined ? '' : `section ${worst.section}, `}${worst.quarterTurn}°, ${worst.fromMetres} to ${worst.toMetres} m`
  return html`<p class="lead"><span class="verdict ${verdict}">${verdict}</span> ${byExaminationAlone ? 'by examination alone, with the employer’s demonstration' : worst === null ? '' : `worst reading ${worst.leakageMicroamps} µA (${place})`}</p>`
}

function allReasons({ fact: { judgement } }: ToldTest): Markup | string {
  if (judgement.reasons.length === 0) return ''
  return html`<h2>Why</h2><ul class="reasons">${judgement.reasons.map((reason) => html`<li>${reason.text}</li>`)}</ul>`
}

function earlierVerdicts({ judgements }: ToldTest): Markup | string {
  if (judgements.length < 2) return ''
  return html`<h2>How it was judged</h2><ul class="reasons">${judgements.map(
    ({ recordedAt, recordedBy, reason, verdict }) =>
      html`<li><strong>${verdict}</strong>, <time datetime="${recordedAt}">${recordedAt.slice(0, 16).replace('T', ' ')} UTC</time>, by ${recordedBy}${reason === null ? '' : `, because ${reason}`}</li>`,
  )}</ul>`
}

/** The strips and what can be read from them; nothing for a test without readings. */
export function survey(account: Account): Markup | string {
  const { strips } = account
  if (strips.length === 0) return ''
  const hints = [...tellLikely(account), ...tellTrends(account), ...tellInPhase(account)]
  return html`<h2>The readings</h2>
${stripLegend(strips)}
${strips.map(stripFigure)}
${hints.length === 0 ? '' : html`<h3>What to look at</h3><ul class="reasons">${hints.map((hint) => html`<li>${hint}</li>`)}</ul>`}`
}

/** A rise on several quarter turns is told once. */
function tellLikely({ likely }: Account): string[] {
  const rises = likely.filter(({ code }) => code === 'rising-since-last-test')
  const others = likely.filter(({ code }) => code !== 'rising-since-last-test').map(({ text }) => text)
  const grouped = Map.groupBy(rises, ({ state, section }) => `${state} ${section ?? ''}`).values()
  const told = [...grouped].map(([first, ...more]) => {
    const turns = new Set(more.map(({ quarterTurn }) => quarterTurn)).size
    return `${first?.text}${turns === 0 ? '' : ` (so on ${turns} more)`}`
  })
  return [...others, ...told]
}

function tellTrends({ rising, meetsLimitBeforeDue }: Account): Markup[] {
  const [pressing] = meetsLimitBeforeDue
  if (pressing !== undefined) return [tellTrend(pressing)]
  return rising[0] === undefined ? [] : [html`${sentenceOf(rising[0])}.`]
}

/** Told from half the baseline on: below that the difference of two readings is mostly their noise. */
function tellInPhase({ inPhase }: Account): string[] {
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

function record({ fact: { test }, account: { equivalence } }: ToldTest): Markup {
  const rows: [string, unknown][] = [
    ['Tested by', test.testedBy],
    ['Reason', test.reason],
    ['Instrument', test.instrumentId],
    ['Procedure', test.procedureId],
    ['Examination', examined(test)],
    ['Cleaned, waxed', `${test.cleaned ? 'cleaned' : 'not cleaned'}, ${test.waxed ? 'waxed' : 'not waxed'}`],
  ]
  if (test.ambient !== undefined) {
    rows.push(['Climate', `${test.ambient.celsius} °C, ${test.ambient.relativeHumidityPercent} % relative humidity`])
  }
  if (test.wet !== undefined) rows.push(['Water', `${test.wet.water}; stood as ${test.wet.appearance}`])
  if (test.withstand !== undefined) rows.push(['Withstand', withstood(test.withstand)])
  if (equivalence !== undefined) rows.push(['Readings in place of withstand', `held equivalent by ${equivalence}`])
  if (test.demonstration !== undefined) {
    rows.push(['Demonstration', `${test.demonstration.by}: ${test.demonstration.grounds}`])
  }
  return html`<dl class="facts">${rows.map(([name, value]) => html`<dt>${name}</dt><dd>${value}</dd>`)}</dl>`
}

function withstood(rows: NonNullable<ToldTest['fact']['test']['withstand']>): Markup {
  return html`<ul class="reasons">${rows.map(
    ({ state, section, fromMetres, toMetres, kilovolts, seconds, outcome }) =>
      html`<li>${state}, ${section === undefined ? '' : `section ${section}, `}${fromMetres} to ${toMetres} m: ${kilovolts} kV for ${seconds} s, <strong>${outcome}</strong></li>`,
  )}</ul>`
}

function examined({ examination: { defects, gloss } }: ToldTest['fact']['test']): string {
  const found = defects.map(
    ({ kind, atMetres, open }) =>
      `${kind}${atMetres === undefined ? '' : ` at ${atMetres} m`}${open ? ', open' : ', mended'}`,
  )
  return [...(found.length === 0 ? ['no defect'] : found), `gloss ${gloss}`].join('; ')
}
