/** The page of notices: a row a notice with all its readers, in pages that leave none out, and a form that is kept. */

import { randomUUID } from 'node:crypto'
import { gzipSync } from 'node:zlib'
import { beforeAll, describe, expect, test, vi } from 'vitest'
import { takeAll } from '../../functions/feedback/feedback.ts'
import { type Notice, noticeNumber } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aDepot, aStick, aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const pagesFor = (house: House) => pagesOf(house)

async function page(house: House, path: string): Promise<string> {
  return (await pagesFor(house).request(path)).text()
}

const rowsIn = (text: string) => text.split('<tr>').slice(2)
const numbersIn = (text: string) =>
  [...text.matchAll(/, ([2-9A-HJ-NP-Z]{4}(?:-[2-9A-HJ-NP-Z]{4}){2})<\/span>/g)].map(([, one]) => one ?? '')
const wordsOf = (text: string) =>
  text
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ')
    .replaceAll(/ (?=[,.:])/g, '')
const linkTo = (text: string, rel: string) =>
  new RegExp(`<a href="([^"]*)" rel="${rel}">`).exec(text)?.[1]?.replaceAll('&amp;', '&')

async function report(house: House, stickId: string, kind: string): Promise<void> {
  await house.done('POST', `/v1/sticks/${stickId}/defects`, { factId: randomUUID(), occurredOn: '2026-03-02', kind })
}

let furnished: readonly Item[]
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  house.table.settled()
  furnished = house.table.items()
})

describe('a notice', () => {
  test('stands in one row with all its readers, each with their number and what became of their mail', async () => {
    const house = openHouse(furnished)
    await report(house, 'S-1', 'tingle')
    house.table.settled()
    const rows = rowsIn(await page(house, '/notices'))
    expect(rows).toHaveLength(1)
    const { items } = (await house.done('GET', '/v1/notices')).json
    expect(items.length).toBeGreaterThan(3)
    expect(numbersIn(rows[0] ?? '').sort()).toEqual(items.map(({ number }: { number: string }) => number).sort())
    for (const name of ['Ana Ferro', 'Bo Lind', 'Mia Okafor', 'Max Holm']) expect(rows[0]).toContain(`>${name}<`)
    const words = wordsOf(rows[0] ?? '')
    expect(words).toContain('2 March 2026, 09:00 CST')
    expect(words).toContain('not sent yet, nobody has confirmed it yet')
    // whoever is to tell somebody in person stands open, and the others are folded away
    const [open = '', folded = ''] = (rows[0] ?? '').split('<details class="readers">')
    expect(wordsOf(open)).toContain('Kai Brandt, +1 555 0100: not told yet')
    expect(numbersIn(open)).toHaveLength(1)
    expect(folded).toContain(`<summary>${items.length - 1} readers</summary>`)
  })

  test('that was sent and confirmed by one of those asked says by whom', async () => {
    const house = openHouse(furnished)
    await report(house, 'S-1', 'tingle')
    house.table.settled()
    const { notices } = house.organisation()
    for (const { number } of (await house.done('GET', '/v1/notices')).json.items) {
      const notice = await notices.one(number)
      if (notice === undefined) throw new Error(`no notice ${number}`)
      await notices.sent(notice, house.clock(), 'ses-1')
    }
    const sent = wordsOf(await page(house, '/notices'))
    expect(sent).toContain('sent to all, nobody has confirmed it yet')
    const { items } = (await house.done('GET', '/v1/notices?to=ana@crew-one.example')).json
    const anas = await notices.one(items[0].number)
    if (anas === undefined) throw new Error('Ana was told nothing')
    await notices.confirm(anas, house.clock())
    expect(wordsOf(await page(house, '/notices'))).toContain('sent to all, confirmed by Ana Ferro')
  })

  test('of another fact, another stick or another morning is a row of its own', async () => {
    const house = openHouse(furnished)
    await house.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
    for (const [stickId, kind] of [
      ['S-1', 'tingle'],
      ['S-1', 'flashover'],
      ['S-2', 'drop'],
    ] as const)
      await report(house, stickId, kind)
    house.table.settled()
    expect(rowsIn(await page(house, '/notices'))).toHaveLength(3)
    expect(rowsIn(await page(house, '/notices?stick=S-1'))).toHaveLength(2)
    expect(rowsIn(await page(house, '/notices?crew=CR-2'))).toHaveLength(1)
    const toBo = rowsIn(await page(house, '/notices?to=bo@crew-one.example'))
    expect(toBo).toHaveLength(2)
    for (const row of toBo) expect(numbersIn(row)).toHaveLength(1)
  })

  test('digests of one morning share a row only where they tell of the same sticks', async () => {
    const house = openHouse(furnished)
    await house.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
    for (const id of ['S-1', 'S-2'])
      await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day('2024-02-28') }))
    house.table.settled()
    await sweep(house.table, house.clock)
    house.table.settled()
    const digests = rowsIn(await page(house, '/notices')).filter((row) => row.includes('Due and overdue'))
    // both of crew one, the one of crew two with the manager of its yard, and the managers of all depots
    const readers = digests.map((row) => numbersIn(row).length).sort()
    expect(readers.reduce((all, one) => all + one, 0)).toBe(6)
    expect(digests).toHaveLength(3)
  })
})

