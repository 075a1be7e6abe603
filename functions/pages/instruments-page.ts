/** Instruments and until when each counts; and one of them, with its calibrations, its checks and its tests. */
import { html } from 'hono/html'
import type { CheckChart } from '../../shared-domain/bench-test/check-charts.ts'
import type { CheckBesideProcedure } from '../../shared-domain/bench-test/check-readings.ts'
import { type ChartRule, leastReadings } from '../../shared-domain/bench-test/control-chart.ts'
import { daysBetween } from '../../shared-domain/calendar.ts'
import type { Instrument } from '../../shared-domain/registers.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { type SurfaceState, surfaceStates } from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import {
  type ChartsOf,
  chartsOf,
  type InstrumentSheet,
  type InstrumentToday,
  instrumentSheetFor,
  instrumentsFor,
  mostCharted,
  type TestsWith,
  type TestWith,
  testsWith,
} from '../questions/instruments.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { points } from './chart.ts'
import { headings } from './filter.ts'
import { documentOf } from './layout.ts'
import { addressWith, type Trail, turning } from './trail.ts'
import type { PageWording } from './wording.ts'
import { date } from './words.ts'

type Say = PageWording['say']

const instrumentsOnPage = 50
const testsOnPage = 25

/** The list is short and read whole, since the worst stands first; a place in it is the number of an instrument. */
export async function instrumentsPage(asker: Asker, trail: Trail, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const all = await instrumentsFor(asker)
  const begin = trail.after === undefined ? 0 : all.findIndex(({ id }) => id === trail.after) + 1
  const shown = all.slice(begin, begin + instrumentsOnPage)
  const next = begin + shown.length < all.length ? (shown.at(-1)?.id ?? null) : null
  const [first] = all
  const main = html`<h1>${say('instruments')}</h1>
${
  first === undefined
    ? html`<p class="empty">${say('instruments none')}</p>`
    : html`<p class="quiet">${say('instruments as of', { on: first.today })}</p>
<table class="cards">
${headings(['instrument', 'calibration', 'counts through', 'last calibrated', 'instrument spans'], wording)}
<tbody>${shown.map((one) => line(one, wording))}</tbody></table>`
}
${turning(
  {
    trail,
    next,
    path: '/instruments',
    query: {},
    names: {
      previous: say('previous instruments'),
      next: say('next instruments'),
      first: say('first instruments'),
    },
  },
  wording,
)}`
  return documentOf({ title: say('instruments'), main, here: 'instruments' }, wording)
}

function line(one: InstrumentToday, wording: PageWording): Markup {
  const { id, body, calibratedOn } = one
  const { say } = wording
  return html`<tr><th scope="row"><a href="/instruments/${encodeURIComponent(id)}">${id}</a></th>
<td data-label="${say('calibration')}">${stateOf(one, say)}
${one.isIn ? '' : html`<span class="below">${say('do not test with it')}</span>`}</td>
<td data-label="${say('counts through')}">${throughOf(one, wording)}</td>
<td data-label="${say('last calibrated')}">
${calibratedOn === null ? say('none by today') : date(calibratedOn, wording)}</td>
<td data-label="${say('instrument spans')}">${say('length', { at: body.spanMetres })}</td></tr>`
}

/** By word and by shape. */
function stateOf({ isIn }: InstrumentToday, say: Say): Markup {
  const tone = isIn ? 'good' : 'stop'
  const shape = isIn ? html`<path d="m3 11 5 5L18 4"/>` : html`<path class="full" d="M6 1h8l5 5v8l-5 5H6l-5-5V6z"/>`
  return html`<span class="status ${tone}"><svg viewBox="0 0 20 20" aria-hidden="true">${shape}</svg>
${say(isIn ? 'calibrated now' : 'not calibrated now')}</span>`
}

function throughOf({ through, today }: InstrumentToday, wording: PageWording): Markup {
  const { say } = wording
  if (through === null) return html`<span class="quiet">${say('none by today')}</span>`
  const days = daysBetween(today, through)
  const when =
    days === 0 ? say('ends today') : days > 0 ? say('ends in days', { days }) : say('ended days ago', { days: -days })
  return html`${date(through, wording)}<span class="days">${when}</span>`
}

export interface InstrumentChoice {
  readonly id: string
  readonly trail: Trail
}

