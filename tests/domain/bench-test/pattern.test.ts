import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import { type Likely, likelyCauses } from '../../../shared-domain/bench-test/pattern.ts'
import { type Strip, stripsOf } from '../../../shared-domain/bench-test/strip.ts'
import { type QuarterTurn, quarterTurns } from '../../../shared-domain/words.ts'
import { textOf } from '../../support/english.ts'
import { judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from './fixtures.ts'

/** Where readings differ from the rest: on these turns, from these metres on, this many µA; null leaves them out. */
interface Apart {
  readonly turns?: readonly QuarterTurn[]
  readonly from?: readonly number[]
  readonly microamps?: number | null
  readonly settled?: boolean
}

function apart(readings: readonly Reading[], places: readonly Apart[]): Reading[] {
  return readings.flatMap((row) => {
    const found = places.findLast(
      ({ turns = quarterTurns, from }) =>
        turns.includes(row.quarterTurn) && (from ?? [row.fromMetres]).includes(row.fromMetres),
    )
    if (found === undefined) return [row]
    const { microamps = row.leakageMicroamps, settled } = found
    if (microamps === null) return []
    return [{ ...row, leakageMicroamps: microamps, ...(settled === undefined ? {} : { settled }) }]
  })
}

/**
 * SAMPLE limits of 10 µA dry and 20 µA wet; the rest reads 4 and 9 µA, every 250 mm over 300 mm from end to end of 2.4
 * m.
 */
const dryOf = (...places: Apart[]) =>
  stripsOf(testOf({ dry: { readings: apart(survey(), places) }, wet: undefined }), judgedBy())
const bothOf = (dry: Apart[], wet: Apart[]) =>
  stripsOf(
    testOf({
      dry: { readings: apart(survey(), dry) },
      wet: wetOf(apart(survey({ value: 9, wet: true }), wet)),
    }),
    judgedBy(),
  )
const told = (now: readonly Strip[], before: readonly Strip[] | null = null) =>
  likelyCauses(now, before).map(({ code, state, section, quarterTurn, fromMetres, toMetres }) =>
    [code, state, section, quarterTurn, fromMetres, toMetres].filter((part) => part !== undefined).join(' '),
  )
/** Read end to end, so that places only touch. */
const endToEnd = (length: number, ...places: Apart[]) =>
  stripsOf(
    testOf({ dry: { readings: apart(survey({ length, step: 300 }), places) }, wet: undefined }),
    judgedBy({ stick: stickOf({ workingLengthMetres: length / 1000 }) }),
  )
const texts = (likely: readonly Likely[]) => likely.map(textOf)

const high = 12

test('nothing is said of a survey on which no place stands out', () => {
  expect(told(bothOf([], []))).toEqual([])
  expect(told([])).toEqual([])
})

describe('one turn only, likely the surface', () => {
  test.each<[string, Apart[], string[]]>([
    ['one place', [{ turns: [90], from: [1], microamps: high }], ['one-turn-only dry 90 1 1.3']],
    [
      'places that touch are told as one',
      [{ turns: [90], from: [1, 1.25], microamps: high }],
      ['one-turn-only dry 90 1 1.55'],
    ],
    [
      'places apart are told apart',
      [{ turns: [90], from: [0, 1], microamps: high }],
      ['one-turn-only dry 90 0 0.3', 'one-turn-only dry 90 1 1.3'],
    ],
    [
      'places apart on different turns are each on one turn only',
      [
        { turns: [90], from: [1], microamps: high },
        { turns: [270], from: [0], microamps: high },
      ],
      ['one-turn-only dry 90 1 1.3', 'one-turn-only dry 270 0 0.3'],
    ],
    ['a whole turn', [{ turns: [180], microamps: high }], ['one-turn-only dry 180 0 2.4']],
    ['a reading in the end', [{ turns: [0], from: [2.1], microamps: high }], ['one-turn-only dry 0 2.1 2.4']],
    [
      'not where another turn was left out',
      [
        { turns: [90], from: [1], microamps: high },
        { turns: [180], from: [1], microamps: null },
      ],
      [],
    ],
    [
      'not where another turn was not settled',
      [
        { turns: [90], from: [1], microamps: high },
        { turns: [180], from: [1], settled: false },
      ],
      [],
    ],
    ['a high reading that was not settled is none', [{ turns: [90], from: [1], microamps: high, settled: false }], []],
  ])('%s', (_, places, expected) => {
    expect(told(dryOf(...places))).toEqual(expected)
  })

  test('a reading in the guard band stands out like one over the limit', () => {
    const readings = apart(survey(), [{ turns: [90], from: [1], microamps: 9.9 }])
    const by = judgedBy({ procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 })
    expect(told(stripsOf(testOf({ dry: { readings }, wet: undefined }), by))).toEqual(['one-turn-only dry 90 1 1.3'])
  })
})

describe('two or three turns may be either, so nothing is said', () => {
  test.each<[string, QuarterTurn[]]>([
    ['neighbours', [0, 90]],
    ['opposite', [0, 180]],
    ['three', [0, 90, 180]],
  ])('%s', (_, turns) => {
    expect(told(dryOf({ turns, from: [1], microamps: high }))).toEqual([])
  })

  test('nor of places on two turns that only touch', () => {
    const places: Apart[] = [
      { turns: [0], from: [0.9], microamps: high },
      { turns: [90], from: [1.2], microamps: high },
    ]
    expect(told(endToEnd(2400, ...places))).toEqual([])
  })
})

describe('one place on every turn, likely inside or a joint', () => {
  test.each<[string, Apart[], string[]]>([
    ['the same span', [{ from: [1], microamps: high }], ['one-place-every-turn dry 1 1.3']],
    ['spans that touch are told as one', [{ from: [1, 1.25], microamps: high }], ['one-place-every-turn dry 1 1.55']],
    [
      'the place is what the spans have in common',
      [
        { turns: [0, 180], from: [1], microamps: high },
        { turns: [90, 270], from: [1.25], microamps: high },
      ],
      ['one-place-every-turn dry 1.25 1.3'],
    ],
    [
      'two places',
      [{ from: [0, 1.5], microamps: high }],
      ['one-place-every-turn dry 0 0.3', 'one-place-every-turn dry 1.5 1.8'],
    ],
    [
      'and another on one turn only',
      [
        { from: [1], microamps: high },
        { turns: [90], from: [0], microamps: high },
      ],
      ['one-place-every-turn dry 1 1.3', 'one-turn-only dry 90 0 0.3'],
    ],
    [
      'not of spans in a chain, of which no place is on all four',
      [
        { turns: [0], from: [0.5], microamps: high },
        { turns: [90], from: [0.75], microamps: high },
        { turns: [180], from: [1], microamps: high },
        { turns: [270], from: [1.25], microamps: high },
      ],
      [],
    ],
    ['not of more than half the length', [{ from: [0.5, 0.75, 1, 1.25, 1.5], microamps: high }], []],
  ])('%s', (_, places, expected) => {
    expect(told(dryOf(...places))).toEqual(expected)
  })

  test('where the spans only touch, the place is the spans that do', () => {
    const places: Apart[] = [
      { turns: [0], from: [0.9], microamps: high },
      { turns: [90, 180, 270], from: [1.2], microamps: high },
    ]
    expect(told(endToEnd(2400, ...places))).toEqual(['one-place-every-turn dry 0.9 1.5'])
    expect(told(endToEnd(2400, ...places, { turns: [0], from: [0], microamps: high }))).toEqual([
      'one-place-every-turn dry 0.9 1.5',
      'one-turn-only dry 0 0 0.3',
    ])
  })

  test('half of the length is still one place', () => {
    expect(told(endToEnd(1200, { from: [0.3, 0.6], microamps: high }))).toEqual(['one-place-every-turn dry 0.3 0.9'])
  })
})

describe('everywhere alike, likely contamination or moisture', () => {
  const all = { microamps: high }

  test.each<[string, Apart[], string[]]>([
    ['every reading', [all], ['everywhere-alike dry 0 2.4']],
    [
      'one place of a turn may conform, however low it reads',
      [all, { turns: [0], from: [1], microamps: 2 }],
      ['everywhere-alike dry 0 2.4'],
    ],
    ['two places next to each other may not', [all, { turns: [0], from: [1, 1.25], microamps: 9 }], []],
    ['half as much again is alike', [all, { from: [1], microamps: 18 }], ['everywhere-alike dry 0 2.4']],
    ['more is not', [all, { from: [1], microamps: 18.1 }], []],
    ['a turn that was left out is not everywhere', [all, { turns: [0], microamps: null }], []],
    ['nor is one that was not settled', [all, { turns: [0], settled: false }], []],
  ])('%s', (_, places, expected) => {
    expect(told(dryOf(...places))).toEqual(expected)
  })

  test('nine tenths of a turn are nearly all of it', () => {
    expect(told(endToEnd(3000, all, { turns: [0], from: [2.7], microamps: 4 }))).toEqual(['everywhere-alike dry 0 3'])
  })

  test('too short a length cannot tell everywhere from one place, three places on a turn can', () => {
    expect(told(endToEnd(600, all))).toEqual([])
    expect(told(endToEnd(900, all))).toEqual(['everywhere-alike dry 0 0.9'])
  })
})

describe('wet only, likely a surface that holds water', () => {
  const wet: Apart = { turns: [90], from: [1], microamps: 25 }
  const code = 'wet-only wet 90 1 1.3'

  test.each<[string, Apart[], Apart[], boolean]>([
    ['where dry was read and conforms', [], [wet], true],
    ['also where another place stands out dry', [{ turns: [90], from: [0], microamps: high }], [wet], true],
    ['not where dry was left out', [{ turns: [90], from: [1], microamps: null }], [wet], false],
    ['not where dry was not settled', [{ turns: [90], from: [1], settled: false }], [wet], false],
    ['not where the place stands out dry', [{ turns: [90], from: [1], microamps: high }], [wet], false],
    [
      'not where the place stands out dry on another turn',
      [{ turns: [180], from: [1], microamps: high }],
      [wet],
      false,
    ],
    ['not where its neighbour stands out dry', [{ turns: [90], from: [1.25], microamps: high }], [wet], false],
  ])('%s', (_, dry, wetPlaces, expected) => {
    expect(told(bothOf(dry, wetPlaces)).includes(code)).toBe(expected)
  })

  test('a place on several turns is told without a turn', () => {
    expect(told(bothOf([], [{ ...wet, turns: [0, 90] }]))).toEqual(['wet-only wet 1 1.3'])
    expect(told(bothOf([], [{ microamps: 25 }]))).toEqual(['everywhere-alike wet 0 2.4', 'wet-only wet 0 2.4'])
  })

  test('places apart are told apart, each on its own turn', () => {
    const places = told(bothOf([], [wet, { ...wet, turns: [270], from: [0] }]))
    expect(places.filter((place) => place.startsWith('wet-only'))).toEqual(['wet-only wet 270 0 0.3', code])
  })

  test('a place on several turns is none where one of them was left out dry', () => {
    const leftOut: Apart = { turns: [90], from: [1], microamps: null }
    expect(told(bothOf([leftOut], [{ ...wet, turns: [0, 90] }]))).toEqual([])
  })

  test('is the same whichever strip comes first, and none without a dry one beside it', () => {
    const strips = bothOf([], [wet])
    expect(told(strips.toReversed())).toEqual(['one-turn-only wet 90 1 1.3', code])
    expect(told(strips.filter(({ state }) => state === 'wet'))).toEqual(['one-turn-only wet 90 1 1.3'])
  })

  test('not of a stick that was tested wet alone', () => {
    const readings = apart(survey({ value: 9, wet: true }), [wet])
    expect(told(stripsOf(testOf({ dry: undefined, wet: wetOf(readings) }), judgedBy()))).toEqual([
      'one-turn-only wet 90 1 1.3',
    ])
  })
})

describe('rising since the last test', () => {
  const place = { turns: [90 as const], from: [1] }
  const code = 'rising-since-last-test dry 90 1 1.3'

  test.each<[string, number, number, boolean]>([
    ['to four fifths of the limit, from far below', 4, 8, true],
    ['to less than four fifths', 4, 7.9, false],
    ['by half as much again', 6, 9, true],
    ['by less', 6.1, 9, false],
    ['over the limit', 6, 12, true],
    ['over the limit, but little more than last time', 9, 12, false],
    ['from nothing', 0, 8, true],
    ['falling', 12, 8, false],
  ])('%s', (_, was, is, expected) => {
    const now = dryOf({ ...place, microamps: is })
    expect(told(now, dryOf({ ...place, microamps: was })).includes(code)).toBe(expected)
  })

  test.each<[string, () => readonly Strip[] | null]>([
    ['no last test', () => null],
    ['a last test without dry readings', () => stripsOf(testOf({ dry: undefined }), judgedBy())],
    ['a last test that left the place out', () => dryOf({ ...place, microamps: null })],
    ['a last test that had not settled there', () => dryOf({ ...place, settled: false })],
    ['a last test on other spans', () => stripsOf(testOf({ dry: { readings: survey({ span: 310 }) } }), judgedBy())],
  ])('is not told of %s', (_, before) => {
    expect(told(dryOf({ ...place, microamps: 9 }), before())).toEqual([])
  })

  test('is not told of a reading that is not settled, nor against no limit', () => {
    expect(told(dryOf({ ...place, microamps: 9, settled: false }), dryOf())).toEqual([])
    const unlimited = judgedBy({ procedure: procedureOf({ limits: [] }) })
    const readings = apart(survey(), [{ ...place, microamps: 900 }])
    expect(told(stripsOf(testOf({ dry: { readings }, wet: undefined }), unlimited), dryOf())).toEqual([])
  })

  test('places that touch are told as one, with the figures of the highest', () => {
    const now = dryOf({ ...place, microamps: 9 }, { turns: [90], from: [1.25], microamps: 9.5 })
    expect(told(now, dryOf())).toEqual(['rising-since-last-test dry 90 1 1.55'])
    expect(texts(likelyCauses(now, dryOf()))).toEqual([
      'Dry, quarter turn 90°, 1 to 1.55 m: risen to 9.5 µA from 4 µA in the last test; likely, not proof: it is ' +
        'getting worse there',
    ])
  })

  test('places apart are told apart, each with its own figures', () => {
    const now = dryOf({ turns: [90], from: [0], microamps: 8 }, { turns: [90], from: [1], microamps: 9 })
    expect(texts(likelyCauses(now, dryOf()))).toEqual([
      'Dry, quarter turn 90°, 0 to 0.3 m: risen to 8 µA from 4 µA in the last test; likely, not proof: it is ' +
        'getting worse there',
      'Dry, quarter turn 90°, 1 to 1.3 m: risen to 9 µA from 4 µA in the last test; likely, not proof: it is ' +
        'getting worse there',
    ])
  })
})

describe('a telescoping stick', () => {
  const stick = stickOf({ sections: ['tip', 'butt'].map((name) => ({ name, lengthMetres: 1.2 })) })
  const readingsOf = (tip: Apart[], butt: Apart[], wet = false) => [
    ...apart(survey({ length: 1200, section: 'tip', wet }), tip),
    ...apart(survey({ length: 1200, section: 'butt', wet }), butt),
  ]
  const sections = (tip: Apart[], butt: Apart[]) =>
    stripsOf(testOf({ dry: { readings: readingsOf(tip, butt) }, wet: undefined }), judgedBy({ stick }))

  test('is looked at section by section', () => {
    expect(told(sections([{ microamps: high }], []))).toEqual(['everywhere-alike dry tip 0 1.2'])
    expect(
      told(
        sections(
          [{ turns: [0, 90], from: [0.5], microamps: high }],
          [{ turns: [180, 270], from: [0.5], microamps: high }],
        ),
      ),
    ).toEqual([])
    expect(told(sections([], [{ turns: [0], from: [0.5], microamps: high }]))).toEqual([
      'one-turn-only dry butt 0 0.5 0.8',
    ])
  })

  test('is compared wet and dry section by section', () => {
    const dry = { readings: readingsOf([{ turns: [0], from: [0.5], microamps: high }], []) }
    const wet = wetOf(readingsOf([], [{ turns: [0], from: [0.5], microamps: 25 }], true))
    expect(told(stripsOf(testOf({ dry, wet }), judgedBy({ stick })))).toEqual([
      'one-turn-only dry tip 0 0.5 0.8',
      'one-turn-only wet butt 0 0.5 0.8',
      'wet-only wet butt 0 0.5 0.8',
    ])
  })

  test('and compared with the same section of the last test', () => {
    const now = sections([{ turns: [0], from: [0.5], microamps: 9 }], [])
    expect(told(now, sections([{ turns: [0], from: [0.5], microamps: 8 }], []))).toEqual([])
    expect(told(now, sections([], [{ turns: [0], from: [0.5], microamps: 8 }]))).toEqual([
      'rising-since-last-test dry tip 0 0.5 0.8',
    ])
  })
})

test('every text names the place and says that it is no proof', () => {
  const surface = likelyCauses(bothOf([], [{ turns: [90], from: [1], microamps: 25 }]), null)
  expect(texts(surface)).toEqual([
    'Wet, quarter turn 90°, 1 to 1.3 m: stands out on this quarter turn only; likely, not proof: dirt, a scratch or ' +
      'a track on the surface',
    'Wet, quarter turn 90°, 1 to 1.3 m: leaks too much wet and not dry; likely, not proof: a surface that holds ' +
      'water, or a finish that has lost its gloss',
  ])
  expect(texts(likelyCauses(dryOf({ from: [1], microamps: high }), null))).toEqual([
    'Dry, 1 to 1.3 m: stands out on all four quarter turns; likely, not proof: something inside the stick, or at a ' +
      'joint',
  ])
  expect(texts(likelyCauses(bothOf([{ microamps: high }], [{ microamps: 25 }]), null))).toEqual([
    'Dry, 0 to 2.4 m: nearly all of it stands out, and by much the same; likely, not proof: contamination, or ' +
      'moisture all through',
    'Wet, 0 to 2.4 m: nearly all of it stands out, and by much the same; likely, not proof: contamination, or ' +
      'moisture all through, or too much water',
  ])
})

describe('random surveys', () => {
  const anyPlaces = fc.array(
    fc.record({
      turns: fc.subarray([...quarterTurns], { minLength: 1 }),
      from: fc.subarray([0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.1], { minLength: 1 }),
      microamps: fc.constantFrom(1, 8, 9, 12, 14, 25, 40, null),
    }),
    { maxLength: 5 },
  )
  const seeded = { seed: 90, numRuns: 500 }
  const backwards = (strips: readonly Strip[]) =>
    strips.map((strip) => ({
      ...strip,
      turns: [...strip.turns].reverse().map((turn) => ({ ...turn, cells: [...turn.cells].reverse() })),
    }))

  test('hold every pattern', () => {
    const seen = fc
      .sample(fc.tuple(anyPlaces, anyPlaces, anyPlaces), seeded)
      .flatMap(([dry, wet, was]) => likelyCauses(bothOf(dry, wet), bothOf(was, was)).map((one) => one.code))
    expect(new Set(seen)).toEqual(
      new Set(['one-turn-only', 'one-place-every-turn', 'everywhere-alike', 'wet-only', 'rising-since-last-test']),
    )
  })

  test('the order of readings and turns changes nothing', () => {
    fc.assert(
      fc.property(anyPlaces, anyPlaces, anyPlaces, (dry, wet, was) => {
        const [now, before] = [bothOf(dry, wet), bothOf(was, was)]
        expect(likelyCauses(backwards(now), backwards(before))).toEqual(likelyCauses(now, before))
      }),
      seeded,
    )
  })

  test('every cause but a rise lies where a reading stands out, and each has a text of its own', () => {
    fc.assert(
      fc.property(anyPlaces, anyPlaces, anyPlaces, (dry, wet, was) => {
        const now = bothOf(dry, wet)
        const causes = likelyCauses(now, bothOf(was, was))
        expect(new Set(texts(causes)).size).toBe(causes.length)
        for (const cause of causes) {
          const { code, state, quarterTurn, fromMetres = NaN, toMetres = NaN } = cause
          expect(textOf(cause)).toMatch(/^(Dry|Wet), .* m: .*; likely, not proof: /)
          expect(fromMetres).toBeLessThan(toMetres)
          if (code === 'rising-since-last-test') continue
          const there = now
            .filter((strip) => strip.state === state)
            .flatMap((strip) =>
              strip.turns.filter((turn) => quarterTurn === undefined || turn.quarterTurn === quarterTurn),
            )
            .flatMap((turn) => turn.cells.filter((cell) => cell.mark === 'over limit'))
            .filter((cell) => cell.fromMetres < toMetres && fromMetres < cell.toMetres)
          expect(there.length).toBeGreaterThan(0)
        }
      }),
      seeded,
    )
  })
})
