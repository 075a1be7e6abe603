import { describe, expect, test } from 'vitest'
import type { Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import { type Cell, type Strip, stripsOf } from '../../../shared-domain/bench-test/strip.ts'
import { quarterTurns } from '../../../shared-domain/words.ts'
import { judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from './fixtures.ts'

const short = stickOf({ workingLengthMetres: 0.5 })
const whole = (value: number, wet = false) => survey({ length: 500, value, wet })
const dryOnly = (readings: Reading[]) => testOf({ dry: { readings }, wet: undefined })
const wood = stickOf({ construction: 'wood', workingLengthMetres: 0.5 })
const first = (strips: readonly Strip[]) => {
  const [one] = strips
  if (one === undefined) throw new Error('there is a strip')
  return one
}
/** The cells of one turn as people read them. */
const cellsOn = (strip: Strip, quarterTurn = 0) =>
  (strip.turns.find((turn) => turn.quarterTurn === quarterTurn)?.cells ?? []).map(asText)
const asText = ({ fromMetres, toMetres, leakageMicroamps, mark }: Cell) =>
  `${fromMetres}–${toMetres}: ${leakageMicroamps} ${mark}`

describe('a survey', () => {
  test('is one strip a state, with every reading of every turn against the limit of its state', () => {
    const strips = stripsOf(
      testOf({ dry: { readings: whole(4) }, wet: wetOf(whole(9, true)) }),
      judgedBy({ stick: short }),
    )
    const turnsOf = (leakageMicroamps: number) =>
      quarterTurns.map((quarterTurn) => ({
        quarterTurn,
        cells: [
          { fromMetres: 0, toMetres: 0.3, leakageMicroamps, mark: 'conforms' },
          { fromMetres: 0.2, toMetres: 0.5, leakageMicroamps, mark: 'conforms' },
        ],
      }))
    expect(strips).toStrictEqual([
      { state: 'dry', lengthMetres: 0.5, limitMicroamps: 10, turns: turnsOf(4) },
      { state: 'wet', lengthMetres: 0.5, limitMicroamps: 20, turns: turnsOf(9) },
    ])
  })

  test('of a telescoping stick is a strip for each section of each state, with its own readings alone', () => {
    const sections = [
      { name: 'tip', lengthMetres: 0.3 },
      { name: 'butt', lengthMetres: 0.4 },
    ]
    const stick = stickOf({ construction: 'wood', workingLengthMetres: 0.7, sections })
    const readings = [
      ...survey({ length: 400, span: 400, section: 'butt', value: 6 }),
      ...survey({ length: 300, section: 'tip', value: 5 }),
    ]
    const strips = stripsOf(dryOnly(readings), judgedBy({ stick }))
    expect(strips.map(({ section, lengthMetres }) => [section, lengthMetres])).toEqual([
      ['tip', 0.3],
      ['butt', 0.4],
    ])
    expect(strips.map((strip) => cellsOn(strip, 270))).toEqual([['0–0.3: 5 conforms'], ['0–0.4: 6 conforms']])
  })

  test('lies along the stick, the shorter of two from one place first, in whatever order it was typed in', () => {
    const at = (fromMetres: number, toMetres: number, leakageMicroamps: number): Reading => ({
      quarterTurn: 0,
      fromMetres,
      toMetres,
      leakageMicroamps,
    })
    const rows = [at(0.2, 0.5, 1), at(0, 0.4, 2), at(0, 0.3, 3), at(0.1, 0.4, 4)]
    const expected = ['0–0.3: 3 conforms', '0–0.4: 2 conforms', '0.1–0.4: 4 conforms', '0.2–0.5: 1 conforms']
    for (const readings of [rows, rows.toReversed()]) {
      expect(cellsOn(first(stripsOf(dryOnly(readings), judgedBy({ stick: wood }))))).toEqual(expected)
    }
  })
})

describe('which strips there are', () => {
  test('a state that is asked for and was not read is one, unread from end to end on every turn', () => {
    const [, wet] = stripsOf(dryOnly(whole(4)), judgedBy({ stick: short }))
    expect([wet?.state, wet?.limitMicroamps, wet?.turns.length]).toEqual(['wet', 20, 4])
    for (const turn of quarterTurns) expect(wet && cellsOn(wet, turn)).toEqual(['0–0.5: null not read'])
  })

  test('wood has a dry one, and a wet one only if somebody read it wet', () => {
    const states = (over: Parameters<typeof testOf>[0]) =>
      stripsOf(testOf(over), judgedBy({ stick: wood })).map(({ state }) => state)
    expect(states({ dry: { readings: whole(4) }, wet: undefined })).toEqual(['dry'])
    expect(states({ dry: undefined, wet: wetOf(whole(4, true)) })).toEqual(['dry', 'wet'])
  })

  test('a test without readings has none', () => {
    expect(stripsOf(testOf({ dry: undefined, wet: undefined }), judgedBy())).toEqual([])
  })
})

describe('a cell', () => {
  const dryCells = (values: readonly [number, number], over: Parameters<typeof judgedBy>[0] = {}) => {
    const readings = whole(0).map((row, index) => ({ ...row, leakageMicroamps: values[index % 2] ?? 0 }))
    return cellsOn(first(stripsOf(dryOnly(readings), judgedBy({ stick: short, ...over }))))
  }

  test('is over its limit or in the guard band where the procedure says so', () => {
    expect(dryCells([10, 10.1])).toEqual(['0–0.3: 10 conforms', '0.2–0.5: 10.1 over limit'])
    const guarded = { procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 }
    expect(dryCells([9.5, 9.6], guarded)).toEqual(['0–0.3: 9.5 conforms', '0.2–0.5: 9.6 in guard band'])
  })

  test('without a limit says so, and so does its strip', () => {
    const procedure = procedureOf({ limits: [] })
    expect(dryCells([1, 99], { procedure })).toEqual(['0–0.3: 1 no limit', '0.2–0.5: 99 no limit'])
    expect(first(stripsOf(dryOnly(whole(1)), judgedBy({ stick: short, procedure }))).limitMicroamps).toBeNull()
  })

  test('that had not settled is told as that before anything else', () => {
    const over = whole(99).map((row, index) => (index === 0 ? { ...row, settled: false } : row))
    const strip = first(stripsOf(dryOnly(over), judgedBy({ stick: short })))
    expect(cellsOn(strip)).toEqual(['0–0.3: 99 not settled', '0.2–0.5: 99 over limit'])
    const unlimited = judgedBy({ stick: short, procedure: procedureOf({ limits: [] }) })
    const [, wet] = stripsOf(testOf({ dry: { readings: whole(1) }, wet: wetOf(whole(1)) }), unlimited)
    expect(wet && cellsOn(wet)).toEqual(['0–0.3: 1 not settled', '0.2–0.5: 1 not settled'])
  })

  test('stands where nothing was read, and where one reading meets the next too closely', () => {
    const at = (quarterTurn: 0 | 90, fromMetres: number, toMetres: number): Reading => ({
      quarterTurn,
      fromMetres,
      toMetres,
      leakageMicroamps: 1,
    })
    const readings = [at(0, 0.3, 0.4), at(0, 0.1, 0.3), at(90, 0, 0.26), at(90, 0.22, 0.5)]
    const strip = first(stripsOf(dryOnly(readings), judgedBy({ stick: short })))
    expect(cellsOn(strip, 0)).toEqual([
      '0–0.1: null not read',
      '0.1–0.3: 1 conforms',
      '0.3–0.3: null overlap too small',
      '0.3–0.4: 1 conforms',
      '0.4–0.5: null not read',
    ])
    expect(cellsOn(strip, 90)).toEqual([
      '0–0.26: 1 conforms',
      '0.22–0.26: null overlap too small',
      '0.22–0.5: 1 conforms',
    ])
    expect(cellsOn(strip, 180)).toEqual(['0–0.5: null not read'])
  })

  test('is as thin as the procedure lets overlaps be', () => {
    const procedure = procedureOf({ leastOverlapMetres: 0.101 })
    expect(dryCells([1, 1], { procedure })).toEqual([
      '0–0.3: 1 conforms',
      '0.2–0.3: null overlap too small',
      '0.2–0.5: 1 conforms',
    ])
  })
})