export async function instrumentPage(
  asker: Asker,
  choice: InstrumentChoice,
  wording: PageWording,
): Promise<WebDocument> {
  const { id, trail } = choice
  const { say } = wording
  const [sheet, found, charts] = await Promise.all([
    instrumentSheetFor(asker, id),
    testsWith(asker, { id, after: trail.after ?? '', limit: testsOnPage }),
    chartsOf(asker, id),
  ])
  const mayRecall = mayAtAll(asker.caller.role, 'open a recall')
  const title = say('instrument title', { id })
  const main = html`<p><a href="/instruments">${say('to instruments')}</a></p>
<h1>${title}</h1>
<p class="lead">${stateOf(sheet, say)}${leadOf(sheet, say)}</p>
${mayRecall ? recallWay(id, say) : ''}
<h2>${say('calibrations')}</h2>
${calibrations(sheet, { id, mayRecall }, wording)}
${controlCharts(charts, wording)}
${checksAndTests(found, wording)}
${turning(
  {
    trail,
    next: found.next,
    path: `/instruments/${encodeURIComponent(id)}`,
    query: {},
    names: { previous: say('previous tests'), next: say('next tests'), first: say('newest tests') },
  },
  wording,
)}`
  return documentOf({ title, main, here: 'instruments' }, wording)
}

/** Where it turns out to have read wrong, what it tested is called back. */
function recallWay(id: string, say: Say): Markup {
  return html`<p class="acts"><a href="${addressWith('/recall/instrument', { instrument: id })}">
${say('recall instrument')}</a></p>`
}

function leadOf({ through, isIn }: InstrumentToday, say: Say): string {
  if (through === null) return say('calibrated never')
  return isIn ? say('calibrated until', { on: through }) : say('calibrated no more', { on: through })
}

/** What a calibration does not say. */
const ofNothing = ({ say }: PageWording) => html`<span class="quiet">${say('not stated')}</span>`

function calibrations(
  { calibrations: all }: InstrumentSheet,
  at: { readonly id: string; readonly mayRecall: boolean },
  wording: PageWording,
): Markup {
  const { say } = wording
  const notStated = ofNothing(wording)
  const rows = all.map(({ body }, i) => {
    const { calibratedOn, calibrationDueOn, spanMetres, expandedUncertaintyPercent: percent } = body
    const lastGoodOn = all.slice(i + 1).find((one) => one.body.calibratedOn < calibratedOn)?.body.calibratedOn
    return html`<tr><th scope="row">${date(calibratedOn, wording)}</th>
<td data-label="${say('due again')}">${date(calibrationDueOn, wording)}</td>
<td data-label="${say('as found')}">
${body.foundOutOfTolerance ? foundWrong(body, at, { lastGoodOn, wording }) : notStated}</td>
<td data-label="${say('certificate')}">${certificateOf(body, wording)}</td>
<td data-label="${say('uncertainty')}">${percent === undefined ? notStated : `${percent} %`}</td>
<td data-label="${say('instrument spans')}">${say('length', { at: spanMetres })}</td></tr>`
  })
  return html`<table class="cards">
${headings(['calibrated on', 'due again', 'as found', 'certificate', 'uncertainty', 'instrument spans'], wording)}
<tbody>${rows}</tbody></table>`
}

function certificateOf({ certificate, laboratory }: Instrument, wording: PageWording): Markup | string {
  const { say } = wording
  if (certificate !== undefined && laboratory !== undefined) return say('certificate of', { certificate, laboratory })
  return certificate ?? laboratory ?? ofNothing(wording)
}

/** Verdicts by a wrong instrument are looked at again: whoever may recall is led to what it judged. */
function foundWrong(
  { calibratedOn, foundError: error }: Instrument,
  { id, mayRecall }: { readonly id: string; readonly mayRecall: boolean },
  { lastGoodOn, wording: { say } }: { readonly lastGoodOn: string | undefined; readonly wording: PageWording },
): Markup {
  const by =
    error === undefined
      ? say('found wrong')
      : say('found wrong by', {
          by:
            error.kind === 'percent of full scale'
              ? say(`error by ${error.kind}`, { value: error.value, full: error.fullScaleMicroamps ?? 0 })
              : say(`error by ${error.kind}`, { value: error.value }),
        })
  const address = addressWith('/recall/instrument', {
    instrument: id,
    lastGoodOn,
    foundOutOn: calibratedOn,
    errorKind: error?.kind,
    errorValue: error?.value.toString(),
    fullScale: error?.fullScaleMicroamps?.toString(),
  })
  const link = mayRecall ? html` <a class="below" href="${address}">${say('see what it judged')}</a>` : ''
  return html`<strong>${by}</strong>${link}`
}

