import { describe, expect, test } from 'vitest'
import { cellsOn, placeKey, placesRead } from '../../../shared-domain/bench-test/read-places.ts'
import type { Cell, Strip } from '../../../shared-domain/bench-test/strip.ts'
import { quarterTurns } from '../../../shared-domain/words.ts'

const cell = (fromMetres: number, toMetres: number, leakageMicroamps: number | null = 4, over: Partial<Cell> = {}) => ({
  fromMetres,
  toMetres,
  leakageMicroamps,
  mark: 'conforms' as const,
  ...over,
})
/** With these cells on the quarter turn at 90° and none on the others; `over` may say more. */
const stripOf = (cells: readonly Cell[], over: Partial<Strip> = {}): Strip => ({
  state: 'dry',
  lengthMetres: 2.4,
  limitMicroamps: 10,
  turns: quarterTurns.map((quarterTurn) => ({ quarterTurn, cells: quarterTurn === 90 ? cells : [] })),
  ...over,
})

describe('the cells of a turn', () => {
  test('are in order along the stick, the shorter of two from one place first', () => {
    const ordered = [cell(0, 0.3), cell(0, 0.4), cell(0.25, 0.3), cell(0.25, 0.55), cell(0.5, 0.8)]
    for (const cells of [ordered, ordered.toReversed()]) {
      expect(cellsOn(stripOf(cells), 90)).toStrictEqual(ordered)
    }
  })

  test('of one span are the one not read first, then by what was read', () => {
    const thin = cell(0.28, 0.3, null, { mark: 'overlap too small' })
    const ordered = [thin, cell(0.28, 0.3, 0), cell(0.28, 0.3, 2), cell(0.28, 0.3, 5)]
    for (const cells of [ordered, ordered.toReversed()]) {
      expect(cellsOn(stripOf(cells), 90)).toStrictEqual(ordered)
    }
  })

  test('are of that turn alone', () => {
    expect(cellsOn(stripOf([cell(0, 0.3)]), 180)).toStrictEqual([])
  })
})

describe('the places read', () => {
  test('are told with state, turn and what was read, turn by turn', () => {
    const turns = [...quarterTurns].reverse().map((quarterTurn) => ({ quarterTurn, cells: [cell(0, 0.3)] }))
    expect(placesRead([stripOf([], { turns })])).toStrictEqual(
      quarterTurns.map((quarterTurn) => ({
        place: { state: 'dry', quarterTurn, fromMetres: 0, toMetres: 0.3 },
        leakageMicroamps: 4,
        mark: 'conforms',
      })),
    )
  })

  test('name the section of a telescoping stick, and are in whole millimetres', () => {
    const cells = [cell(0.1 + 0.2, 0.6004, 11, { mark: 'over limit' })]
    expect(placesRead([stripOf(cells, { state: 'wet', section: 'tip' })])).toStrictEqual([
      {
        place: { state: 'wet', section: 'tip', quarterTurn: 90, fromMetres: 0.3, toMetres: 0.6 },
        leakageMicroamps: 11,
        mark: 'over limit',
      },
    ])
  })

  test('are not those left unread, nor those that had not come to rest', () => {
    const cells = [
      cell(0, 0.3, null, { mark: 'not read' }),
      cell(0.25, 0.3, null, { mark: 'overlap too small' }),
      cell(0.25, 0.55, 4, { mark: 'not settled' }),
      cell(0.5, 0.8, 0),
    ]
    expect(placesRead([stripOf(cells)]).map(({ place }) => place.fromMetres)).toStrictEqual([0.5])
  })
})

test('two readings are of one place where state, section, turn and span are the same to the millimetre', () => {
  const keys = (strip: Strip) => placesRead([strip]).map(placeKey)
  const [key] = keys(stripOf([cell(1, 1.3)]))
  expect(keys(stripOf([cell(1.0004, 1.2996, 9)]))).toStrictEqual([key])
  const others = [
    stripOf([cell(1.001, 1.3)]),
    stripOf([cell(1, 1.301)]),
    stripOf([cell(1, 1.3)], { state: 'wet' }),
    stripOf([cell(1, 1.3)], { section: 'tip' }),
    stripOf([], { turns: [{ quarterTurn: 180, cells: [cell(1, 1.3)] }] }),
  ].flatMap(keys)
  expect(new Set([key, ...others]).size).toBe(6)
})
