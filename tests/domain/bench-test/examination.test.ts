import { describe, expect, test } from 'vitest'
import type { BenchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import * as examination from '../../../shared-domain/bench-test/examination.ts'
import { constructions, testReasons } from '../../../shared-domain/words.ts'
import { asRead } from '../../support/english.ts'
import { day, shown, stickOf, survey, testOf, wetOf } from './fixtures.ts'

const { finishLost, reliesOnExamination } = examination
const openDefects = asRead(examination.openDefects)
const uncleaned = asRead(examination.uncleaned)
const againstExaminationAlone = asRead(examination.againstExaminationAlone)

type Defect = BenchTest['examination']['defects'][number]

const found = (...defects: Defect[]) => testOf({ examination: { defects, gloss: 'sound' } })
const glossLost = (...defects: Defect[]) => testOf({ examination: { defects, gloss: 'lost' } })

describe('a defect still open', () => {
  test.each<[string, Partial<Defect>, object]>([
    ['Open defect: crack; it must be repaired and the stick tested again', {}, {}],
    [
      'Open defect: crack on section tip; it must be repaired and the stick tested again',
      { section: 'tip' },
      { section: 'tip' },
    ],
    [
      'Open defect: crack at 1.2 m; it must be repaired and the stick tested again',
      { atMetres: 1.2 },
      { fromMetres: 1.2, toMetres: 1.2 },
    ],
    [
      'Open defect: crack on section tip at 0 m; it must be repaired and the stick tested again',
      { section: 'tip', atMetres: 0 },
      { section: 'tip', fromMetres: 0, toMetres: 0 },
    ],
  ])('is told with its place, where it has one: %s', (text, where, place) => {
    expect(openDefects(found({ kind: 'crack', open: true, ...where }))).toStrictEqual([
      { code: 'open-defect', text, ...place },
    ])
  })

  test('is told each by itself, and what was made good at the bench is not', () => {
    const told = openDefects(
      found({ kind: 'dent', open: true }, { kind: 'scratch', open: false }, { kind: 'burn', open: true }),
    )
    expect(told.map(({ text }) => text)).toStrictEqual([
      'Open defect: dent; it must be repaired and the stick tested again',
      'Open defect: burn; it must be repaired and the stick tested again',
    ])
  })

  test('and gloss lost all over are two reasons', () => {
    expect(openDefects(glossLost({ kind: 'dent', open: true }))).toStrictEqual([
      { code: 'open-defect', text: 'Open defect: dent; it must be repaired and the stick tested again' },
      { code: 'gloss-lost', text: 'The surface has lost its gloss; it must be refinished and the stick tested again' },
    ])
  })

  test('is none where the surface is sound and nothing was found', () => {
    expect(openDefects(found())).toStrictEqual([])
  })
})

test('the finish is lost with the gloss, all over or at a place that is still open, and with nothing else', () => {
  expect(finishLost(glossLost())).toBe(true)
  expect(finishLost(found({ kind: 'crack', open: true }, { kind: 'lost gloss', open: true }))).toBe(true)
  expect(finishLost(found({ kind: 'lost gloss', open: false }))).toBe(false)
  expect(finishLost(found({ kind: 'crack', open: true }))).toBe(false)
  expect(finishLost(found())).toBe(false)
})

test('a stick that nobody recorded as cleaned is told to be cleaned first', () => {
  expect(uncleaned(testOf())).toStrictEqual([])
  expect(uncleaned(testOf({ cleaned: false }))).toStrictEqual([
    {
      code: 'cleaning-not-recorded',
      text: 'The stick was not recorded as cleaned; it must be cleaned before it is tested',
    },
  ])
})

describe('a test relies on the examination', () => {
  const nothingMeasured = { dry: undefined, wet: undefined }
  const demonstrationId = 'DEM-1'
  const withstand: BenchTest['withstand'] = [
    { fromMetres: 0, toMetres: 2.4, kilovolts: 600, seconds: 60, state: 'dry', outcome: 'withstood' },
  ]

  test('where the employer demonstrates and nothing was measured', () => {
    expect(reliesOnExamination(testOf({ ...nothingMeasured, demonstrationId }))).toBe(true)
    expect(reliesOnExamination(testOf({ ...nothingMeasured, demonstrationId, withstand: [] }))).toBe(true)
  })

  test.each<[string, Parameters<typeof testOf>[0]]>([
    ['nobody demonstrates anything', nothingMeasured],
    ['it was read dry', { demonstrationId, wet: undefined }],
    ['it was read wet', { demonstrationId, dry: undefined, wet: wetOf(survey({ wet: true })) }],
    ['it was put to a withstand test', { ...nothingMeasured, demonstrationId, withstand }],
  ])('not where %s', (_, over) => {
    expect(reliesOnExamination(testOf(over))).toBe(false)
  })
})

describe('an examination stands alone', () => {
  const code = 'examination-not-enough'
  const allowed = { allowed: true, demonstrated: shown('examination alone') }

  test('for a periodic test of rod or foam-filled tube, where the policy lets it', () => {
    for (const construction of ['FRP rod', 'foam-filled FRP tube'] as const) {
      expect(againstExaminationAlone(testOf(), stickOf({ construction }), allowed)).toStrictEqual([])
    }
  })

  test('not without the policy', () => {
    expect(againstExaminationAlone(testOf(), stickOf(), { ...allowed, allowed: false })).toStrictEqual([
      { code, text: 'The policy in force does not let an examination stand in place of a test' },
    ])
  })

  test.each([
    ['none that is in force', undefined],
    ['one of something else', shown('withstand')],
    ['one that had ended', shown('examination alone', { until: day('2026-03-01') })],
  ])('not where the demonstration it names is %s', (_, demonstrated) => {
    const against = againstExaminationAlone(testOf({ demonstrationId: 'DEM-1' }), stickOf(), {
      ...allowed,
      demonstrated,
    })
    expect(against).toStrictEqual([
      {
        code: 'demonstration-missing',
        text: 'DEM-1 is no demonstration, in force on the day of the test, that an examination alone is enough',
      },
    ])
    const last = shown('examination alone', { until: day('2026-03-02') })
    expect(againstExaminationAlone(testOf(), stickOf(), { ...allowed, demonstrated: last })).toStrictEqual([])
  })

  test('not for a stick of any other construction', () => {
    const others = constructions.filter((one) => one !== 'FRP rod' && one !== 'foam-filled FRP tube')
    const told = others.flatMap((construction) => againstExaminationAlone(testOf(), stickOf({ construction }), allowed))
    expect(told).toStrictEqual([
      { code, text: 'A stick of hollow FRP tube is tested after every examination' },
      { code, text: 'A stick of wood is tested after every examination' },
    ])
  })

  test.each(testReasons.filter((reason) => reason !== 'periodic'))('not for %s', (reason) => {
    expect(againstExaminationAlone(testOf({ reason }), stickOf(), allowed)).toStrictEqual([
      { code, text: `An examination for ${reason} is followed by a test; only a periodic one can stand alone` },
    ])
  })

  test('not after a repair at the bench, though a defect still open is another matter', () => {
    const mended = found({ kind: 'crack', open: true }, { kind: 'scratch', open: false })
    expect(againstExaminationAlone(mended, stickOf(), allowed)).toStrictEqual([
      { code, text: 'A defect was mended at the bench, and a stick is tested after every repair' },
    ])
    expect(againstExaminationAlone(found({ kind: 'crack', open: true }), stickOf(), allowed)).toStrictEqual([])
  })

  test('and whatever is against it is told at once', () => {
    const against = againstExaminationAlone(
      testOf({ reason: 'repair', examination: { defects: [{ kind: 'burn', open: false }], gloss: 'sound' } }),
      stickOf({ construction: 'wood' }),
      { allowed: false, demonstrated: undefined },
    )
    expect(against).toHaveLength(5)
  })
})
