import { describe, expect, test } from 'vitest'
import { type BenchTest, benchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import { check, testOf, wetOf } from './fixtures.ts'

const row = { quarterTurn: 90 as const, fromMetres: 1, toMetres: 1.3, leakageMicroamps: 4, settled: true }
const withstood = {
  fromMetres: 0,
  toMetres: 2.4,
  kilovolts: 600,
  seconds: 60,
  state: 'dry' as const,
  outcome: 'withstood' as const,
}

/** With every part a record can have, as it is sent. */
const everything = (): BenchTest =>
  testOf({
    at: '09:30',
    instrumentChecks: [check('dry')],
    examination: {
      defects: [{ kind: 'dent', atMetres: 1, section: 'tip', open: false, note: 'shallow' }],
      gloss: 'sound',
    },
    ambient: { celsius: 21, relativeHumidityPercent: 45 },
    dry: { readings: [{ ...row, section: 'tip' }] },
    wet: wetOf([row], {
      conductivityMicrosiemensPerCm: 12,
      driedAndRepeated: { appearance: 'film', note: 'dried for an hour', readings: [row] },
    }),
    withstand: [{ ...withstood, section: 'tip' }],
    demonstrationId: 'DEM-1',
    note: 'first of the lot',
  })

/** The record with `value` at `path`, as in `dry.readings.0.fromMetres`. */
function having(path: string, value: unknown): unknown {
  const record = structuredClone(everything())
  const keys = path.split('.')
  const last = keys.pop() ?? ''
  const parent = keys.reduce<unknown>((part, key) => (part as Record<string, unknown>)[key], record)
  Object.assign(parent as object, { [last]: value })
  return record
}
const taken = (path: string, value: unknown) => benchTest.safeParse(having(path, value)).success
const times = (count: number, one: unknown) => Array.from({ length: count }, () => one)

test('a record with every part is kept as it was sent', () => {
  expect(benchTest.parse(everything())).toStrictEqual(everything())
})

describe('a figure', () => {
  test.each<[string, number, number, number, number]>([
    ['dry.readings.0.fromMetres', 0, 30, -0.001, 30.001],
    ['dry.readings.0.toMetres', 0, 30, -0.001, 30.001],
    ['wet.readings.0.leakageMicroamps', 0, 1_000_000, -0.1, 1_000_000.1],
    ['withstand.0.fromMetres', 0, 30, -0.001, 30.001],
    ['withstand.0.kilovolts', 0.1, 10_000, 0, 10_000.1],
    ['withstand.0.seconds', 0.1, 86_400, 0, 86_400.1],
    ['examination.defects.0.atMetres', 0, 30, -0.001, 30.001],
    ['instrumentChecks.0.openMicroamps', 0, 1_000_000, -0.1, 1_000_000.1],
    ['instrumentChecks.0.checkMicroamps', 0, 1_000_000, -0.1, 1_000_000.1],
    ['ambient.celsius', -60, 80, -60.1, 80.1],
    ['ambient.relativeHumidityPercent', 0, 100, -0.1, 100.1],
    ['wet.conductivityMicrosiemensPerCm', 0, 100_000, -0.1, 100_000.1],
  ])('%s is from %d to %d', (path, least, most, less, more) => {
    expect([least, most, less, more].map((value) => taken(path, value))).toStrictEqual([true, true, false, false])
  })
})

describe('a list', () => {
  test.each<[string, number, unknown]>([
    ['instrumentChecks', 40, check('dry')],
    ['examination.defects', 200, { kind: 'dent', open: false }],
    ['dry.readings', 2000, row],
    ['wet.readings', 2000, row],
    ['wet.driedAndRepeated.readings', 2000, row],
    ['withstand', 500, withstood],
  ])('%s has up to %d entries', (path, most, one) => {
    expect([0, most, most + 1].map((count) => taken(path, times(count, one)))).toStrictEqual([true, true, false])
  })
})

describe('a line of text', () => {
  test.each<[string, number]>([
    ['testedBy', 120],
    ['dry.readings.0.section', 40],
    ['withstand.0.section', 40],
    ['examination.defects.0.section', 40],
  ])('%s has up to %d characters', (path, most) => {
    const long = [most, most + 1].map((count) => taken(path, 'm'.repeat(count)))
    expect([...long, taken(path, ''), taken(path, 'two\nlines')]).toStrictEqual([true, false, false, false])
  })
})

describe('a word of the trade', () => {
  test.each<[string, unknown[]]>([
    ['dry.readings.0.quarterTurn', [0, 90, 180, 270]],
    ['withstand.0.state', ['dry', 'wet']],
    ['withstand.0.outcome', ['withstood', 'flashover', 'puncture', 'tracking', 'heating']],
    ['instrumentChecks.0.when', ['before', 'after']],
    ['instrumentChecks.0.state', ['dry', 'wet']],
    ['examination.gloss', ['sound', 'lost']],
    ['wet.water', ['distilled', 'demineralised', 'tap', 'other']],
    ['wet.appearance', ['beads', 'film', 'drip line']],
    ['wet.driedAndRepeated.appearance', ['film', 'drip line']],
  ])('%s is one of %j', (path, words) => {
    expect(words.filter((word) => !taken(path, word))).toStrictEqual([])
    expect(['', 'moist', 45].filter((other) => taken(path, other))).toStrictEqual([])
  })

  test('a first pass that stood in beads is no reason to dry and repeat', () => {
    expect(taken('wet.driedAndRepeated.appearance', 'beads')).toBe(false)
  })
})

test('what a record does not know is refused wherever it stands, never dropped', () => {
  const places = [
    'instrumentChecks.0.',
    'examination.',
    'examination.defects.0.',
    'ambient.',
    'dry.',
    'dry.readings.0.',
    'wet.',
    'wet.driedAndRepeated.',
    'withstand.0.',
    '',
  ]
  expect(places.filter((place) => taken(`${place}colour`, 'orange'))).toStrictEqual([])
})

test('whether it had settled and what a place is called may be unsaid; where a withstand test lies may not', () => {
  const { settled: _settled, ...unsaid } = row
  expect(taken('dry.readings', [unsaid])).toBe(true)
  const { toMetres: _toMetres, ...endless } = withstood
  expect(taken('withstand', [withstood])).toBe(true)
  expect(taken('withstand', [endless])).toBe(false)
})
