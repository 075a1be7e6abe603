/** Files that are taken out: whatever stands in a cell comes in again as it was, and changes nothing there. */

import fc from 'fast-check'
import { beforeEach, describe, expect, test } from 'vitest'
import type * as z from 'zod'
import { openFile } from '../../functions/import/files/read.ts'
import type { FileRow } from '../../functions/import/files/unreadable.ts'
import { fileKey, goOn } from '../../functions/import/import.ts'
import { sheetOf } from '../../functions/requests/sheet.ts'
import { type SheetRows, sheetFormats } from '../../functions/requests/sheet-formats.ts'
import type { use } from '../../shared-domain/fact-bodies.ts'
import { dataRows, proposedReading } from '../../shared-domain/import/asked.ts'
import { wantedOf } from '../../shared-domain/import/bodies.ts'
import type { ImportKind } from '../../shared-domain/import/choices.ts'
import { crewsOut, instrumentsOut, peopleOut, readersOf, sticksOut, usesOut } from '../../shared-domain/import/out.ts'
import { rowRead } from '../../shared-domain/import/rows.ts'
import { crew, instrument, person, stick } from '../../shared-domain/registers.ts'
import { constructions, errorKinds } from '../../shared-domain/words.ts'
import { aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse, type Who } from './house.ts'

/** What a file is read as, as far as its own headings and cells say it: nothing may be asked. */
async function comeIn(bytes: Uint8Array, kind: ImportKind) {
  const file = await openFile(bytes, {})
  if (file.is !== 'rows') throw new Error(`asks: ${JSON.stringify(file)}`)
  const rows: FileRow[] = []
  for await (const row of file.rows()) rows.push(row)
  const proposed = proposedReading(rows, kind)
  expect(proposed?.questions).toEqual([])
  if (proposed == null) throw new Error('no header')
  const read = dataRows(rows, proposed).map(({ row, cells }) => {
    const { fields, faults } = rowRead(cells, proposed.reading)
    expect(faults).toEqual([])
    return { row, fields }
  })
  return wantedOf(read, proposed.reading).map(({ id, body }) => ({ id, body }))
}

/** Names that a program of spreadsheets takes for something else. */
const nasty = fc.constantFrom(
  ...['=1+1', '=HYPERLINK("x")', '-5', '-5,5', '+1', '@SUM(A1)', '-x', "'=1", "''-5", "'-5", "'", "''", "'x", '0012'],
  ...['1E5', '1E+05', '123456789012345678', '2026-03-02', '03/04/2026', '3-4', '1,234', '1.234', '#REF!', "'#REF!"],
  ...['#N/A', 'a;b', '"', '"a"; b', '""', 'a,b', 'tip 1.2', 'x;1', '_x0041_', '&amp;', '<b>', 'true', 'yes', 'नमस्ते'],
  ...['8 ft 6 in', '1 1/4"', '£', 'Åse', 'O’Neil', '1e-7', '00:00', '1/2', '%', 'stick', 'Stick', '=', '-', '+', '@'],
)
const text = fc.oneof({ weight: 2, arbitrary: nasty }, fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }))
const name = (schema: z.ZodType, at: (text: string) => unknown) =>
  text.filter((one) => schema.safeParse(at(one)).success)
const figure = (min: number, max: number) =>
  fc.oneof(
    fc.integer({ min: Math.ceil(min), max: Math.floor(max) }),
    fc.integer({ min: Math.ceil(min * 1000), max: Math.floor(max * 1000) }).map((one) => one / 1000),
    fc.double({ min, max, noNaN: true }).map((one) => Math.round(one * 1e6) / 1e6),
  )
const maybe = <T>(one: fc.Arbitrary<T>) => fc.option(one, { nil: undefined })
const date = fc.constantFrom('2024-02-29', '2025-03-04', '2026-01-12')
const id = fc.constantFrom('S-1', '0012', '1E5', '3-4', '12', '2026-03-02', 'true')

const plain = <T extends object>(body: T): T => JSON.parse(JSON.stringify(body)) as T

async function survives(kind: ImportKind, sheet: SheetRows, wanted: readonly object[]): Promise<void> {
  for (const format of sheetFormats) expect(await comeIn(await sheetOf(sheet, format), kind)).toEqual(wanted)
}

const valid = <T>(schema: z.ZodType, bodies: fc.Arbitrary<T>) =>
  bodies.map((one) => plain(one as object)).filter((one) => schema.safeParse(one).success) as fc.Arbitrary<never>