/** What the mail service says of a mailbox that is not there. */
const bounced = (house: House, { number, to: { email } }: Pick<Notice, 'number' | 'to'>) => {
  const message = JSON.stringify({
    eventType: 'Bounce',
    bounce: {
      bounceType: 'Permanent',
      bounceSubType: 'General',
      bouncedRecipients: [{ emailAddress: email, diagnosticCode: 'smtp; 550 5.1.1' }],
      feedbackId: 'feedback-1',
    },
    mail: {
      messageId: 'message-1',
      timestamp: house.clock(),
      destination: [email],
      tags: { 'ses:configuration-set': ['set'], notice: [number], organisation: [demo] },
    },
  })
  return takeAll({ table: house.table, clock: house.clock }, [{ id: randomUUID(), message }])
}

describe('what is to be seen to', () => {
  const linksIn = (text: string, to: RegExp) =>
    [...text.matchAll(/<a class="do" href="([^"]*)">(.*?)<\/a>/gs)].flatMap(([, href = '', name = '']) =>
      to.test(href) ? [[href.replaceAll('&amp;', '&'), wordsOf(name).trim()]] : [],
    )

  test('whoever has not been told face to face is marked as told from there', async () => {
    const house = openHouse(furnished)
    await report(house, 'S-1', 'tingle')
    house.table.settled()
    const links = linksIn(await page(house, '/notices'), /told/)
    expect(links).toEqual([
      [expect.stringMatching(/^\/notices\/[\w-]+\/told\?name=Kai\+Brandt$/), 'Record that Kai Brandt was told'],
    ])
    const [[at = '']] = links as [[string]]
    expect(await page(house, at)).toContain('<option value="Kai Brandt" selected>')
    const headers = { 'content-type': 'application/x-www-form-urlencoded' }
    const answer = await pagesFor(house).request(at, { method: 'POST', headers, body: '%2Fname=Kai+Brandt' })
    expect(answer.status).toBe(303)
    house.table.settled()
    const after = await page(house, '/notices')
    expect(linksIn(after, /told/)).toEqual([])
    expect(wordsOf(after)).toContain('Kai Brandt: told on 2 March 2026')
  })

  test('of two of one name each has a link with their telephone', async () => {
    const house = openHouse(furnished)
    const two = ['+1 555 0100', '+1 555 0101'].map((phone) => ({ name: 'Kai Brandt', phone, role: 'crew' }))
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, ...two] })
    await report(house, 'S-1', 'tingle')
    house.table.settled()
    const [, second = ['']] = linksIn(await page(house, '/notices'), /told/)
    expect(second[0]).toMatch(/\?name=Kai\+Brandt&phone=%2B1\+555\+0101$/)
    const form = await page(house, second[0] ?? '')
    expect(form).toMatch(/name="\/phone" value="\+1 555 0101"/)
  })

  test('an address that mail came back from is cleared from its line, and from the notice that was lost', async () => {
    const house = openHouse(furnished)
    await report(house, 'S-1', 'tingle')
    house.table.settled()
    const { items } = (await house.done('GET', '/v1/notices?to=ana@crew-one.example')).json
    const anas = await house.organisation().notices.one(items[0].number)
    if (anas === undefined) throw new Error('Ana was told nothing')
    const at = '/marked-addresses/clear?email=ana%40crew-one.example'
    const clearing = /^\/marked-addresses/
    expect(linksIn(await page(house, '/notices'), clearing)).toEqual([])
    await house.organisation().notices.sent(anas, house.clock(), 'message-1')
    vi.spyOn(console, 'info').mockImplementation(() => undefined)
    await bounced(house, anas)
    house.table.settled()
    const link = [at, 'Send mail there again (ana@crew-one.example)']
    expect(linksIn(await page(house, '/notices'), clearing)).toEqual([link, link])
    expect(await page(house, at)).toContain('<option value="ana@crew-one.example" selected>')
    // whoever may not clear it is offered neither
    const crews = await (await pagesOf(house, 'crew').request('/notices')).text()
    expect([linksIn(crews, clearing), linksIn(crews, /told/).length]).toEqual([[], 1])
    const body = new URLSearchParams({ '/email': 'ana@crew-one.example', '/reason': 'mailbox was full' }).toString()
    const headers = { 'content-type': 'application/x-www-form-urlencoded' }
    expect((await pagesFor(house).request(at, { method: 'POST', headers, body })).status).toBe(303)
    expect(linksIn(await page(house, '/notices'), clearing)).toEqual([])
  })
})

