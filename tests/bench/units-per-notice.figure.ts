/**
 * What one notice spends on the table from being owed until it is sent, written beside its fact and read by the mailer.
 */
import type { Figure } from './figure.ts'
import { delivered, floorOf, recorded } from './units.ts'

export const figure: Figure = {
  unit: 'capacity units for a notice of a hold, from being owed to being sent',
  better: 'lower',
  goal: 32,
  floorIn: 'units',
  async measure() {
    const { meter, written, table } = await recorded('defects', { kind: 'tingle' })
    const notices = written.filter(({ entity }) => entity === 'notice')
    if (notices.length === 0) throw new Error('nobody was told')
    const spent = meter.writtenOf('notice') + (await delivered(table, notices))
    return { value: spent / notices.length, floor: floorOf(notices) / notices.length }
  },
}