const lotOf = name(stick, (lot) => ({ ...aBody, lot }))
const aBody = {
  construction: 'FRP rod',
  workingLengthMetres: 2.4,
  diameterMillimetres: 32,
  primaryProtection: true,
} as const

const runs = { numRuns: 150 }

describe('whatever stands in a cell comes in again as it was', () => {
  test('of sticks', async () => {
    const section = fc.record({ name: lotOf.filter((one) => one.length < 40), lengthMetres: figure(0.1, 30) })
    const bodies = valid(
      stick,
      fc.record({
        construction: fc.constantFrom(...constructions),
        workingLengthMetres: figure(0.1, 30),
        diameterMillimetres: figure(10, 500),
        primaryProtection: fc.boolean(),
        crewId: maybe(fc.constantFrom('CR-1', '007', '1E5')),
        lot: maybe(lotOf),
        lineKilovolts: maybe(figure(0.001, 1500)),
        inServiceSince: maybe(date),
        sections: maybe(fc.uniqueArray(section, { minLength: 1, maxLength: 4, selector: (one) => one.name })),
        sameStick: maybe(fc.constant(true as const)),
      }),
    )
    await fc.assert(
      fc.asyncProperty(fc.array(fc.record({ id, body: bodies }), { minLength: 1, maxLength: 5 }), async (all) => {
        await survives('sticks', { headings: sticksOut.headings, rows: all.map(sticksOut.cells) }, all)
      }),
      runs,
    )
  })

  test('of people and crews', async () => {
    const called = name(person, (one) => ({ name: one, email: 'a@demo.example', role: 'crew', depots: [] }))
    const people = valid(
      person,
      fc.record({
        name: called,
        email: fc.constantFrom('a@demo.example', '-5@demo.example', '=x@demo.example', "'=x@demo.example"),
        role: fc.constantFrom('crew', 'owner'),
        depots: fc.subarray(['*', 'DEP-1', '007', '1E5']),
        language: maybe(fc.constantFrom('en', 'es')),
        until: maybe(date),
      }),
    )
    const recipient = fc.record({
      name: called,
      phone: fc.constantFrom('+1 555 0100', '0015550100', '-5', '=5'),
      role: fc.constantFrom('crew', 'foreman'),
    })
    const crews = valid(
      crew,
      fc.record({ name: called, depotId: id, recipients: fc.array(recipient, { maxLength: 4 }) }),
    )
    await fc.assert(
      fc.asyncProperty(fc.record({ id, body: people }), fc.record({ id, body: crews }), async (one, gang) => {
        await survives('people', { headings: peopleOut.headings, rows: [peopleOut.cells(one)] }, [one])
        await survives('crews', { headings: crewsOut.headings, rows: readersOf(gang).map(crewsOut.cells) }, [gang])
      }),
      runs,
    )
  })

  test('of instruments and uses', async () => {
    const instruments = valid(
      instrument,
      fc.record({
        spanMetres: figure(0.001, 10),
        calibratedOn: fc.constant('2025-03-04'),
        calibrationDueOn: date,
        expandedUncertaintyPercent: maybe(figure(0.001, 50)),
        foundOutOfTolerance: maybe(fc.boolean()),
        foundError: maybe(
          fc.record({
            kind: fc.constantFrom(...errorKinds),
            value: figure(-9, 9),
            fullScaleMicroamps: maybe(figure(1, 500)),
          }),
        ),
        certificate: maybe(lotOf),
        laboratory: maybe(lotOf),
        effectiveFrom: fc.constant('2025-03-04'),
      }),
    )
    const note = fc.oneof(nasty, fc.constantFrom('two\nlines', 'a\r\nb', '=a\n-b', '"\n"'))
    const uses = fc.record({ note, days: fc.integer({ min: 1, max: 366 }), conditions: fc.subarray(['wet', 'salt']) })
    await fc.assert(
      fc.asyncProperty(fc.record({ id, body: instruments }), uses, async (one, used) => {
        await survives('instruments', { headings: instrumentsOut.headings, rows: [instrumentsOut.cells(one)] }, [one])
        const factId = '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001'
        const body = { occurredOn: day('2026-02-03'), at: '14:20', ...used, factId }
        const row = usesOut.cells({ stickId: 'S-1', fact: { factId }, body: body as z.output<typeof use> })
        const { conditions, ...others } = body
        const wanted = conditions.length === 0 ? others : body
        await survives('uses', { headings: usesOut.headings, rows: [row] }, [{ id: 'S-1', body: wanted }])
      }),
      runs,
    )
  })
})

