/** How a bench test was done and by what it was judged: what an auditor asks of a record. */

import { html } from 'hono/html'
import { testerInWords } from '../../shared-domain/bench-test/bench-test.ts'
import { judgedBy } from '../../shared-domain/bench-test/editions.ts'
import type { JudgedBy } from '../../shared-domain/bench-test/judge.ts'
import { limitFor } from '../../shared-domain/bench-test/limits.ts'
import { statesAskedOf } from '../../shared-domain/bench-test/places.ts'
import { inWords } from '../../shared-domain/calendar.ts'
import type { Pinned } from '../../shared-domain/facts.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import { surfaceStates } from '../../shared-domain/words.ts'
import type { ToldTest } from '../questions/accounts.ts'
import type { Markup } from '../web/web-page.ts'
import { date, moment } from './words.ts'

type Row = readonly [name: string, value: Markup | string]
type Test = ToldTest['fact']['test']

export function testRecord(told: ToldTest, zone: string): Markup {
  const { test } = told.fact
  const by = judgedBy(test, told.editions)
  const rows = [...whoAndWhen(told, zone), ...judgedWith(told, by), ...doneToIt(test), ...methods(told)]
  return html`<dl class="facts">${rows.map(([name, value]) => html`<dt>${name}</dt><dd>${value}</dd>`)}</dl>
${checks(test, by.procedure)}`
}

function whoAndWhen({ fact }: ToldTest, zone: string): Row[] {
  const { test } = fact
  return [
    ['Tested by', testerInWords(test.testedBy)],
    ['Tested on', html`${date(fact.occurredOn)}, ${fact.at ?? 'its hour was not recorded'}`],
    ['Recorded by', html`${fact.recordedBy}, ${moment(fact.recordedAt, zone)}`],
    ['Reason', test.reason],
  ]
}

function judgedWith({ fact: { test, pinned }, editions }: ToldTest, by: JudgedBy): Row[] {
  const { construction, workingLengthMetres, diameterMillimetres } = by.stick
  const { title, approvedBy } = by.procedure
  const policy: Row[] = editions.policy === undefined ? [] : [['Rules', editions.policy.packs.join(', ')]]
  return [
    ['Stick, as entered', `${construction}, ${workingLengthMetres} m, ${diameterMillimetres} mm`],
    ['Instrument', `${test.instrumentId}, ${applied(by)}`],
    ['Calibrated', calibrated(test, by)],
    ['Procedure', `${test.procedureId}, ${title}, approved by ${approvedBy}`],
    ['Decision rule', decision(by)],
    ...limits(by),
    ...policy,
    ['Editions it is pinned to', pinnedTo(test, pinned)],
  ]
}

function applied({ instrumentSpanMetres: span, instrumentKilovolts: kilovolts, instrumentHertz: hertz }: JudgedBy) {
  return [`span ${span} m`, kilovolts && `${kilovolts} kV`, hertz && `${hertz} Hz`].filter((one) => one).join(', ')
}

/** Of all recorded periods those around the day of the test. */
function calibrated({ testedOn }: Test, { calibrations }: JudgedBy): string {
  const around = calibrations.filter((one) => one.calibratedOn <= testedOn && testedOn <= one.calibrationDueOn)
  if (around.length === 0) return 'no recorded period covers the day of the test'
  const periods = around.map((one) => `${inWords(one.calibratedOn)} to ${inWords(one.calibrationDueOn)}`)
  return [...new Set(periods)].join('; ')
}

function decision({ procedure, expandedUncertaintyPercent: uncertainty }: JudgedBy): string {
  const conforms = `a reading conforms if it is ${procedure.comparison} its limit`
  const known = uncertainty === undefined ? 'not recorded' : `${uncertainty} %`
  return procedure.decision === 'simple'
    ? `simple: ${conforms}; the instrument’s expanded uncertainty is ${known}`
    : `guarded: ${conforms} less the instrument’s expanded uncertainty, ${known}`
}

function limits(by: JudgedBy): Row[] {
  return statesAskedOf(by.stick.construction).map((state) => {
    const limit = limitFor(state, by)
    const text = limit === undefined ? 'none covers it' : `${limit.microamps} µA (${limit.source})`
    return [`Limit, ${state}`, text]
  })
}

