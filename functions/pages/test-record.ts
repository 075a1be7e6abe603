/** How a bench test was done and by what it was judged: what an auditor asks of a record. */

import { html } from 'hono/html'
import { judgedBy } from '../../shared-domain/bench-test/editions.ts'
import type { JudgedBy } from '../../shared-domain/bench-test/judge.ts'
import { limitFor } from '../../shared-domain/bench-test/limits.ts'
import { statesAskedOf } from '../../shared-domain/bench-test/places.ts'
import type { Pinned } from '../../shared-domain/facts.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import { surfaceStates } from '../../shared-domain/words.ts'
import type { ToldTest } from '../questions/accounts.ts'
import type { Markup } from '../web/web-page.ts'
import { headings } from './filter.ts'
import type { PageWording } from './wording.ts'
import { moment, noted, placeOn, testerOf } from './words.ts'

type Say = PageWording['say']
/** A name, and its value or its values. */
type Row = readonly [name: string, value: string | readonly string[]]
type Test = ToldTest['fact']['test']

export function testRecord(found: ToldTest, zone: string, wording: PageWording): Markup {
  const { test } = found.fact
  const { say } = wording
  const shown = ([name, value]: Row) =>
    html`<dt>${name}</dt><dd>${typeof value === 'string' ? value : listed(value)}</dd>`
  return html`<dl class="facts">${recordRows(found, zone, wording).map(shown)}</dl>
<h3>${say('instrument checks')}</h3>
${checks(test, judgedBy(test, found.editions).procedure, wording)}`
}

const listed = (values: readonly string[]) =>
  html`<ul class="reasons">${values.map((value) => html`<li>${value}</li>`)}</ul>`

export function recordRows(found: ToldTest, zone: string, wording: PageWording): Row[] {
  const by = judgedBy(found.fact.test, found.editions)
  return [
    ...whoAndWhen(found, zone, wording),
    ...judgedWith(found, by, wording),
    ...doneToIt(found.fact.test, wording.say),
    ...methods(found, wording),
  ]
}

function whoAndWhen({ fact }: ToldTest, zone: string, wording: PageWording): Row[] {
  const { test, at, occurredOn: on } = fact
  const { say, word } = wording
  const when = moment(fact.recordedAt, zone, wording)
  return [
    [say('tested by'), testerOf(test.testedBy)],
    [say('tested on'), at === undefined ? say('hour unknown', { on }) : say('at hour', { on, at })],
    [say('recorded by'), say('who and when', { who: fact.recordedBy, when })],
    [say('reason for test'), word('reason', test.reason)],
  ]
}

function judgedWith({ fact: { test, pinned }, editions }: ToldTest, by: JudgedBy, wording: PageWording): Row[] {
  const { say, list } = wording
  const { construction, workingLengthMetres: at, diameterMillimetres: across } = by.stick
  const { title, approvedBy } = by.procedure
  return [
    [say('stick as entered'), say('stick entry', { construction, at, across })],
    [say('instrument'), `${test.instrumentId}, ${applied(by, say)}`],
    [say('calibrated'), calibrated(test, by, wording)],
    [say('procedure'), say('procedure approved', { id: test.procedureId, title, by: approvedBy })],
    [say('decision rule'), decision(by, say)],
    ...limits(by, say),
    ...(editions.policy === undefined ? [] : [[say('rules'), list(editions.policy.packs)] as const]),
    [say('editions'), pinnedTo(test, pinned, say)],
  ]
}

function applied(by: JudgedBy, say: Say): string {
  const { instrumentSpanMetres: span, instrumentKilovolts: kilovolts, instrumentHertz: hertz } = by
  const parts = [say('instrument span', { span }), kilovolts && `${kilovolts} kV`, hertz && `${hertz} Hz`]
  return parts.filter((one) => one).join(', ')
}

/** Of all recorded periods those around the day of the test. */
function calibrated({ testedOn }: Test, { calibrations }: JudgedBy, { say, list }: PageWording): string {
  const around = calibrations.filter((one) => one.calibratedOn <= testedOn && testedOn <= one.calibrationDueOn)
  if (around.length === 0) return say('not calibrated')
  const periods = around.map((one) => say('calibrated from to', { from: one.calibratedOn, to: one.calibrationDueOn }))
  return list([...new Set(periods)])
}

function decision({ procedure, expandedUncertaintyPercent: percent }: JudgedBy, say: Say): string {
  const { comparison } = procedure
  const known = percent === undefined ? say('uncertainty unknown') : say('uncertainty known', { percent })
  return `${say(procedure.decision === 'simple' ? 'decision simple' : 'decision guarded', { comparison })}; ${known}`
}

function limits(by: JudgedBy, say: Say): Row[] {
  return statesAskedOf(by.stick.construction).map((state) => {
    const limit = limitFor(state, by)
    if (limit === undefined) return [say(`limit ${state}`), say('no limit covers')]
    return [say(`limit ${state}`), say('limit and source', { limit: limit.microamps, source: limit.source })]
  })
}

