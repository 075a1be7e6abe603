import { expect, test } from 'vitest'
import { faultsAgainstStick as faultsFound } from '../../../shared-domain/bench-test/faults.ts'
import { readFault } from '../../support/english.ts'
import { stickOf, survey, testOf, wetOf } from './fixtures.ts'

const faultsAgainstStick = (...of: Parameters<typeof faultsFound>) => faultsFound(...of).map(readFault)
const at = (faults: readonly { pointer: string }[]) => faults.map((fault) => fault.pointer)
const reading = (fromMetres: number, toMetres: number, section?: string) => ({
  quarterTurn: 0 as const,
  fromMetres,
  toMetres,
  leakageMicroamps: 1,
  settled: true,
  ...(section === undefined ? {} : { section }),
})
const row = (fromMetres: number, toMetres: number, over = {}) => ({
  fromMetres,
  toMetres,
  kilovolts: 600,
  seconds: 60,
  state: 'dry' as const,
  outcome: 'withstood' as const,
  ...over,
})

test('a test that fits its stick has none, complete or not', () => {
  expect(faultsAgainstStick(testOf(), stickOf())).toEqual([])
  expect(faultsAgainstStick(testOf({ dry: undefined, wet: undefined }), stickOf())).toEqual([])
})

test('every fault is told, not the first, in dry, wet, repeated and withstand rows', () => {
  const first = { appearance: 'film' as const, readings: [reading(0, 0.3), reading(2.2, 2.5)] }
  const bad = testOf({
    dry: { readings: [...survey({ turns: [90] }), reading(0.3, 0.3004), reading(2.3, 2.6)] },
    wet: wetOf([reading(0.5, 0.2)], { driedAndRepeated: first }),
    withstand: [row(0, 2.5), row(1, 1)],
    examination: {
      defects: [
        { kind: 'dent', atMetres: 2.4, open: false },
        { kind: 'burn', atMetres: 2.41, open: false },
      ],
      gloss: 'sound',
    },
  })
  const faults = faultsAgainstStick(bad, stickOf())
  const readings = survey({ turns: [90] }).length
  expect(at(faults)).toEqual([
    `/dry/readings/${readings}/toMetres`,
    `/dry/readings/${readings + 1}/toMetres`,
    '/wet/readings/0/toMetres',
    '/wet/driedAndRepeated/readings/1/toMetres',
    '/withstand/0/toMetres',
    '/withstand/1/toMetres',
    '/examination/defects/1/atMetres',
  ])
  expect(faults[1]).toEqual({
    pointer: `/dry/readings/${readings + 1}/toMetres`,
    came: 2.6,
    expected: 'at most 2.4 m, the length there is',
  })
  expect(faults[2]).toEqual({
    pointer: '/wet/readings/0/toMetres',
    came: 0.2,
    expected: 'at least 1 mm beyond fromMetres, 0.5 m',
  })
})

test('places are compared in whole millimetres', () => {
  expect(at(faultsAgainstStick(testOf({ dry: { readings: [reading(2.1, 2.4004)] } }), stickOf()))).toEqual([])
  expect(at(faultsAgainstStick(testOf({ dry: { readings: [reading(2.1, 2.4006)] } }), stickOf()))).toEqual([
    '/dry/readings/0/toMetres',
  ])
})

test('a place given twice is one, its first-pass twin or another turn is not', () => {
  const twice = testOf({
    dry: { readings: [reading(0, 0.3), { ...reading(0, 0.3), quarterTurn: 90 }, reading(0, 0.3002)] },
  })
  expect(faultsAgainstStick(twice, stickOf())).toEqual([
    {
      pointer: '/dry/readings/2',
      came: 'quarter turn 0°, 0 to 300 mm',
      expected: 'a place given once; /dry/readings/0 is the same',
    },
  ])
  const repeat = testOf({
    wet: wetOf([reading(0, 0.3)], { driedAndRepeated: { appearance: 'film', readings: [reading(0, 0.3)] } }),
  })
  expect(faultsAgainstStick(repeat, stickOf())).toEqual([])
  const both = [row(0, 2.4), row(0, 2.4, { state: 'wet' }), row(0, 2.4, { outcome: 'flashover' })]
  expect(at(faultsAgainstStick(testOf({ withstand: both }), stickOf()))).toEqual(['/withstand/2'])
})

test('wood has no wet test', () => {
  const wood = stickOf({ construction: 'wood' })
  const wet = testOf({ withstand: [row(0, 2.4), row(0, 2.4, { state: 'wet' })] })
  const expected = 'no wet test: the stick is wood, which is tested dry only'
  expect(faultsAgainstStick(wet, wood)).toEqual([
    { pointer: '/wet', came: 'a wet test', expected },
    { pointer: '/withstand/1/state', came: 'wet', expected },
  ])
  expect(faultsAgainstStick(testOf({ wet: undefined }), wood)).toEqual([])
})