function controlCharts({ since, charts, daysWithoutCheck, isAll }: ChartsOf, wording: PageWording): Markup | string {
  const { say } = wording
  if (since === null || (charts.length === 0 && daysWithoutCheck === 0)) return ''
  return html`<h2>${say('control charts')}</h2>
<p class="quiet">${say('control charts since', { on: since })}</p>
${isAll ? '' : html`<p class="quiet">${say('control charts newest', { most: mostCharted })}</p>`}
${daysWithoutCheck === 0 ? '' : html`<p class="hold">${say('days without check', { days: daysWithoutCheck })}</p>`}
${charts.map((one, i) => controlled(one, i, wording))}`
}

function controlled({ piece, readings, chart }: CheckChart, i: number, wording: PageWording): Markup {
  const { say, day } = wording
  const of = { state: say(piece.state), expected: piece.expectedMicroamps }
  const title = say('chart title', of)
  if (chart === null)
    return html`<h3>${title}</h3>
<p class="quiet">${say('chart too few', { days: readings.length, least: leastReadings })}</p>`
  const [from = '', to = ''] = [readings[0]?.on, readings.at(-1)?.on]
  const ends = { unit: 'µA', first: day(from), last: day(to) }
  const [mean, low, high] = [chart.mean, chart.low, chart.high].map(hundredths) as [number, number, number]
  const told = say('chart told', { from, to, readings: readings.length, mean, low, high })
  const stepsTold = say('chart steps told', { mean: hundredths(chart.meanStep), high: hundredths(chart.highStep) })
  const outside = (rule: ChartRule) => new Set(chart.warnings.flatMap((one) => (one.rule === rule ? [one.from] : [])))
  const [far, jumped] = [outside('reading-outside'), outside('step-outside')]
  const marks = readings.map(({ microamps }, at) => ({ value: microamps, isRight: !far.has(at), isAfter: false }))
  const steps = chart.steps.map((value, at) => ({ value, isRight: !jumped.has(at + 1), isAfter: false }))
  const warnings = chart.warnings.map(({ rule, from: first, to: last }) => {
    const [begin = '', end = ''] = [readings[first]?.on, readings[last]?.on]
    return html`<li>${say(`chart ${rule}`, { from: begin, to: end })}</li>`
  })
  const isWarned = warnings.length > 0
  const stepsTitle = say('chart steps title', of)
  return html`<h3>${title}</h3>
${isWarned ? html`<div class="hold"><ul>${warnings}</ul></div>` : html`<p class="quiet">${say('chart quiet')}</p>`}
${chart.isPreliminary ? html`<p class="quiet">${say('chart preliminary')}</p>` : ''}
<figure class="picture"><figcaption>${title}</figcaption>${points(
    { id: `chart-${i}`, title, desc: told, ...ends },
    marks,
    {
      from: chart.low,
      middle: chart.mean,
      to: chart.high,
    },
  )}<p class="quiet">${told}</p></figure>
<figure class="picture"><figcaption>${stepsTitle}</figcaption>${points(
    { id: `chart-steps-${i}`, title: stepsTitle, desc: stepsTold, ...ends },
    steps,
    {
      from: 0,
      middle: chart.meanStep,
      to: chart.highStep,
    },
  )}<p class="quiet">${stepsTold}</p></figure>
<details class="readers"><summary>${say('chart table')}</summary>
<table>${headings(['tested on', 'chart reading', 'chart step'], wording)}
<tbody>${readings.map(({ on, microamps }, at) => {
    const step = chart.steps[at - 1]
    const stepped = step === undefined ? '–' : say('chart in µA', { read: hundredths(step) })
    return html`<tr><th scope="row">${date(on, wording)}</th><td>${say('chart in µA', { read: microamps })}</td>
<td>${stepped}</td></tr>`
  })}</tbody></table></details>`
}

/** Checks are read to a tenth of a microampere at best. */
const hundredths = (value: number) => Math.round(value * 100) / 100

function checksAndTests({ tests }: TestsWith, wording: PageWording): Markup {
  const { say } = wording
  if (tests.length === 0) return html`<h2>${say('tests with it')}</h2><p class="empty">${say('tests with it none')}</p>`
  const all = series(tests)
  const pictures = all.map((one, i) => picture(one, i, wording))
  return html`${all.length === 0 ? '' : html`<h2>${say('known piece')}</h2>${legend(say)}${pictures}`}
<h2>${say('tests with it')}</h2>
<table class="cards"><caption>${say('tests with it caption')}</caption>
${headings(['tested on', 'stick', 'verdict', 'check dry', 'check wet'], wording)}
<tbody>${tests.map((one) => testLine(one, wording))}</tbody></table>`
}