function pinnedTo({ procedureId, instrumentId }: Test, pinned: Pinned, say: Say): string {
  const { stickSeq: seq, procedureEdition, instrumentEditions, policyEdition: edition } = pinned
  return [
    say('edition of stick', { seq }),
    `${procedureId} ${procedureEdition}`,
    ...instrumentEditions.map((one) => `${instrumentId} ${one}`),
    ...(edition === undefined ? [] : [say('edition of policy', { edition })]),
  ].join('; ')
}

function doneToIt(test: Test, say: Say): Row[] {
  const done = [say(test.cleaned ? 'cleaned' : 'not cleaned'), say(test.waxed ? 'waxed' : 'not waxed')]
  return [
    [say('examination'), examined(test, say)],
    [say('cleaned and waxed'), done.join(', ')],
  ]
}

function methods(found: ToldTest, wording: PageWording): Row[] {
  const { say } = wording
  const { ambient, wet, withstand, note } = found.fact.test
  const climate = ambient && say('climate was', { celsius: ambient.celsius, humidity: ambient.relativeHumidityPercent })
  return [
    [say('climate'), climate ?? say('not recorded')],
    ...(wet === undefined ? [] : [[say('water'), water(wet, say)] as const]),
    ...(withstand === undefined ? [] : [[say('withstand'), withstood(withstand, say)] as const]),
    ...demonstrated(found, say),
    ...(note === undefined || note === '' ? [] : [[say('note'), note] as const]),
  ]
}

function demonstrated({ fact, analysis: { equivalence: by }, editions }: ToldTest, say: Say): Row[] {
  if (by !== undefined) return [[say('in place of withstand'), say('held equivalent', { by })]]
  const { demonstration } = editions
  if (demonstration === undefined) return []
  const { kind, grounds } = demonstration
  const values = { id: fact.test.demonstrationId ?? '', by: demonstration.by, grounds }
  return [[say('demonstration'), say(`demonstration ${kind}`, values)]]
}

function water(wet: NonNullable<Test['wet']>, say: Say): string {
  const { water: kind, conductivityMicrosiemensPerCm: conducts, appearance, driedAndRepeated: again } = wet
  return [
    say('water of kind', { water: kind }),
    conducts === undefined ? say('conductivity unknown') : say('conductivity', { conducts }),
    say('stood as', { appearance }),
    ...(again === undefined
      ? []
      : [noted(say('dried and repeated', { appearance: again.appearance }), again.note, say)]),
  ].join('; ')
}

export const checkColumns = ['when', 'empty', 'with check piece', 'right by procedure'] as const

function checks(test: Test, procedure: Procedure, wording: PageWording): Markup {
  const { say } = wording
  if (test.instrumentChecks.length === 0) return html`<p>${say('no instrument checks')}</p>`
  const rows = checkRows(test, procedure, say).map(
    (cells) =>
      html`<tr>${cells.map((cell, i) => html`<td data-label="${say(checkColumns[i] ?? 'when')}">${cell}</td>`)}</tr>`,
  )
  return html`<table class="cards">${headings(checkColumns, wording)}
<tbody>${rows}</tbody></table>`
}

/** Checks with a known piece, beside what the procedure asks of it. */
export function checkRows({ instrumentChecks }: Test, procedure: Procedure, say: Say): string[][] {
  const inOrder = surfaceStates.flatMap((state) => instrumentChecks.filter((one) => one.state === state))
  return inOrder.map(({ state, when, openMicroamps, checkMicroamps }) => [
    say('check when', { state: say(state), when }),
    `${openMicroamps} µA`,
    `${checkMicroamps} µA`,
    askedOfCheck(procedure, state, say),
  ])
}

export function askedOfCheck(
  { checks: all }: Procedure,
  state: Procedure['checks'][number]['state'],
  say: Say,
): string {
  const right = all
    .filter((one) => one.state === state)
    .map(({ expectedMicroamps: expected, tolerancePercent: percent, openAtMostMicroamps: open }) =>
      say('check right', { expected, percent, open }),
    )
  return right.length === 0 ? say('check unstated') : right.join('; ')
}

function withstood(rows: NonNullable<Test['withstand']>, say: Say): string[] {
  return rows.map((row) => {
    const { kilovolts, seconds, outcome } = row
    const what = say('withstand outcome', { place: placeOn(row, say), kilovolts, seconds })
    return `${what} ${say('outcome of it', { outcome })}`
  })
}

function examined({ examination: { defects, gloss } }: Test, say: Say): string {
  const found = defects.map(({ kind: defect, atMetres: at, open, note }) => {
    const what =
      at === undefined
        ? say(open ? 'defect open' : 'defect mended', { defect })
        : say(open ? 'defect open at' : 'defect mended at', { defect, at })
    return noted(what, note, say)
  })
  return [...(found.length === 0 ? [say('no defect')] : found), say(`gloss ${gloss}`)].join('; ')
}
