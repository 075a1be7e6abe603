/** The pages of recalls: opened with what would follow in sight, followed by their bar, closed with a report. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest, day, survey } from '../support/trade.ts'
import { typedForm, typedOver } from '../support/typed-form.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const wetAt = (microamps: number) => ({
  water: 'distilled' as const,
  appearance: 'beads' as const,
  readings: survey(2.4, microamps, undefined, true),
})

let fleet: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], '2026-01-05T15:00:00.000Z')
  await furnish(house)
  house.at('2026-03-02T15:00:00.000Z')
  for (const id of ['S-2', 'S-3']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  for (const [id, wet] of [
    ['S-1', 19.1],
    ['S-2', 18.9],
  ] as const)
    await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day('2026-02-02'), wet: wetAt(wet) }))
  fleet = house.table.items()
})

const opened = () => openHouse(fleet, '2026-03-02T16:00:00.000Z')
const read = async (house: House, path: string, who: Who = 'manager', language = 'en') => {
  const answer = await pagesOf(house, who).request(path, { headers: { 'accept-language': language } })
  const text = await answer.text()
  return { status: answer.status, text: text.replace(/<style.*?<\/style>/s, ''), headers: answer.headers }
}
/** What a reader sees, in one line. */
const seen = (text: string) =>
  text
    .replace(/<head>.*<\/head>/s, ' ')
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ')

async function sent(house: House, path: string, typed: Record<string, string | string[] | null>, button = '') {
  const form = typedOver(typedForm((await read(house, path)).text), typed)
  const body = new URLSearchParams(form)
  if (button !== '') body.set(button, 'yes')
  const headers = { 'content-type': 'application/x-www-form-urlencoded' }
  const answer = await pagesOf(house, 'manager').request(path, { method: 'POST', headers, body: body.toString() })
  return { status: answer.status, to: answer.headers.get('location') ?? '', text: await answer.text() }
}

const ofInstrument = {
  '/cause/instrumentId': 'INS-1',
  '/cause/lastGoodOn': '2026-01-31',
  '/cause/foundOutOn': '2026-03-02',
  '/cause/error/kind': 'percent of reading',
  '/cause/error/value': '-5',
  '/reason': 'found 5 % low at its check',
}

describe('what an instrument tested', () => {
  test('is called back by a form that first shows what would follow', async () => {
    const house = opened()
    const before = house.table.written()
    const preview = await sent(house, '/recall/instrument', ofInstrument, 'preview')
    expect(preview.status).toBe(200)
    expect(seen(preview.text)).toContain('Sticks on hold: 1. Cleared by their readings: 1. Mails: 4. S-1')
    expect(house.table.written()).toBe(before)
    const done = await sent(house, '/recall/instrument', ofInstrument)
    expect(done.status).toBe(303)
    const page = seen((await read(house, done.to)).text)
    expect(page).toContain('Recall by instrument INS-1')
    expect(page).toContain('found 5 % low at its check')
    expect(page).toContain('It reads -5 % of the reading; the readings are put right by that.')
    expect(page).toContain('Done with 1 of 2 sticks')
    expect(page).toContain('Known to whoever has them: 0 of 1 that are held')
    expect(page).toContain('wet: 19.1 µA read, 20.105 µA in truth; limit 20 µA')
    expect((await house.call('GET', '/v1/sticks/S-1')).json.status).toBe('on hold')
  })

  test('holds all of it where nobody says by how much', async () => {
    const house = opened()
    const unknown = { ...ofInstrument, '/cause/error/kind': '', '/cause/error/value': '' }
    const { to } = await sent(house, '/recall/instrument', unknown)
    const page = seen((await read(house, to)).text)
    expect(page).toContain('Nobody knows by how much it read wrong')
    expect(page).toContain('Done with 0 of 2 sticks')
  })

  test('is said wrong beside the fields where it is', async () => {
    const house = opened()
    const { status, text } = await sent(house, '/recall/instrument', {
      ...ofInstrument,
      '/cause/foundOutOn': '2026-01-02',
    })
    expect(status).toBe(422)
    expect(seen(text)).toContain('a date after lastGoodOn')
  })

  test('is linked from the page of the instrument, for whoever may call it back', async () => {
    const link = 'href="/recall/instrument?instrument=INS-1"'
    expect((await read(opened(), '/instruments/INS-1')).text).toContain(link)
    expect((await read(opened(), '/instruments/INS-1', 'bench')).text).not.toContain(link)
  })
})

