/** What is on the registers: depots, crews, people, instruments, procedures, sticks. Every `PUT` adds an edition. */
import * as z from 'zod'
import { calendarDate, timeZone } from './calendar.ts'
import { mailAddress } from './mail-address.ts'
import { constructions, languages, roles, surfaceStates, unitSystems } from './words.ts'

/** Names of one's own making: no control or invisible characters, nothing that needs escaping in a key. */
export const registerId = z.string().regex(/^[A-Za-z0-9](?:[A-Za-z0-9._-]{0,62}[A-Za-z0-9])?$/, {
  error:
    'an identifier of 1 to 64 letters, digits, dots, hyphens or underscores, beginning and ending with a letter or digit',
})

/**
 * Control characters and line breaks would become headers; overrides of writing direction and invisible fillers make one
 * name look like another. The two joiners stay: several scripts cannot be written without them.
 */
const hidden = /[\p{Cc}\p{Zl}\p{Zp}\u00AD\u061C\u200B\u200E\u200F\u202A-\u202E\u2060-\u2069\uFEFF]/u

/** Text for people: kept as typed; line breaks and other control characters would become headers or hide content. */
export const line = (most: number) =>
  z
    .string()
    .max(most)
    .refine((text) => text.trim().length > 0 && !hidden.test(text) && /[\p{L}\p{N}]/u.test(text), {
      error: `text on one line of 1 to ${most} characters, with a letter or digit in it`,
    })

/** A remark: may be empty and may have several lines. */
export const note = z.string().max(4000)

/** What people can be shown of a text, for what is kept however it was written; whether something was left out. */
export function shownText(text: string): { readonly text: string; readonly leftOut: boolean } {
  const shown = [...text].filter((letter) => letter === '\n' || !hidden.test(letter)).join('')
  return { text: shown, leftOut: shown !== text }
}

const metresLong = z.number().min(0.1).max(30)
const effectiveFrom = calendarDate.optional()

export const depot = z.strictObject({
  name: line(120),
  timeZone,
  /** local hour from which the morning's digests go out */
  sweepHour: z.int().min(0).max(23),
  effectiveFrom,
})
export type Depot = z.output<typeof depot>

/** English and metric unless said otherwise. */
const reader = { language: z.enum(languages).optional(), units: z.enum(unitSystems).optional() }

export const recipient = z
  .strictObject({
    name: line(120),
    email: mailAddress.optional(),
    phone: line(40).optional(),
    role: z.enum(['crew', 'foreman']),
    ...reader,
  })
  .refine((who) => who.email !== undefined || who.phone !== undefined, {
    error: 'an email or a phone, so that this person can be told',
  })
export type Recipient = z.output<typeof recipient>

export const crew = z.strictObject({
  name: line(120),
  depotId: registerId,
  recipients: z.array(recipient).max(40),
  effectiveFrom,
})
export type Crew = z.output<typeof crew>

export const person = z.strictObject({
  name: line(120),
  email: mailAddress,
  role: z.enum(roles),
  /** `["*"]` is every depot */
  depots: z.array(z.union([z.literal('*'), registerId])).max(200),
  crewId: registerId.optional(),
  ...reader,
  effectiveFrom,
})
export type Person = z.output<typeof person>

export const instrument = z
  .strictObject({
    spanMetres: z.number().positive().max(10),
    calibratedOn: calendarDate,
    calibrationDueOn: calendarDate,
    expandedUncertaintyPercent: z.number().min(0).max(100).optional(),
    /** what it applies across its span, where that is known: a limit stated for another voltage or frequency is then no limit */
    kilovolts: z.number().positive().max(1000).optional(),
    hertz: z.number().positive().max(1000).optional(),
    effectiveFrom,
  })
  .refine((one) => one.calibratedOn <= one.calibrationDueOn, {
    error: 'a date on or after calibratedOn',
    path: ['calibrationDueOn'],
  })
export type Instrument = z.output<typeof instrument>

const band = z
  .tuple([z.number().min(0), z.number().positive()])
  .refine(([from, to]) => from <= to, { error: 'a band written [from, to] with from not above to' })

