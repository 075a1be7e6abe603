/** People without e-mail: somebody of their crew tells them face to face, and that is recorded and shown. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { noticesPage } from '../../functions/pages/notices-page.ts'
import type { Item } from '../../functions/store/table.ts'
import { bodyOf, inEnglish, logChoice } from '../support/pages.ts'
import { aCrew, aStick } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
const lia = { name: 'Lia Norr', phone: '+1 555 0101', role: 'crew' }

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-03-02T15:00:00.000Z')
  await furnish(first)
  await first.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai, lia] })
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await first.done('POST', '/v1/sticks/S-1/defects', tingle, 'crew')
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-04T15:00:00.000Z')
})

interface Entry {
  readonly number: string
  readonly to: { readonly email: string }
  readonly tellInPerson: readonly { readonly name: string; readonly told: object | null }[]
}
const log = async (query = '?stick=S-1', who: Who = 'manager'): Promise<Entry[]> =>
  (await house.done('GET', `/v1/notices${query}`, undefined, who)).json.items
const errand = async () => {
  const found = (await log()).filter(({ tellInPerson }) => tellInPerson.length > 0)
  expect(found.map(({ to }) => to.email)).toEqual(['bo@crew-one.example'])
  return found[0]?.number ?? ''
}
const tell = (number: string, body: object, who: Who = 'crew') =>
  house.call('POST', `/v1/notices/${number}/told`, body, who)

test('the foreman alone is asked to tell them, and the log shows that nobody has', async () => {
  await errand()
  const entry = (await log()).find(({ tellInPerson }) => tellInPerson.length > 0)
  expect(entry?.tellInPerson).toEqual([
    { name: 'Kai Brandt', phone: '+1 555 0100', told: null },
    { name: 'Lia Norr', phone: '+1 555 0101', told: null },
  ])
})

test('told: by whom and when stands in the log, for that person alone', async () => {
  const { status, json } = await tell(await errand(), { name: 'Lia Norr', toldOn: '2026-03-03' })
  expect(status).toBe(201)
  const told = { name: 'Lia Norr', toldOn: '2026-03-03', by: 'crew', recordedAt: '2026-03-04T15:00:00.000Z' }
  expect(json.tellInPerson.map((one: Entry['tellInPerson'][number]) => one.told)).toEqual([null, told])
  expect((await log()).find(({ number }) => number === json.number)?.tellInPerson[1]?.told).toEqual(told)
})

test('kept as it was first recorded, whoever sends it again', async () => {
  const number = await errand()
  await tell(number, { name: 'Kai Brandt' })
  house.at('2026-03-05T15:00:00.000Z')
  const again = await tell(number, { name: 'Kai Brandt' }, 'manager')
  expect(again.status).toBe(200)
  expect(again.json.tellInPerson[0].told).toMatchObject({ toldOn: '2026-03-04', by: 'crew' })
})

test('of two of one name the telephone tells which', async () => {
  const other = { ...kai, phone: '+1 555 0199' }
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai, other] })
  const drop = { factId: randomUUID(), occurredOn: '2026-03-04', kind: 'drop' }
  await house.done('PUT', '/v1/sticks/S-7', aStick)
  await house.done('POST', '/v1/sticks/S-7/defects', drop, 'crew')
  const [entry] = (await log('?stick=S-7')).filter(({ tellInPerson }) => tellInPerson.length > 0)
  const number = entry?.number ?? ''
  const either = 'the telephone of the one who was told: +1 555 0100 or +1 555 0199'
  for (const body of [{ name: 'Kai Brandt' }, { name: 'Kai Brandt', phone: '+1 555 0000' }]) {
    expect((await tell(number, body)).json.errors).toMatchObject([{ pointer: '/phone', expected: either }])
  }
  const { json } = await tell(number, { name: 'Kai Brandt', phone: other.phone })
  expect(json.tellInPerson.map((one: Entry['tellInPerson'][number]) => one.told !== null)).toEqual([false, true])
})

test('what cannot be is refused, with what would be right', async () => {
  const number = await errand()
  expect((await tell(number, { name: 'Ana Ferro' })).json.errors).toEqual([
    { in: 'body', pointer: '/name', came: 'Ana Ferro', expected: 'one of Kai Brandt, Lia Norr' },
  ])
  for (const toldOn of ['2026-03-01', '2026-03-05']) {
    expect((await tell(number, { name: 'Kai Brandt', toldOn })).json.errors).toEqual([
      {
        in: 'body',
        pointer: '/toldOn',
        came: toldOn,
        expected: 'a date from 2026-03-02, when the notice was owed, to 2026-03-04, today at its depot',
      },
    ])
  }
  expect((await tell(number, { name: 'Kai Brandt' }, 'other crew')).status).toBe(403)
  expect((await tell('2222-2222-2222', { name: 'Kai Brandt' })).status).toBe(404)
  const anas = (await log()).find(({ to }) => to.email === 'ana@crew-one.example')?.number ?? ''
  expect((await tell(anas, { name: 'Kai Brandt' })).json.errors[0].expected).toBe(
    'nobody: this notice asks to tell no one',
  )
})

test('the log of a person, by the register or by address, in whatever case; and of nobody else', async () => {
  expect((await log('?person=manager')).map(({ to }) => to.email)).toEqual(['manager@demo-utility.example'])
  expect((await log('?to=BO@crew-one.example')).map(({ to }) => to.email)).toEqual(['bo@crew-one.example'])
  expect(await log('?to=nobody@crew-one.example')).toEqual([])
  expect(await log('?to=bo@crew-one.example', 'other crew')).toEqual([])
  expect((await house.call('GET', '/v1/notices?person=nobody')).status).toBe(404)
})

test('the page names who was told and who was not', async () => {
  await tell(await errand(), { name: 'Lia Norr' })
  const page = await bodyOf(noticesPage(house.asker(), logChoice({ stick: 'S-1' }), inEnglish))
  expect(page).toContain('<li>Kai Brandt, +1 555 0100: <strong>not told yet</strong>')
  expect(page).toContain('<li>Lia Norr: told on 4 March 2026, recorded by crew</li>')
})