describe('a lot', () => {
  const ofLot = { '/cause/lot': 'L-7', '/reason': 'cracks at the ferrule' }

  test('stands in the list, open, and then closed with the stick that nobody found', async () => {
    const house = opened()
    const { to } = await sent(house, '/recall/lot', ofLot)
    const [path = ''] = to.split('?')
    expect(seen((await read(house, '/recalls')).text)).toMatch(/Recall of lot L-7 .* open/)
    expect(seen((await read(house, path)).text)).toMatch(/Nobody confirmed these Stick .* S-1 .* S-2 .* S-3/)
    house.at('2026-03-03T15:00:00.000Z')
    for (const id of ['S-1', 'S-2']) {
      const again = aTest({ testedOn: day('2026-03-03'), at: '08:30' })
      await house.done('POST', `/v1/sticks/${id}/bench-tests`, again)
    }
    const tooSoon = await sent(house, `${path}/close`, {})
    expect([tooSoon.status, seen(tooSoon.text).includes('Stick S-3 is still held by this recall')]).toEqual([409, true])
    const closed = await sent(house, `${path}/close`, { '/notFound': ['S-3'], '/note': 'looked for in both yards' })
    expect([closed.status, closed.to]).toEqual([303, `${path}/close?done=recorded`])
    const page = seen((await read(house, path)).text)
    expect(page).toContain('Closed by Mia Okafor')
    expect(page).toContain('Remark: looked for in both yards')
    expect(page).toContain('Of those: named as not found 1')
    expect(page).not.toContain('Close this recall')
    expect((await house.call('GET', '/v1/sticks/S-3')).json.status).toBe('on hold')
  })

  test('is a file with every stick and its arithmetic', async () => {
    const house = opened()
    const { to } = await sent(house, '/recall/instrument', ofInstrument)
    const { text, headers } = await read(house, `${to.split('?')[0]}/report.csv`)
    expect(headers.get('content-type')).toBe('text/csv; charset=utf-8; header=present')
    expect(headers.get('content-disposition')).toMatch(/^attachment; filename="recall-[\w-]+\.csv"$/)
    const [head, ...rows] = text.trimEnd().split('\r\n')
    expect(head).toContain('"Stick","Outcome","Status"')
    expect(rows).toHaveLength(2)
    expect(rows[0]).toMatch(/^"S-1","held","on hold","not confirmed",.*,"wet",19\.1,20\.105263158,20,-0\.10526/)
    expect(rows[1]).toMatch(/^"S-2","cleared","in service",,.*,"wet",18\.9,19\.894736842,20,0\.105263158,$/)
  })

  test('reads in Spanish without a word of English', async () => {
    const house = opened()
    const { to } = await sent(house, '/recall/lot', { ...ofLot, '/reason': 'grietas' })
    for (const path of ['/recalls', to.split('?')[0] ?? '', '/recall/lot', '/recall/order', '/recall/instrument']) {
      const { status, text } = await read(house, path, 'manager', 'es')
      expect(status).toBe(200)
      expect(text).toContain('<html lang="es"')
      expect(seen(text)).not.toMatch(/\b(the|stick|sticks|recall|held|whoever|test)\b/i)
    }
  })
})

test('a removal that right readings would not have caused is shown for two managers', async () => {
  const house = opened()
  const failing = (at: string) => aTest({ testedOn: day('2026-02-02'), at, reason: 'retest', wet: wetAt(20.5) })
  await house.done('POST', '/v1/sticks/S-3/bench-tests', failing('08:00'))
  const step = { factId: randomUUID(), occurredOn: '2026-02-02', at: '08:20', kind: 'cleaned', by: 'Ines Roth' }
  await house.done('POST', '/v1/sticks/S-3/corrective-steps', step)
  await house.done('POST', '/v1/sticks/S-3/bench-tests', failing('08:40'))
  expect((await house.call('GET', '/v1/sticks/S-3')).json.status).toBe('removed from service')
  const { to } = await sent(house, '/recall/instrument', { ...ofInstrument, '/cause/error/value': '10' })
  const page = seen((await read(house, to)).text)
  expect(page).toContain('S-3 : right readings would not have removed it')
  expect((await house.call('GET', '/v1/sticks/S-3')).json.status).toBe('removed from service')
})
