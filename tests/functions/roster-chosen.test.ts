/**
 * Sticks that are chosen on the roster: who may choose which, who is written to of them, and what the pages say of it.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const now = '2026-03-04T15:00:00.000Z'

let furnished: readonly Item[]
let house: House
/** Of crew one S-1 and S-2 are overdue, S-3 is in service, S-4 on hold at the bench; S-5, of crew two, is overdue. */
beforeAll(async () => {
  const first = openHouse([], '2026-03-02T15:00:00.000Z')
  await furnish(first)
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await first.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  const lives = {
    'S-1': '2024-02-20',
    'S-2': '2024-02-21',
    'S-3': '2025-06-01',
    'S-4': '2025-06-01',
    'S-5': '2024-02-20',
  }
  for (const [id, on] of Object.entries(lives)) {
    await first.done('PUT', `/v1/sticks/${id}`, { ...aStick, crewId: id === 'S-5' ? 'CR-2' : 'CR-1' })
    await first.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day(on) }))
  }
  const fact = { factId: randomUUID(), occurredOn: '2026-03-02' }
  await first.done('POST', '/v1/sticks/S-4/moves', { ...fact, to: { bench: 'DEP-1' } })
  await first.done('POST', '/v1/sticks/S-4/defects', { ...fact, factId: randomUUID(), kind: 'tingle' })
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, now)
})

const open = async (path: string, who: Who = 'manager') => {
  const answer = await pagesOf(house, who).request(path)
  return { status: answer.status, to: answer.headers.get('location'), text: plainOf(await answer.text()) }
}
const plainOf = (page: string) => page.replace(/<style.*?<\/style>/s, '').replaceAll('&amp;', '&')
const wordsOf = (markup: string) => markup.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')
const send = async (path: string, fields: Record<string, string>, who: Who = 'manager', language = 'en') => {
  const body = new URLSearchParams(fields).toString()
  const headers = { 'content-type': 'application/x-www-form-urlencoded', 'accept-language': language }
  const answer = await pagesOf(house, who).request(path, { method: 'POST', headers, body })
  return { status: answer.status, to: answer.headers.get('location') ?? '', text: plainOf(await answer.text()) }
}
const boxesIn = (text: string) =>
  [...text.matchAll(/<input type="checkbox" name="stick" value="([^"]*)"\s+aria-label="([^"]*)"( checked)?>/g)].map(
    ([, stick = '', label = '', ticked]) => [stick, label, ticked !== undefined] as const,
  )
const reminders = () => house.table.items().filter(({ kind }) => kind === 'reminder')

describe('the boxes of the roster', () => {
  test('each says its stick, and one form leads on with those that are ticked, and with the list', async () => {
    const { text } = await open('/roster?status=overdue&crew=CR-1')
    expect(boxesIn(text)).toEqual([
      ['S-1', 'Stick S-1', false],
      ['S-2', 'Stick S-2', false],
    ])
    const [form = ''] = /<form class="chosen".*?<\/form>/s.exec(text) ?? []
    expect(boxesIn(form)).toHaveLength(2)
    expect(form).toContain('method="get" action="/remind"')
    expect(form).toContain('<button>Remind their crews</button>')
    expect(form).toContain('<button formaction="/move">Move or issue</button>')
    expect(form).toContain('<input type="hidden" name="list" value="status=overdue&crew=CR-1">')
  })

  test('are all ticked where that is asked for, and none again', async () => {
    const { text } = await open('/roster?status=overdue')
    expect(text).toContain('<a href="/roster?status=overdue&tick=all">Choose all of these</a>')
    const all = (await open('/roster?status=overdue&tick=all')).text
    expect(boxesIn(all).map(([stick, , ticked]) => [stick, ticked])).toEqual([
      ['S-1', true],
      ['S-5', true],
      ['S-2', true],
    ])
    expect(all).toContain('<a href="/roster?status=overdue">Choose none</a>')
    expect((await open('/roster?tick=some')).status).toBe(404)
  })

  test.each<[Who, string[], string[]]>([
    ['owner', ['S-1', 'S-2', 'S-5'], ['Remind their crews', 'Move or issue', 'Have past tests count']],
    ['south manager', ['S-5'], ['Remind their crews', 'Move or issue', 'Have past tests count']],
    ['bench', ['S-1', 'S-2', 'S-5'], ['Move or issue']],
    ['crew', [], []],
  ])(
    'of %s are those of sticks to which they may do anything, with the buttons that fit',
    async (who, sticks, names) => {
      const { status, text } = await open('/roster?status=overdue', who)
      expect(status).toBe(200)
      expect(
        boxesIn(text)
          .map(([stick]) => stick)
          .sort(),
      ).toEqual(sticks)
      const [bar = ''] = /<div class="with".*?<\/div>/s.exec(text) ?? []
      expect([...bar.matchAll(/<button[^>]*>([^<]*)</g)].map(([, name]) => name)).toEqual(names)
      if (who === 'bench') expect(text).toContain('method="get" action="/move"')
    },
  )

  test('a crew’s stick that lies in a yard of others has none', async () => {
    const fact = { factId: randomUUID(), occurredOn: '2026-03-03', to: { bench: 'DEP-1' } }
    await house.done('POST', '/v1/sticks/S-5/moves', fact)
    const { text } = await open('/roster?crew=CR-2', 'south manager')
    expect(text).toContain('<a href="/sticks/S-5">')
    expect([boxesIn(text), text.includes('Move or issue')]).toEqual([[], false])
    expect(boxesIn((await open('/roster?crew=CR-2')).text)).toHaveLength(1)
  })

  test.each(['/remind', '/move', '/remind?list=status%3Doverdue'])(
    '%s with none ticked says what to do',
    async (path) => {
      const { status, text } = await open(path)
      expect(status).toBe(200)
      expect(text).toContain('<h1>No stick is chosen</h1>')
      expect(text).toContain('Tick the box beside each stick on the roster')
      expect(text).toContain(path.includes('list') ? '<a href="/roster?status=overdue">' : '<a href="/roster">')
      expect(text).not.toContain('<form class="act"')
    },
  )

  test.each(['/remind', '/move'])('%s with more than a hundred ticked says how many may be', async (path) => {
    const many = Array.from({ length: 101 }, (_, i) => `stick=S-${i}`).join('&')
    const { status, text } = await open(`${path}?${many}`)
    expect([status, text.includes('At most 100 at once, and 101 are chosen.')]).toEqual([200, true])
  })

  test.each(['/remind', '/move'])(
    '%s leads back to the list, and to no other page, whatever its address says',
    async (path) => {
      const back = async (list: string) =>
        /<a href="([^"]*)">Back, and record nothing/.exec(
          (await open(`${path}?stick=S-1&stick=S-2&list=${encodeURIComponent(list)}`)).text,
        )?.[1]
      expect(await back('status=overdue&crew=CR-1')).toBe('/roster?status=overdue&crew=CR-1')
      for (const list of ['//other.example', '/../sign-out', '"><b>', 'https://other.example/?a=b'])
        expect(await back(list)).toMatch(/^\/roster\?[\w%.=+-]*$/)
    },
  )
})

