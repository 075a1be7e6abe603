/** Files taken in: what a check says of each row, and what an import then does, page by page, whatever breaks off. */

import { randomUUID } from 'node:crypto'
import { beforeEach, describe, expect, test } from 'vitest'
import { takeIn } from '../../functions/import/from-queue.ts'
import { fileKey, goOn, type ImportParts, restKey } from '../../functions/import/import.ts'
import { importOf, keepImport, type StoredImport } from '../../functions/store/imports.ts'
import type { Item, Table, Write } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import type { ImportKind } from '../../shared-domain/import/choices.ts'
import { type Import, nothingCounted } from '../../shared-domain/import/import.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse, owedOf } from './house.ts'

let house: House
let files: Map<string, Uint8Array>
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-01-02') }), 'bench')
  files = new Map()
})

const partsOf = (table: Table = house.table): ImportParts => ({
  table,
  clock: house.clock,
  feedsUrl: 'https://feeds.example',
  bucket: {
    get: async (key) => files.get(key) ?? new Uint8Array(),
    put: async (key, bytes) => files.set(key, bytes),
  },
})

const always = () => true

interface Sent extends Partial<Pick<Import, 'mode' | 'goodOnly' | 'said' | 'by'>> {
  readonly kind: ImportKind
}

/** The import of a file that somebody sent, before anybody has read it. */
async function sent(
  text: string,
  { kind, mode = 'check', goodOnly = false, said = {}, by = 'manager' }: Sent,
): Promise<string> {
  const id = `${house.clock().replaceAll(/[^\dTZ]/g, '')}-${randomUUID().slice(0, 8)}`
  const one: Import = {
    ...{ id, kind, mode, goodOnly, by, said, at: house.clock(), state: 'awaiting file', questions: [], looked: null },
    ...{ counts: nothingCounted, page: 0, faults: [], refused: null, rest: [] },
  }
  files.set(fileKey({ organisation: demo, id }), new TextEncoder().encode(text))
  await keepImport(house.organisation(), { import: one, revision: 0 })
  return id
}

/** Goes on with it until nothing is left to do, as the queue does. */
async function taken(id: string, hasTime = always): Promise<StoredImport> {
  for (let turn = 0; turn < 50; turn++) {
    await goOn(partsOf(), { organisation: demo, id }, hasTime)
    const found = await importOf(house.organisation(), id)
    if (found !== undefined && found.state !== 'checking' && found.state !== 'applying') return found
  }
  throw new Error('the import does not end')
}

const imported = async (text: string, sending: Sent) => taken(await sent(text, sending))
const without = (...names: readonly string[]) =>
  house.table.items().filter(({ entity }) => !['import', 'import mapping', ...names].includes(String(entity)))

const sticks = (...rows: readonly string[]) => ['Stick,Type,Length (m),Diameter (mm),Primary,Crew', ...rows].join('\n')
const uses = (...rows: readonly string[]) => ['Stick,Date,Days,Conditions', ...rows].join('\n')
const crewHead = 'Crew id,Crew,Depot,Name,Email'
const ida = 'CR-9,Crew nine,DEP-1,Ida Lind,ida@demo-utility.example'
const instrumentHead = 'Instrument,Span (m),Calibrated on,Calibration due on'
const moves = (...rows: readonly string[]) => ['Stick,Date,Hour,Crew,Store,What', ...rows].join('\n')

