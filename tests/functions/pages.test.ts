/**
 * What the pages say of a stick: whether it may be used, before anything else; no date that reads as leave; the worst
 * first.
 */
import { randomUUID } from 'node:crypto'
import { gunzipSync } from 'node:zlib'
import { beforeAll, describe, expect, test } from 'vitest'
import type { BenchTest, Reading } from '../../shared-domain/bench-test/bench-test.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
const pages = pagesOf(house)

async function page(path: string): Promise<string> {
  return (await pages.request(path)).text()
}

/** As read from top to bottom, without what is not seen. */
const textOf = (markup: string) =>
  markup
    .replace(/<style.*?<\/style>|<head>.*?<\/head>|<footer>.*?<\/footer>/gs, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ')
    .replaceAll(/ (?=[,.:])/g, '')

const fact = (over: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...over })

async function stick(id: string, over: object = {}): Promise<void> {
  await house.done('PUT', `/v1/sticks/${id}`, { ...aStick, ...over })
}

async function bench(id: string, over: Partial<BenchTest> = {}): Promise<string> {
  const record = aTest(over)
  await house.done('POST', `/v1/sticks/${id}/bench-tests`, record)
  return record.factId
}

const report = (id: string, kind: string) => house.done('POST', `/v1/sticks/${id}/defects`, fact({ kind }))

/** Two places over the limit, the small one first along the stick. */
function hidden(reading: Reading): Partial<Reading> {
  if (reading.quarterTurn !== 90) return {}
  if (reading.fromMetres === 0.25) return { leakageMicroamps: 20.4 }
  return reading.fromMetres === 1 ? { leakageMicroamps: 900 } : {}
}
const wet = (readings: Reading[]) => ({ water: 'distilled' as const, appearance: 'beads' as const, readings })

const passed: { [id: string]: string } = {}
let failing = ''

beforeAll(async () => {
  await furnish(house)
  for (const id of ['FIT', 'SOON', 'HELD', 'REMOVED', 'SCRAPPED', 'OVERDUE', 'WORST']) await stick(id)
  await stick('NEW')
  await stick('TELE', {
    workingLengthMetres: 2.4,
    sections: [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'base', lengthMetres: 1.2 },
    ],
  })
  passed.OVERDUE = await bench('OVERDUE', { testedOn: day('2024-02-20') })
  passed.SOON = await bench('SOON', { testedOn: day('2024-03-10') })
  for (const id of ['FIT', 'HELD', 'REMOVED', 'SCRAPPED', 'WORST'])
    passed[id] = await bench(id, { testedOn: day('2026-02-20') })
  await report('HELD', 'scratch')
  await report('HELD', 'flashover')
  await house.done('POST', '/v1/sticks/SCRAPPED/moves', fact({ to: 'scrapped' }))
  await bench('REMOVED', overTheLimit({ testedOn: day('2026-02-25') }))
  await house.done('POST', '/v1/sticks/REMOVED/corrective-steps', {
    ...fact({ kind: 'cleaned', by: 'Ines Roth' }),
    occurredOn: '2026-02-26',
  })
  await bench('REMOVED', overTheLimit({ testedOn: day('2026-02-27') }))
  await stick('DECIDED')
  const decided = fact({ reason: 'Fitting recalled', note: 'letter 12' })
  await house.done('POST', '/v1/sticks/DECIDED/removals', decided, 'manager')
  failing = await bench('WORST', { at: '08:00', wet: wet(survey(2.4, 9, hidden, true)) })
})

const mustNotBeUsed = [
  ['HELD', 'on hold'],
  ['NEW', 'awaiting first test'],
  ['OVERDUE', 'overdue'],
  ['REMOVED', 'removed from service'],
  ['SCRAPPED', 'scrapped'],
] as const
const mayBeUsed = [
  ['FIT', 'in service'],
  ['SOON', 'due soon'],
] as const

/** The row of a list, or the whole of it. */
const rowOf = (markup: string, id: string) =>
  markup.split('<tr>').find((row) => row.includes(`href="/sticks/${id}"`)) ?? ''

describe.each(mustNotBeUsed)('%s, a stick %s,', (id, status) => {
  test('is said on its page not to be used before anything else is said of it', async () => {
    const text = textOf(await page(`/sticks/${id}`))
    expect(text).toMatch(new RegExp(`Stick ${id} Do not use it \\S.*? ${status} `))
  })

  test('is said on the roster not to be used', async () => {
    const row = rowOf(await page(`/roster?status=${status.replaceAll(' ', '+')}`), id)
    expect(textOf(row)).toContain(`${status} Do not use it`)
  })

  test('is said not to be used on the page of each of its tests, before what the test found', async () => {
    const tested = passed[id]
    if (tested === undefined) return expect(id).toBe('NEW')
    const text = textOf(await page(`/sticks/${id}/bench-tests/${tested}`))
    expect(text).toMatch(
      new RegExp(`Do not use it (?:[^.]+\\. )*?${status} Today this stick is ${status}: do not use it\\. `),
    )
    expect(text.indexOf('Do not use it')).toBeLessThan(text.indexOf('What this test found'))
    expect(text).toContain(`This pass does not make it fit: today it is ${status}.`)
  })
})

