/** Ugly files: each is read as whoever made it meant it, is asked about, or is refused for what is wrong with it. */

import * as sheetWriter from '@e965/xlsx'
import { strToU8, zipSync } from 'fflate'
import { writeXlsx } from 'hucre'
import iconv from 'iconv-lite'
import { describe, expect, test } from 'vitest'
import writeExcelFile from 'write-excel-file/node'
import { openFile, type SaidOfFile } from '../../functions/import/files/read.ts'
import { type FileRow, Unreadable } from '../../functions/import/files/unreadable.ts'
import { weigh } from '../../functions/import/files/weigh.ts'
import { dataRows, proposedReading, type SaidOfRows } from '../../shared-domain/import/asked.ts'
import type { ImportKind } from '../../shared-domain/import/choices.ts'
import { rowRead } from '../../shared-domain/import/rows.ts'
import { handmadeWorkbook, inline, partsOfWorkbook } from '../support/workbooks.ts'

const bytesOf = (text: string) => new TextEncoder().encode(text)

async function opened(bytes: Uint8Array, said: SaidOfFile = {}): Promise<FileRow[] | object> {
  const file = await openFile(bytes, said)
  if (file.is !== 'rows') return file
  const rows: FileRow[] = []
  for await (const row of file.rows()) rows.push(row)
  return rows
}

const cellsOf = async (bytes: Uint8Array, said: SaidOfFile = {}) =>
  ((await opened(bytes, said)) as FileRow[]).map(({ cells }) => cells)

const refusal = (work: Promise<unknown>) =>
  work.then(
    () => 'nothing',
    (error: unknown) => (error instanceof Unreadable ? error.says : error),
  )

/** What the rows of a file become, or what is asked of its sender first. */
async function understood(bytes: Uint8Array, kind: ImportKind, said: SaidOfRows & SaidOfFile = {}) {
  const rows = (await opened(bytes, said)) as FileRow[]
  const proposed = proposedReading(rows, kind, said)
  if (proposed === null || proposed.questions.length > 0) return proposed?.questions
  return dataRows(rows, proposed).map(({ row, cells }) => {
    const { fields, faults } = rowRead(cells, proposed.reading)
    return faults.length === 0 ? fields : { row, wrong: faults.map((one) => [one.field, one.came, one.damage ?? '']) }
  })
}

const usesHead = 'Stick,Date,Days,Note'