test.each(['s-1', 'S-1', ' S-1 '])('%j finds the stick, in whatever case its letters are typed', async (typed) => {
  const house = openHouse(furnished)
  await report(house, 'S-1', 'tingle')
  house.table.settled()
  const text = await page(house, `/notices?stick=${encodeURIComponent(typed)}`)
  expect(text).toContain('<h1>Notices about stick S-1</h1>')
  expect(text).toContain('<input name="stick" value="S-1"')
  expect(rowsIn(text)).toHaveLength(1)
})

test('a number of no stick keeps what else was chosen', async () => {
  const text = await page(openHouse(furnished), '/notices?stick=S-99&crew=CR-2&person=bench')
  expect(text).toContain('No stick is called “S-99”.')
  expect(text).toContain('<input name="stick" value="S-99"')
  expect(text).toContain('<option value="CR-2" selected>')
  expect(text).toContain('<option value="bench" selected>')
})

test('times are by the clock of the crew’s depot, and say which', async () => {
  const house = openHouse(furnished)
  await house.done('PUT', '/v1/depots/DEP-3', { ...aDepot, name: 'Far yard', timeZone: 'Asia/Kathmandu' })
  await house.done('PUT', '/v1/crews/CR-3', { ...aCrew, name: 'Far crew', depotId: 'DEP-3' })
  await house.done('PUT', '/v1/sticks/S-3', { ...aStick, crewId: 'CR-3' })
  await report(house, 'S-3', 'drop')
  house.table.settled()
  expect(wordsOf(await page(house, '/notices?stick=S-3'))).toContain('2 March 2026, 20:45 GMT+5:45')
})

/** The notices of one report are recorded; the others are their copies, told at other instants for other reports. */
async function manyTold(reports: number, atOnce = 1): Promise<{ readonly house: House; readonly readers: number }> {
  const house = openHouse(furnished)
  await report(house, 'S-1', 'tingle')
  const all = house.table.items()
  const told = all.filter(({ entity }) => entity === 'notice')
  const factId = /[0-9a-f-]{36}/.exec(String(told[0]?.key))?.[0] ?? ''
  const copies = Array.from({ length: reports }, (_, i) => {
    const owedAt = addSeconds('2026-02-01T12:00:00.000Z' as Instant, -600 * Math.floor(i / atOnce))
    return told.map((notice): Item => {
      const other = `${String(i).padStart(8, '0')}${factId.slice(8)}`
      const copy = JSON.parse(JSON.stringify(notice).replaceAll(factId, other)) as Item
      const number = noticeNumber({ table: {}, name: demo }, String(copy.key))
      return JSON.parse(JSON.stringify({ ...copy, owedAt }).replaceAll(String(notice.number), number)) as Item
    })
  })
  const kept = all.filter(({ entity }) => entity !== 'notice')
  return { house: openHouse([...kept, ...copies.flat()]), readers: told.length }
}

async function walked(house: House, first: string): Promise<string[]> {
  const texts: string[] = []
  for (let at: string | undefined = first; at !== undefined; at = linkTo(texts.at(-1) ?? '', 'next'))
    texts.push(await page(house, at))
  return texts
}

test.each([
  ['one after the other', 1],
  ['many at one instant', 40],
])('every notice is on one page and every reader in its row, told %s', async (_, atOnce) => {
  const reports = 80
  const { house, readers } = await manyTold(reports, atOnce)
  const texts = await walked(house, '/notices')
  expect(texts.map((text) => rowsIn(text).length)).toEqual([25, 25, 25, 5])
  for (const row of texts.flatMap(rowsIn)) expect(numbersIn(row)).toHaveLength(readers)
  const numbers = texts.flatMap(numbersIn)
  expect(new Set(numbers).size).toBe(reports * readers)
  expect(numbers).toHaveLength(reports * readers)
})

test('leads back through the pages that were seen, to the first', async () => {
  const { house } = await manyTold(80)
  const texts = await walked(house, '/notices?crew=CR-1')
  let at = texts.length - 1
  for (let link = linkTo(texts[at] ?? '', 'prev'); link !== undefined; link = linkTo(texts[at] ?? '', 'prev')) {
    at -= 1
    const rows = rowsIn(await page(house, link))
    expect(rows).toEqual(rowsIn(texts[at] ?? ''))
  }
  expect(at).toBe(0)
  expect(linkTo(texts[0] ?? '', 'prev')).toBeUndefined()
  expect(linkTo(texts[0] ?? '', 'next')).toMatch(/^\/notices\?crew=CR-1&after=/)
})

test('of 10,000 notices no page is over 60 KB as it is sent, nor is an answer of the API without end', async () => {
  const { house, readers } = await manyTold(Math.ceil(10_000 / 4))
  expect(readers).toBe(4)
  const first = await page(house, '/notices')
  const second = await page(house, linkTo(first, 'next') ?? '')
  for (const text of [first, second]) {
    expect(rowsIn(text)).toHaveLength(25)
    expect(gzipSync(text).length).toBeLessThan(60_000)
  }
  const { json, text } = await house.done('GET', '/v1/notices')
  expect(json.items).toHaveLength(200)
  expect(json.next).not.toBeNull()
  expect(text.length).toBeLessThan(500_000)
})