export const limit = z.strictObject({
  construction: z.enum(constructions),
  state: z.enum(surfaceStates),
  microamps: z.number().positive().max(1_000_000),
  /** where the employer took the figure from: document, edition, section */
  source: line(400),
  diameterMillimetres: band.optional(),
  spanMetres: z.number().positive().optional(),
  kilovolts: z.number().positive().optional(),
  hertz: z.number().positive().optional(),
})
export type Limit = z.output<typeof limit>

const expectedCheck = z.strictObject({
  state: z.enum(surfaceStates),
  expectedMicroamps: z.number().positive(),
  tolerancePercent: z.number().min(0).max(100),
  openAtMostMicroamps: z.number().min(0),
  /** asked for again after the last reading */
  afterToo: z.boolean().optional(),
})

const window = z
  .tuple([z.number(), z.number()])
  .refine(([from, to]) => from <= to, { error: 'a window written [from, to] with from not above to' })

/**
 * What a withstand test is held to where that is not the rule's own voltage and time: 29 CFR 1910.269(j)(2)(iii)(E)(3) lets
 * the employer demonstrate another test as equivalent, and other countries state tests of their own.
 */
const withstandTest = z.strictObject({
  construction: z.enum(constructions),
  /** of a test for first issue, or of a stick in service */
  when: z.enum(['new', 'in service']),
  /** of sticks used on lines of these voltages, phase to phase; of all where it is left out */
  lineKilovolts: band.optional(),
  voltage: z.union(
    [
      z.strictObject({ kilovoltsPerFoot: z.number().positive().max(1000) }),
      z.strictObject({ kilovoltsPerMetre: z.number().positive().max(3000) }),
      /** across each span, however long */
      z.strictObject({ kilovolts: z.number().positive().max(5000) }),
      z.strictObject({
        times: z.number().positive().max(10),
        of: z.enum(['line voltage', 'phase voltage']),
        atLeastKilovolts: z.number().positive().max(5000).optional(),
      }),
    ],
    {
      error:
        '{ "kilovoltsPerFoot" }, { "kilovoltsPerMetre" }, { "kilovolts" } or { "times", "of", "atLeastKilovolts" }',
    },
  ),
  seconds: z.number().positive().max(3600),
  /** document and section, or the employer's demonstration */
  source: line(400),
})
export type WithstandTest = z.output<typeof withstandTest>

export const procedure = z.strictObject({
  title: line(200),
  approvedBy: line(120),
  leastOverlapMetres: z.number().min(0).max(10),
  comparison: z.enum(['not more than', 'less than']),
  decision: z.enum(['simple', 'guarded']),
  checks: z.array(expectedCheck).max(20),
  limits: z.array(limit).max(500),
  /** those that cover a stick stand in place of the rule's own figures, all of them */
  withstand: z.array(withstandTest).max(100).optional(),
  /** where the employer keeps the demonstration that readings of leakage are equivalent to the rule's withstand test */
  equivalence: line(400).optional(),
  /** the most the mist may conduct; to be measured and recorded where it is stated */
  waterConductivityAtMostMicrosiemensPerCm: z.number().positive().optional(),
  /** outside these windows a reading proves nothing; to be measured and recorded where they are stated */
  ambient: z.strictObject({ celsius: window.optional(), relativeHumidityPercent: window.optional() }).optional(),
  effectiveFrom,
})
export type Procedure = z.output<typeof procedure>

export const stick = z
  .strictObject({
    construction: z.enum(constructions),
    workingLengthMetres: metresLong,
    diameterMillimetres: z.number().positive().max(500),
    /** relied on for primary employee protection (29 CFR 1910.269(j)(2)(iii)) */
    primaryProtection: z.boolean(),
    crewId: registerId.optional(),
    lot: line(64).optional(),
    /** the highest voltage of the lines it is used on, phase to phase */
    lineKilovolts: z.number().positive().max(1500).optional(),
    inServiceSince: calendarDate.optional(),
    /** of a telescoping stick, in order from the working end */
    sections: z
      .array(z.strictObject({ name: line(40), lengthMetres: metresLong }))
      .min(1)
      .max(20)
      .optional(),
    effectiveFrom,
  })
  .superRefine((one, context) => {
    const names = one.sections?.map((section) => section.name) ?? []
    if (new Set(names).size !== names.length) {
      context.addIssue({ code: 'custom', path: ['sections'], message: 'sections with names that differ' })
    }
  })
export type Stick = z.output<typeof stick>