describe('a reminder', () => {
  const path = '/remind?stick=S-1&stick=S-2&stick=S-3&list=status%3Doverdue'

  test('shows whom it writes to, of what, and what is left out; until then nothing is sent', async () => {
    const { text } = await open(path)
    const words = wordsOf(text)
    expect(words).toContain('Remind the readers of 3 sticks')
    expect(words).toContain('Each of 2 people gets one mail at once, in your name.')
    expect(words).toMatch(/Ana Ferro \(crew\) and Bo Lind \(foreman\)\s+S-1 overdue 12 days overdue S-2 overdue/)
    expect(words).toContain('Bo Lind is asked to tell Kai Brandt face to face.')
    expect(words).toContain('Left out Stick S-3 is in service: there is nothing to remind anybody of.')
    expect(house.table.written()).toBe(0)
  })

  test('writes to them once, however often it is sent, and says who was told', async () => {
    const fields = { factId: randomUUID(), '/note': 'By Friday, please.' }
    for (const _ of ['sent', 'sent again']) {
      const { status, to } = await send(path, fields)
      expect([status, to]).toEqual([303, `/remind?reminder=${fields.factId}&done=recorded&list=status%3Doverdue`])
      const { text } = await open(to)
      expect(text).toContain('<h1>2 people are written to</h1>')
      expect(wordsOf(text)).toContain('Ana Ferro (crew) and Bo Lind (foreman)')
      expect(wordsOf(text)).toContain('Left out Stick S-3 is in service')
      expect(text).toContain('<a href="/roster?status=overdue">To the roster</a>')
      expect(reminders()).toHaveLength(2)
    }
    expect(reminders().map(({ reminder }) => (reminder as { note: string }).note)).toEqual(
      Array(2).fill('By Friday, please.'),
    )
  })

  test('of what nobody is written of offers nothing to send, and says why', async () => {
    const { status, text } = await open('/remind?stick=S-3&stick=S-4')
    expect(status).toBe(200)
    expect(text).toContain('There is nobody to write to. Nothing is sent.')
    expect(wordsOf(text)).toContain('Stick S-4 is on hold, and nobody has it out: there is nobody to bring it in.')
    expect(text).not.toContain('<form class="act"')
    const sent = await send('/remind?stick=S-3', { factId: randomUUID() })
    expect(sent.status).toBe(409)
    expect(sent.text).toContain('Stick S-3 is in service: there is nothing to remind anybody of.')
  })

  test('a second one within the hour says who asked before', async () => {
    await send(path, { factId: randomUUID() }, 'manager-2')
    const { text } = await open('/remind?stick=S-1')
    expect(text).toContain('Stick S-1: Max Holm had its readers reminded less than an hour ago')
  })

  test('with too long a word says so at the field, and sends nothing', async () => {
    const { status, text } = await send(path, { factId: randomUUID(), '/note': 'x'.repeat(1001) })
    expect(status).toBe(422)
    expect(text).toMatch(/id="f-note"[^>]*aria-invalid="true"/)
    expect(reminders()).toEqual([])
    const said = (page: string) => /id="f-note-wrong">([^<]*)</.exec(page)?.[1]
    expect(said(text)).toBe('a length of at most 1000')
    const inSpanish = await send(path, { factId: randomUUID(), '/note': 'x'.repeat(1001) }, 'manager', 'es')
    expect(said(inSpanish.text)).toBe('una longitud de como mucho 1000')
  })

  test.each<[Who, string, number]>([
    ['crew', '/remind?stick=S-1', 403],
    ['bench', '/remind?stick=S-1', 403],
    ['south manager', '/remind?stick=S-1', 403],
    ['other manager', '/remind?stick=S-1', 404],
    ['manager', '/remind?stick=NOT-THERE', 404],
    ['manager', '/remind?done=recorded&reminder=not-there', 404],
    ['bench', '/remind?done=recorded&reminder=not-there', 403],
  ])('to %s %s answers %d', async (who, at, status) => {
    expect((await open(at, who)).status).toBe(status)
    const sent = await send(at, { factId: randomUUID() }, who)
    expect([403, 404, 422]).toContain(sent.status)
    expect(reminders()).toEqual([])
  })

  test('is shown afterwards to whoever may read its notices, and to nobody else', async () => {
    const factId = randomUUID()
    await send('/remind?stick=S-1', { factId })
    const at = `/remind?reminder=${factId}&done=recorded`
    expect((await open(at, 'manager-2')).status).toBe(200)
    expect((await open(at, 'south manager')).status).toBe(403)
    expect((await open(at, 'other manager')).status).toBe(404)
  })

  test('is offered on the page of a stick where somebody would be written to', async () => {
    const link = (id: string) => `<a href="/remind?stick=${id}">Remind its crew</a>`
    for (const [id, who, isOffered] of [
      ['S-1', 'manager', true],
      ['S-1', 'bench', false],
      ['S-3', 'manager', false],
      ['S-4', 'manager', false],
    ] as const)
      expect([id, who, (await open(`/sticks/${id}`, who)).text.includes(link(id))]).toEqual([id, who, isOffered])
  })
})

