/** The record of a bench test: an examination and its readings, or its withstand results. */
import * as z from 'zod'
import { calendarDate, localTime } from '../date-fields.ts'
import { expecting } from '../fault.ts'
import { factId, registerId } from '../identifiers.ts'
import {
  airInCelsius,
  conductivityInMicrosiemensPerCm,
  currentInMicroamps,
  moreThanNought,
  percent,
  placeInMetres,
  testInKilovolts,
} from '../quantity-fields.ts'
import { line, note } from '../text.ts'
import { appearances, defectKinds, glosses, quarterTurns, surfaceStates, testReasons, waters } from '../words.ts'

export const reading = z.lazy(() =>
  z
    .strictObject({
      section: line(40).optional(),
      quarterTurn: z.literal([...quarterTurns]),
      fromMetres: placeInMetres(),
      toMetres: placeInMetres(),
      leakageMicroamps: currentInMicroamps(),
      /** the reading had come to rest with the voltage still on */
      settled: z.boolean().optional(),
    })
    .meta({ id: 'Reading' }),
)
export type Reading = z.output<typeof reading>

export const withstand = z.lazy(() =>
  z.strictObject({
    section: line(40).optional(),
    fromMetres: placeInMetres(),
    toMetres: placeInMetres(),
    kilovolts: testInKilovolts(),
    seconds: moreThanNought(86_400),
    state: z.enum(surfaceStates),
    outcome: z.enum(['withstood', 'flashover', 'puncture', 'tracking', 'heating']),
  }),
)
export type Withstand = z.output<typeof withstand>

const foundDefect = z.lazy(() =>
  z.strictObject({
    kind: z.enum(defectKinds),
    atMetres: placeInMetres().optional(),
    section: line(40).optional(),
    /** the defect is still open after what was done at the bench */
    open: z.boolean(),
    note: note.optional(),
  }),
)

export const instrumentCheck = z.lazy(() =>
  z.strictObject({
    state: z.enum(surfaceStates),
    when: z.enum(['before', 'after']),
    /** current with nothing in the instrument's opening */
    openMicroamps: currentInMicroamps(),
    /** current with the check piece in the opening */
    checkMicroamps: currentInMicroamps(),
  }),
)

/** A tester is given by name, or by their number on the register of people. */
const tester = () =>
  z.union(
    [line(120), z.strictObject({ personId: registerId })],
    expecting({ is: 'right: a tester', shape: '{ "personId" }' }),
  )

export const benchTest = z.lazy(() =>
  z
    .strictObject({
      factId,
      testedOn: calendarDate,
      at: localTime.optional(),
      testedBy: tester(),
      instrumentId: registerId,
      procedureId: registerId,
      reason: z.enum(testReasons),
      instrumentChecks: z.array(instrumentCheck).max(40),
      examination: z.strictObject({ defects: z.array(foundDefect).max(200), gloss: z.enum(glosses) }),
      /** cleaning and waxing both come before the readings */
      cleaned: z.boolean(),
      waxed: z.boolean(),
      ambient: z.strictObject({ celsius: airInCelsius(), relativeHumidityPercent: percent() }).optional(),
      dry: z.strictObject({ readings: z.array(reading).max(2000) }).optional(),
      wet: z
        .strictObject({
          water: z.enum(waters),
          conductivityMicrosiemensPerCm: conductivityInMicrosiemensPerCm().optional(),
          appearance: z.enum(appearances),
          readings: z.array(reading).max(2000),
          /**
           * A first wet pass that was over-wetted, kept on record and not judged: the stick was dried, and `readings`
           * above are the repeat. A test has one at most. Too much water under the stick is a known false reject (UFC
           * 3-560-01, 5-4.12.3).
           */
          driedAndRepeated: z
            .strictObject({
              appearance: z.enum(['film', 'drip line']),
              note: note.optional(),
              readings: z.array(reading).max(2000),
            })
            .optional(),
        })
        .optional(),
      withstand: z.array(withstand).max(500).optional(),
      /**
       * The employer's demonstration, from its register, that the test relies on. It shows that an examination alone is
       * enough, or that a lower withstand test, or readings in place of one, prove as much (29 CFR
       * 1910.269(j)(2)(iii)(C)(2) and (E)(3)).
       */
      demonstrationId: registerId.optional(),
      note: note.optional(),
    })
    .meta({ id: 'BenchTestRecord' }),
)
export type BenchTest = z.output<typeof benchTest>
export type Tester = BenchTest['testedBy']