describe('files of separated values', () => {
  test.each<[what: string, bytes: Uint8Array, rows: unknown]>([
    [
      'plain',
      bytesOf('a,b\n1,2\n'),
      [
        ['a', 'b'],
        ['1', '2'],
      ],
    ],
    [
      'a mark of UTF-8 before the first heading',
      bytesOf('\uFEFFa,b\n1,2\n'),
      [
        ['a', 'b'],
        ['1', '2'],
      ],
    ],
    [
      'letters of two bytes, the low one first',
      Buffer.from('\uFEFFa;ñ\n1;2\n', 'utf16le'),
      [
        ['a', 'ñ'],
        ['1', '2'],
      ],
    ],
    [
      'letters of two bytes, the high one first',
      Buffer.from('\uFEFFa;ñ\n1;2\n', 'utf16le').swap16(),
      [
        ['a', 'ñ'],
        ['1', '2'],
      ],
    ],
    [
      'semicolons and decimal commas',
      bytesOf('a;b\n1,5;2,5\n'),
      [
        ['a', 'b'],
        ['1,5', '2,5'],
      ],
    ],
    [
      'tabs',
      bytesOf('a\tb\n1,5\t2\n'),
      [
        ['a', 'b'],
        ['1,5', '2'],
      ],
    ],
    [
      'bars',
      bytesOf('a|b\n1,5|2;3\n'),
      [
        ['a', 'b'],
        ['1,5', '2;3'],
      ],
    ],
    ['one column', bytesOf('only\none\n'), [['only'], ['one']]],
    [
      'the ends of lines of three kinds',
      bytesOf('a,b\r\n1,2\n3,4\r5,6'),
      [
        ['a', 'b'],
        ['1', '2'],
        ['3', '4'],
        ['5', '6'],
      ],
    ],
    [
      'a new line in quotes',
      bytesOf('a,b\n"x\ny",2\n'),
      [
        ['a', 'b'],
        ['x\ny', '2'],
      ],
    ],
    [
      'a quote in quotes',
      bytesOf('a,b\n"say ""no""",2\n'),
      [
        ['a', 'b'],
        ['say "no"', '2'],
      ],
    ],
    [
      'a separator in quotes',
      bytesOf('a;b\n"x; y";2\n'),
      [
        ['a', 'b'],
        ['x; y', '2'],
      ],
    ],
    [
      'inches that nobody quoted',
      bytesOf('a,b\n8\' 6",2\n'),
      [
        ['a', 'b'],
        ['8\' 6"', '2'],
      ],
    ],
    ['rows of several lengths', bytesOf('a,b,c\n1\n1,2,3,4\n'), [['a', 'b', 'c'], ['1'], ['1', '2', '3', '4']]],
    ['blank rows, which count', bytesOf('a,b\n\n1,2\n\n'), [['a', 'b'], [], ['1', '2'], []]],
    [
      'what looks like numbers',
      bytesOf('a\n0012\n1E5\n12345678901234567890\n'),
      [['a'], ['0012'], ['1E5'], ['12345678901234567890']],
    ],
    ['what looks like formulas', bytesOf('a\n=cmd\n-5\n+49\n@x\n'), [['a'], ['=cmd'], ['-5'], ['+49'], ['@x']]],
    [
      'a letter cut by the end of a part',
      bytesOf(`a\n${'x'.repeat(65_532)}ñé\n`),
      [['a'], [`${'x'.repeat(65_532)}ñé`]],
    ],
    [
      'no end of the last line',
      bytesOf('a,b\n1,2'),
      [
        ['a', 'b'],
        ['1', '2'],
      ],
    ],
    [
      'letters of many scripts',
      bytesOf('a\nИнес Рот\n絶縁棒\nक्षत्रिय\n'),
      [['a'], ['Инес Рот'], ['絶縁棒'], ['क्षत्रिय']],
    ],
  ])('%s', async (_, bytes, rows) => {
    if ((rows as string[][]).flat().some((cell) => cell.length > 32_767)) {
      expect(await refusal(opened(bytes))).toEqual({ is: 'file: cell too long', row: 2, most: 32_767 })
      return
    }
    expect(await cellsOf(bytes)).toEqual(rows)
  })

  test('a letter that lies across two parts of the reading is one letter', async () => {
    const notes = Array.from({ length: 40_000 }, (_, i) => `S-${i};Prüfung ñandú`).join('\n')
    const rows = await cellsOf(bytesOf(`a;b\n${notes}\n`))
    expect(rows).toHaveLength(40_001)
    expect(new Set(rows.slice(1).map(([, note]) => note))).toEqual(new Set(['Prüfung ñandú']))
  })

  test.each(['win1252', 'win1250', 'win1251', 'shift_jis'])(
    '%s is asked about, with how it would read',
    async (name) => {
      const text =
        { win1252: 'Prüfung;10 µA', win1250: 'Żółć;1', win1251: 'Штанга;1', shift_jis: '絶縁棒;1' }[name] ?? ''
      const bytes = new Uint8Array(iconv.encode(`a;b\n${text}\n`, name))
      const asked = (await openFile(bytes)) as { is: string; beginnings: Record<string, string> }
      expect(asked.is).toBe('encoding asked')
      const own = name.replace('win', 'windows-')
      expect(asked.beginnings[own]).toBe(`a;b\n${text}\n`)
      expect(await cellsOf(bytes, { encoding: own as 'windows-1252' })).toEqual([['a', 'b'], text.split(';')])
    },
  )

  test('letters of two bytes without a mark are asked about as such', async () => {
    const asked = await openFile(Buffer.from('a;b\n1;2\n', 'utf16le'))
    expect(asked).toMatchObject({ is: 'encoding asked', beginnings: { 'utf-16le': 'a;b\n1;2\n' } })
  })

  test('somebody who knows the separator says it', async () => {
    expect(await cellsOf(bytesOf('a,b;c\n1,5;2\n'), { separator: ';' })).toEqual([
      ['a,b', 'c'],
      ['1,5', '2'],
    ])
  })

  test.each<[what: string, bytes: Uint8Array, says: object]>([
    ['nothing at all', new Uint8Array(), { is: 'file: empty' }],
    [
      'a quote that is never closed',
      bytesOf(`a,b\n1,2\n"${'x\n'.repeat(200_000)}`),
      { is: 'file: quote not closed', row: 3 },
    ],
    ['a short one too', bytesOf('a,b\n1,"2\n'), { is: 'file: quote not closed', row: 2 }],
    ['too many columns', bytesOf(`${'a,'.repeat(300)}\n`), { is: 'file: too many columns', row: 1, most: 200 }],
    ['too many rows', bytesOf('a\n'.repeat(200_010)), { is: 'file: too many rows', most: 200_000 }],
    ['a picture', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 1, 2]), { is: 'file: no text' }],
    ['a printed page', bytesOf('%PDF-1.7 …'), { is: 'file: no text' }],
    ['a workbook of last century', new Uint8Array([0xd0, 0xcf, 0x11, 0xe0, 0]), { is: 'file: old workbook' }],
  ])('%s is refused', async (_, bytes, says) => {
    expect(await refusal(opened(bytes))).toEqual(says)
  })
})