test.each(mustNotBeUsed.filter(([, status]) => status !== 'overdue'))(
  '%s, a stick %s, has no due date beside it anywhere',
  async (id, status) => {
    const cells = [
      ...(await page(`/sticks/${id}`)).split('data-label="Due">').slice(1),
      rowOf(await page(`/roster?status=${status.replaceAll(' ', '+')}`), id).split('<td class="due">')[1] ?? '',
    ].map((cell) => cell.slice(0, cell.indexOf('</td>')))
    expect(cells.length).toBeGreaterThan(1)
    for (const cell of cells) expect(cell).not.toMatch(/<time|\d{4}|\bin \d+ days/)
  },
)

test('an overdue stick keeps the date that ran out beside it', async () => {
  const row = textOf(rowOf(await page('/roster?status=overdue'), 'OVERDUE'))
  expect(row).toContain('10 days overdue 20 February 2026')
})

describe.each(mayBeUsed)('%s, a stick %s,', (id, status) => {
  test('is nowhere said not to be used', async () => {
    for (const path of [`/sticks/${id}`, `/sticks/${id}/bench-tests/${passed[id]}`])
      expect(textOf(await page(path))).not.toMatch(/do not use/i)
    expect(textOf(await page(`/sticks/${id}/bench-tests/${passed[id]}`))).toContain(`Today this stick is ${status}.`)
    const row = textOf(rowOf(await page('/roster'), id))
    expect(row).not.toContain('Do not use')
    expect(row).toMatch(/in \d+ days \d+ \w+ \d{4}/)
  })
})

test('why a stick was removed by decision is said on its page, first and in its history', async () => {
  const text = textOf(await page('/sticks/DECIDED'))
  expect(text).toContain('Do not use it Removed by decision: Fitting recalled. Stop using it now')
  expect(text).toMatch(/History .* Removed by decision: Fitting recalled – letter 12 .*by manager/)
})

test('what its label shows stands on its page; a wrong one first, and on the roster', async () => {
  const label = (id: string, over: object) => house.done('POST', `/v1/sticks/${id}/labels`, fact(over), 'bench')
  await label('FIT', { kind: 'fixed', shows: '2028-02-20', note: 'north side' })
  const right = textOf(await page('/sticks/FIT'))
  expect(right).toContain('Label shows 20 February 2028, fixed on 2 March 2026')
  expect(right).toMatch(/History .* Label fixed that shows 20 February 2028 – north side/)
  expect(right).not.toContain('take it off')
  const view = async (id: string) => (await house.done('GET', `/v1/sticks/${id}`)).json.label
  expect(await view('FIT')).toEqual({ shows: '2028-02-20', since: '2026-03-02', isWrong: false })
  expect(await view('SOON')).toBeNull()

  await stick('STOPPED')
  await bench('STOPPED', { testedOn: day('2026-02-20') })
  await label('STOPPED', { kind: 'fixed', shows: '2028-02-20' })
  await report('STOPPED', 'scratch')
  const warning = 'Its label still shows 20 February 2028: take it off.'
  const text = textOf(await page('/sticks/STOPPED'))
  expect(text.indexOf(warning)).toBeGreaterThan(-1)
  expect(text.indexOf(warning)).toBeLessThan(text.indexOf(' Why it is on hold'))
  expect(textOf(rowOf(await page('/roster?status=on+hold'), 'STOPPED'))).toContain(warning)
  const row = (await house.done('GET', '/v1/roster?status=on+hold')).json.items.find(
    (one: { stickId: string }) => one.stickId === 'STOPPED',
  )
  expect(row).toMatchObject({ dueOn: null, label: { shows: '2028-02-20', isWrong: true } })

  await label('STOPPED', { kind: 'taken off' })
  const off = textOf(await page('/sticks/STOPPED'))
  expect(off).toContain('Label taken off on 2 March 2026')
  expect(off).not.toContain('still shows')
  expect(await view('STOPPED')).toBeNull()
})

test('what reads high within its limit is called nearest to its limit, with the limit beside it', async () => {
  const text = textOf(await page(`/sticks/FIT/bench-tests/${passed.FIT}`))
  expect(text).toContain(
    'pass nearest to its limit: 9 µA of 20 µA (wet, quarter turn 0°, 0 to 0.3 m from the working end).',
  )
  expect(text).not.toContain('worst')
})