function pinnedTo({ procedureId, instrumentId }: Test, pinned: Pinned): string {
  const { stickSeq, procedureEdition, instrumentEditions, policyEdition } = pinned
  return [
    `stick, entry ${stickSeq}`,
    `${procedureId} ${procedureEdition}`,
    ...instrumentEditions.map((edition) => `${instrumentId} ${edition}`),
    ...(policyEdition === undefined ? [] : [`policy ${policyEdition}`]),
  ].join('; ')
}

function doneToIt(test: Test): Row[] {
  return [
    ['Examination', examined(test)],
    ['Cleaned, waxed', `${test.cleaned ? 'cleaned' : 'not cleaned'}, ${test.waxed ? 'waxed' : 'not waxed'}`],
  ]
}

function methods({ fact: { test }, account: { equivalence }, editions: { demonstration } }: ToldTest): Row[] {
  const { ambient, wet, withstand, demonstrationId, note } = test
  const climate = ambient && `${ambient.celsius} °C, ${ambient.relativeHumidityPercent} % relative humidity`
  return [
    ['Climate', climate ?? 'not recorded'],
    ...(wet === undefined ? [] : [['Water', water(wet)] as const]),
    ...(withstand === undefined ? [] : [['Withstand', withstood(withstand)] as const]),
    ...(equivalence === undefined
      ? []
      : [['Readings in place of withstand', `held equivalent by ${equivalence}`] as const]),
    ...(demonstration === undefined || equivalence !== undefined
      ? []
      : [
          [
            'Demonstration',
            `${demonstrationId}, ${demonstration.kind}: ${demonstration.by}, ${demonstration.grounds}`,
          ] as const,
        ]),
    ...(note === undefined || note === '' ? [] : [['Note', note] as const]),
  ]
}

function water({
  water: kind,
  conductivityMicrosiemensPerCm: conducts,
  appearance,
  driedAndRepeated,
}: NonNullable<Test['wet']>): string {
  const conductivity = conducts === undefined ? 'conductivity not recorded' : `${conducts} µS/cm`
  const again =
    driedAndRepeated === undefined
      ? ''
      : `; dried and repeated, the first time it stood as ${driedAndRepeated.appearance}`
  return `${kind}, ${conductivity}; stood as ${appearance}${again}`
}

/** With a known piece, beside what the procedure asks of it. */
function checks({ instrumentChecks }: Test, procedure: Procedure): Markup {
  if (instrumentChecks.length === 0) return html`<h3>Checks of the instrument</h3><p>None is recorded.</p>`
  const inOrder = surfaceStates.flatMap((state) => instrumentChecks.filter((one) => one.state === state))
  return html`<h3>Checks of the instrument</h3>
<table class="cards"><thead><tr><th scope="col">When</th><th scope="col">Empty</th><th scope="col">With the check piece</th><th scope="col">Right by the procedure</th></tr></thead>
<tbody>${inOrder.map(
    ({ state, when, openMicroamps, checkMicroamps }) =>
      html`<tr><td data-label="When">${state}, ${when} the readings</td><td data-label="Empty">${openMicroamps} µA</td><td data-label="With the check piece">${checkMicroamps} µA</td><td data-label="Right by the procedure">${asked(procedure, state)}</td></tr>`,
  )}</tbody></table>`
}

function asked({ checks: all }: Procedure, state: Procedure['checks'][number]['state']): string {
  const right = all
    .filter((one) => one.state === state)
    .map(
      ({ expectedMicroamps, tolerancePercent, openAtMostMicroamps }) =>
        `${expectedMicroamps} µA within ${tolerancePercent} %, empty at most ${openAtMostMicroamps} µA`,
    )
  return right.length === 0 ? 'it states none' : right.join('; or ')
}

function withstood(rows: NonNullable<Test['withstand']>): Markup {
  return html`<ul class="reasons">${rows.map(
    ({ state, section, fromMetres, toMetres, kilovolts, seconds, outcome }) =>
      html`<li>${state}, ${section === undefined ? '' : `section ${section}, `}${fromMetres} to ${toMetres} m: ${kilovolts} kV for ${seconds} s, <strong>${outcome}</strong></li>`,
  )}</ul>`
}

function examined({ examination: { defects, gloss } }: Test): string {
  const found = defects.map(
    ({ kind, atMetres, open }) =>
      `${kind}${atMetres === undefined ? '' : ` at ${atMetres} m`}${open ? ', open' : ', mended'}`,
  )
  return [...(found.length === 0 ? ['no defect'] : found), `gloss ${gloss}`].join('; ')
}
