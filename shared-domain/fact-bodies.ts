/** Facts of a stick as people hand them in: what the doors accept. Facts as they are kept stand in `facts.ts`. */
import * as z from 'zod'
import { instrumentCheck } from './bench-test/bench-test.ts'
import { calendarDate, localTime } from './date-fields.ts'
import { expecting } from './fault.ts'
import { factId, registerId } from './identifiers.ts'
import { placeInMetres } from './quantity-fields.ts'
import { line, note } from './text.ts'
import { defectKinds, testReasons, useConditions } from './words.ts'

const occurrence = () => ({ factId, occurredOn: calendarDate, at: localTime.optional() })

/**
 * No slip in its day, its hour or its letters may keep a report of danger out. What has the shape of a date and of an
 * hour is taken as stated. Where there is no such time, or it is still to come, the report stands at the hour of its
 * recording.
 */
const reported = () => ({
  factId,
  occurredOn: z.string().regex(/^\d{4}-\d{2}-\d{2}$/, expecting({ is: 'right: a date as written' })),
  at: z
    .string()
    .regex(/^\d{2}:\d{2}$/, expecting({ is: 'right: an hour' }))
    .optional(),
  note: z.string().max(4000).optional(),
})

/** The schemas to which the same fields are held in a body that reports no danger. */
const heldToWithoutDanger = () => ({ occurredOn: calendarDate, at: localTime, note, by: line(120) })

/** Holds a body to the strict fields unless, by what it says, it reports danger. */
function strictUnless<Shape extends ReturnType<typeof reported>>(
  isDanger: (body: object) => boolean,
  body: z.ZodObject<Shape, z.core.$strict>,
) {
  const heldTo = heldToWithoutDanger()
  const when = ({ value }: z.core.ParsePayload) => typeof value === 'object' && value !== null && !isDanger(value)
  const fields = (Object.keys(heldTo) as (keyof typeof heldTo)[]).filter((field) => field in body.shape)
  return fields.reduce((so, field) => {
    const has = (value: object): unknown => (value as Record<string, unknown>)[field]
    const lenient = body.shape[field as keyof Shape] as z.ZodType
    const fits = (value: object) =>
      !lenient.safeParse(has(value)).success || heldTo[field].optional().safeParse(has(value)).success
    const error = ({ input }: { input: unknown }) =>
      heldTo[field].safeParse(has(input as object)).error?.issues[0]?.message
    return so.refine(fits, { path: [field], error, when })
  }, body)
}

export const correctiveStep = z.lazy(() =>
  z.strictObject({
    ...occurrence(),
    kind: z.enum(['cleaned', 'waxed', 'refinished', 'repaired']),
    by: line(120),
    note: note.optional(),
  }),
)
export type CorrectiveStep = z.output<typeof correctiveStep>

export const use = z.lazy(() =>
  z.strictObject({
    ...occurrence(),
    days: z.int().min(1).max(366).default(1),
    conditions: z.array(z.enum(useConditions)).max(4).default([]),
    note: note.optional(),
  }),
)
export type Use = z.output<typeof use>

/** The parts of a stick, for whoever cannot say a place in metres. */
export const stickParts = ['working end', 'middle', 'hand end'] as const

/** Where along the stick it is, as its reporter points to it. Nothing is judged by it: the bench looks there first. */
const pointedTo = () =>
  z.union(
    [
      z.strictObject({ part: z.enum(stickParts) }),
      z.strictObject({
        section: line(40).optional(),
        fromMetres: placeInMetres(),
        toMetres: placeInMetres(),
      }),
    ],
    expecting({ is: 'right: forms', forms: '{ "fromMetres", "toMetres", "section" }', last: '{ "part" }' }),
  )

export const defect = z.lazy(() =>
  z.strictObject({ ...reported(), kind: z.enum(defectKinds), place: pointedTo().optional() }),
)
export type Defect = z.output<typeof defect>

export const destination = z.lazy(() =>
  z.union(
    [
      z.strictObject({ crewId: registerId }),
      z.strictObject({ store: registerId }),
      z.strictObject({ bench: registerId }),
      z.strictObject({
        lentTo: line(120),
        returnBy: calendarDate.refine((day) => day < '3000', expecting({ is: 'right: before the year 3000' })),
      }),
      z.literal(['missing', 'found', 'scrapped']),
    ],
    expecting({
      is: 'right: forms',
      forms: '{ "crewId" }, { "store": depot }, { "bench": depot }, { "lentTo", "returnBy": date }, "missing", "found"',
      last: '"scrapped"',
    }),
  ),
)
export type Destination = z.output<typeof destination>

export const move = z.lazy(() =>
  strictUnless(
    (body) => 'to' in body && (body.to === 'missing' || body.to === 'found'),
    z.strictObject({ ...reported(), to: destination }),
  ).refine((body) => !endsBeforeItBegins(body), {
    path: ['to', 'returnBy'],
    error: ({ input }) => lentOn(input as { occurredOn: string }),
    // a wrong order of dates is said beside the other faults of a body, as far as both dates can be read
    when: ({ value }) => typeof value === 'object' && value !== null,
  }),
)