describe('whoever works at the bench', () => {
  const rowsIn = (text: string) =>
    [...text.matchAll(/<th scope="row"><a href="\/sticks\/([^"]+)"/g)].map(([, stick]) => stick)

  beforeEach(async () => {
    for (const [id, to] of [
      ['S-2', { bench: 'DEP-1' }],
      ['S-5', { bench: 'DEP-2' }],
      ['S-3', { store: 'DEP-1' }],
    ] as const)
      await house.done('POST', `/v1/sticks/${id}/moves`, { factId: randomUUID(), occurredOn: '2026-03-03', to })
  })

  test('starts with what lies there, whatever its status, and takes that off to see all', async () => {
    expect(await open('/', 'bench')).toMatchObject({ status: 303, to: '/roster?bench=true' })
    expect((await open('/', 'manager')).to).toBe('/roster')
    const { text } = await open('/roster?bench=true', 'bench')
    expect(rowsIn(text)).toEqual(['S-5', 'S-2', 'S-4'])
    expect(wordsOf(text)).toContain('Shown: 1–3 of 3 at the bench × Take this off')
    expect(text).toMatch(/<li><a href="\/roster">at the bench /)
    expect(rowsIn((await open('/roster', 'bench')).text)).toEqual(expect.arrayContaining(['S-1', 'S-3']))
  })

  test('of one yard has that yard’s bench', async () => {
    const person = { name: 'Nia Berg', email: 'nia@demo-utility.example', role: 'bench', depots: ['DEP-1'] }
    await house.done('PUT', '/v1/people/north-bench', person)
    expect(rowsIn((await open('/roster?bench=true', 'north bench')).text)).toEqual(['S-2', 'S-4'])
  })

  test.each([
    ['status=on+hold', ['S-4']],
    ['depot=DEP-2', ['S-5']],
    ['crew=CR-1', ['S-2', 'S-4']],
    ['q=S-', ['S-5', 'S-2', 'S-4']],
    ['lent=true', []],
    ['store=DEP-1', []],
  ])('narrows it by %s', async (more, sticks) => {
    expect(rowsIn((await open(`/roster?bench=true&${more}`, 'bench')).text)).toEqual(sticks)
  })

  test('keeps the choice in the form, in the next page and in the file', async () => {
    const { text } = await open('/roster?bench=true', 'bench')
    expect(text).toMatch(/<select name="bench">.*?<option value="true" selected>only there</s)
    expect(text).toContain('href="/roster.csv?bench=true"')
    const file = (await open('/roster.csv?bench=true', 'bench')).text
    expect(
      file
        .split('\r\n')
        .slice(1, -1)
        .map((line) => line.slice(0, 5)),
    ).toEqual(['"S-5"', '"S-2"', '"S-4"'])
    expect((await open('/roster?bench=yes', 'bench')).status).toBe(404)
  })
})
