/** The tag that keeps a stick out of use: hung on it where it was stopped, and taken off by the bench. */
import { orderOn, toOrder } from '../../../shared-domain/state/order.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { worstHoldFirst } from '../../../shared-domain/state/worst-hold.ts'
import type { StickOnDay } from '../../questions/sticks.ts'
import { moment, saidOrder, whyOf } from '../words.ts'
import { framed, heading, list, type Paper, sizeThatFits, table, textBlock } from './pdf.ts'
import type { Printing } from './printing.ts'

export function drawTag(sheet: Paper, known: StickOnDay, { wording, organisation, place, at }: Printing): void {
  const { say, hold } = wording
  const { stick, standing, zone } = known
  const { errand } = orderOn(toOrder(standing, stick.state, place))
  heading(sheet, 1, say('tag title', { stick: stick.stickId }))
  const width = sheet.width - 24
  const stop = say('tag stop')
  framed(sheet, {
    stops: true,
    lines: [
      { text: stop, font: 'bold', align: 'center', size: sizeThatFits(sheet, stop, { width, most: 72, least: 30 }) },
      {
        text: stick.stickId,
        font: 'bold',
        align: 'center',
        size: sizeThatFits(sheet, stick.stickId, { width, most: 60, least: 12 }),
      },
    ],
  })
  heading(sheet, 2, say('tag why'))
  if (mayBeUsed(standing.status)) textBlock(sheet, say('tag nothing recorded'), { size: 11 })
  else {
    const holds = standing.status === 'on hold' ? worstHoldFirst(standing.holds) : []
    const said = holds.map(hold).map(({ text: why, clearedBy: what }) => say('tag ends', { why, what }))
    if (said.length === 0) textBlock(sheet, whyOf(standing, wording), { size: 11 })
    else list(sheet, said, { size: 11 })
    textBlock(sheet, saidOrder(errand, wording), { font: 'bold', size: 11 })
  }
  heading(sheet, 2, say('tag by hand'))
  const rows = (['tag what seen', 'tag who', 'tag when', 'tag where'] as const).map((name) => [say(name), ''])
  table(sheet, { rows, widths: [0.35, 0.65], leastHeight: 34, ruled: true, size: 10 })
  textBlock(sheet, say('tag off'), { font: 'bold', size: 11 })
  textBlock(sheet, say('tag printed', { when: moment(at, zone, wording), organisation }), { size: 8.5 })
  textBlock(sheet, say('safety'), { size: 8.5 })
}
