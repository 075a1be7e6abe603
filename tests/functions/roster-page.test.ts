/**
 * The roster as a page and as a file: its numbers lead to what they count, pages lead back, and no cell is a formula.
 */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { lineOf } from '../../functions/pages/roster-file.ts'
import type { Item } from '../../functions/store/table.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aDepot, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const now = '2026-03-02T16:00:00.000Z'
const hostile = '=HYPERLINK("https://x.example","a,b")'

/** Thirty sticks overdue, three on hold, two of them in hands and not confirmed; some of each other status. */
let filled: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], now)
  await furnish(house)
  await house.done('PUT', '/v1/crews/CR-3', { ...aCrew, name: hostile })
  const fact = (over: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...over })
  const enter = async (stickId: string, crewId: string | undefined, testedOn?: string) => {
    await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, crewId, lot: 'L-1' })
    if (testedOn !== undefined)
      await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day(testedOn) }))
  }
  for (let i = 0; i < 30; i++)
    await enter(`O-${i + 10}`, `CR-${1 + (i % 2)}`, `2024-01-${i + 1 < 10 ? '0' : ''}${i + 1}`)
  for (const id of ['H-1', 'H-2', 'H-3', 'R-1', 'G-1', 'F-1']) await enter(id, 'CR-3', '2026-02-20')
  await enter('N-1', undefined, '2024-03-20')
  await enter('W-1', 'CR-1')
  await house.done('POST', '/v1/sticks/H-3/moves', fact({ to: { bench: 'DEP-1' } }))
  for (const id of ['H-1', 'H-2', 'H-3']) await house.done('POST', `/v1/sticks/${id}/defects`, fact({ kind: 'tingle' }))
  await house.done('POST', '/v1/sticks/R-1/removals', fact({ reason: 'worn' }))
  await house.done('POST', '/v1/sticks/G-1/moves', fact({ to: 'scrapped' }))
  house.at('2026-02-28T16:00:00.000Z')
  await enter('FL-1', 'CR-3', '2026-02-20')
  const loan = { to: { lentTo: 'Neighbours', returnBy: '2026-03-01' }, occurredOn: '2026-02-28' }
  await house.done('POST', '/v1/sticks/FL-1/moves', fact(loan))
  house.at(now)
  await house.call('PUT', '/v1/policies/employer', { packs: ['us-mo-200'] }, 'manager')
  filled = house.table.items().filter((item) => !item.pk.includes('STICK#S-1'))
})

async function open(house: House, path: string, who: Who = 'manager') {
  const answer = await pagesOf(house, who).request(path)
  return { answer, text: await answer.text() }
}
const get = async (path: string) => (await open(openHouse(filled, now), path)).text

