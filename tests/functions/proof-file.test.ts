/** The folder that proves a stick's records holds by itself, wherever there is Node; what is altered in it is found. */
import { execFile } from 'node:child_process'
import { createHash, randomUUID } from 'node:crypto'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { strFromU8, strToU8, unzipSync } from 'fflate'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { eraseName } from '../../functions/erase-name/erase-name.ts'
import { seeToTrees } from '../../functions/sequence/by-the-clock.ts'
import type { Item } from '../../functions/store/table.ts'
import { dayHeads } from '../../functions/store/tree.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

type Files = Readonly<Record<string, Uint8Array>>

let kept: readonly Item[]
let root: string
beforeAll(async () => {
  silence()
  root = mkdtempSync(join(tmpdir(), 'proof-'))
  const house = openHouse()
  await furnish(house)
  await house.done('PUT', '/v1/sticks/S-2', aStick)
  await house.done(
    'POST',
    '/v1/sticks/S-1/bench-tests',
    aTest({ testedOn: day('2026-02-02'), note: 'with Vera' }),
    'bench',
  )
  await seeTo(house, '2026-03-03T00:15:00.000Z')
  await house.done('POST', '/v1/sticks/S-2/bench-tests', aTest(), 'bench')
  await house.done(
    'POST',
    '/v1/sticks/S-1/bench-tests',
    overTheLimit({ testedOn: day('2026-03-02'), at: '10:00' }),
    'bench',
  )
  await seeTo(house, '2026-03-04T00:15:00.000Z')
  house.at('2026-03-04T15:00:00.000Z')
  await tingle(house, 'S-1')
  await seeTo(house, '2026-03-05T00:15:00.000Z')
  kept = house.table.items()
})
afterAll(() => rmSync(root, { recursive: true, force: true }))
let house: House
beforeEach(() => {
  silence()
  house = openHouse(kept, '2026-03-05T15:00:00.000Z')
})
afterEach(() => vi.restoreAllMocks())

function silence(): void {
  for (const way of ['info', 'error'] as const) vi.spyOn(console, way).mockImplementation(() => undefined)
}

async function seeTo(one: House, instant: string): Promise<void> {
  one.at(instant)
  await seeToTrees(one)
}

const tingle = ({ done }: House, id: string) =>
  done('POST', `/v1/sticks/${id}/defects`, { factId: randomUUID(), occurredOn: '2026-03-04', kind: 'tingle' }, 'crew')

async function folderOf(query = '', language = 'en'): Promise<Files> {
  const headers = { 'accept-language': language }
  const answer = await pagesOf(house, 'manager').request(`/sticks/S-1/proof${query}`, { headers })
  expect(answer.status).toBe(200)
  expect(answer.headers.get('content-type')).toBe('application/zip')
  expect(answer.headers.get('content-disposition')).toBe('attachment; filename="proof-S-1-2026-03-05.zip"')
  return unzipSync(new Uint8Array(await answer.arrayBuffer()))
}

/** As somebody with nothing but the folder runs it, in a place where no package is found. */
async function verified(files: Files, ...fingerprint: string[]): Promise<{ holds: boolean; said: string }> {
  const folder = join(root, randomUUID())
  mkdirSync(folder)
  for (const [name, bytes] of Object.entries(files)) writeFileSync(join(folder, name), bytes)
  const run = promisify(execFile)(process.execPath, [join(folder, 'verify.mjs'), ...fingerprint], {
    cwd: root,
    env: {},
  })
  return run.then(
    ({ stdout }) => ({ holds: true, said: stdout }),
    ({ code, stdout }: { code: number; stdout: string }) => {
      expect(code).toBe(1)
      return { holds: false, said: stdout }
    },
  )
}

const textOf = (files: Files, name: string) => strFromU8(files[name] ?? new Uint8Array())
// biome-ignore lint/suspicious/noExplicitAny: the file is what is tried
const proofIn = (files: Files): any => JSON.parse(textOf(files, 'proof.json'))

/** As a forger would: the list of files fits again. */
function withProof(files: Files, proof: object): Files {
  const changed: Record<string, Uint8Array> = { ...files, 'proof.json': strToU8(JSON.stringify(proof)) }
  const hashes = Object.keys(changed)
    .filter((name) => name !== 'files.json')
    .map((name) => [
      name,
      createHash('sha256')
        .update(changed[name] ?? '')
        .digest('hex'),
    ])
  return { ...changed, 'files.json': strToU8(JSON.stringify(Object.fromEntries(hashes))) }
}

