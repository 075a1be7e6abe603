/** Whoever scans a printed code, signed in or not: what they are told, and what nobody is told. */
import { randomBytes, randomUUID } from 'node:crypto'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { certificateLook, labelLook } from '../../functions/questions/public-looks.ts'
import { fairShares } from '../../functions/requests/fair-shares.ts'
import type { Item } from '../../functions/store/table.ts'
import { labelSheetNames } from '../../shared-domain/label-sheets.ts'
import { pagesOf } from '../support/pages.ts'
import { readPdf } from '../support/pdf.ts'
import { codesIn, pictureOf } from '../support/picture.ts'
import { aStick, aTest, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const silence = () => {
  for (const way of ['info', 'error'] as const) vi.spyOn(console, way).mockImplementation(() => undefined)
}

const passed = aTest({ at: '08:40' })
let kept: readonly Item[]
beforeAll(async () => {
  silence()
  const house = openHouse()
  await furnish(house)
  await house.done('PUT', '/v1/sticks/S-2', aStick)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', passed, 'bench')
  await house.done('POST', '/v1/sticks/S-2/bench-tests', overTheLimit({ at: '08:00' }), 'bench')
  kept = house.table.items()
})
let house: House
beforeEach(() => {
  silence()
  house = openHouse(kept, '2026-03-05T15:00:00.000Z')
})
afterEach(() => vi.restoreAllMocks())

const looksOf = ({ table }: House) => ({
  label: (asked: Parameters<typeof labelLook>[1]) => labelLook(table, asked),
  certificate: (asked: Parameters<typeof certificateLook>[1]) => certificateLook(table, asked),
})

/** Nobody is signed in. */
const passerBy = (more = {}) =>
  pagesOf(house, 'manager', { looks: async () => looksOf(house), sessionOf: async () => null, ...more })

interface Seen {
  readonly status: number
  readonly text: string
  readonly headers: Headers
}

async function scanned(path: string, language = 'en'): Promise<Seen> {
  const answer = await passerBy().request(path, { headers: { 'accept-language': language } })
  const text = (await answer.text()).replaceAll(/<style[\s\S]*?<\/style>/g, '').replaceAll(/\s+/g, ' ')
  return { status: answer.status, text, headers: answer.headers }
}

async function printed(path: string): Promise<Uint8Array> {
  const answer = await pagesOf(house).request(path)
  expect(answer.status).toBe(200)
  return new Uint8Array(await answer.arrayBuffer())
}

/** The address that the paper's code leads to, as a decoder reads it. */
async function codeOn(path: string): Promise<string> {
  const [address] = await codesIn(await pictureOf(await printed(path)))
  return (address ?? '').replace('https://pages.example', '')
}

const said = (code: string) => house.done('POST', '/v1/sticks/S-1/labels', JSON.parse(code))
const labelled = (over: object) => said(JSON.stringify({ factId: randomUUID(), occurredOn: '2026-03-05', ...over }))

describe('a printed code', () => {
  test.each([
    `/sticks/S-1/certificate?test=${passed.factId}`,
    ...labelSheetNames.map((name) => `/sticks/S-1/label?sheet=${name}`),
  ])('of %s is read by two decoders from a picture of 150 dots an inch', async (path) => {
    const codes = await codesIn(await pictureOf(await printed(path)))
    expect(codes[0]).toMatch(/^https:\/\/pages\.example\/[cs]\/[\w-]{22}$/)
    expect(codes[1]).toBe(codes[0])
    const { roles } = await readPdf(await printed(path))
    expect(roles.some(({ role, alt }) => role === 'Figure' && alt?.includes(codes[0] ?? '?'))).toBe(true)
  })

  test('is the same on each print, by page and by API, and another on each stick', async () => {
    const first = await codeOn('/sticks/S-1/label')
    expect(await codeOn('/sticks/S-1/label')).toBe(first)
    const { json } = await house.call('GET', '/v1/sticks/S-1/label', undefined, 'bench')
    expect((await codesIn(await pictureOf(json)))[0]).toBe(`https://pages.example${first}`)
    expect(await codeOn('/sticks/S-2/label')).not.toBe(first)
    expect(await codeOn('/sticks/S-1/certificate')).not.toBe(first)
  })

  test('that somebody guesses leads nowhere, in 100,000 tries, and no try reads more than its pointer', async () => {
    await codeOn('/sticks/S-1/label')
    const { label, certificate } = looksOf(house)
    const now = house.clock()
    let found = 0
    for (let i = 0; i < 50_000; i++) {
      const code = randomBytes(16).toString('base64url')
      if ((await label({ code, now })) !== undefined) found++
      if ((await certificate({ code, now })) !== undefined) found++
    }
    expect(found).toBe(0)
  })

  test.each(['x', 'a'.repeat(22), 'a'.repeat(23), '..%2f..%2froster', '%00', 'ORG%23demo'])(
    'that is %s is nothing, and what is said of it is nothing of anybody',
    async (code) => {
      for (const letter of ['s', 'c']) {
        const { status, text } = await scanned(`/${letter}/${code}`)
        expect([status, text.includes('Nothing is known of this code')]).toEqual([404, true])
      }
    },
  )

  test('of a label opens no certificate, nor the other way round', async () => {
    const label = await codeOn('/sticks/S-1/label')
    const certificate = await codeOn('/sticks/S-1/certificate')
    expect((await scanned(label.replace('/s/', '/c/'))).status).toBe(404)
    expect((await scanned(certificate.replace('/c/', '/s/'))).status).toBe(404)
  })

  test('is looked up no more often than anybody’s share lets it be', async () => {
    const path = await codeOn('/sticks/S-1/label')
    const shares = fairShares(1, () => 0)
    const pages = passerBy({ shares: async () => shares })
    const answers = await Promise.all(Array.from({ length: 20 }, async () => (await pages.request(path)).status))
    expect(answers.filter((status) => status === 200)).toHaveLength(12)
    expect(answers.filter((status) => status === 429)).toHaveLength(8)
  })

  test('is told to no one on the way, and kept by none', async () => {
    const { headers } = await scanned(await codeOn('/sticks/S-1/label'))
    expect(headers.get('referrer-policy')).toBe('no-referrer')
    expect(headers.get('cache-control')).toContain('no-store')
    expect(headers.get('x-robots-tag')).toBe('noindex')
  })
})

describe('a label scanned at the truck', () => {
  test('says in one word that the stick may be used, until when, whose number it is and the hour', async () => {
    const { status, text } = await scanned(await codeOn('/sticks/S-1/label'))
    expect(status).toBe(200)
    expect(text).toMatch(/<strong>USE<\/strong>/)
    expect(text).toContain('<h1 class="number">S-1</h1>')
    expect(text).toContain('2 March 2028')
    expect(text).toContain('5 March 2026, 09:00 CST')
    expect(text).toContain('href="/sticks/S-1/report"')
    expect(text).toContain('never replaces')
  })

  test('says to stop the moment that somebody reports danger, and names nobody', async () => {
    const path = await codeOn('/sticks/S-1/label')
    const note = 'Told by Ana Ferro'
    const tingle = { factId: randomUUID(), occurredOn: '2026-03-05', kind: 'tingle', note }
    await house.done('POST', '/v1/sticks/S-1/defects', tingle, 'crew')
    const { text } = await scanned(path)
    expect(text).toMatch(/<strong>STOP<\/strong>/)
    expect(text).toContain('Somebody reported a danger')
    expect(text).not.toMatch(/<strong>USE|through/)
    for (const name of ['Ferro', 'Ana', 'Ines', 'Roth', 'Crew one', 'Kai']) expect(text).not.toContain(name)
  })

  test('of a stick whose date has gone by says so by the clock of its depot', async () => {
    const path = await codeOn('/sticks/S-1/label')
    // the due date ends in Chicago six hours after it ends in London
    house.at('2028-03-03T05:59:00.000Z')
    expect((await scanned(path)).text).toMatch(/<strong>USE<\/strong>/)
    house.at('2028-03-03T06:01:00.000Z')
    const { text } = await scanned(path)
    expect(text).toMatch(/<strong>STOP<\/strong>/)
    expect(text).toContain('It was due on 2 March 2028')
  })

  test('that was taken off says so from then on, and the next one printed has a code of its own', async () => {
    const first = await codeOn('/sticks/S-1/label')
    await labelled({ at: '08:50', kind: 'fixed', shows: '2028-03-02' })
    expect((await scanned(first)).text).toMatch(/<strong>USE<\/strong>/)
    await labelled({ at: '08:55', kind: 'taken off' })
    const { text, status } = await scanned(first)
    expect(status).toBe(200)
    expect(text).toMatch(/<strong>STOP<\/strong>/)
    expect(text).toContain('taken off or replaced')
    expect(text).not.toContain('through')
    const next = await codeOn('/sticks/S-1/label')
    expect(next).not.toBe(first)
    // on the day of the taking off already, and before the new one is recorded as fixed
    expect((await scanned(next)).text).toMatch(/<strong>USE<\/strong>/)
    await labelled({ at: '08:58', kind: 'fixed', shows: '2028-03-02' })
    expect((await scanned(next)).text).toMatch(/<strong>USE<\/strong>/)
    expect((await scanned(first)).text).toContain('taken off or replaced')
  })

  test('speaks the language of the browser', async () => {
    const { text } = await scanned(await codeOn('/sticks/S-2/label'), 'es')
    expect(text).toMatch(/<strong>NO USAR<\/strong>/)
  })
})

describe('a certificate looked up', () => {
  const certificate = `/sticks/S-1/certificate?test=${passed.factId}`

  test('shows number, date, verdict, and that it stands', async () => {
    const { text, status } = await scanned(await codeOn(certificate))
    expect(status).toBe(200)
    for (const one of [`S-1-2026-03-02-${passed.factId.slice(-6)}`, '2 March 2026', 'pass', 'On record as printed'])
      expect(text).toContain(one)
    for (const name of ['Roth', 'Ines', 'manager']) expect(text).not.toContain(name)
  })

  test('tells that it was put right since, and that it proves nothing', async () => {
    const path = await codeOn(certificate)
    const slip = { factId: randomUUID(), corrects: passed.factId, reason: 'typed for another stick', replacement: null }
    await house.done('POST', '/v1/corrections', slip)
    const { text } = await scanned(path)
    expect(text).toContain('No longer as printed')
    expect(text).toContain('proves nothing')
    expect(text).not.toContain('On record as printed')
  })

  test('tells that the stick was tested again, and must not be used by now', async () => {
    const path = await codeOn(certificate)
    await house.done('POST', '/v1/sticks/S-1/bench-tests', overTheLimit({ testedOn: '2026-03-04' as never }), 'bench')
    const { text } = await scanned(path)
    expect(text).toContain('tested again since')
    expect(text).toContain('do not use it')
  })
})