test('sections are named on a telescoping stick, known, and measured each by its own length', () => {
  const sections = [
    { name: 'tip', lengthMetres: 1.2 },
    { name: 'butt', lengthMetres: 1.5 },
  ]
  const readings = [
    reading(0, 1.2, 'tip'),
    reading(1, 1.4, 'tip'),
    reading(1, 1.4, 'butt'),
    reading(0, 0.3),
    reading(0, 0.3, 'mid'),
  ]
  const test = testOf({
    dry: { readings },
    wet: undefined,
    examination: {
      defects: [
        { kind: 'dent', section: 'tip', atMetres: 1.3, open: false },
        { kind: 'dent', section: 'mid', open: false },
      ],
      gloss: 'sound',
    },
  })
  const faults = faultsAgainstStick(test, stickOf({ sections }))
  expect(at(faults)).toEqual([
    '/dry/readings/1/toMetres',
    '/dry/readings/3/section',
    '/dry/readings/4/section',
    '/examination/defects/0/atMetres',
    '/examination/defects/1/section',
  ])
  expect(faults[1]).toEqual({
    pointer: '/dry/readings/3/section',
    came: null,
    expected: 'a section of this stick: tip, butt',
  })
})

test('a defect of a telescoping stick may be placed on the stick as a whole', () => {
  const stick = stickOf({ sections: [{ name: 'tip', lengthMetres: 2.4 }] })
  const defects = (atMetres: number) => [{ kind: 'dent' as const, atMetres, open: false }]
  const found = (atMetres: number) =>
    faultsAgainstStick(
      testOf({ dry: undefined, wet: undefined, examination: { defects: defects(atMetres), gloss: 'sound' } }),
      stick,
    )
  expect(found(2)).toEqual([])
  expect(at(found(2.5))).toEqual(['/examination/defects/0/atMetres'])
})

test('the same place on two sections is two places, on one section it is one', () => {
  const sections = ['tip', 'butt'].map((name) => ({ name, lengthMetres: 1.2 }))
  const readings = [reading(0, 0.3, 'tip'), reading(0, 0.3, 'butt'), reading(0, 0.3, 'tip')]
  const faults = faultsAgainstStick(testOf({ dry: { readings }, wet: undefined }), stickOf({ sections }))
  expect(faults).toEqual([
    {
      pointer: '/dry/readings/2',
      came: 'quarter turn 0°, 0 to 300 mm, section tip',
      expected: 'a place given once; /dry/readings/0 is the same',
    },
  ])
})

test('a section named on a plain stick is refused, and where on it is nothing to measure', () => {
  expect(faultsAgainstStick(testOf({ dry: { readings: [reading(2.2, 2.5, 'tip')] } }), stickOf())).toEqual([
    { pointer: '/dry/readings/0/section', came: 'tip', expected: 'no section: the stick on the register has none' },
  ])
})

test('a place that fits when read as feet is told in metres too, on every list', () => {
  const beyond = testOf({
    dry: { readings: [reading(7, 8), reading(2.1, 3.5), reading(2.1, 3.6), reading(2.1, 8.1)] },
    wet: wetOf([reading(7, 8)]),
    withstand: [row(0, 8)],
    examination: { defects: [{ kind: 'dent', atMetres: 6, open: false }], gloss: 'sound' },
  })
  const told = (workingLengthMetres: number) =>
    faultsAgainstStick(beyond, stickOf({ workingLengthMetres })).map(({ expected }) => expected)
  expect(told(2.4)).toEqual([
    'at most 2.4 m, the length there is; 8 feet are 2.438 m',
    'at most 2.4 m, the length there is',
    'at most 2.4 m, the length there is; 3.6 feet are 1.097 m',
    // 2.469 m, more than what a foot that is called 0.3 m rounds off
    'at most 2.4 m, the length there is',
    'at most 2.4 m, the length there is; 8 feet are 2.438 m',
    'at most 2.4 m, the length there is; 8 feet are 2.438 m',
    'at most 2.4 m, the length there is; 6 feet are 1.829 m',
  ])
  const sections = [{ name: 'tip', lengthMetres: 1.2 }]
  const onSection = testOf({ dry: { readings: [reading(3, 4, 'tip'), reading(3, 5, 'tip')] }, wet: undefined })
  expect(faultsAgainstStick(onSection, stickOf({ sections })).map(({ expected }) => expected)).toEqual([
    'at most 1.2 m, the length there is; 4 feet are 1.219 m',
    'at most 1.2 m, the length there is',
  ])
})