describe('workbooks', () => {
  const march = new Date(Date.UTC(2026, 2, 2))

  test('of one program: text stays text, dates are days', async () => {
    const sheet = sheetWriter.utils.aoa_to_sheet(
      [
        ['a', 'b', 'c'],
        ['0012', '1E5', '=1+1'],
        ['-5', 12, march],
      ],
      { cellDates: true, UTC: true } as object,
    )
    const book = sheetWriter.utils.book_new()
    sheetWriter.utils.book_append_sheet(book, sheet, 'Sticks')
    const bytes = new Uint8Array(
      sheetWriter.write(book, { type: 'buffer', bookType: 'xlsx', cellDates: true }) as ArrayBuffer,
    )
    expect(await cellsOf(bytes)).toEqual([
      ['a', 'b', 'c'],
      ['0012', '1E5', '=1+1'],
      ['-5', 12, '2026-03-02T00:00:00.000Z'],
    ])
  })

  test('of another', async () => {
    const data = [
      [{ value: 'Stick' }, { value: 'Date' }],
      [{ value: '0012' }, { value: march, type: Date, format: 'dd/mm/yyyy' }],
    ]
    const bytes = new Uint8Array(await writeExcelFile(data as never).toBuffer())
    expect(await cellsOf(bytes)).toEqual([
      ['Stick', 'Date'],
      ['0012', '2026-03-02'],
    ])
  })

  test('of a third', async () => {
    const bytes = await writeXlsx({
      sheets: [
        {
          name: 'A',
          rows: [
            ['Stick', 'Date'],
            ['S-1', march],
            [true, 2.5],
          ],
        },
      ],
    })
    expect(await cellsOf(bytes)).toEqual([
      ['Stick', 'Date'],
      ['S-1', '2026-03-02'],
      ['true', 2.5],
    ])
  })

  const cell = (xml: string) => `<row r="1">${xml}</row>`
  test.each<[what: string, rows: string, cells: unknown[], properties?: string]>([
    ['a day', cell('<c r="A1" s="1"><v>46083</v></c>'), ['2026-03-02']],
    [
      'a day of the calendar that begins in 1904',
      cell('<c r="A1" s="1"><v>44621</v></c>'),
      ['2026-03-02'],
      'date1904="1"',
    ],
    ['the day that never was', cell('<c r="A1" s="1"><v>60</v></c>'), ['1900-02-28?']],
    ['a number that is no day', cell('<c r="A1"><v>46083</v></c>'), [46_083]],
    ['a day with its hour', cell('<c r="A1" s="2"><v>46083.597222222</v></c>'), ['2026-03-02 14:20']],
    ['an hour alone', cell('<c r="A1" s="2"><v>0.597222222</v></c>'), ['14:20']],
    ['a formula, by what it came to last', cell('<c r="A1"><f>1+1</f><v>2</v></c>'), [2]],
    ['a formula of text', cell('<c r="A1" t="str"><f>A2</f><v>S-1</v></c>'), ['S-1']],
    ['an error', cell('<c r="A1" t="e"><v>#REF!</v></c>'), ['#REF!']],
    ['yes and no', cell('<c r="A1" t="b"><v>1</v></c><c r="B1" t="b"><v>0</v></c>'), ['true', 'false']],
    ['a gap between cells', cell(`${inline('A1', 'a')}${inline('C1', 'c')}`), ['a', '', 'c']],
    ['letters that need care in markup', cell(inline('A1', 'A &amp; B &lt;c&gt;')), ['A & B <c>']],
    [
      'a long number, as much as is left of it',
      cell('<c r="A1"><v>12345678901234567890</v></c>'),
      [12345678901234567000],
    ],
    ['a half', cell('<c r="A1"><v>0.30000000000000004</v></c>'), [0.30000000000000004]],
    ['a text in parts', cell('<c r="A1" t="inlineStr"><is><r><t>S-</t></r><r><t>1</t></r></is></c>'), ['S-1']],
  ])('%s', async (_, rows, cells, properties = '') => {
    expect(await cellsOf(handmadeWorkbook({ rows, properties }))).toEqual([cells])
  })

  test('rows are told by their own numbers, blank ones between them too', async () => {
    const rows = `<row r="3">${inline('A3', 'x')}</row><row r="7">${inline('A7', 'y')}</row>`
    expect(((await opened(handmadeWorkbook({ rows }))) as FileRow[]).map(({ row }) => row)).toEqual([3, 7])
  })

  test('merged cells have their text in the first of them', async () => {
    const sheet = sheetWriter.utils.aoa_to_sheet([
      ['S-1', 'a'],
      [null, 'b'],
    ])
    sheet['!merges'] = [{ s: { r: 0, c: 0 }, e: { r: 1, c: 0 } }]
    const book = sheetWriter.utils.book_new(sheet, 'One')
    const bytes = new Uint8Array(sheetWriter.write(book, { type: 'buffer', bookType: 'xlsx' }) as ArrayBuffer)
    expect(await cellsOf(bytes)).toEqual([
      ['S-1', 'a'],
      ['', 'b'],
    ])
  })

  const hidden = '<sheet name="Old" sheetId="1" state="hidden" r:id="rId9"/><sheet name="Now" sheetId="2" r:id="rId1"/>'
  test('a hidden sheet is passed over', async () => {
    const bytes = handmadeWorkbook({ rows: cell(inline('A1', 'seen')), sheets: hidden })
    expect(await cellsOf(bytes)).toEqual([['seen']])
  })

  test('of several sheets a person chooses', async () => {
    const sheets = '<sheet name="A &amp; B" sheetId="1" r:id="rId8"/><sheet name="C" sheetId="2" r:id="rId1"/>'
    const bytes = handmadeWorkbook({ rows: cell(inline('A1', 'c')), sheets })
    expect(await openFile(bytes)).toEqual({
      is: 'sheet asked',
      sheets: [
        { name: 'A & B', place: 0 },
        { name: 'C', place: 1 },
      ],
    })
    expect(await cellsOf(bytes, { sheet: 1 })).toEqual([['c']])
  })

  const broken = { is: 'file: broken' }
  const zeros = (megabytes: number) => new Uint8Array(megabytes * 1_000_000)
  const changed = (change: (view: DataView, directory: number) => void) => {
    const bytes = handmadeWorkbook().slice()
    const view = new DataView(bytes.buffer)
    change(view, view.getUint32(bytes.length - 6, true))
    return bytes
  }
  test.each<[what: string, bytes: () => Uint8Array, says: object]>([
    [
      'a part of 70 MB',
      () => zipSync(partsOfWorkbook({ more: { 'xl/media/a.bin': zeros(70) } })),
      { is: 'file: too large unpacked', megabytes: 64 },
    ],
    [
      'forty of 2 MB',
      () =>
        zipSync(
          partsOfWorkbook({ more: Object.fromEntries(Array.from({ length: 40 }, (_, i) => [`a${i}`, zeros(2)])) }),
        ),
      { is: 'file: too large unpacked', megabytes: 64 },
    ],
    [
      'millions of shared texts',
      () => handmadeWorkbook({ sharedStrings: `<sst>${'<si><t/></si>'.repeat(2_000_000)}</sst>` }),
      { is: 'file: too large unpacked', megabytes: 64 },
    ],
    [
      'one text of 30 MB',
      () => handmadeWorkbook({ sharedStrings: `<sst><si><t>${'a'.repeat(30_000_000)}</t></si></sst>` }),
      broken,
    ],
    [
      'six hundred parts',
      () =>
        zipSync(
          partsOfWorkbook({ more: Object.fromEntries(Array.from({ length: 600 }, (_, i) => [`a${i}`, strToU8('')])) }),
        ),
      { is: 'file: too many parts', most: 500 },
    ],
    [
      'a part locked by a password',
      () => changed((view, at) => view.setUint16(at + 8, 1, true)),
      { is: 'file: encrypted' },
    ],
    ['a part packed in another way', () => changed((view, at) => view.setUint16(at + 10, 12, true)), broken],
    ['numbers of the longer form', () => changed((view, at) => view.setUint32(at + 20, 0xffffffff, true)), broken],
    ['a count of the longer form', () => changed((view) => view.setUint16(view.byteLength - 12, 0xffff, true)), broken],
    ['a folder that is elsewhere', () => changed((view) => view.setUint32(view.byteLength - 6, 5, true)), broken],
    ['a part beyond the end', () => changed((view, at) => view.setUint32(at + 20, 0x7fffffff, true)), broken],
    ['something behind the end', () => Buffer.concat([handmadeWorkbook(), Buffer.from('more')]), broken],
    ['half of it', () => handmadeWorkbook().subarray(0, 300), broken],
    ['a folder of other files', () => zipSync({ 'a.txt': strToU8('a') }), { is: 'file: no sheet' }],
    [
      'hidden sheets alone',
      () => handmadeWorkbook({ sheets: '<sheet name="Old" sheetId="1" state="veryHidden" r:id="rId1"/>' }),
      { is: 'file: no sheet' },
    ],
    [
      'a cell at the last column',
      () => handmadeWorkbook({ rows: '<row r="1"><c r="XFD1"><v>1</v></c></row>' }),
      { is: 'file: too many columns', row: 1, most: 200 },
    ],
    [
      'a cell that no sheet has',
      () => handmadeWorkbook({ rows: '<row r="1"><c r="ZZZZZZ999999999"><v>1</v></c></row>' }),
      broken,
    ],
    [
      'a row beyond all',
      () => handmadeWorkbook({ rows: '<row r="1048576"><c r="A1048576"><v>1</v></c></row>' }),
      { is: 'file: too many rows', most: 200_000 },
    ],
  ])('%s is refused', async (_, bytes, says) => {
    expect(await refusal(opened(bytes()))).toEqual(says)
  })

  test('what names itself by itself is not unpacked without end', async () => {
    const entities = '<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]>'
    const rows = `<row r="1">${inline('A1', '&c;')}</row>`
    const sheet = `${entities}<worksheet><sheetData>${rows}</sheetData></worksheet>`
    const told = await opened(handmadeWorkbook({ more: { 'xl/worksheets/sheet1.xml': strToU8(sheet) } })).catch(
      () => 'refused',
    )
    expect(JSON.stringify(told)).not.toContain('bbbb')
  })

  test('the weight is what comes out of the parts, whatever they say of themselves', async () => {
    const bytes = handmadeWorkbook({ more: { a: zeros(3) } }).slice()
    const view = new DataView(bytes.buffer)
    let at = view.getUint32(bytes.length - 6, true)
    while (at < bytes.length - 22) {
      view.setUint32(at + 24, 10, true)
      at += 46 + view.getUint16(at + 28, true) + view.getUint16(at + 30, true) + view.getUint16(at + 32, true)
    }
    expect(await refusal(weigh(bytes, { megabytes: 2 }))).toEqual({ is: 'file: too large unpacked', megabytes: 2 })
  })
})

