/**
 * A bench test on paper: what a customer, an auditor or another employer asks to see. It begins with how the stick
 * stood when it was printed, for a paper that passed is read as leave to use the stick.
 */
import { judgedBy } from '../../../shared-domain/bench-test/editions.ts'
import { worstFirst } from '../../../shared-domain/bench-test/worst-first.ts'
import { orderOn, toOrder } from '../../../shared-domain/state/order.ts'
import { registrationOn } from '../../../shared-domain/state/state.ts'
import { isDated, mayBeUsed } from '../../../shared-domain/state/use.ts'
import type { TestOfStick } from '../../questions/sticks.ts'
import { verdictInWords } from '../test-page.ts'
import { checkColumns, checkRows, recordRows } from '../test-record.ts'
import type { PageWording } from '../wording.ts'
import { moment, saidOrder, undatedFor, whyOf } from '../words.ts'
import { code } from './code.ts'
import { framed, heading, list, millimetre, type Paper, table, textBlock } from './pdf.ts'
import type { Printing } from './printing.ts'
import { drawStrips } from './strips.ts'

type Rows = readonly (readonly [string, string])[]

/** The same for each print of the test, and no other test of the organisation has it. */
export function certificateNumber({ stick: { stickId }, test: { fact } }: TestOfStick): string {
  return `${stickId}-${fact.occurredOn}-${fact.factId.slice(-6)}`
}

export function certificateTitle({ test }: TestOfStick, { say }: PageWording): string {
  const isGood = test.fact.judgement.verdict === 'pass' && test.corrected === undefined
  return say(isGood ? 'paper certificate' : 'paper record of test')
}

export function drawCertificate(sheet: Paper, known: TestOfStick, printing: Printing): void {
  const { wording } = printing
  const { say } = wording
  const { test } = known
  headed(sheet, known, printing)
  howItStood(sheet, known, printing)
  if (test.corrected !== undefined) {
    const text = say('paper was slip', { reason: test.corrected.reason })
    framed(sheet, { stops: true, lines: [{ text, font: 'bold' }] })
  }
  heading(sheet, 2, say('what was found'))
  const { word, text } = verdictInWords(test, known.standing, wording)
  textBlock(sheet, word, { font: 'bold', size: 14 })
  if (text.trim() !== '') textBlock(sheet, text.trim())
  list(sheet, worstFirst(test.fact.judgement).map(wording.reason))
  table(sheet, { rows: dueRows(known, wording), widths: [0.3, 0.7] })
  heading(sheet, 2, say('how it was done'))
  table(sheet, { rows: [...rowsOf(known, wording)], widths: [0.3, 0.7] })
  drawChecks(sheet, known, wording)
  drawStrips(sheet, test.analysis.strips, wording)
  table(sheet, { rows: [[say('paper signed'), '']], widths: [0.3, 0.7], leastHeight: 30 })
  textBlock(sheet, say('safety'), { size: 8.5 })
}

/** The code stands beside the heading, where the eye begins. */
function headed(sheet: Paper, known: TestOfStick, { wording, organisation, at, codeUrl: address }: Printing): void {
  const { say } = wording
  const { test, stick, zone } = known
  const side = 28 * millimetre
  const from = sheet.y
  const beside = address === undefined ? sheet : { ...sheet, width: sheet.width - side }
  heading(beside, 1, certificateTitle(known, wording))
  const of = say('certificate of stick', { stick: stick.stickId, on: test.fact.occurredOn })
  textBlock(beside, of, { font: 'bold', size: 12.5 })
  const when = moment(at, zone, wording)
  textBlock(beside, say('paper number', { number: certificateNumber(known), when, organisation }))
  if (address === undefined) return
  textBlock(beside, say('code says', { address }), { size: 8.5 })
  code(sheet, { x: sheet.left + beside.width, y: from, side, address, alt: say('code alt certificate', { address }) })
  sheet.y = Math.max(beside.y, from + side)
  sheet.hasMissing ||= beside.hasMissing
}

function howItStood(sheet: Paper, { standing, stick, zone }: TestOfStick, { wording, place, at }: Printing): void {
  const { say } = wording
  const { line, errand } = orderOn(toOrder(standing, stick.state, place))
  const stops = !mayBeUsed(standing.status)
  framed(sheet, {
    stops,
    lines: [
      { text: say('paper stood', { when: moment(at, zone, wording) }), size: 8.5 },
      { text: saidOrder(line, wording), font: 'bold', size: 14 },
      ...(stops ? [{ text: whyOf(standing, wording) }] : []),
      { text: saidOrder(errand, wording) },
      { text: say('paper ask anew') },
    ],
  })
}

function dueRows({ standing }: TestOfStick, wording: PageWording): Rows {
  const { say } = wording
  const { status, dueOn, governedBy } = standing
  const undated = undatedFor({ status, dueOn }, say)
  const due =
    dueOn === null || !isDated(status)
      ? (undated ?? say('unknown'))
      : say('paper due by', { on: dueOn, source: governedBy?.source ?? say('unknown') })
  return [
    [say('paper status'), wording.status(standing)],
    [say('paper due'), due],
  ]
}

function rowsOf(known: TestOfStick, wording: PageWording): Rows {
  const { say } = wording
  const { test, stick, zone } = known
  const entry = registrationOn(stick.state, test.fact.occurredOn)?.stick ?? test.editions.stick
  const sections = (entry.sections ?? []).map(({ name, lengthMetres: at }) => say('section and length', { name, at }))
  const record = recordRows(test, zone, wording).map(
    ([name, value]) => [name, typeof value === 'string' ? value : value.join('\n')] as const,
  )
  return [
    ...record,
    [say('primary protection'), say(entry.primaryProtection ? 'relied on' : 'not relied on')],
    ...(entry.lot === undefined ? [] : [[say('paper lot'), entry.lot] as const]),
    ...(sections.length === 0 ? [] : [[say('sections'), sections.join('; ')] as const]),
  ]
}

function drawChecks(sheet: Paper, { test }: TestOfStick, { say }: PageWording): void {
  heading(sheet, 2, say('instrument checks'))
  const { procedure } = judgedBy(test.fact.test, test.editions)
  const rows = checkRows(test.fact.test, procedure, say)
  if (rows.length === 0) textBlock(sheet, say('no instrument checks'))
  else table(sheet, { heads: checkColumns.map((name) => say(name)), rows, widths: [0.2, 0.15, 0.2, 0.45] })
}