describe('the folder', () => {
  test('holds by itself, with all that was recorded of the stick and nothing of another', async () => {
    const files = await folderOf()
    expect(Object.keys(files).sort()).toEqual(['files.json', 'index.html', 'proof.json', 'stick.json', 'verify.mjs'])
    const proof = proofIn(files)
    expect(proof.records.map(({ record }: { record: { fact: { kind: string } } }) => record.fact.kind)).toEqual([
      'registered',
      'tested',
      'tested',
      'defect reported',
    ])
    expect(proof.notYet).toEqual([])
    const { holds, said } = await verified(files)
    expect([holds, said]).toEqual([true, expect.stringContaining('All of it holds.')])
    expect(said).toContain('Stick S-1 of demo-utility')
    expect(said).toContain('4 records')
  })

  test('names nobody in what is hashed, and holds the editions by which each test was judged', async () => {
    const { records } = proofIn(await folderOf())
    const hashed = JSON.stringify(records.map(({ record }: { record: object }) => record))
    expect(hashed).not.toMatch(/Ines Roth|Vera/)
    for (const { record } of records.slice(1, 3)) {
      expect(record.editions.procedure.body.limits.length).toBeGreaterThan(1)
      expect(record.editions.instruments).toHaveLength(1)
      expect(record.fact.test.wet.readings.length).toBeGreaterThan(10)
      expect(record.fact.judgement.verdict).toMatch(/pass|fail/)
    }
  })

  test('is of a fingerprint that was mailed, and of no other', async () => {
    const files = await folderOf()
    const [, second] = await dayHeads(house.organisation())
    const groups = second?.root.match(/.{8}/g)?.join(' ') ?? ''
    expect(await verified(files, groups)).toMatchObject({
      holds: true,
      said: expect.stringContaining('that of 2026-03-04'),
    })
    expect((await verified(files, '0'.repeat(64))).holds).toBe(false)
  })

  test('reads to people as a page: every verdict, every reading, and who recorded it', async () => {
    const page = textOf(await folderOf(), 'index.html')
    for (const words of [
      'Proof of the records of stick S-1',
      'on hold',
      'Ines Roth',
      'with Vera',
      '21',
      'PRC-1',
      'INS-1',
    ])
      expect(page).toContain(words)
    const { records } = proofIn(await folderOf())
    const readings = records.flatMap(({ record }: { record: { fact: { test?: object } } }) => {
      const { dry, wet } = (record.fact.test ?? {}) as Record<'dry' | 'wet', { readings: object[] } | undefined>
      return [...(dry?.readings ?? []), ...(wet?.readings ?? [])]
    })
    expect(page.match(/<td class="reading">[\d.,]+ µA<\/td>/g)).toHaveLength(readings.length)
    // no link leads to the service
    for (const [, to] of page.matchAll(/href="([^"]*)"/g)) expect(to).toMatch(/^#[0-9a-f-]{36}$/)
    expect(page).not.toMatch(/<script|src=/)
    expect(textOf(await folderOf('', 'es'), 'index.html')).toContain('Prueba de los registros de la pértiga S-1')
  })

  test('is as of a day, and as it was known on another', async () => {
    const before = await folderOf('?on=2026-03-01')
    expect(proofIn(before).records).toHaveLength(2)
    expect(await verified(before)).toMatchObject({ holds: true })
    expect(textOf(before, 'index.html')).toContain('1 March 2026')
    const known = await folderOf('?on=2026-03-04&asKnownOn=2026-03-03')
    expect(proofIn(known)).toMatchObject({ on: '2026-03-04', asKnownOn: '2026-03-03' })
    expect(proofIn(known).records).toHaveLength(3)
    expect(await verified(known)).toMatchObject({ holds: true })
    const page = await pagesOf(house, 'manager').request('/sticks/S-1/proof?on=yesterday')
    expect(page.status).toBe(404)
  })

  test('tells what has no place in the tree yet', async () => {
    await tingle(house, 'S-1')
    const files = await folderOf()
    expect(proofIn(files).notYet).toHaveLength(1)
    expect(await verified(files)).toMatchObject({
      holds: true,
      said: expect.stringContaining('1 records are so new that nothing proves them yet'),
    })
    expect(textOf(files, 'index.html')).toContain('none yet: too new')
  })

  test('holds without a name that was erased', async () => {
    await eraseName(house.organisation(), 'S-1', { name: 'Ines Roth' })
    const files = await folderOf()
    expect(textOf(files, 'proof.json')).not.toContain('Ines Roth')
    expect(textOf(files, 'index.html')).not.toContain('Ines Roth')
    expect(await verified(files)).toMatchObject({
      holds: true,
      said: expect.stringContaining('2 names or remarks were erased'),
    })
  })
})