describe('of an organisation', () => {
  let house: House
  beforeEach(async () => {
    house = openHouse()
    await furnish(house)
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-01-02') }), 'bench')
  })

  const taken = async (path: string, who: Who = 'manager') => {
    const { status, json, headers } = await house.call('GET', path, undefined, who)
    return { status, headers, text: new TextDecoder().decode(json) }
  }

  async function checkedAgain(kind: ImportKind, text: string) {
    const { json } = await house.call('POST', `/v1/imports?kind=${kind}&mode=check`, undefined, 'owner')
    const named = { organisation: demo, id: json.id as string }
    const bucket = { get: async () => new TextEncoder().encode(text), put: async () => undefined }
    house.files.set(fileKey(named), new TextEncoder().encode(text))
    for (let turn = 0; turn < 5; turn++)
      await goOn({ table: house.table, clock: house.clock, feedsUrl: '', bucket }, named, () => true)
    return (await house.call('GET', `/v1/imports/${named.id}`)).json
  }

  const factId = '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001'
  test.each(['sticks', 'people', 'crews', 'instruments', 'uses', 'moves'] as const)(
    'what was taken out of %s is known when it comes in again',
    async (kind) => {
      const used = { factId, occurredOn: '2026-03-01', days: 2, conditions: ['wet'], note: '=1+1\n-5' }
      await house.done('POST', '/v1/sticks/S-1/uses', used)
      const lent = { factId: factId.replace('1f0001', '1f0002'), occurredOn: '2026-03-02', at: '08:30' }
      await house.done('POST', '/v1/sticks/S-1/moves', {
        ...lent,
        to: { lentTo: '=Nord & Co', returnBy: '2026-05-01' },
      })
      const { status, text, headers } = await taken(`/v1/exports?kind=${kind}`)
      expect([status, headers.get('link')]).toEqual([200, null])
      const again = await checkedAgain(kind, text)
      expect(again).toMatchObject({ state: 'checked', questions: [], faults: [] })
      expect(again.counts).toMatchObject({ added: 0, changed: 0, waiting: 0, faulty: 0, known: again.counts.of })
      expect(again.counts.of).toBeGreaterThan(0)
    },
  )

  test('each kind is a file of rows, and a workbook where one is asked for', async () => {
    for (const kind of ['roster', 'history', 'notices', 'sticks'] as const) {
      const { status, text, headers } = await taken(`/v1/exports?kind=${kind}`)
      expect([status, headers.get('content-disposition')]).toEqual([
        200,
        `attachment; filename="${kind}-2026-03-02.csv"`,
      ])
      expect(text).toMatch(/^"(Stick|Number)",/)
      const { json } = await house.call('GET', `/v1/exports?kind=${kind}&format=xlsx`, undefined, 'manager')
      const file = await openFile(json as Uint8Array<ArrayBuffer>, {})
      if (file.is !== 'rows') throw new Error('no workbook')
      const rows: unknown[] = []
      for await (const { cells } of file.rows()) rows.push(cells[0])
      expect(rows).toHaveLength(text.trim().split('\r\n').length)
    }
    expect((await taken('/v1/exports?kind=history')).text).toContain('"S-1","2026-01-02",,"tested","pass"')
  })

  test('nobody takes out what they may not read, and there is no file of another name', async () => {
    expect((await house.call('GET', '/v1/exports?kind=people', undefined, 'bench')).status).toBe(403)
    expect((await house.call('GET', '/v1/exports?kind=sticks', undefined, 'crew')).status).toBe(403)
    expect((await house.call('GET', '/v1/exports?kind=constructor', undefined, 'manager')).status).toBe(422)
    expect((await house.call('GET', '/v1/exports?kind=sticks&cursor=eA', undefined, 'manager')).status).toBe(422)
  })

  test('what is out of use for good is kept, and stands in the file', async () => {
    const scrapped = { factId, occurredOn: '2026-03-02', at: '08:30', to: 'scrapped' }
    await house.done('POST', '/v1/sticks/S-1/moves', scrapped)
    expect((await taken('/v1/exports?kind=sticks')).text).toContain('"S-1",')
    expect((await taken('/v1/exports?kind=roster')).text).toContain('"S-1","scrapped",')
  })
})