const unescaped = (text: string) =>
  text.replace(
    /&(amp|lt|gt|quot|#39);/g,
    (_, name) => ({ amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" })[name as 'amp'],
  )
const textOf = (markup: string) =>
  unescaped(markup.replace(/<style.*?<\/style>/s, '').replace(/<[^>]*>/g, ' ')).replace(/\s+/g, ' ')
const rowsOf = (markup: string) =>
  [...markup.matchAll(/<th scope="row"><a href="\/sticks\/([^"]+)"/g)].map(([, id]) => id)
const linkTo = (markup: string, rel: 'next' | 'prev') =>
  unescaped(new RegExp(`<a rel="${rel}" href="([^"]+)"`).exec(markup)?.[1] ?? '')
const shownOf = (markup: string) => textOf(/<div class="shown"><p>(.*?)<\/p>/s.exec(markup)?.[1] ?? '').trim()

describe('the head of the roster', () => {
  test('says as of when, by the clock of the depots, and for whom', async () => {
    expect(textOf(await get('/roster'))).toContain('demo-utility As of 2 March 2026, 10:00 CST')
    const house = openHouse(filled, now)
    await house.done('PUT', '/v1/depots/DEP-2', { ...aDepot, timeZone: 'Pacific/Apia', effectiveFrom: '2026-03-02' })
    house.at('2026-03-02T16:00:00.000Z')
    expect(textOf((await open(house, '/roster')).text)).toMatch(/As of 2 March 2026, 10:00 CST · 3 March 2026, 05:00 /)
    expect(textOf((await open(house, '/roster?depot=DEP-1')).text)).toMatch(/As of 2 March 2026, 10:00 CST \d+ overdue/)
    const entry = { name: 'Demo Power & Light', packs: ['us-29-cfr-1910-269-j'] }
    await house.done('PUT', '/v1/organisations/demo-utility', entry)
    house.at('2026-03-02T16:01:00.000Z')
    expect(textOf((await open(house, '/roster')).text)).toContain('Demo Power & Light As of')
  })

  test('counts what waits, and each number leads to just so many', async () => {
    const page = await get('/roster')
    const [, head = ''] = /<nav class="news".*?<ul>(.*?)<\/nav>/s.exec(page) ?? []
    expect(textOf(head)).toBe(
      ' 30 overdue 3 on hold 2 still in hands, not confirmed 1 due in 60 days 1 awaiting first test 1 changes to ' +
        'approve ',
    )
    const tiles = [...head.matchAll(/href="([^"]+)".*?<b>(\d+)<\/b>/gs)].map(([, href, count]) => [href, Number(count)])
    expect(tiles).toHaveLength(5)
    for (const [href, count] of tiles.slice(0, 4)) {
      const listed = await get(unescaped(String(href)))
      expect(shownOf(listed)).toMatch(new RegExp(` of ${count}$`))
      expect(listed).toContain('aria-current="true"')
    }
    expect(tiles[4]).toEqual(['/proposals', 1])
  })

  test('keeps to the depot or crew that is chosen', async () => {
    expect(textOf(await get('/roster?crew=CR-3&status=on+hold'))).toContain(' 0 overdue 3 on hold 2 still in hands')
    expect(textOf(await get('/roster?depot=DEP-2'))).toContain(' 15 overdue 0 on hold')
    expect(await get('/roster?crew=CR-3')).toContain('href="/roster?status=overdue&amp;crew=CR-3"')
  })

  test('counts no further than a thousand', async () => {
    const one = filled.find((item) => item.stickId === 'O-10' && item.sk === 'STATE')
    const many = Array.from({ length: 1001 }, (_, i) =>
      JSON.parse(JSON.stringify(one).replaceAll('O-10', `Z-${1000 + i}`)),
    ) as Item[]
    const page = (await open(openHouse([...filled, ...many], now), '/roster?status=overdue')).text
    expect(textOf(page)).toContain(' 1,000+ overdue')
    expect(shownOf(page)).toBe('Shown: 1–25 of 1,000+')
  })
})

describe('the list', () => {
  test('is paged there and back, and says which rows of how many', async () => {
    const first = await get('/roster?status=overdue')
    expect([shownOf(first), linkTo(first, 'prev')]).toEqual(['Shown: 1–25 of 30', ''])
    const second = await get(linkTo(first, 'next'))
    expect([shownOf(second), linkTo(second, 'next')]).toEqual(['Shown: 26–30 of 30', ''])
    const back = await get(linkTo(second, 'prev'))
    expect(rowsOf(back)).toEqual(rowsOf(first))
    expect([shownOf(back), linkTo(back, 'prev')]).toEqual(['Shown: 1–25 of 30', ''])
    expect([...rowsOf(first), ...rowsOf(second)]).toEqual(Array.from({ length: 30 }, (_, i) => `O-${i + 10}`))
  })

  test('leads back to the beginning where a page holds nothing any more', async () => {
    const page = await get(`/roster?status=overdue&after=${encodeURIComponent('overdue|2026-02-28#Z-9')}`)
    expect([rowsOf(page), page.includes('<a href="/roster?status=overdue">First page</a>')]).toEqual([[], true])
  })

  test('shows what is removed or scrapped only where that is asked for', async () => {
    for (const path of ['/roster', '/roster?crew=CR-3', '/roster?lot=L-1&depot=DEP-1', '/roster?q=-1&crew=CR-3'])
      expect(rowsOf(await get(path))).not.toEqual(expect.arrayContaining(['R-1', 'G-1']))
    expect(rowsOf(await get('/roster?status=scrapped'))).toEqual(['G-1'])
    const found = await get('/roster?q=-1&crew=CR-3')
    expect(textOf(found)).toContain('Out of use for good: 1 stick removed from service 1 stick scrapped')
    expect(rowsOf(await get('/roster?status=removed+from+service&crew=CR-3&q=-1'))).toEqual(['R-1'])
  })

  test('says in each row why it is held, and not what the other columns say', async () => {
    const held = await get('/roster?status=on+hold')
    expect(textOf(held)).toContain('Reported from use: tingle. Not confirmed by Ana Ferro and Bo Lind')
    const overdue = await get('/roster?status=overdue')
    expect(overdue).not.toContain('class="why"')
    expect(textOf(overdue)).toContain('O-10 overdue Do not use it 60 days overdue 1 January 2026 with Crew one')
  })

  test('of loans says until when, and how late they are', async () => {
    expect(textOf(await get('/roster?lent=true'))).toContain('lent to Neighbours until 1 March 2026 1 day late')
  })

  test('stands by crews where that is asked for, all on one page', async () => {
    const page = await get('/roster?status=overdue&group=crew')
    const groups = [...page.matchAll(/<th scope="rowgroup"[^>]*>(.*?)<\/th>/gs)].map(([, head]) => textOf(head ?? ''))
    expect(groups.map((one) => one.trim())).toEqual(['Crew one 15 sticks', 'Crew two 15 sticks'])
    expect(rowsOf(page).slice(0, 3)).toEqual(['O-10', 'O-12', 'O-14'])
    expect(shownOf(page)).toBe('Shown: 1–30 of 30')
    expect(textOf(await get('/roster?group=crew'))).toContain('Of no crew 1 stick')
  })

  test('shows what is chosen, and a way to take each off', async () => {
    const page = await get('/roster?status=overdue&depot=DEP-1&crew=CR-1&lot=L-1&q=O-1&group=crew')
    const chips = [...page.matchAll(/<li><a href="([^"]+)">([^<]+)<span aria-hidden/g)].map(([, href, text]) => [
      unescaped(text ?? '').trim(),
      unescaped(href ?? ''),
    ])
    expect(chips).toEqual([
      ['number with “O-1”', '/roster?status=overdue&depot=DEP-1&crew=CR-1&lot=L-1&group=crew'],
      ['overdue', '/roster?depot=DEP-1&crew=CR-1&lot=L-1&q=O-1&group=crew'],
      ['North yard', '/roster?status=overdue&crew=CR-1&lot=L-1&q=O-1&group=crew'],
      ['Crew one', '/roster?status=overdue&depot=DEP-1&lot=L-1&q=O-1&group=crew'],
      ['lot L-1', '/roster?status=overdue&depot=DEP-1&crew=CR-1&q=O-1&group=crew'],
      ['by crew', '/roster?status=overdue&depot=DEP-1&crew=CR-1&lot=L-1&q=O-1'],
    ])
    expect(page).toContain('<input type="hidden" name="q" value="O-1">')
  })

  test('that is empty says what was asked, and a way out', async () => {
    const page = await get('/roster?q=O-99&status=on+hold')
    expect(textOf(page)).toContain('No stick is listed of what is asked for: number with “O-99” · on hold. Show all')
    const nothing = openHouse([], now)
    expect(textOf((await open(nothing, '/roster', 'owner')).text)).toContain('No stick is on the roster yet.')
  })
})

describe('the box on every page', () => {
  test.each(['/roster', '/sticks/O-10', '/notices', '/proposals', '/nothing'])('is on %s', async (path) => {
    expect(await get(path)).toMatch(/<form class="find" role="search" method="get" action="\/roster">/)
  })

  test('leads straight to the stick whose whole number it is, and else to a list', async () => {
    const { answer } = await open(openHouse(filled, now), '/roster?q=+o-10+')
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/sticks/O-10'])
    expect(rowsOf(await get('/roster?q=o-1'))).toHaveLength(10)
    expect(textOf(await get('/roster?q=%3Cb%3E'))).toContain('number with “<b>”')
  })
})

/** Reads a file as RFC 4180 has it, and refuses what it does not. */
function parsed(file: string): string[][] {
  const rows: string[][] = [[]]
  const cell = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/y
  while (cell.lastIndex < file.length) {
    const found = cell.exec(file)
    if (found === null) throw new Error('no such file')
    rows.at(-1)?.push(found[1]?.replaceAll('""', '"') ?? found[2] ?? '')
    if (found[3] === '\r\n') rows.push([])
  }
  return rows.slice(0, -1)
}

describe('the file', () => {
  test('holds all pages of what is shown, and is named by the day', async () => {
    const { answer } = await open(openHouse(filled, now), '/roster.csv?status=overdue')
    expect(answer.headers.get('content-disposition')).toBe('attachment; filename="roster-2026-03-02.csv"')
    expect(answer.headers.get('content-type')).toBe('text/csv; charset=utf-8; header=present')
    const bytes = await (await pagesOf(openHouse(filled, now)).request('/roster.csv?status=overdue')).bytes()
    expect([...bytes.slice(0, 3)]).toEqual([0xef, 0xbb, 0xbf])
    const [heads, ...rows] = parsed(new TextDecoder().decode(bytes))
    expect(rows.map(([stickId]) => stickId)).toEqual(Array.from({ length: 30 }, (_, i) => `O-${i + 10}`))
    expect(Object.fromEntries(rows[0]?.map((value, i) => [heads?.[i], value]) ?? [])).toEqual({
      Stick: 'O-10',
      Status: 'overdue',
      'May be used': 'no, do not use it',
      'Due on': '2026-01-01',
      'Days left': '-60',
      Where: 'with Crew one',
      Crew: 'Crew one',
      Depot: 'North yard',
      'Back by': '',
      Lot: 'L-1',
      Why: 'Its test ran out on 1 January 2026.',
      Label: '',
      'Not confirmed by': '',
    })
  })

  test('has no date beside what must not be used, and no formula of a crew’s name', async () => {
    const [, ...rows] = parsed((await get('/roster.csv?crew=CR-3')).slice(0))
    expect(rows.map(([stickId, status, , due, days]) => [stickId, status, due, days])).toEqual(
      [
        ['H-1', 'on hold', '', ''],
        ['H-2', 'on hold', '', ''],
        ['H-3', 'on hold', '', ''],
        ['F-1', 'in service', '2028-02-20', '720'],
        ['FL-1', 'in service', '2028-02-20', '720'],
      ].map((row) => expect.arrayContaining(row)),
    )
    for (const row of rows) expect(row[6]).toBe(`'${hostile}`)
  })

  test('any cells come back as they were, led by an apostrophe where they would be a formula', () => {
    const text = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 12 }),
      fc
        .tuple(fc.constantFrom('=', '+', '-', '@', '\t', '\r', '"', ',', "'"), fc.string({ maxLength: 6 }))
        .map(([a, b]) => a + b),
    )
    fc.assert(
      fc.property(
        fc.array(fc.oneof(text, fc.integer(), fc.constant(null)), { minLength: 1, maxLength: 8 }),
        (cells) => {
          const [row] = parsed(lineOf(cells))
          expect(row).toHaveLength(cells.length)
          for (const [i, cell] of cells.entries()) {
            const kept = row?.[i] ?? ''
            if (typeof cell !== 'string') expect(kept).toBe(String(cell ?? ''))
            else {
              expect([cell, `'${cell}`]).toContain(kept)
              expect(kept).not.toMatch(/^[=+@\t\r]/)
            }
          }
        },
      ),
      { numRuns: 2000, seed: 4180 },
    )
  })

  test.each([
    ['-5', '"-5"'],
    ['-5,5', '"-5,5"'],
    ['-5+1', '"\'-5+1"'],
    ['=1', '"\'=1"'],
    ['@x', '"\'@x"'],
    ['007', '"007"'],
    ['a"b', '"a""b"'],
  ])('%j is written as %s', (cell, written) => {
    expect(lineOf([cell])).toBe(`${written}\r\n`)
  })

  test('ends at 10,000 sticks, and its name says so', async () => {
    const one = filled.find((item) => item.stickId === 'W-1' && item.sk === 'STATE')
    const many = Array.from({ length: 10_000 }, (_, i) =>
      JSON.parse(JSON.stringify(one).replaceAll('W-1', `Y-${10_000 + i}`)),
    ) as Item[]
    const { answer, text } = await open(openHouse([...filled, ...many], now), '/roster.csv?status=awaiting+first+test')
    expect(answer.headers.get('content-disposition')).toContain('roster-2026-03-02-first-10000.csv')
    expect(parsed(text)).toHaveLength(10_001)
  })
})