describe('a program', () => {
  test('is handed the same folder by the API, in English, and it holds', async () => {
    const { status, json, headers } = await house.call('GET', '/v1/sticks/S-1/proof', undefined, 'bench')
    expect([status, headers.get('content-disposition')]).toEqual([
      200,
      'attachment; filename="proof-S-1-2026-03-05.zip"',
    ])
    const files: Files = unzipSync(json)
    const ofPage = await folderOf()
    for (const name of ['index.html', 'verify.mjs'])
      expect([name, textOf(files, name)]).toEqual([name, textOf(ofPage, name)])
    for (const name of ['proof.json', 'stick.json'])
      expect([name, JSON.parse(textOf(files, name))]).toEqual([name, JSON.parse(textOf(ofPage, name))])
    expect(await verified(files)).toMatchObject({ holds: true })
    const before: Files = unzipSync((await house.call('GET', '/v1/sticks/S-1/proof?on=2026-03-01')).json)
    expect(proofIn(before).records).toHaveLength(2)
    expect((await house.call('GET', '/v1/sticks/S-1/proof?on=yesterday')).status).toBe(422)
    expect((await house.call('GET', '/v1/sticks/S-1/proof', undefined, 'crew')).status).toBe(403)
    expect((await house.call('GET', '/v1/sticks/S-1/proof', undefined, 'other owner')).status).toBe(404)
  })

  test('reads the head of each day, in parts, and of its own organisation alone', async () => {
    const heads = (await dayHeads(house.organisation())).map(({ day: on, size, root: above, at }) => ({
      day: on,
      size,
      root: above,
      at,
    }))
    expect(heads.length).toBeGreaterThan(2)
    const { json } = await house.call('GET', '/v1/proof/heads')
    expect(json).toEqual({ items: heads.reverse(), next: null })
    const first = (await house.call('GET', '/v1/proof/heads?limit=1')).json
    const rest = (await house.call('GET', `/v1/proof/heads?cursor=${first.next}`)).json
    expect([...first.items, ...rest.items]).toEqual(heads)
    expect((await house.call('GET', '/v1/proof/heads', undefined, 'other owner')).json).toEqual({
      items: [],
      next: null,
    })
  })
})

test('a page that says otherwise than the records hides nothing: the check tells them by itself', async () => {
  const files = await folderOf()
  const page = textOf(files, 'index.html').replaceAll('fail', 'pass')
  expect(page).not.toBe(textOf(files, 'index.html'))
  const { holds, said } = await verified(withProof({ ...files, 'index.html': strToU8(page) }, proofIn(files)))
  expect(holds).toBe(true)
  for (const line of ['2  2026-02-02  tested: pass', '3  2026-03-02 10:00  tested: fail', '  defect reported'])
    expect(said).toContain(line)
  expect(said).toContain('where it says otherwise, these lines count')
})

describe('whatever is altered in it is found', () => {
  test('a byte of any file', async () => {
    const files = await folderOf()
    const names = ['index.html', 'proof.json', 'stick.json', 'files.json']
    const altered = names.flatMap((name): Files[] => {
      const changed = Uint8Array.from(files[name] ?? [])
      const at = Math.floor(changed.length / 3)
      changed[at] = (changed[at] ?? 0) ^ 1
      const { [name]: _, ...without } = files
      return [{ ...files, [name]: changed }, without]
    })
    const all = [...altered, { ...files, 'more.json': strToU8('{}') }]
    const outcomes = await Promise.all(all.map(async (one) => (await verified(one)).holds))
    expect(outcomes).toEqual(all.map(() => false))
  })

  // biome-ignore lint/suspicious/noExplicitAny: the file is what is tried
  const forgeries: readonly [string, (proof: any) => void, RegExp][] = [
    ['a verdict', ({ records }) => (records[2].record.fact.judgement.verdict = 'pass'), /record 3 .* not in the tree/],
    ['a reading', ({ records }) => (records[1].record.fact.test.dry.readings[3].leakageMicroamps = 4.1), /record 2/],
    ['a limit', ({ records }) => (records[1].record.editions.procedure.body.limits[0].microamps = 11), /record 2/],
    [
      'a calibration',
      ({ records }) => (records[1].record.editions.instruments[0].body.calibratedOn = '2025-01-01'),
      /2/,
    ],
    ['a name', ({ records }) => (records[1].texts['/fact/test/testedBy'].text = 'Vera'), /testedBy is not the one/],
    ['a salt', ({ records }) => (records[1].texts['/fact/note'] = { salt: '00', text: 'x' }), /not the one recorded/],
    ['a place in the tree', ({ records }) => (records[1].index += 1), /record 2 .* not in the tree/],
    ['a stick', (proof) => (proof.stickId = 'S-2'), /of another stick/],
    ['a fact left out', ({ records }) => records.splice(2, 1), /record 3 of the stick is left out/],
    [
      'two facts swapped',
      ({ records }) => ([records[1].record, records[2].record] = [records[2].record, records[1].record]),
      /not in the tree/,
    ],
    ['the root', ({ head }) => (head.root = '0'.repeat(64)), /not in the tree/],
    ['a head of a day', ({ days }) => (days[1].root = '0'.repeat(64)), /did not go on from those of 2026-03-04/],
    ['the size at a day', ({ days }) => (days[1].size -= 1), /did not go on from those of 2026-03-04/],
  ]
  test.each(forgeries)('%s, though the list of files fits again', async (_, forge, words) => {
    const files = await folderOf()
    const proof = proofIn(files)
    expect((await verified(withProof(files, proof))).holds).toBe(true)
    forge(proof)
    const { holds, said } = await verified(withProof(files, proof))
    expect([holds, said]).toEqual([false, expect.stringMatching(words)])
  })
})