describe('a check', () => {
  test('says what would change, and changes nothing', async () => {
    const before = without()
    const { state, counts, faults } = await imported(
      sticks('S-50,FRP rod,2.4,32,yes,CR-1', '0012,foam-filled FRP tube,2.4,32,yes,', 'S-1,FRP rod,2.4,32,yes,CR-1'),
      { kind: 'sticks' },
    )
    expect(faults).toEqual([])
    expect(state).toBe('checked')
    expect(counts).toMatchObject({ done: 3, of: 3, added: 2, faulty: 0, standing: { 'awaiting first test': 2 } })
    expect(counts.changed + counts.waiting).toBe(1)
    expect(without()).toEqual(before)
  })

  test('names each fault by row and column, with what came and what would be right', async () => {
    const { state, counts, faults } = await imported(
      sticks(
        'S-50,plastic,2.4,32,yes,CR-1',
        'S-51,FRP rod,240,32,yes,CR-99',
        ',FRP rod,2.4,32,yes,',
        'S-52,FRP rod,2.4,32,yes,,x,y',
      ),
      { kind: 'sticks' },
    )
    expect(state).toBe('checked')
    expect(counts).toMatchObject({ done: 4, of: 4, added: 0, faulty: 4 })
    const short = faults.map(({ row, column, field, came, why }) => [row, column, field, came, why.is])
    expect(short).toEqual([
      [2, 1, 'construction', 'plastic', 'cell'],
      [3, 2, 'workingLengthMetres', '240', 'body'],
      [3, 5, 'crewId', 'CR-99', 'body'],
      [4, 0, 'stickId', '', 'body'],
      [5, null, null, null, 'too many cells'],
    ])
  })

  test('finds what one row does to another: of two entries of one name the second is told', async () => {
    const { faults, counts } = await imported(
      sticks(
        'S-50,FRP rod,2.4,32,yes,CR-1',
        'S-50,FRP rod,2.5,32,yes,CR-1',
        'S-51,FRP rod,2.4,32,yes,',
        'S-51,FRP rod,2.4,32,yes,',
      ),
      { kind: 'sticks' },
    )
    expect(faults.map(({ row, why }) => [row, why])).toEqual([[3, { is: 'named twice', first: 2 }]])
    expect(counts).toMatchObject({ added: 2, known: 1, faulty: 1 })
  })

  test('asks what it cannot tell, with the first rows beside it, and goes on once it is said', async () => {
    const text = uses('S-1,03/02/2026,1,wet')
    const asked = await imported(text, { kind: 'uses' })
    expect(asked.state).toBe('asked')
    expect(asked.questions).toEqual([{ about: 'dates', orders: ['day first', 'month first'], example: '03/02/2026' }])
    expect(asked.looked).toMatchObject({
      headings: ['Stick', 'Date', 'Days', 'Conditions'],
      sample: [['S-1', '03/02/2026', '1', 'wet']],
    })
    const { state, counts } = await imported(text, { kind: 'uses', said: { dates: 'day first' } })
    expect([state, counts.added]).toEqual(['checked', 1])
  })

  test('is refused in words where the file is none', async () => {
    expect(await imported('', { kind: 'uses' })).toMatchObject({ state: 'refused', refused: { is: 'file: empty' } })
    expect(await imported('a,b\n1,"2', { kind: 'uses' })).toMatchObject({ refused: { is: 'file: quote not closed' } })
  })

  test('gives nobody more rights than they have', async () => {
    const bench = await imported(sticks('S-50,FRP rod,2.4,32,yes,CR-1'), { kind: 'sticks', by: 'bench' })
    expect(bench.faults.map(({ why }) => why)).toMatchObject([{ is: 'refused', refusal: { kind: 'not allowed' } }])
    const left = await imported(sticks('S-50,FRP rod,2.4,32,yes,CR-1'), { kind: 'sticks', by: 'nobody' })
    expect(left).toMatchObject({ state: 'refused', refused: { is: 'file: sender left' } })
  })
})