function testLine({ fact, stickId, isSeen, checks }: TestWith, wording: PageWording): Markup {
  const { say, word } = wording
  const { verdict } = fact.judgement
  const page = `/sticks/${encodeURIComponent(stickId)}`
  const stick = isSeen
    ? html`<a href="${page}">${stickId}</a>`
    : html`<span class="quiet">${say('of another depot')}</span>`
  const judged = isSeen
    ? html`<a class="verdict ${verdict}" href="${page}/bench-tests/${encodeURIComponent(fact.factId)}">
${word('verdict', verdict)}</a>`
    : html`<span class="quiet">–</span>`
  return html`<tr><th scope="row">${date(fact.occurredOn, wording)}${fact.at === undefined ? '' : ` ${fact.at}`}</th>
<td data-label="${say('stick')}">${stick}</td>
<td data-label="${say('verdict')}">${judged}</td>
${surfaceStates.map(
  (state) => html`<td data-label="${say(`check ${state}`)}">${checksOf(state, checks, wording)}</td>`,
)}</tr>`
}

function checksOf(state: SurfaceState, all: readonly CheckBesideProcedure[], wording: PageWording): Markup {
  const { say } = wording
  const own = all.filter(({ check }) => check.state === state)
  if (own.length === 0) return html`<span class="quiet">${say('no check')}</span>`
  return html`${own.map(({ check: { when, checkMicroamps: read, openMicroamps: open }, isRight }) => {
    const wrong = isRight === false ? html` <strong class="stopped">${say('check is wrong')}</strong>` : ''
    return html`<span class="check">${say('check read', { when, read, open })}${wrong}</span>`
  })}`
}

/** Readings of which the procedures asked the same, the oldest first: only those can stand in one picture. */
interface Series {
  readonly state: SurfaceState
  readonly piece: NonNullable<CheckBesideProcedure['piece']>
  readonly readings: readonly { readonly of: TestWith; readonly one: CheckBesideProcedure }[]
}

function series(tests: readonly TestWith[]): Series[] {
  const readings = [...tests].reverse().flatMap((of) => of.checks.map((one) => ({ of, one })))
  const alike = Map.groupBy(readings, ({ one: { check, piece } }) =>
    piece === null ? '' : [check.state, piece.expectedMicroamps, piece.tolerancePercent].join(' '),
  )
  return [...alike]
    .flatMap(([, all]) => {
      const piece = all[0]?.one.piece
      return piece == null ? [] : [{ state: piece.state, piece, readings: all }]
    })
    .sort((a, b) =>
      a.state < b.state ? -1 : a.state > b.state ? 1 : a.piece.expectedMicroamps - b.piece.expectedMicroamps,
    )
}

function picture({ state, piece, readings }: Series, i: number, { say, day }: PageWording): Markup {
  const { expectedMicroamps: expected, tolerancePercent: percent } = piece
  const away = (expected * percent) / 100
  const ends = [readings[0], readings.at(-1)].map((one) => one?.of.fact.occurredOn ?? '')
  const [from = '', to = ''] = ends
  const wrong = readings.filter(({ one }) => one.isRight === false).length
  const title = say('known piece of state', { state: say(state), expected })
  const said = {
    id: `check-${i}`,
    title,
    desc: say('known piece told', { from, to, readings: readings.length, wrong, expected, percent }),
    unit: 'µA',
    first: day(from),
    last: day(to),
  }
  const marks = readings.map(({ one: { check, isRight } }) => ({
    value: check.checkMicroamps,
    isRight: isRight !== false,
    isAfter: check.when === 'after',
  }))
  const band = { from: expected - away, middle: expected, to: expected + away }
  return html`<figure class="picture"><figcaption>${title}</figcaption>${points(said, marks, band)}
<p class="quiet">${said.desc}</p></figure>`
}

/** What the marks of the pictures mean. */
function legend(say: Say): Markup {
  const sign = (shape: Markup, name: string) =>
    html`<span class="mark"><svg class="chart sign" viewBox="0 0 20 20" aria-hidden="true">${shape}</svg>${name}</span>`
  return html`<p class="legend">
${sign(html`<circle class="reading full" cx="10" cy="10" r="6"/>`, say('legend before'))}
${sign(html`<circle class="reading hollow" cx="10" cy="10" r="6"/>`, say('legend after'))}
${sign(html`<path class="reading wrong full" d="M10 2l8 15h-16z"/>`, say('legend wrong'))}
${sign(html`<path class="band" d="M0 4h20v12h-20z"/><path class="edge" d="M0 4h20M0 16h20"/>`, say('legend band'))}</p>`
}
