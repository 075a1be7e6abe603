/** Invented bench tests: a sound one, and what can go wrong with it. */
import type { BenchTest, Reading } from '../shared-domain/bench-test/bench-test.ts'
import { statesAskedOf } from '../shared-domain/bench-test/places.ts'
import type { CalendarDate } from '../shared-domain/calendar.ts'
import type { QuarterTurn } from '../shared-domain/words.ts'
import { type Chance, chanceOf, drawBetween, oneOf, uuidOf, whole } from './chance.ts'
import { comparisonReport, type DemoStick, demoInstruments, type InstrumentId, spanOf } from './fleet.ts'
import { type Blemish, readingsOf } from './readings.ts'

export interface Occasion {
  readonly stick: DemoStick
  readonly testedOn: CalendarDate
  readonly testedBy: string
  /** text that tells this test from every other one */
  readonly key: string
  readonly reason: BenchTest['reason']
  readonly yearsInService: number
  readonly instrumentId: InstrumentId
  readonly blemishes?: readonly Blemish[]
}

export function benchTestOf(occasion: Occasion): BenchTest {
  const { stick, key, instrumentId, blemishes = [] } = occasion
  const chance = chanceOf(`bench ${key}`)
  const states = statesAskedOf(stick.construction)
  const readings = (state: 'dry' | 'wet') =>
    readingsOf({ ...occasion, state, spanMetres: spanOf(instrumentId), blemishes })
  return {
    factId: uuidOf(key),
    testedOn: occasion.testedOn,
    at: `${String(whole(chance, 8, 15)).padStart(2, '0')}:${oneOf(chance, ['05', '20', '35', '50'])}`,
    testedBy: occasion.testedBy,
    instrumentId,
    procedureId: procedureFor(stick),
    ...(procedureFor(stick) === 'PRC-1' ? { demonstrationId: comparisonReport } : {}),
    reason: occasion.reason,
    instrumentChecks: states.map((state) => ({
      state,
      when: 'before',
      openMicroamps: tenths(drawBetween(chance, 0, 0.2)),
      checkMicroamps: tenths(drawBetween(chance, 97.5, 102)),
    })),
    examination: { defects: mended(chance, stick), gloss: 'sound' },
    cleaned: true,
    waxed: true,
    ambient: { celsius: whole(chance, 16, 25), relativeHumidityPercent: whole(chance, 34, 62) },
    dry: { readings: readings('dry') },
    ...(states.includes('wet') ? { wet: misted(chance, readings('wet')) } : {}),
  }
}

/** Long sticks are tested with the second instrument, and only while it is calibrated. */
export function instrumentFor(
  stick: DemoStick,
  testedOn: CalendarDate,
  ago: (days: number) => CalendarDate,
): InstrumentId {
  const calibrated = demoInstruments(ago).some(
    ({ id, editions }) =>
      id === 'INS-2' && editions.some((one) => one.calibratedOn <= testedOn && testedOn <= one.calibrationDueOn),
  )
  return stick.workingLengthMetres >= 3 && calibrated ? 'INS-2' : 'INS-1'
}

function procedureFor({ construction }: DemoStick): string {
  return construction === 'wood' || construction === 'hollow FRP tube' ? 'PRC-2' : 'PRC-1'
}

function misted(chance: Chance, readings: Reading[]): NonNullable<BenchTest['wet']> {
  return {
    water: oneOf(chance, ['distilled', 'demineralised']),
    conductivityMicrosiemensPerCm: tenths(drawBetween(chance, 1, 4.5)),
    appearance: 'beads',
    readings,
  }
}

function mended(chance: Chance, { workingLengthMetres }: DemoStick): BenchTest['examination']['defects'] {
  if (chance() > 0.08) return []
  return [
    { kind: 'scratch', atMetres: tenths(workingLengthMetres * chance()), open: false, note: 'smoothed and waxed' },
  ]
}

export type TestChange = (test: BenchTest) => BenchTest

const inWet =
  (change: (wet: NonNullable<BenchTest['wet']>) => NonNullable<BenchTest['wet']>): TestChange =>
  (test) =>
    test.wet === undefined ? test : { ...test, wet: change(test.wet) }

/** Too much water runs to the underside and hangs there in a line of drops. */
const flooded = (readings: readonly Reading[]): Reading[] =>
  readings.map((one) => ({
    ...one,
    leakageMicroamps: tenths(one.leakageMicroamps * (one.quarterTurn === 180 ? 2.1 : 1.4)),
  }))

export const overWetted = inWet((wet) => ({ ...wet, appearance: 'drip line', readings: flooded(wet.readings) }))

export const driedAndRepeated = inWet((wet) => ({
  ...wet,
  driedAndRepeated: {
    appearance: 'drip line',
    note: 'bottle too close; wiped dry, left for half an hour, misted again',
    readings: flooded(wet.readings),
  },
}))

export const tapWater = inWet((wet) => ({ ...wet, water: 'tap', conductivityMicrosiemensPerCm: 410 }))

export const notSettled = inWet((wet) => ({
  ...wet,
  readings: wet.readings.map((one, i) => (i === 7 ? { ...one, settled: false } : one)),
}))

export const withoutTurn = (quarterTurn: QuarterTurn): TestChange =>
  inWet((wet) => ({ ...wet, readings: wet.readings.filter((one) => one.quarterTurn !== quarterTurn) }))

/** The tester passed over one span on one turn. */
export const spanMissed = inWet((wet) => {
  const missed = wet.readings.filter((one) => one.quarterTurn === 90)[1]
  return { ...wet, readings: wet.readings.filter((one) => one !== missed) }
})

export const thinOverlap: TestChange = (test) => ({
  ...test,
  dry: {
    readings: (test.dry?.readings ?? []).map((one, i) =>
      i === 2 ? { ...one, fromMetres: Math.round((one.fromMetres + 0.03) * 1000) / 1000 } : one,
    ),
  },
})

export const wetLeftOut: TestChange = (test) => ({ ...test, wet: undefined })

export const checkPieceLow: TestChange = (test) => ({
  ...test,
  instrumentChecks: test.instrumentChecks.map((one) => ({ ...one, checkMicroamps: 88.4 })),
})

export const checkForgotten: TestChange = (test) => ({
  ...test,
  instrumentChecks: test.instrumentChecks.filter((one) => one.state === 'dry'),
})

/** The examination is enough to stop at. */
export const cracked: TestChange = (test) => ({
  ...test,
  examination: {
    defects: [{ kind: 'crack', atMetres: 0.4, open: true, note: 'runs along from the fitting' }],
    gloss: 'sound',
  },
  dry: undefined,
  wet: undefined,
})

export const dulled: TestChange = (test) => ({ ...test, examination: { defects: [], gloss: 'lost' }, wet: undefined })

function tenths(value: number): number {
  return Math.round(value * 10) / 10
}