test('what is over its limit is called the worst, wherever along the stick, and leads every list', async () => {
  const text = textOf(await page(`/sticks/WORST/bench-tests/${failing}`))
  expect(text).toContain(
    'fail worst reading 900 µA, over its limit of 20 µA (wet, quarter turn 90°, 1 to 1.3 m from the working end).',
  )
  const [, why = ''] = text.split(' Why ')
  expect(why.indexOf('900 µA')).toBeGreaterThan(-1)
  expect(why.indexOf('900 µA')).toBeLessThan(why.indexOf('20.4 µA'))
  const history = textOf(await page('/sticks/WORST')).split(' History ')[1] ?? ''
  expect(history.indexOf('900 µA')).toBeLessThan(history.indexOf('20.4 µA'))
})

test('of several holds the worst is named, on the roster and first on the page', async () => {
  const row = textOf(rowOf(await page('/roster?status=on+hold'), 'HELD'))
  expect(row).toContain('Reported from use: flashover, and 1 more reason.')
  const text = textOf(await page('/sticks/HELD'))
  expect(text.indexOf('flashover')).toBeLessThan(text.indexOf('scratch'))
})

test('the page of an old pass leads to the newest test', async () => {
  expect(await page(`/sticks/WORST/bench-tests/${passed.WORST}`)).toContain(
    `<a href="/sticks/WORST/bench-tests/${failing}">This is not its newest test: that is of 2 March 2026</a>`,
  )
  expect(await page(`/sticks/WORST/bench-tests/${failing}`)).not.toContain('not its newest test')
})

test('the record of a test says what an auditor asks', async () => {
  await stick('AUDIT')
  const factId = await bench('AUDIT', {
    at: '07:40',
    wet: { ...wet(survey(2.4, 9, undefined, true)), conductivityMicrosiemensPerCm: 3.5 },
    ambient: { celsius: 21, relativeHumidityPercent: 48 },
  })
  const text = textOf(await page(`/sticks/AUDIT/bench-tests/${factId}`))
  for (const said of [
    'Tested on 2 March 2026, 07:40',
    'Recorded by owner, 2 March 2026, 09:00 CST',
    'Calibrated 1 January 2024 to 1 December 2026',
    'Procedure PRC-1, Bench survey, approved by Safety engineer',
    'a reading passes if it is not more than its limit; the instrument’s uncertainty is not taken off; uncertainty ' +
      'of the instrument not recorded',
    'Limit, dry 10 µA (sample value)',
    'Limit, wet 20 µA (sample value)',
    'stick, entry 1; PRC-1 2026-03-02#0001; INS-1 2026-03-02#0001',
    'Water distilled water; it conducted 3.5 µS/cm; it stood as beads',
    'Climate 21 °C, 48 % relative humidity',
    'dry, before the readings 0 µA 98 µA 100 µA within 10 %, empty at most 1 µA',
    'wet, before the readings 0 µA 98 µA 100 µA within 10 %, empty at most 1 µA',
  ])
    expect(text).toContain(said)
  const unsaid = textOf(await page(`/sticks/FIT/bench-tests/${passed.FIT}`))
  expect(unsaid).toContain('20 February 2026, its hour was not recorded')
  expect(unsaid).toContain('conductivity not recorded')
})

test('says which end is nought, in what order sections lie, and spells FRP out once', async () => {
  const text = textOf(await page('/sticks/TELE'))
  expect(text).toContain('tip: 1.2 m and base: 1.2 m, in order from the working end')
  expect(text.match(/fibreglass-reinforced plastic \(FRP\)/g)).toHaveLength(1)
  expect(textOf(await page('/sticks/FIT'))).toContain('limit 10 µA; places count from the working end, which is 0')
})

test('no page calls anything safe', async () => {
  for (const path of ['/roster', '/sticks/HELD', '/sticks/FIT', '/notices', '/sticks/none'])
    expect(textOf(await page(path)).toLowerCase()).not.toMatch(/\bsafe\b/)
})

test('the notice log tells times by the clock of the crew’s depot, and says whose clock it is', async () => {
  const [first] = await house.organisation().notices.notConfirmed('HELD')
  if (first === undefined) throw new Error('nobody was told of the hold')
  await house.organisation().notices.sent(first, '2026-03-09T02:30:00.000Z' as Instant, 'ses-1')
  const log = textOf(await page('/notices?stick=HELD'))
  // clocks of the depot went forward in the night before
  expect(log).toContain('8 March 2026, 21:30 CDT')
  expect(log).not.toContain('UTC')
})

test('a page is compressed for a browser that takes it so, and says the same', async () => {
  const asked = (encoding: string) => pages.request('/sticks/HELD', { headers: { 'accept-encoding': encoding } })
  const plain = await asked('identity')
  const sent = await asked('gzip, br')
  expect([plain, sent].map(({ headers }) => headers.get('content-encoding'))).toEqual([null, 'gzip'])
  const withoutNonce = (text: string) => text.replace(/nonce="[^"]*"/, '')
  const bytes = Buffer.from(await sent.arrayBuffer())
  expect(withoutNonce(gunzipSync(bytes).toString())).toBe(withoutNonce(await plain.text()))
  expect(bytes.length).toBeLessThan(20_000)
})
