/** The record of a bench test: an examination and its readings, or its withstand results. */
import * as z from 'zod'
import { calendarDate, localTime } from '../calendar.ts'
import { factId } from '../fact-id.ts'
import { line, note, registerId } from '../registers.ts'
import { appearances, defectKinds, glosses, quarterTurns, surfaceStates, testReasons, waters } from '../words.ts'

/** from the working end; on a telescoping stick from the working end of its section */
const place = z.number().min(0).max(30)

export const reading = z
  .strictObject({
    section: line(40).optional(),
    quarterTurn: z.literal([...quarterTurns]),
    fromMetres: place,
    toMetres: place,
    leakageMicroamps: z.number().min(0).max(1_000_000),
    /** the reading had come to rest with the voltage still on */
    settled: z.boolean().optional(),
  })
  .meta({ id: 'Reading' })
export type Reading = z.output<typeof reading>

export const withstand = z.strictObject({
  section: line(40).optional(),
  fromMetres: place,
  toMetres: place,
  kilovolts: z.number().positive().max(10_000),
  seconds: z.number().positive().max(86_400),
  state: z.enum(surfaceStates),
  outcome: z.enum(['withstood', 'flashover', 'puncture', 'tracking', 'heating']),
})
export type Withstand = z.output<typeof withstand>

const foundDefect = z.strictObject({
  kind: z.enum(defectKinds),
  atMetres: place.optional(),
  section: line(40).optional(),
  /** still open after what was done at the bench */
  open: z.boolean(),
  note: note.optional(),
})

const instrumentCheck = z.strictObject({
  state: z.enum(surfaceStates),
  when: z.enum(['before', 'after']),
  /** with nothing in the instrument's opening */
  openMicroamps: z.number().min(0).max(1_000_000),
  /** with the check piece in it */
  checkMicroamps: z.number().min(0).max(1_000_000),
})

export const benchTest = z
  .strictObject({
    factId,
    testedOn: calendarDate,
    at: localTime.optional(),
    testedBy: line(120),
    instrumentId: registerId,
    procedureId: registerId,
    reason: z.enum(testReasons),
    instrumentChecks: z.array(instrumentCheck).max(40),
    examination: z.strictObject({ defects: z.array(foundDefect).max(200), gloss: z.enum(glosses) }),
    /** both come before the readings */
    cleaned: z.boolean(),
    waxed: z.boolean(),
    ambient: z
      .strictObject({ celsius: z.number().min(-60).max(80), relativeHumidityPercent: z.number().min(0).max(100) })
      .optional(),
    dry: z.strictObject({ readings: z.array(reading).max(2000) }).optional(),
    wet: z
      .strictObject({
        water: z.enum(waters),
        conductivityMicrosiemensPerCm: z.number().min(0).max(100_000).optional(),
        appearance: z.enum(appearances),
        readings: z.array(reading).max(2000),
        /**
         * A first wet pass that was over-wetted, kept on record and not judged: the stick was dried and `readings` above
         * are the repeat. Once per test; too much water under the stick is a known false reject (UFC 3-560-01, 5-4.12.3).
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
     * In place of a test, where the employer's policy allows it: who demonstrates, and on what grounds, that the stick has
     * no defect that could make it fail in use (29 CFR 1910.269(j)(2)(iii)(C)(2)).
     */
    demonstration: z.strictObject({ by: line(120), grounds: line(400) }).optional(),
    note: note.optional(),
  })
  .meta({ id: 'BenchTestRecord' })
export type BenchTest = z.output<typeof benchTest>
