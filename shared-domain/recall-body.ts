/** A recall as somebody in charge opens it, and its closing. */
import * as z from 'zod'
import { calendarDate } from './date-fields.ts'
import { expecting } from './fault.ts'
import { factId, registerId } from './identifiers.ts'
import { between, limitInMicroamps } from './quantity-fields.ts'
import { line, note } from './text.ts'

/** The house's own figures: an instrument that reads more than twice as much, or nearly nothing, is out of order. */
const percentOff = () => between(-95, 100)

const error = () =>
  z.union(
    [
      z.strictObject({ kind: z.literal('percent of reading'), value: percentOff() }),
      z.strictObject({
        kind: z.literal('percent of full scale'),
        value: percentOff(),
        fullScaleMicroamps: limitInMicroamps(),
      }),
      z.strictObject({ kind: z.literal('offset microamps'), value: between(-10_000, 10_000) }),
    ],
    expecting({
      is: 'right: forms',
      forms: '{ "kind": "percent of reading", "value" }, { "kind": "offset microamps", "value" }',
      last: '{ "kind": "percent of full scale", "value", "fullScaleMicroamps" }',
    }),
  )

/** All recalls lie in one item of the table, each with the sticks of its order. */
const mostSticksInOrder = 1000

const cause = () =>
  z.union(
    [
      z
        .strictObject({
          instrumentId: registerId,
          /** the last day on which the instrument is known to have read right: a calibration, or a passed check */
          lastGoodOn: calendarDate,
          foundOutOn: calendarDate,
          /** what it reads less what is there, low figures below nought; null where nobody knows */
          error: error().nullable(),
        })
        .refine((one) => one.lastGoodOn < one.foundOutOn, {
          ...expecting({ is: 'right: after lastGoodOn' }),
          path: ['foundOutOn'],
        }),
      z.strictObject({ lot: line(64) }),
      z.strictObject({ order: line(120), stickIds: z.array(registerId).min(1).max(mostSticksInOrder) }),
    ],
    expecting({
      is: 'right: forms',
      forms: '{ "instrumentId", "lastGoodOn", "foundOutOn", "error": an error or null }, { "lot" }',
      last: '{ "order", "stickIds" }',
    }),
  )

export const recallBody = z.lazy(() => z.strictObject({ factId, cause: cause(), reason: line(400) }))
export type RecallBody = z.output<typeof recallBody>

/** The house's own figure: whoever names more has not looked. */
const mostNotFound = 1000

export const closingBody = z.lazy(() =>
  z.strictObject({
    factId,
    /** sticks that nobody found, each by its number: they stay on hold */
    notFound: z.array(registerId).max(mostNotFound).default([]),
    note: note.max(1000).optional(),
  }),
)
export type ClosingBody = z.output<typeof closingBody>
