/**
 * What is drawn is so: no arrow runs up unseen, keys and indexes are those of what is written, the way of a reading
 * names real code.
 */
import { beforeAll, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { type IndexName, indexes } from '../../functions/store/table-shape.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { openHouse } from '../functions/house.ts'
import { sendAll } from '../functions/requests.ts'
import { arrowsOfDomain, drawings, importsOf, keysDrawn, kindsIn, lostOf, oneReading } from './drawings.ts'

const read = importsOf('.')

describe('the folders of the domain', () => {
  test('import nothing that stands above them', () => {
    const up = arrowsOfDomain(read.imports).up.flatMap(({ by }) => by.map(({ from, to }) => `${from} → ${to}`))
    expect(up).toEqual([])
  })

  test('show an import that runs up as a broken line, and name its files', () => {
    const one = { from: 'shared-domain/bench-test/judge.ts', to: 'shared-domain/notices/owed.ts' }
    const text = drawings({ ...read, imports: [...read.imports, one] })
    expect(text).toContain('n_bench_test -.-> n_notices')
    expect(text).toContain(`- \`${one.from}\` imports \`${one.to}\``)
  })

  test('leave no folder out', () => {
    const folders = new Set(read.files.flatMap((file) => /^shared-domain\/([^/]+)\//.exec(file)?.[1] ?? []))
    const drawn = drawings(read)
      .split('## ')
      .find((part) => part.startsWith('The folders of'))
    for (const folder of folders) expect(drawn).toContain(`["${folder}"]`)
  })
})

test('what is imported as a type or later is an import too', () => {
  const has = (from: string, to: string) => read.imports.some((one) => one.from === from && one.to === to)
  expect(has('functions/requests/recording.ts', 'functions/recording/part.ts')).toBe(true)
  expect(has('shared-domain/notices/notice.ts', 'shared-domain/state/hold.ts')).toBe(true)
})

describe('the table', () => {
  let items: readonly Item[]
  beforeAll(async () => {
    const house = openHouse([], '2026-03-02T15:00:00.000Z')
    await sendAll(house)
    // the day on which both sticks are due to be told of
    house.at('2028-03-02T20:00:00.000Z')
    await sweep(house.table, house.clock)
    items = house.table.items()
  })

  test('has each item under the key that is drawn', () => {
    const keys = keysDrawn()
    const asPattern = (key: string) =>
      new RegExp(`^${key.replaceAll(/\{[^}]+\}/g, '.+').replaceAll(/\d+/g, (digits) => `\\d{${digits.length}}`)}$`)
    const wrong = items.filter(({ entity, pk, sk }) => {
      const key = keys[entity as keyof typeof keys]
      return !asPattern(key.pk).test(pk) || !asPattern(key.sk).test(sk)
    })
    expect(wrong).toEqual([])
    const kinds = new Set(items.map(({ entity }) => entity))
    expect([...kinds]).toEqual(expect.arrayContaining(['stick', 'fact', 'notice', 'told', 'edition', 'proposal']))
  })

  test.each(Object.keys(indexes) as IndexName[])('has in the index %s the kinds of items that are drawn', (name) => {
    const { partition, sort } = indexes[name]
    const inIt = items.filter((item) => item[partition] !== undefined && item[sort] !== undefined)
    const kinds = new Set(inIt.map(({ entity }) => entity))
    expect(kindsIn[name]).toEqual(expect.arrayContaining([...kinds]))
  })
})

describe('the way of one reading', () => {
  test('names files and functions that are there', () => {
    expect(lostOf('.')).toEqual([])
  })

  test('misses all of them where there are none', () => {
    expect(lostOf('seed')).toHaveLength(oneReading.length)
  })
})