describe('what rows become', () => {
  const on = (date: string) => `${usesHead}\nS-1,${date},1,x\n`
  test.each<[what: string, text: string, kind: ImportKind, becomes: unknown]>([
    [
      'names that look like numbers',
      `${usesHead}\n0012,2026-03-02,1,1E5\n`,
      'uses',
      [{ stickId: '0012', occurredOn: '2026-03-02', days: 1, note: '1E5' }],
    ],
    [
      'a note that looks like a formula',
      `${usesHead}\nS-1,2026-03-02,1,=cmd\n`,
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-02', days: 1, note: '=cmd' }],
    ],
    [
      'what an export of ours guarded',
      `${usesHead}\nS-1,2026-03-02,1,'=cmd\n`,
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-02', days: 1, note: '=cmd' }],
    ],
    [
      'a number below nought',
      `${usesHead}\nS-1,2026-03-02,-5,-5\n`,
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-02', days: -5, note: '-5' }],
    ],
    [
      'a number shortened to nothing',
      `${usesHead}\n1.23457E+15,2026-03-02,1,\n`,
      'uses',
      [{ row: 2, wrong: [['stickId', '1.23457E+15', 'lost digits']] }],
    ],
    [
      'an error of the spreadsheet',
      `${usesHead}\nS-1,2026-03-02,#N/A,#REF!\n`,
      'uses',
      [
        {
          row: 2,
          wrong: [
            ['days', '#N/A', 'error'],
            ['note', '#REF!', 'error'],
          ],
        },
      ],
    ],
    [
      'a letter that was lost',
      `${usesHead}\nS-1,2026-03-02,1,Pr\uFFFDfung\n`,
      'uses',
      [{ row: 2, wrong: [['note', 'Pr\uFFFDfung', 'lost letters']] }],
    ],
    [
      'a day that the month has',
      on('13/03/2026'),
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-13', days: 1, note: 'x' }],
    ],
    [
      'a day that is no month',
      on('03/13/2026'),
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-13', days: 1, note: 'x' }],
    ],
    [
      'a date that is two',
      on('03/04/2026'),
      'uses',
      [{ about: 'dates', orders: ['day first', 'month first'], example: '03/04/2026' }],
    ],
    [
      'the month by its name',
      on('2 Mar 2026'),
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-02', days: 1, note: 'x' }],
    ],
    ['a day that is none', on('2026-02-30'), 'uses', [{ row: 2, wrong: [['occurredOn', '2026-02-30', '']] }]],
    ['a year of two figures', on('02.03.26'), 'uses', [{ row: 2, wrong: [['occurredOn', '02.03.26', '']] }]],
    [
      'dates of two orders',
      `${usesHead}\nS-1,13/03/2026,1,x\nS-1,03/14/2026,1,x\n`,
      'uses',
      [{ about: 'dates', orders: ['day first', 'month first'], example: '13/03/2026' }],
    ],
    [
      'blank rows and a header that comes again',
      `${usesHead}\n,,,\nS-1,2026-03-02,1,x\n${usesHead}\n`,
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-02', days: 1, note: 'x' }],
    ],
    [
      'a title above the header',
      `Log of uses,,,\n,,,\n${usesHead}\nS-1,2026-03-02,1,x\n`,
      'uses',
      [{ stickId: 'S-1', occurredOn: '2026-03-02', days: 1, note: 'x' }],
    ],
    [
      'a row of totals',
      `${usesHead}\nS-1,2026-03-02,1,x\nTotal,,1,\n`,
      'uses',
      [
        { stickId: 'S-1', occurredOn: '2026-03-02', days: 1, note: 'x' },
        { stickId: 'Total', days: 1 },
      ],
    ],
    [
      'a heading that stands twice',
      'Stick,Date,Date,Days\nS-1,2026-03-02,2026-03-03,1\n',
      'uses',
      [{ about: 'columns', missing: [], twice: ['Date'] }],
    ],
    [
      'a column that is wanting',
      'Date,Days\n2026-03-02,1\n',
      'uses',
      [{ about: 'columns', missing: ['stickId'], twice: [] }],
    ],
    [
      'moves of one day without hours',
      'Stick,Date,Crew\nS-1,2026-03-02,CR-1\nS-1,2026-03-02,CR-2\n',
      'moves',
      [{ about: 'order', rows: [2, 3] }],
    ],
  ])('%s', async (_, text, kind, becomes) => {
    expect(await understood(bytesOf(text), kind)).toEqual(becomes)
  })

  const lengths = (heading: string, length: string, mark = ',') =>
    bytesOf(
      ['Stick', 'Type', heading, 'Diameter (mm)', 'Primary']
        .join(mark === ',' ? ';' : ',')
        .concat('\n', ['S-1', 'FRP rod', length, '32', 'yes'].join(mark === ',' ? ';' : ','), '\n'),
    )
  test.each<[length: string, heading: string, becomes: unknown]>([
    ['2,4', 'Length (m)', 2.4],
    ['8', 'Length (ft)', 2.438],
    ['8\' 6"', 'Length', 2.591],
    ['96 in', 'Length', 2.438],
    ['2,4 m', 'Length', 2.4],
    ['2.400', 'Length (m)', [{ about: 'decimal', marks: ['.', ','], example: '2.400' }]],
    ['8', 'Length', [{ about: 'unit', field: 'workingLengthMetres', units: ['m', 'ft', 'mm', 'in'], example: '8' }]],
  ])('a length of %s below %s', async (length, heading, becomes) => {
    const all: unknown = await understood(lengths(heading, length), 'sticks')
    const [first] = all as Record<string, unknown>[]
    expect(typeof becomes === 'number' ? first?.workingLengthMetres : [first]).toEqual(becomes)
  })

  test('a number of a workbook has no marks to be asked about', async () => {
    const rows = [
      ['Stick', 'Type', 'Length (m)', 'Diameter (mm)', 'Primary'],
      ['S-1', 'FRP rod', 2.345, 31.875, true],
    ]
    const bytes = await writeXlsx({ sheets: [{ name: 'A', rows }] })
    expect(await understood(bytes, 'sticks')).toEqual([
      {
        stickId: 'S-1',
        construction: 'FRP rod',
        workingLengthMetres: 2.345,
        diameterMillimetres: 31.875,
        primaryProtection: true,
      },
    ])
  })

  test('a long number of a workbook has lost its end, and is the name of nothing', async () => {
    const bytes = await writeXlsx({
      sheets: [
        {
          name: 'A',
          rows: [
            ['Stick', 'Date'],
            [12345678901234567000, '2026-03-02'],
            [12, '2026-03-02'],
          ],
        },
      ],
    })
    expect(await understood(bytes, 'uses')).toEqual([
      { row: 2, wrong: [['stickId', '12345678901234567000', 'lost digits']] },
      { stickId: '12', occurredOn: '2026-03-02' },
    ])
  })

  test('what a person said is taken', async () => {
    const said = { dates: 'month first', mapping: ['stickId', null, 'occurredOn', 'days'] } as const
    const text = 'Stick,Date,Date,Days\nS-1,x,03/04/2026,2\n'
    expect(await understood(bytesOf(text), 'uses', said)).toEqual([
      { stickId: 'S-1', occurredOn: '2026-03-04', days: 2 },
    ])
  })
})
