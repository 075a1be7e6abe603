import { describe, expect, test } from 'vitest'
import {
  comparePlaces,
  compareText,
  lengthsOf,
  type Place,
  placeOf,
  reasonAt,
  reasonOnReading,
  statesAskedOf,
} from '../../../shared-domain/bench-test/places.ts'
import { constructions } from '../../../shared-domain/words.ts'
import { inEnglish, read, textOf } from '../../support/english.ts'
import { stickOf } from './fixtures.ts'

const sections = [
  { name: 'tip', lengthMetres: 1.2 },
  { name: 'butt', lengthMetres: 1.5 },
]

test('what is to be shown sound: the stick from end to end, or each of its sections', () => {
  expect(lengthsOf(stickOf())).toStrictEqual([{ length: 2400 }])
  expect(lengthsOf(stickOf({ sections }))).toStrictEqual([
    { section: 'tip', length: 1200 },
    { section: 'butt', length: 1500 },
  ])
})

test('wet is asked of everything but wood', () => {
  const asked = constructions.map((construction) => [construction, ...statesAskedOf(construction)])
  expect(asked).toEqual([
    ['FRP rod', 'dry', 'wet'],
    ['foam-filled FRP tube', 'dry', 'wet'],
    ['hollow FRP tube', 'dry', 'wet'],
    ['wood', 'dry'],
  ])
})

describe('a reason', () => {
  const says = { is: 'turn missing' } as const
  const sentence = 'no reading there; all four quarter turns must be read'

  test.each<[string, Place]>([
    ['Dry', { state: 'dry' }],
    ['Section tip', { section: 'tip' }],
    ['Quarter turn 0°', { quarterTurn: 0 }],
    ['0 to 0.3 m', { fromMetres: 0, toMetres: 0.3 }],
    ['Wet, section tip, quarter turn 270°, 0.1 to 0.3 m', { ...full(), fromMetres: 0.1, toMetres: 0.1 + 0.2 }],
    ['Wet, section tip, quarter turn 270°', { ...full(), fromMetres: 0.1 }],
    ['Wet, section tip, quarter turn 270°', { ...full(), toMetres: 0.1 }],
  ])('or a question begins with its place: %s', (told, place) => {
    const asks = { is: 'far from its neighbours', reads: 41, usual: 4 } as const
    const question = inEnglish.question({ code: 'reading-far-from-neighbours', says: asks, place, pointer: '' })
    expect(question).toBe(`${told} reads 41 µA where its neighbours read about 4 µA. Is that right?`)
    // every reason at a place is of one state
    if (place.state !== undefined) expect(textOf(reasonAt(place, 'gap', says))).toBe(`${told}: ${sentence}`)
  })

  test('carries its place and its reading, and no key that it has nothing to say in', () => {
    const place = placeOf('dry', { fromMetres: 0, toMetres: 0.3 })
    expect(place).toStrictEqual({ state: 'dry', fromMetres: 0, toMetres: 0.3 })
    expect(read(reasonAt(place, 'gap', says))).toStrictEqual({
      code: 'gap',
      text: `Dry, 0 to 0.3 m: ${sentence}`,
      ...place,
    })
    const whole = { ...full(), fromMetres: 1, toMetres: 1.3 }
    const reading = { section: 'tip', quarterTurn: 270, fromMetres: 1, toMetres: 1.3, leakageMicroamps: 21 } as const
    expect(placeOf('wet', reading)).toStrictEqual(whole)
    const over = { is: 'over the limit', microamps: 21, comparison: 'less than', limit: 20, source: 'SAMPLE' } as const
    expect(read(reasonOnReading('wet', reading, { code: 'reading-over-limit', says: over }))).toStrictEqual({
      code: 'reading-over-limit',
      text: 'Wet, section tip, quarter turn 270°, 1 to 1.3 m: 21 µA; the limit is less than 20 µA (SAMPLE)',
      ...whole,
      leakageMicroamps: 21,
    })
  })
})

describe('the order of places', () => {
  /** In the order they are to come in; names no section of the stick bears come before it, by code unit. */
  const ordered: Place[] = [
    {},
    { state: 'dry' },
    { state: 'dry', quarterTurn: 0 },
    { state: 'dry', quarterTurn: 0, fromMetres: 0 },
    { state: 'dry', quarterTurn: 0, fromMetres: 0, toMetres: 0 },
    { state: 'dry', quarterTurn: 0, fromMetres: 0, toMetres: 0.3 },
    { state: 'dry', quarterTurn: 0, fromMetres: 0, toMetres: 0.4 },
    { state: 'dry', quarterTurn: 0, fromMetres: 0.2, toMetres: 0.3 },
    { state: 'dry', quarterTurn: 90, fromMetres: 0, toMetres: 0.3 },
    { state: 'dry', section: 'Alpha' },
    { state: 'dry', section: 'middle' },
    { state: 'dry', section: 'tip', quarterTurn: 90 },
    { state: 'dry', section: 'butt', quarterTurn: 0 },
    { state: 'wet' },
  ]

  test('is the whole test, dry, wet, then along the stick, section by section from its working end', () => {
    const compare = comparePlaces(stickOf({ sections }))
    ordered.forEach((one, i) => {
      ordered.forEach((other, j) => {
        expect(Math.sign(compare(one, other)), `${JSON.stringify(one)} and ${JSON.stringify(other)}`).toBe(
          Math.sign(i - j),
        )
      })
    })
  })

  test('of a stick in one piece is the same without its sections', () => {
    const compare = comparePlaces(stickOf())
    const without = ordered.filter(({ section }) => section === undefined)
    expect(without.toReversed().sort(compare)).toEqual(without)
  })

  test('of text is by code unit, whatever the language of the machine', () => {
    expect(['b', 'ä', 'B', 'a', 'B'].sort(compareText)).toEqual(['B', 'B', 'a', 'b', 'ä'])
    expect([compareText('a', 'b'), compareText('b', 'a'), compareText('a', 'a')]).toEqual([-1, 1, 0])
  })
})

function full(): Place {
  return { state: 'wet', section: 'tip', quarterTurn: 270 }
}