describe('an import', () => {
  test('begins by itself where every row is good', async () => {
    const { state, counts } = await imported(sticks('S-50,FRP rod,2.4,32,yes,CR-1', '0012,FRP rod,2.4,32,yes,'), {
      kind: 'sticks',
      mode: 'apply',
    })
    expect([state, counts.added, counts.faulty]).toEqual(['applied', 2, 0])
    expect((await house.call('GET', '/v1/sticks/0012')).json).toMatchObject({ status: 'awaiting first test' })
  })

  test('does not begin where one is not, and takes the good ones where that is asked for', async () => {
    const text = sticks(
      'S-50,FRP rod,2.4,32,yes,CR-1',
      '=cmd,FRP rod,2.4,32,yes,',
      'S-51,FRP rod,2.4,32,"perhaps ""not""",',
    )
    const first = await imported(text, { kind: 'sticks', mode: 'apply' })
    expect([first.state, first.counts.faulty]).toEqual(['checked', 2])
    expect((await house.call('GET', '/v1/sticks/S-50')).status).toBe(404)
    const { id, state, counts, rest } = await imported(text, { kind: 'sticks', mode: 'apply', goodOnly: true })
    expect([state, counts.added, counts.faulty, rest.length]).toEqual(['applied', 1, 2, 1])
    const handedBack = new TextDecoder('utf-8', { ignoreBOM: true }).decode(
      files.get(`${restKey({ organisation: demo, id })}.csv`),
    )
    const [head, ...lines] = handedBack.trimEnd().split('\r\n')
    expect(head).toBe('\uFEFFStick,Type,Length (m),Diameter (mm),Primary,Crew,Row,What is wrong')
    expect(lines[0]).toMatch(/^'=cmd,FRP rod,2.4,32,yes,,3,"Stick number: It says =cmd\. Right here: an identifier of /)
    expect(lines[1]).toMatch(/^S-51,FRP rod,2.4,32,"perhaps ""not""",,4,/)
    // mended, it is taken
    const mended = handedBack.replace("'=cmd", 'S-52').replace('"perhaps ""not"""', 'yes')
    const again = await imported(mended, { kind: 'sticks', mode: 'apply' })
    expect([again.state, again.counts.added, again.faults]).toEqual(['applied', 2, []])
  })

  test.each<[kind: ImportKind, text: string]>([
    ['sticks', sticks('S-50,FRP rod,2.4,32,yes,CR-1', '0012,FRP rod,2.4,32,yes,')],
    ['uses', uses('S-1,2026-02-01,1,wet', 'S-1,2026-02-03,2,', 'S-1,2026-02-01,1,wet')],
    ['moves', moves('S-1,2026-02-01,08:00,CR-2,,', 'S-1,2026-02-02,,,DEP-1,', 'S-1,2026-02-03,,CR-1,,')],
    ['people', 'Person,Name,Email,Role,Depots\np-1,Ida Lind,ida@demo-utility.example,bench,DEP-1; DEP-2\n'],
    ['crews', `${crewHead},Role\n${ida},foreman\nCR-9,Crew nine,DEP-1,Ole Berg,ole@demo-utility.example,crew\n`],
    ['instruments', `${instrumentHead}\nINS-9,0.3,2024-03-01,2025-03-01\nINS-9,0.3,2025-03-01,2026-03-01\n`],
  ])('of %s changes nothing when the same file comes again', async (kind, text) => {
    const first = await imported(text, { kind, mode: 'apply' })
    expect([first.state, first.faults, first.counts.waiting]).toEqual(['applied', [], 0])
    expect(first.counts.added + first.counts.changed).toBeGreaterThan(0)
    const before = without()
    house.at('2026-03-03T15:00:00.000Z')
    const { state, faults, counts } = await imported(text, { kind, mode: 'apply' })
    expect([state, faults]).toEqual(['applied', []])
    expect(counts).toMatchObject({ added: 0, changed: 0, waiting: 0, known: counts.of })
    expect(without()).toEqual(before)
  })

  test('of crews makes one entry of several rows', async () => {
    const text = `${crewHead}\n${ida}\nCR-9,Crew nine,DEP-1,Ole Berg,wrong\n`
    const checked = await imported(text, { kind: 'crews' })
    expect(checked.faults.map(({ row, field, came }) => [row, field, came])).toEqual([[3, 'email', 'wrong']])
  })

  test('of what is past mails nobody, but of what must not be used today each reader has one mail', async () => {
    for (const id of ['S-20', 'S-21']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
    const before = owedOf(house)
    const since = () => owedOf(house).filter((one) => !before.includes(one) || count(one) > counted(one))
    const count = (one: string) => owedOf(house).filter((other) => other === one).length
    const counted = (one: string) => before.filter((other) => other === one).length
    await imported(moves('S-1,2026-02-01,08:00,CR-2,,', 'S-1,2026-02-02,08:00,CR-1,,'), {
      kind: 'moves',
      mode: 'apply',
    })
    expect(owedOf(house)).toEqual(before)
    const text = moves('S-1,2026-02-04,,,,missing', 'S-20,2026-02-05,,,,missing', 'S-21,2026-02-06,,,,missing')
    const checked = await imported(text, { kind: 'moves' })
    expect(checked.counts).toMatchObject({ unsafe: 3, told: 0 })
    const { counts } = await imported(text, { kind: 'moves', mode: 'apply' })
    expect(counts.unsafe).toBe(3)
    const told = since()
    expect(told.length).toBe(counts.told)
    expect(new Set(told).size).toBe(told.length)
    const notices = house.table.items().filter(({ entity, cause }) => entity === 'notice' && cause === 'import')
    expect(notices.length).toBe(told.length)
    for (const { kind, lines } of notices)
      expect([kind, (lines as { stickId: string }[]).map(({ stickId }) => stickId).sort()]).toEqual([
        'hold',
        ['S-1', 'S-20', 'S-21'],
      ])
    expect((await house.call('GET', '/v1/sticks/S-1')).json.status).toBe('on hold')
    // neither the sweep nor the same file tells it again
    await imported(text, { kind: 'moves', mode: 'apply' })
    house.at('2026-03-03T15:00:00.000Z')
    await sweep(house.table, house.clock)
    expect(house.table.items().filter(({ entity, cause }) => entity === 'notice' && cause === 'import')).toHaveLength(
      notices.length,
    )
  })

  test('what breaks off before its digest is told by the sweep, once, as of the import', async () => {
    await house.done('PUT', '/v1/sticks/S-20', aStick)
    const text = moves('S-1,2026-02-04,,,,missing', 'S-20,2026-02-05,,,,missing')
    const id = await sent(text, { kind: 'moves', mode: 'apply' })
    const isNotice = ({ Put }: Write) => (Put?.Item as Item | undefined)?.entity === 'notice'
    const table: Table = {
      ...house.table,
      transact: async (writes) => {
        if (writes.some(isNotice)) throw new Error('away')
        return house.table.transact(writes)
      },
    }
    await goOn(partsOf(), { organisation: demo, id }, always)
    await expect(goOn(partsOf(table), { organisation: demo, id }, always)).rejects.toThrow('away')
    const ofImport = () => house.table.items().filter(({ entity, cause }) => entity === 'notice' && cause === 'import')
    expect([(await importOf(house.organisation(), id))?.state, ofImport().length]).toEqual(['applying', 0])
    house.at('2026-03-03T15:00:00.000Z')
    await sweep(house.table, house.clock)
    const told = ofImport().length
    expect(told).toBeGreaterThan(0)
    await taken(id)
    expect(ofImport()).toHaveLength(told)
  })

  test('puts rows of one day in the order that was said', async () => {
    house.at('2026-03-05T15:00:00.000Z')
    const text = moves('S-1,2026-03-03,,CR-2,,', 'S-1,2026-03-03,,,DEP-1,')
    expect((await imported(text, { kind: 'moves' })).questions).toEqual([{ about: 'order', rows: [2, 3] }])
    await imported(text, { kind: 'moves', mode: 'apply', said: { order: 'last first' } })
    expect((await house.call('GET', '/v1/sticks/S-1')).json.custody).toMatchObject({ crewId: 'CR-2' })
  })
})

const many = (count: number) => Array.from({ length: count }, (_, i) => `S-${100 + i},FRP rod,2.4,32,yes,CR-1`)
const factsOf = () => house.table.items().filter(({ entity }) => entity === 'fact').length

describe('page by page', () => {
  test('it hands on what it has no time for, and begins where it stopped', async () => {
    let left = 0
    const id = await sent(sticks(...many(250)), { kind: 'sticks', mode: 'apply' })
    const seen: number[] = []
    const perTurn = () => left-- > 0
    for (let turn = 0; turn < 20; turn++) {
      left = 1
      await goOn(partsOf(), { organisation: demo, id }, perTurn)
      const found = await importOf(house.organisation(), id)
      seen.push(found?.counts.done ?? -1)
      if (found?.state === 'applied') break
      // the stream hands on whatever lies in this queue
      expect(house.table.items().find(({ sk }) => sk === id)).toMatchObject({ queue: 'SYSTEM#IMPORTS' })
    }
    expect(seen).toEqual([100, 200, 0, 100, 200, 250])
    // done with, it waits in no queue
    expect(house.table.items().find(({ sk }) => sk === id)).not.toHaveProperty('queue')
  })

  test('killed at every write, it takes no row twice', async () => {
    const text = uses(...Array.from({ length: 12 }, (_, i) => `S-1,2026-01-${String(i + 1).padStart(2, '0')},1,`))
    const before = factsOf()
    for (let at = 1; at < 60; at++) {
      const id = await sent(text, { kind: 'uses', mode: 'apply' })
      let writes = 0
      const table = {
        ...house.table,
        transact: async (...asked: Parameters<Table['transact']>) => {
          if (++writes === at) throw new Error('killed')
          return house.table.transact(...asked)
        },
      } as Table
      const wasKilled = await goOn(partsOf(table), { organisation: demo, id }, always).then(
        () => false,
        () => true,
      )
      const { state, counts } = await taken(id)
      expect([state, counts.faulty, factsOf() - before]).toEqual(['applied', 0, 12])
      if (!wasKilled) return
    }
    throw new Error('it never ran to its end')
  })

  test('two at once harm neither', async () => {
    const text = uses(
      ...Array.from(
        { length: 30 },
        (_, i) => `S-1,2026-01-${String((i % 28) + 1).padStart(2, '0')},1,${i % 2 ? 'wet' : ''}`,
      ),
    )
    const ids = await Promise.all([
      sent(text, { kind: 'uses', mode: 'apply' }),
      sent(text, { kind: 'uses', mode: 'apply' }),
    ])
    const before = factsOf()
    const both = await Promise.all(ids.map((id) => taken(id)))
    expect(both.map(({ state, counts }) => [state, counts.faulty, counts.added + counts.known])).toEqual([
      ['applied', 0, 30],
      ['applied', 0, 30],
    ])
    expect(factsOf() - before).toBe(28)
  })

  test('of two runs of one import the slower stops', async () => {
    const id = await sent(sticks(...many(150)), { kind: 'sticks', mode: 'apply' })
    await Promise.all([1, 2].map(() => goOn(partsOf(), { organisation: demo, id }, always)))
    const { state, counts } = await taken(id)
    expect([state, counts.done, counts.faulty]).toEqual(['applied', 150, 0])
    expect(counts.added + counts.known).toBe(150)
  })

  test('the bucket and the stream each name the import in their own way', async () => {
    const id = await sent(sticks('S-50,FRP rod,2.4,32,yes,CR-1'), { kind: 'sticks' })
    const told = { Records: [{ s3: { object: { key: encodeURIComponent(fileKey({ organisation: demo, id })) } } }] }
    const message = (body: object) => ({ messageId: '1', body: JSON.stringify(body) }) as never
    expect(await takeIn(partsOf(), [message({ Event: 's3:TestEvent' }), message(told)], always)).toEqual({
      batchItemFailures: [],
    })
    expect((await importOf(house.organisation(), id))?.state).toBe('checked')
    const lost = await sent('', { kind: 'sticks' })
    const { pk, sk } = house.table.items().find(({ sk }) => sk === lost) as Item
    const broken = { ...partsOf(), bucket: { ...partsOf().bucket, get: async () => Promise.reject(new Error('away')) } }
    expect(await takeIn(broken, [message([{ pk, sk }])], always)).toEqual({
      batchItemFailures: [{ itemIdentifier: '1' }],
    })
  })
})

describe('by the API', () => {
  const text = sticks('S-50,FRP rod,2.4,32,yes,CR-1', 'S-51,FRP rod,8,1.25,yes,')
  const bytes = (from: string) => new TextEncoder().encode(from)

  /** What the bucket and the stream bring about. */
  async function settled(id: string) {
    for (const [key, file] of house.files) files.set(key, file)
    await taken(id)
    return (await house.call('GET', `/v1/imports/${id}`, undefined, 'manager')).json
  }

  test('a file is sent, checked, told of and applied', async () => {
    const sentTo = await house.send('POST', '/v1/imports?kind=sticks&mode=check', bytes(text), 'manager')
    expect(sentTo.status).toBe(201)
    expect(sentTo.json).toMatchObject({ kind: 'sticks', mode: 'check', state: 'awaiting file', upload: null })
    const checked = await settled(sentTo.json.id)
    expect(checked).toMatchObject({ state: 'checked', counts: { added: 1, faulty: 1 } })
    expect(checked.faults).toEqual([
      {
        row: 3,
        column: 3,
        field: 'diameterMillimetres',
        came: '1.25',
        text: expect.stringMatching(/^Diameter: It says 1\.25\. Right here: /),
      },
    ])
    const path = `/v1/imports/${sentTo.json.id}`
    const refusedYet = await house.call('POST', `${path}/apply`, {}, 'manager')
    expect([refusedYet.status, refusedYet.json.reasons[0].code]).toEqual([409, 'rows-not-good'])
    expect((await house.call('POST', `${path}/apply`, { goodOnly: true }, 'manager')).json.state).toBe('applying')
    const applied = await settled(sentTo.json.id)
    expect(applied).toMatchObject({ state: 'applied', counts: { added: 1, faulty: 1 } })
    expect(new URL(applied.rest).pathname).toBe(`/uploads/rest/${demo}/${sentTo.json.id}.csv`)
    // pressed again on a page that was left open
    expect((await house.call('POST', `${path}/apply`, { goodOnly: true }, 'manager')).json.state).toBe('applied')
    expect((await house.call('POST', `${path}/reading`, { dates: 'day first' }, 'manager')).status).toBe(409)
  })

  test('what was asked is said, and remembered of the same headings', async () => {
    const odd = 'Pole,Kind of,L,D,Relied\nS-50,FRP rod,8,32,yes\n'
    const { id } = (await house.send('POST', '/v1/imports?kind=sticks', bytes(odd), 'manager')).json
    const asked = await settled(id)
    expect(asked).toMatchObject({
      state: 'asked',
      questions: [{ about: 'columns', missing: expect.arrayContaining(['stickId']) }],
    })
    const mapping = ['stickId', 'construction', 'workingLengthMetres', 'diameterMillimetres', 'primaryProtection']
    const units = { workingLengthMetres: 'ft', diameterMillimetres: 'mm' }
    expect((await house.call('POST', `/v1/imports/${id}/reading`, { mapping, units }, 'manager')).json.state).toBe(
      'checking',
    )
    expect(await settled(id)).toMatchObject({ state: 'checked', counts: { added: 1, faulty: 0 } })
    const next = (
      await house.send('POST', '/v1/imports?kind=sticks&mode=apply', bytes(odd.replace('S-50', 'S-51')), 'manager')
    ).json
    expect(await settled(next.id)).toMatchObject({ state: 'applied', counts: { added: 1 } })
    expect((await house.call('GET', '/v1/sticks/S-51')).json.status).toBe('awaiting first test')
  })

  test.each([
    ['nothing', 0],
    ['more than fits', 4_000_001],
  ])('%s in the request leads to the form for it', async (_, size) => {
    const { status, json } = await house.send('POST', '/v1/imports?kind=uses', new Uint8Array(size), 'bench')
    expect(status).toBe(201)
    expect(json.upload).toMatchObject({
      url: 'https://s3.us-east-1.amazonaws.com/uploads',
      fields: { key: `files/${demo}/${json.id}` },
    })
    expect(house.files.size).toBe(0)
    expect((await house.call('GET', `/v1/imports/${json.id}`, undefined, 'bench')).json.upload.fields.key).toBe(
      `files/${demo}/${json.id}`,
    )
    expect((await house.call('GET', '/v1/imports', undefined, 'bench')).json.items).toMatchObject([
      { id: json.id, state: 'awaiting file' },
    ])
  })

  test('what is no kind, and an import of nobody or of others, are refused', async () => {
    expect((await house.send('POST', '/v1/imports?kind=poles', bytes(text), 'manager')).json.errors[0].pointer).toBe(
      '/kind',
    )
    expect((await house.send('POST', '/v1/imports?kind=sticks', bytes(text), 'crew')).status).toBe(403)
    const { id } = (await house.send('POST', '/v1/imports?kind=people', bytes('a'), 'manager')).json
    expect((await house.call('GET', `/v1/imports/${id}`, undefined, 'bench')).status).toBe(404)
    expect((await house.call('GET', `/v1/imports/${id}`, undefined, 'other owner')).status).toBe(404)
    expect((await house.call('GET', '/v1/imports/nothing')).status).toBe(404)
  })
})

describe('of past tests', () => {
  const past = (...rows: readonly string[]) => ['Stick,Tested on,Result,Tested by', ...rows].join('\n')
  const standing = async (id: string) => (await house.call('GET', `/v1/sticks/${id}`)).json

  test('a day and a result are enough; the file twice changes nothing, and the past mails nobody', async () => {
    for (const id of ['S-20', 'S-21']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
    const before = owedOf(house)
    const text = past('S-20,2024-05-14,passed,Ole Berg', 'S-20,2022-05-10,pass,', 'S-21,2024-05-14,failed,')
    const checked = await imported(text, { kind: 'bench-tests' })
    expect(checked.counts).toMatchObject({ added: 3, standing: { 'awaiting first test': 1, 'on hold': 1 } })
    const { counts } = await imported(text, { kind: 'bench-tests', mode: 'apply' })
    expect(counts).toMatchObject({ added: 3, faulty: 0 })
    // the one that failed is told of once, to each reader, and no other
    const told = house.table.items().filter(({ entity, cause }) => entity === 'notice' && cause === 'import')
    expect(told).toHaveLength(owedOf(house).length - before.length)
    const lines = told.flatMap((one) => one.lines as { readonly stickId: string }[])
    expect(new Set(lines.map(({ stickId }) => stickId))).toEqual(new Set(['S-21']))
    expect(await standing('S-20')).toMatchObject({
      status: 'awaiting first test',
      testedBefore: { on: '2024-05-14', passed: true, countsFrom: null },
    })
    expect((await standing('S-21')).holds).toMatchObject([{ code: 'failed-before' }])
    expect((await imported(text, { kind: 'bench-tests', mode: 'apply' })).counts).toMatchObject({ added: 0, known: 3 })
  })

  test('what is no result, and a day to come, are told by row', async () => {
    const { faults } = await imported(past('S-1,2024-05-14,maybe,', 'S-1,2031-05-14,yes,', 'S-404,2024-05-14,yes,'), {
      kind: 'bench-tests',
    })
    expect(faults.map(({ row, field }) => [row, field])).toEqual([
      [2, 'passed'],
      [3, 'testedOn'],
      [4, null],
    ])
  })
})
