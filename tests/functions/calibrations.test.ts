/**
 * A test with an instrument that is out of calibration proves nothing: the bench and the managers hear before that
 * comes.
 */
import { beforeAll, expect, test } from 'vitest'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { addDays } from '../../shared-domain/calendar.ts'
import { messageOf } from '../support/mails.ts'
import { anInstrument, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const lastDay = day('2026-12-01')
const benchAndManagers = [
  'bench-2@demo-utility.example',
  'bench@demo-utility.example',
  'manager-2@demo-utility.example',
  'manager@demo-utility.example',
  'sol@demo-utility.example',
]

let furnished: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], '2026-02-01T15:00:00.000Z')
  await furnish(house)
  furnished = house.table.items()
})

const open = () => openHouse(furnished, '2026-02-01T15:00:00.000Z')

async function morning(house: House, daysBefore: number): Promise<void> {
  house.at(`${addDays(lastDay, -daysBefore)}T15:00:00.000Z`)
  await sweep(house.table, house.clock)
}

const told = (house: House) =>
  house.table.items().filter(({ kind }) => kind === 'calibration') as unknown as readonly Notice[]
const wordsOf = (house: House) =>
  told(house)
    .filter(({ to }) => to.email === 'bench@demo-utility.example')
    .map((notice) => messageOf(notice, 'https://pages.example').subject.replace(/ \[.*/, ''))

test('from a month before its last day to the day after: each time once, to all who test or answer', async () => {
  const house = open()
  for (let left = 40; left >= -40; left--) {
    await morning(house, left)
    await sweep(house.table, house.clock)
  }
  const days = told(house).filter(({ to }) => to.email === 'bench@demo-utility.example')
  expect(days.map(({ calibration }) => calibration?.daysLeft)).toEqual([30, 14, 7, 1, 0, -1, -8, -15, -22])
  for (const left of [30, -1]) {
    const readers = told(house).filter(({ calibration }) => calibration?.daysLeft === left)
    expect(readers.map(({ to }) => to.email).sort()).toEqual(benchAndManagers)
  }
  const [first] = wordsOf(house)
  expect(first).toBe('Instrument INS-1: its calibration runs out on 1 December 2026')
  expect(wordsOf(house).at(-1)).toBe('Instrument INS-1 is out of calibration: tests with it prove nothing')
})

test('mornings that were missed are one word, of the step that has come', async () => {
  const house = open()
  await morning(house, 5)
  await morning(house, 4)
  expect(told(house)).toHaveLength(benchAndManagers.length)
  expect(told(house)[0]?.calibration).toMatchObject({ daysLeft: 5 })
})

test('none of one calibrated again in time, nor of one whose next calibration follows without a gap', async () => {
  const house = open()
  await house.done('PUT', '/v1/instruments/INS-1', {
    ...anInstrument,
    calibratedOn: '2026-02-01',
    calibrationDueOn: '2027-11-30',
  })
  for (const left of [30, 7, 0, -1]) await morning(house, left)
  expect(told(house)).toEqual([])
})

test('in the reader’s language, with the safety words', async () => {
  const house = open()
  await morning(house, 7)
  const [notice] = told(house)
  if (notice === undefined) throw new Error('nobody was told')
  const { text } = messageOf({ ...notice, to: { ...notice.to, language: 'es' } }, 'https://pages.example')
  expect(text).toContain('Haga calibrar el instrumento INS-1')
  expect(messageOf(notice, 'https://pages.example').text).toContain('never replaces')
})