const lentOn = ({ occurredOn: first }: { readonly occurredOn: string }) =>
  expecting({ is: 'right: not before it is lent', first }).error

function endsBeforeItBegins({ occurredOn, to }: { readonly occurredOn?: unknown; readonly to?: unknown }): boolean {
  const returnBy = typeof to === 'object' && to !== null && 'returnBy' in to ? to.returnBy : undefined
  return typeof returnBy === 'string' && typeof occurredOn === 'string' && returnBy < occurredOn
}

export type Move = z.output<typeof move>

/** The maker's certificate that came with a new stick. */
export const certificate = z.lazy(() =>
  z.strictObject({
    ...occurrence(),
    issuedBy: line(120),
    number: line(120).optional(),
    note: note.optional(),
  }),
)
export type Certificate = z.output<typeof certificate>

/** A look at a stick for its presence and condition; what is not sound is told as a defect. */
export const conditionCheck = z.lazy(() =>
  strictUnless(
    (body) => 'sound' in body && body.sound === false,
    z.strictObject({ ...reported(), by: z.string().max(120), sound: z.boolean() }),
  ),
)
export type ConditionCheck = z.output<typeof conditionCheck>

/**
 * A test from before the service was used, of which nothing is known but its day and its result. What it says of its
 * instrument is in the words of whoever kept that list.
 */
export const testedBefore = z.lazy(() =>
  z.strictObject({
    factId,
    testedOn: calendarDate,
    at: localTime.optional(),
    passed: z.boolean(),
    testedBy: line(120).optional(),
    reason: z.enum(testReasons).optional(),
    instrumentId: line(120).optional(),
    note: note.optional(),
  }),
)
export type TestedBefore = z.output<typeof testedBefore>

/** A test from before is to count for the due date: a manager says why, and a second person approves. */
export const countingBefore = z.lazy(() => z.strictObject({ factId, counts: factId, reason: line(400) }))
export type CountingBefore = z.output<typeof countingBefore>

/** Somebody looked at the paper after the records were brought back from a backup, and they say the same by now. */
export const paperLook = z.lazy(() => z.strictObject({ ...occurrence(), note: note.optional() }))
export type PaperLook = z.output<typeof paperLook>

/** A second person has looked at a stick that failed and passed since, and lets it go back. */
export const release = z.lazy(() => z.strictObject({ ...occurrence(), note: note.optional() }))
export type Release = z.output<typeof release>

/**
 * Somebody responsible takes a stick out of service for good, for whatever reason: a recall, its age, what a test
 * cannot show.
 */
export const removal = z.lazy(() => z.strictObject({ ...occurrence(), reason: line(400), note: note.optional() }))
export type Removal = z.output<typeof removal>

/**
 * A change of the label on a stick. The date that a label shows is stated with it, and there is none once it is taken
 * off.
 */
export const labelChange = z.lazy(() =>
  z.discriminatedUnion(
    'kind',
    [
      z.strictObject({ ...occurrence(), kind: z.literal('fixed'), shows: calendarDate, note: note.optional() }),
      z.strictObject({ ...occurrence(), kind: z.literal('taken off'), note: note.optional() }),
    ],
    expecting({ is: 'right: forms', forms: '"fixed"', last: '"taken off"' }),
  ),
)
export type LabelChange = z.output<typeof labelChange>

/**
 * A bench test is to be judged by what is known by now: a certificate that came late, an instrument's entry put right,
 * a check of the day and instrument of the test that nobody had typed in. The readings are not handed in again.
 */
export const judgedAgain = z.lazy(() =>
  z.strictObject({
    factId,
    reason: line(400),
    /** checks beside those of the test, never in place of them */
    instrumentChecks: z.array(instrumentCheck).max(40).optional(),
  }),
)
export type JudgedAgain = z.output<typeof judgedAgain>

/** Registers by which tests are judged; of the others a new edition of the same day stands in place of a slip. */
const correctedRegisters = ['instrument', 'procedure', 'policy', 'demonstration'] as const

const editionNamed = z.strictObject({
  register: z.enum(correctedRegisters),
  id: registerId,
  edition: z.string().regex(/^\d{4}-\d{2}-\d{2}#\d{4,6}$/, expecting({ is: 'right: an edition' })),
})

/**
 * Something that was recorded was a slip. Its replacement is a whole body of its kind, checked once it is known what
 * the slip was. With another stick named and no replacement, the fact is moved there as it is.
 */
export const correction = z.lazy(() =>
  z.strictObject({
    factId,
    corrects: z.union(
      [factId, editionNamed],
      expecting({ is: 'right: what is corrected', shape: '{ register, id, edition }' }),
    ),
    reason: line(400),
    replacement: z
      .unknown()
      .describe('a whole body of the kind of what is corrected, a fact with a factId of its own; null withdraws it'),
    stickId: registerId.optional(),
  }),
)
export type AnyCorrection = z.output<typeof correction>
/** A correction of a fact of a stick. */
export interface Correction extends AnyCorrection {
  readonly corrects: string
}
/** A correction of an edition of a register's entry. */
export interface EditionCorrection extends AnyCorrection {
  readonly corrects: z.output<typeof editionNamed>
}
