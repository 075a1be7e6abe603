/** What is printed: read back by another program, as somebody who hears it and as somebody who measures it. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { cornerOf, labelSheetNames, labelSheets } from '../../shared-domain/label-sheets.ts'
import { pagesOf } from '../support/pages.ts'
import { type ReadPdf, readPdf } from '../support/pdf.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const silence = () => {
  for (const way of ['info', 'error'] as const) vi.spyOn(console, way).mockImplementation(() => undefined)
}

const passed = aTest({ at: '08:40', testedBy: 'Łukasz Ödön Ñandú' })
const failed = overTheLimit({ at: '08:00' })

let kept: readonly Item[]
beforeAll(async () => {
  silence()
  const house = openHouse()
  await furnish(house)
  const telescoping = {
    ...aStick,
    lot: 'L-7',
    sections: [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'butt', lengthMetres: 1.2 },
    ],
  }
  await house.done('PUT', '/v1/sticks/S-2', aStick)
  await house.done('PUT', '/v1/sticks/S-3', aStick)
  await house.done('PUT', '/v1/sticks/TEL-1', telescoping)
  await house.done('PUT', '/v1/sticks/WOOD-1', { ...aStick, construction: 'wood' })
  await house.done('POST', '/v1/sticks/S-1/bench-tests', passed, 'bench')
  await house.done('POST', '/v1/sticks/S-2/bench-tests', failed, 'bench')
  await house.done('POST', '/v1/sticks/S-3/bench-tests', aTest({ testedOn: day('2024-03-20') }), 'bench')
  kept = house.table.items()
})
let house: House
beforeEach(() => {
  silence()
  house = openHouse(kept, '2026-03-05T15:00:00.000Z')
})
afterEach(() => vi.restoreAllMocks())

async function printed(path: string, who: Who = 'manager', language = 'en'): Promise<Uint8Array> {
  const answer = await pagesOf(house, who).request(path, { headers: { 'accept-language': language } })
  expect(answer.status).toBe(200)
  expect(answer.headers.get('content-type')).toBe('application/pdf')
  const bytes = new Uint8Array(await answer.arrayBuffer())
  // to be looked at: `PAPERS=folder vitest run …`
  const { PAPERS: folder } = process.env
  if (folder !== undefined) {
    mkdirSync(folder, { recursive: true })
    writeFileSync(join(folder, `${path.replaceAll(/\W+/g, '-').slice(1)}-${language}.pdf`), bytes)
  }
  return bytes
}

const paper = async (path: string, who?: Who, language?: string): Promise<ReadPdf> =>
  readPdf(await printed(path, who, language))

const tingled = (stick: string) =>
  house.done('POST', `/v1/sticks/${stick}/defects`, {
    factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0aaa',
    occurredOn: '2026-03-05',
    kind: 'tingle',
  })

const certificate = `/sticks/S-1/certificate?test=${passed.factId}`
const everyPaper = [
  certificate,
  `/sticks/S-2/certificate?test=${failed.factId}`,
  '/sticks/S-1/tag',
  '/sticks/S-2/tag',
  '/sticks/S-1/label',
  '/sticks/S-2/label?sheet=letter-30&place=5',
  '/sticks/S-1/worksheet',
  '/sticks/TEL-1/worksheet?procedure=PRC-1&instrument=INS-1',
  '/sticks/WOOD-1/worksheet?procedure=PRC-1&instrument=INS-1',
  '/depots/DEP-1/bench-list',
]

describe.each(['en', 'es'])('every paper in %s', (language) => {
  test.each(everyPaper)('%s is read in order by whoever cannot see it (ISO 14289-1, 7.1, 7.2, 7.5)', async (path) => {
    const bytes = await printed(path, 'manager', language)
    const { isMarked, title, language: stated, xmp, roles, runs, read } = await readPdf(bytes)
    expect([isMarked, stated]).toEqual([true, language])
    expect(String(title).length).toBeGreaterThan(5)
    expect(xmp).toContain('pdfuaid')
    // all text is part of the structure, or is marked as none of it
    expect(runs.filter(({ within }) => within === undefined)).toEqual([])
    expect(runs.length).toBeGreaterThan(5)
    expect(roles.filter(({ role, alt }) => role === 'Figure' && (alt ?? '').length < 10)).toEqual([])
    const headings = roles.flatMap(({ role }) => (/^H\d$/.test(role) ? [Number(role.slice(1))] : []))
    const isLabel = path.includes('/label')
    expect(headings[0]).toBe(1)
    for (const [i, level] of headings.entries()) expect(level).toBeLessThanOrEqual((headings[i - 1] ?? 0) + 1)
    // each head of a table says what it heads: 7.5
    const raw = Buffer.from(bytes).toString('latin1')
    const heads = raw.match(/\/S \/TH\b/g)?.length ?? 0
    expect(raw.match(/\/Scope \/(Column|Row)\b/g)?.length ?? 0).toBe(heads)
    expect(heads > 0).toBe(!isLabel && !path.includes('bench-list'))
    // the font is in it, cut to what it writes
    expect(raw.match(/\/FontFile2/g)?.length ?? 0).toBeGreaterThan(0)
    expect(raw).not.toContain('/BaseFont /Helvetica')
    expect(read).toContain(language === 'en' ? 'never replace' : 'nunca sustituye')
    expect(read).not.toContain('\uFFFD')
  })
})

describe('the certificate of a test', () => {
  test('has all that a record of a test has (common practice: no official form is known)', async () => {
    const { read } = await paper(certificate)
    for (const said of [
      'Certificate of test',
      `Number S-1-2026-03-02-${passed.factId.slice(-6)}`,
      'Łukasz Ödön Ñandú',
      'Recorded by bench',
      'INS-1',
      'PRC-1',
      'calibrated',
      'periodic',
      'pass',
      'distilled',
      'beads',
      '98 µA',
      'not more than',
    ])
      expect(read.normalize('NFKC').toLowerCase(), said).toContain(said.normalize('NFKC').toLowerCase())
    // each of the eighty readings stands in a table
    const place = (from: number, to: number) => `${from} to ${to} m`
    expect(read.split(place(0.25, 0.55)).length - 1).toBe(2)
    // what the stick may be used for comes before the verdict
    expect(read.indexOf('Use it through')).toBeLessThan(read.indexOf('What this test found'))
  })

  test('says before anything of its pass that the stick must not be used, once it must not', async () => {
    const before = await paper(certificate)
    expect(before.read).not.toContain('Do not use it')
    await tingled('S-1')
    const { read } = await paper(certificate)
    expect(read).toContain('Do not use it')
    expect(read.indexOf('Do not use it')).toBeLessThan(read.indexOf('What this test found'))
    expect(read).toContain('This pass does not make it fit')
    expect(read).not.toMatch(/Use it through/)
  })

  test('is a record where the test did not pass, with every reason', async () => {
    const { read } = await paper(`/sticks/S-2/certificate?test=${failed.factId}`)
    expect(read).toContain('Record of a bench test')
    expect(read).not.toContain('Certificate of test')
    expect(read.normalize('NFKC')).toContain('21 µA'.normalize('NFKC'))
    expect(read).toContain('fail')
  })

  test('of a test that was put right says so before its verdict', async () => {
    await house.done('POST', '/v1/corrections', {
      factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0bbb',
      corrects: passed.factId,
      reason: 'typed for another stick',
      replacement: null,
    })
    const { read } = await paper(certificate)
    expect(read).toContain('proves nothing: typed for another stick')
    expect(read).not.toContain('Certificate of test')
  })

  test('of the same moment has the same bytes, and the API hands out the same in English', async () => {
    const [one, other] = [await printed(certificate), await printed(certificate)]
    expect(Buffer.compare(one, other)).toBe(0)
    const { status, json, headers } = await house.call('GET', `/v1/sticks/S-1/certificate?test=${passed.factId}`)
    expect(status).toBe(200)
    expect(headers.get('content-disposition')).toContain(`certificate-S-1-2026-03-02-${passed.factId.slice(-6)}`)
    expect((await readPdf(json)).read).toBe((await readPdf(one)).read)
    const newest = (await house.call('GET', '/v1/sticks/S-1/certificate')).json
    expect((await readPdf(newest)).read).toBe((await readPdf(one)).read)
  })

  test('of a stick without a test is not found, and another organisation finds none', async () => {
    expect((await house.call('GET', '/v1/sticks/WOOD-1/certificate')).status).toBe(404)
    expect((await house.call('GET', '/v1/sticks/S-1/certificate', undefined, 'other owner')).status).toBe(404)
    expect((await house.call('GET', '/v1/sticks/S-1/certificate?test=no')).status).toBe(422)
  })

  test('says that letters are missing, and leaves none out', async () => {
    const note = 'क्षत्रिय 測定'
    await house.done('POST', '/v1/sticks/WOOD-1/bench-tests', aTest({ note, wet: undefined } as never), 'bench')
    const { read } = await paper('/sticks/WOOD-1/certificate')
    expect(read).toContain('Some letters cannot be printed')
    expect(read).toContain('\uFFFD')
  })
})

describe('a tag', () => {
  test('says in the largest letters not to use the stick, why, and what alone ends that', async () => {
    const { read, pages } = await paper('/sticks/S-2/tag')
    expect(read).toContain('DO NOT USE S-2')
    expect(read).toMatch(/Only this ends it/)
    expect(pages).toBe(1)
  })

  test('of a stick that nothing speaks against asks for the report', async () => {
    expect((await paper('/sticks/S-1/tag')).read).toContain('reports it in the service at once')
  })
})

describe('a label', () => {
  test.each(labelSheetNames)('lies where the sheet %s has it, to a tenth of a millimetre', async (name) => {
    const sheet = labelSheets[name]
    const last = sheet.columns * sheet.rows
    for (const place of [1, 2, sheet.columns + 1, last]) {
      const { runs } = await paper(`/sticks/S-1/label?sheet=${name}&place=${place}`)
      const ours = runs.filter(({ page }) => page === 1)
      const { x, y } = cornerOf(sheet, place - 1)
      expect(ours.length).toBeGreaterThan(3)
      for (const run of ours) {
        expect(Math.abs(run.x - (x + 3))).toBeLessThan(0.1)
        expect(run.y).toBeGreaterThan(y + 3)
        expect(run.y).toBeLessThan(y + sheet.height - 2)
      }
    }
  })

  test('sheets lie within their paper, and end where they began on the other side', () => {
    for (const { paper, columns, width, gap, left, top, rows, height } of Object.values(labelSheets)) {
      const [across, down] = paper === 'A4' ? [210, 297] : [215.9, 279.4]
      expect(Math.abs(2 * left + columns * width + (columns - 1) * gap - across)).toBeLessThan(0.2)
      expect(Math.abs(2 * top + rows * height - down)).toBeLessThan(0.2)
    }
  })

  test('shows the date through which the stick may be used, and none for one that must not be', async () => {
    expect((await paper('/sticks/S-1/label')).read).toMatch(/Use through Mar(ch)? 2, 2028|Use through 2 March 2028/)
    const { read } = await paper('/sticks/S-2/label')
    expect(read).toContain('S-2 DO NOT USE')
    expect(read).not.toContain('Use through')
  })

  test('has a page to check the printer by, whose line is 100 mm long', async () => {
    const { runs } = await paper('/sticks/S-1/label')
    const marks = runs.filter(({ page, text, within }) => page === 2 && within === 'Figure' && /^\d+$/.test(text))
    const at = new Map(marks.map(({ text, x }) => [Number(text), x]))
    expect([...at.keys()]).toEqual([0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100])
    expect(Math.abs((at.get(100) ?? 0) - (at.get(0) ?? 0) - 100)).toBeLessThan(0.1)
  })
})

describe('a sheet for the bench', () => {
  test('has a row for each place, in the order in which it is read', async () => {
    const { read } = await paper('/sticks/S-1/worksheet')
    const places = [...read.matchAll(/([\d.]+) to ([\d.]+) m/g)].map(([, from, to]) => [Number(from), Number(to)])
    expect(places).toHaveLength(20)
    expect(places[0]).toEqual([0, 0.3])
    expect(places[9]).toEqual([2.1, 2.4])
    expect(places[10]).toEqual([0, 0.3])
  })

  test('has no wet part for wood, and asks for what it does not know', async () => {
    const wood = '/sticks/WOOD-1/worksheet'
    expect((await paper(`${wood}?procedure=PRC-1&instrument=INS-1`)).read).not.toMatch(/wet: readings/i)
    expect((await paper(wood)).read).toContain('name both in the address')
  })

  test('the list of a week has what is overdue or due in it, and nothing else', async () => {
    const { read } = await paper('/depots/DEP-1/bench-list')
    expect(read).toContain('Nothing is overdue')
    house.at('2026-03-16T15:00:00.000Z')
    const later = await paper('/depots/DEP-1/bench-list')
    expect(later.read).toContain('S-3')
    expect(later.read).not.toContain('S-1 ')
  })
})
