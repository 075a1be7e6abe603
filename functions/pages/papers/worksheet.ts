/** Sheets for the bench: one to fill in by hand, place by place, and the list of a week. */
import { limitFor } from '../../../shared-domain/bench-test/limits.ts'
import { placesOfTurn, spanTooShort } from '../../../shared-domain/bench-test/next-place.ts'
import { lengthsOf, statesAskedOf } from '../../../shared-domain/bench-test/places.ts'
import { quarterTurns } from '../../../shared-domain/words.ts'
import type { BenchList, Worksheet } from '../../questions/papers.ts'
import { nameOfStrip } from '../strip.ts'
import { askedOfCheck } from '../test-record.ts'
import { moment, type Names, undatedFor, where } from '../words.ts'
import { heading, type Paper, table, textBlock } from './pdf.ts'
import type { Printing } from './printing.ts'

const byHand = 20

export function drawWorksheet(sheet: Paper, known: Worksheet, { wording, organisation, at }: Printing): void {
  const { say } = wording
  const { stick, bench, zone } = known
  heading(sheet, 1, say('sheet title', { stick: stick.stickId }))
  textBlock(sheet, say('sheet lead'))
  textBlock(sheet, say('tag printed', { when: moment(at, zone, wording), organisation }), { size: 8.5 })
  if (bench === undefined) textBlock(sheet, say('sheet which'), { font: 'bold' })
  else drawBench(sheet, { ...known, bench }, wording)
  textBlock(sheet, say('safety'), { size: 8.5 })
}

function drawBench(sheet: Paper, known: Worksheet & { readonly bench: Bench }, wording: Printing['wording']): void {
  const { say } = wording
  const { bench, procedureId, instrumentId, standing } = known
  const { construction, workingLengthMetres: length, diameterMillimetres: across } = bench.stick
  const { title, approvedBy } = bench.procedure
  const rows = [
    [say('sheet stick'), say('stick entry', { construction, at: length, across })],
    [say('paper status'), wording.status(standing)],
    [say('procedure'), say('procedure approved', { id: procedureId ?? '', title, by: approvedBy })],
    [say('instrument'), `${instrumentId}, ${say('instrument span', { span: bench.instrument.spanMetres })}`],
  ]
  table(sheet, { rows, widths: [0.3, 0.7] })
  const states = statesAskedOf(construction)
  const toFill = [
    say('sheet done by'),
    say('sheet looked'),
    say('sheet prepared'),
    say('sheet air'),
    ...(states.includes('wet') ? [say('sheet water')] : []),
    say('sheet note'),
  ]
  table(sheet, { rows: toFill.map((name) => [name, '']), widths: [0.3, 0.7], leastHeight: byHand, ruled: true })
  heading(sheet, 2, say('sheet checks'))
  const checkHeads = ['sheet check', 'sheet empty before', 'sheet piece before', 'sheet empty after'] as const
  table(sheet, {
    heads: [...checkHeads.map((name) => say(name)), say('sheet piece after'), say('sheet right')],
    rows: states.map((state) => [say(state), '', '', '', '', askedOfCheck(bench.procedure, state, say)]),
    widths: [0.1, 0.13, 0.13, 0.13, 0.13, 0.38],
    leastHeight: byHand,
    ruled: true,
  })
  drawPlaces(sheet, bench, wording)
}

type Bench = NonNullable<Worksheet['bench']>

function drawPlaces(sheet: Paper, bench: Bench, { say }: Printing['wording']): void {
  const { stick, procedure, instrument } = bench
  for (const state of statesAskedOf(stick.construction)) {
    const { kilovolts, hertz, spanMetres } = instrument
    const limit = limitFor(state, {
      stick,
      procedure,
      instrumentSpanMetres: spanMetres,
      instrumentKilovolts: kilovolts,
      instrumentHertz: hertz,
    })
    for (const one of lengthsOf(stick)) {
      const { section } = one
      const name = nameOfStrip({ state, ...(section === undefined ? {} : { section }) }, say)
      heading(sheet, 2, say('sheet readings', { name }))
      const limits = limit === undefined ? say('sheet no limit') : say('sheet limit', { limit: limit.microamps })
      textBlock(sheet, limits, { font: 'bold' })
      const places = placesOfTurn(one, bench)
      if (places === spanTooShort) textBlock(sheet, say('sheet span too short'), { font: 'bold' })
      else
        table(sheet, {
          heads: [say('sheet place'), ...quarterTurns.map((turn) => `${turn}°`)],
          rows: places.map(({ fromMetres: from, toMetres: to }) => [say('span', { from, to }), '', '', '', '']),
          widths: [0.24, 0.19, 0.19, 0.19, 0.19],
          leastHeight: byHand - 4,
          ruled: true,
        })
    }
  }
}

export function drawBenchList(
  sheet: Paper,
  known: BenchList,
  { wording, names, at }: Printing & { readonly names: Names },
): void {
  const { say } = wording
  const { depotId, to, zone, rows, isCut } = known
  heading(sheet, 1, say('bench list title', { depot: names.depot(depotId) }))
  textBlock(sheet, say('bench list of', { to, when: moment(at, zone, wording) }))
  if (rows.length === 0) textBlock(sheet, say('bench list none'), { font: 'bold' })
  else
    table(sheet, {
      heads: [
        say('sheet stick'),
        say('bench list due'),
        say('bench list status'),
        say('bench list where'),
        say('bench list tick'),
      ],
      rows: rows.map(({ stored, standing }) => [
        stored.stickId,
        undatedFor(standing, say) ?? wording.day(standing.dueOn ?? ''),
        wording.status(standing),
        where(stored.state, names, wording),
        '',
      ]),
      widths: [0.2, 0.18, 0.18, 0.32, 0.12],
      leastHeight: 14,
      ruled: true,
    })
  if (isCut) textBlock(sheet, say('bench list cut'), { font: 'bold' })
  textBlock(sheet, say('safety'), { size: 8.5 })
}
