/** Entries on the registers: depots, crews, people, instruments, procedures, sticks. Every `PUT` adds an edition. */
import * as z from 'zod'
import { isBelowRule, isFeetForMetres, metresPerFoot, rulesOwn } from './bench-test/withstand-rule.ts'
import { addMonths, type CalendarDate, isCalendarDate } from './calendar.ts'
import { calendarDate, timeZone } from './date-fields.ts'
import { expecting, type Fault } from './fault.ts'
import { registerId } from './identifiers.ts'
import { mailAddress } from './mail-address.ts'
import { rulePacks } from './policy/packs.ts'
import {
  airInCelsius,
  between,
  currentInMicroamps,
  diameterInMillimetres,
  frequencyInHertz,
  lengthInMetres,
  limitInMicroamps,
  lineInKilovolts,
  moreThanNought,
  noughtOrMore,
  percent,
  spanInKilovolts,
  spanInMetres,
  testInKilovolts,
} from './quantity-fields.ts'
import { line } from './text.ts'
import { constructions, demonstrationKinds, errorKinds, languages, roles, surfaceStates, unitSystems } from './words.ts'

const effectiveFrom = calendarDate.optional()
const packIds = rulePacks.map(({ id }) => id)

export const depot = z.lazy(() =>
  z.strictObject({
    name: line(120),
    timeZone,
    /** the way there, for whoever brings a stick, and when somebody takes it in: in the words of the depot */
    address: line(200).optional(),
    hours: line(120).optional(),
    /** local hour from which the morning's digests go out */
    sweepHour: z.int().min(0).max(23),
    effectiveFrom,
  }),
)
export type Depot = z.output<typeof depot>

/** English and metric unless said otherwise. */
const reader = () => ({ language: z.enum(languages).optional(), units: z.enum(unitSystems).optional() })

export const recipient = z.lazy(() =>
  z
    .strictObject({
      name: line(120),
      email: mailAddress.optional(),
      phone: line(40).optional(),
      role: z.enum(['crew', 'foreman']),
      ...reader(),
    })
    .refine((who) => who.email !== undefined || who.phone !== undefined, expecting({ is: 'right: a way to tell' })),
)
export type Recipient = z.output<typeof recipient>

export const crew = z.lazy(() =>
  z.strictObject({
    name: line(120),
    depotId: registerId,
    recipients: z.array(recipient).max(40),
    effectiveFrom,
  }),
)
export type Crew = z.output<typeof crew>

export const person = z.lazy(() =>
  z.strictObject({
    name: line(120),
    email: mailAddress,
    role: z.enum(roles),
    /** `["*"]` is every depot */
    depots: z.array(z.union([z.literal('*'), registerId], expecting({ is: 'right: every depot or one' }))).max(200),
    crewId: registerId.optional(),
    ...reader(),
    effectiveFrom,
    /** the last day, by UTC: from the next on they read, write and hear nothing */
    until: calendarDate.optional(),
  }),
)
export type Person = z.output<typeof person>

/** The house's own figure: no certificate we know of runs longer, and a slip of the year does. */
const mostMonthsOfCalibration = 36

function isTooLong(one: { calibratedOn: CalendarDate; calibrationDueOn: CalendarDate }): boolean {
  // text that is no date comes here too, and has a fault of its own already
  if (!isCalendarDate(one.calibratedOn)) return false
  // the end could not be told near the last year that a date can say; nothing was calibrated there
  return one.calibratedOn > '9990' || one.calibrationDueOn > addMonths(one.calibratedOn, mostMonthsOfCalibration)
}

/** A calibration that has not begun yet is what no certificate says. `today` is where the day has come furthest. */
export function calibrationAhead({ calibratedOn }: { calibratedOn: CalendarDate }, today: CalendarDate): Fault[] {
  if (calibratedOn <= today) return []
  return [
    { pointer: '/calibratedOn', came: calibratedOn, expected: { is: 'right: not after, check the year', last: today } },
  ]
}

/** The error that an instrument read with; a negative figure reads low. */
const readingError = () =>
  z
    .strictObject({
      kind: z.enum(errorKinds),
      value: between(-1_000_000, 1_000_000),
      fullScaleMicroamps: limitInMicroamps().optional(),
    })
    .refine(
      ({ kind, fullScaleMicroamps }) => (kind === 'percent of full scale') === (fullScaleMicroamps !== undefined),
      {
        ...expecting({ is: 'right: the full scale' }),
        path: ['fullScaleMicroamps'],
      },
    )

export const instrument = z.lazy(() =>
  z
    .strictObject({
      spanMetres: spanInMetres(),
      calibratedOn: calendarDate,
      calibrationDueOn: calendarDate,
      expandedUncertaintyPercent: percent().optional(),
      /**
       * the voltage across its span, where that is known: a limit stated for another voltage or frequency is then no
       * limit
       */
      kilovolts: spanInKilovolts().optional(),
      hertz: frequencyInHertz().optional(),
      /** true where the instrument was found at this calibration to have read wrong */
      foundOutOfTolerance: z.boolean().optional(),
      /** the error found, where the calibration states it */
      foundError: readingError().optional(),
      /** the number of the certificate, and the laboratory that wrote it */
      certificate: line(64).optional(),
      laboratory: line(120).optional(),
      effectiveFrom,
    })
    .refine((one) => one.calibratedOn <= one.calibrationDueOn, {
      ...expecting({ is: 'right: on or after calibratedOn' }),
      path: ['calibrationDueOn'],
    })
    .refine((one) => !isTooLong(one), {
      ...expecting({ is: 'right: soon after calibratedOn', months: mostMonthsOfCalibration }),
      path: ['calibrationDueOn'],
    })
    .refine((one) => one.foundError === undefined || one.foundOutOfTolerance === true, {
      ...expecting({ is: 'right: found to have read wrong' }),
      path: ['foundOutOfTolerance'],
    }),
)
export type Instrument = z.output<typeof instrument>

const band = (most: number) =>
  z
    .tuple([noughtOrMore(most), moreThanNought(most)])
    .refine(([from, to]) => from <= to, expecting({ is: 'right: a band' }))

/** The house's own figure: no stick is thinner than 10 mm, and one that is so on paper has its inches typed in. */
const leastDiameter = 10
const inchesForMillimetres = expecting({ is: 'right: millimetres', least: leastDiameter })

export const limit = z.lazy(() =>
  z.strictObject({
    construction: z.enum(constructions),
    state: z.enum(surfaceStates),
    microamps: limitInMicroamps(),
    /** the place where the employer took the figure from: document, edition, section */
    source: line(400),
    diameterMillimetres: band(500)
      .refine(([, to]) => to >= leastDiameter, inchesForMillimetres)
      .optional(),
    spanMetres: spanInMetres().optional(),
    kilovolts: spanInKilovolts().optional(),
    hertz: frequencyInHertz().optional(),
  }),
)
export type Limit = z.output<typeof limit>

const expectedCheck = z.lazy(() =>
  z.strictObject({
    state: z.enum(surfaceStates),
    expectedMicroamps: limitInMicroamps(),
    /** the house's own figure: a check that half the current satisfies tells no instrument from a broken one */
    tolerancePercent: percent().refine((tolerance) => tolerance < 50, expecting({ is: 'right: less than', most: 50 })),
    openAtMostMicroamps: currentInMicroamps(),
    /** the check is asked for again after the last reading */
    afterToo: z.boolean().optional(),
  }),
)

const window = (quantity: z.ZodNumber) =>
  z.tuple([quantity, quantity]).refine(([from, to]) => from <= to, expecting({ is: 'right: a window' }))

/**
 * The figures of a withstand test where they are not the rule's own voltage and time: 29 CFR 1910.269(j)(2)(iii)(E)(3)
 * lets the employer demonstrate another test as equivalent, and other countries state tests of their own.
 */
const statedWithstand = () =>
  z.strictObject({
    construction: z.enum(constructions),
    /** a test for first issue, or of a stick in service */
    when: z.enum(['new', 'in service']),
    /** the lines by voltage, phase to phase, that the sticks are used on; all lines where it is left out */
    lineKilovolts: band(1500).optional(),
    voltage: z.union(
      [
        z.strictObject({ kilovoltsPerFoot: moreThanNought(1000) }),
        z.strictObject({ kilovoltsPerMetre: moreThanNought(3000) }),
        /** the voltage across each span, however long */
        z.strictObject({ kilovolts: testInKilovolts() }),
        z.strictObject({
          times: moreThanNought(10),
          of: z.enum(['line voltage', 'phase voltage']),
          atLeastKilovolts: testInKilovolts().optional(),
        }),
      ],
      expecting({
        is: 'right: forms',
        forms: '{ "kilovoltsPerFoot" }, { "kilovoltsPerMetre" }, { "kilovolts" }',
        last: '{ "times", "of", "atLeastKilovolts" }',
      }),
    ),
    seconds: moreThanNought(3600),
    /** document and section */
    source: line(400),
    /** the demonstration that a figure below the rule's own proves as much; each test by it names it too */
    demonstrationId: registerId.optional(),
  })

const withstandTest = z.lazy(() =>
  statedWithstand()
    .refine((one) => !isFeetForMetres(one), { error: inMetresInstead, path: ['voltage'] })
    .refine((one) => one.demonstrationId !== undefined || !isBelowRule(one), {
      error: belowRule,
      path: ['demonstrationId'],
    }),
)

const rounded = (kilovolts: number) => Math.round(kilovolts * 10) / 10

function inMetresInstead({ input }: { input: unknown }): string {
  const { construction, when } = input as WithstandTest // a refined value has its shape
  const { kilovoltsPerFoot } = rulesOwn(construction, when)
  const perMetre = rounded(kilovoltsPerFoot / metresPerFoot)
  return expecting({ is: 'right: kilovolts per metre', perFoot: kilovoltsPerFoot, perMetre }).error
}

function belowRule({ input }: { input: unknown }): string {
  const { construction, when } = input as WithstandTest // a refined value has its shape
  const { kilovoltsPerFoot, seconds } = rulesOwn(construction, when)
  return expecting({ is: 'right: demonstration', perFoot: kilovoltsPerFoot, seconds }).error
}

export type WithstandTest = z.output<ReturnType<typeof statedWithstand>>

export const procedure = z.lazy(() =>
  z.strictObject({
    title: line(200),
    approvedBy: line(120),
    leastOverlapMetres: noughtOrMore(10),
    comparison: z.enum(['not more than', 'less than']),
    decision: z.enum(['simple', 'guarded']),
    checks: z.array(expectedCheck).max(20),
    limits: z.array(limit).max(500),
    /** the employer's tests; those that cover a stick stand in place of the rule's own figures, all of them */
    withstand: z.array(withstandTest).max(100).optional(),
    /** the sticks it is for; a procedure that does not name them does not judge them */
    sticks: z.array(registerId).min(1).max(2000).optional(),
    /** the most the mist may conduct; to be measured and recorded where it is stated */
    waterConductivityAtMostMicrosiemensPerCm: moreThanNought(100_000).optional(),
    /** windows outside which a reading proves nothing; to be measured and recorded where they are stated */
    ambient: z
      .strictObject({
        celsius: window(airInCelsius()).optional(),
        relativeHumidityPercent: window(percent()).optional(),
      })
      .optional(),
    effectiveFrom,
  }),
)
export type Procedure = z.output<typeof procedure>

/**
 * The employer's demonstration in place of what a rule asks: that an examination alone is enough (29 CFR
 * 1910.269(j)(2)(iii)(C)(2)), or that another withstand test, or readings of leakage, prove as much as the rule's
 * (…(E)(3)). A demonstration counts once two people stand for it, and a test names it.
 */
export const demonstration = z.lazy(() =>
  z.strictObject({
    kind: z.enum(demonstrationKinds),
    /** the person or body that demonstrates it */
    by: line(120),
    /** the evidence: what was shown, on what grounds, and where it is kept */
    grounds: line(400),
    effectiveFrom,
    /** the last day on which the demonstration counts */
    until: calendarDate.optional(),
  }),
)
export type Demonstration = z.output<typeof demonstration>

/** The organisation itself, entered when it is made: which rule packs bind where it works. Leaving one takes two. */
export const organisation = z.lazy(() =>
  z.strictObject({
    name: line(120),
    packs: z.array(z.enum(packIds)).min(1).max(20),
    effectiveFrom,
  }),
)
export type OrganisationEntry = z.output<typeof organisation>

export const stick = z.lazy(() =>
  z
    .strictObject({
      construction: z.enum(constructions),
      workingLengthMetres: lengthInMetres(),
      diameterMillimetres: diameterInMillimetres().refine((size) => size >= leastDiameter, inchesForMillimetres),
      /** true where the stick is relied on for primary employee protection (29 CFR 1910.269(j)(2)(iii)) */
      primaryProtection: z.boolean(),
      crewId: registerId.optional(),
      lot: line(64).optional(),
      /** the highest voltage of the lines it is used on, phase to phase */
      lineKilovolts: lineInKilovolts().optional(),
      inServiceSince: calendarDate.optional(),
      /** the sections of a telescoping stick, in order from the working end */
      sections: z
        .array(z.strictObject({ name: line(40), lengthMetres: lengthInMetres() }))
        .min(1)
        .max(20)
        .optional(),
      /**
       * the stick is the one that was tested, though its lot or first day of service is another now; counts once two
       * say so
       */
      sameStick: z.literal(true).optional(),
      effectiveFrom,
    })
    .superRefine((one, context) => {
      const names = one.sections?.map((section) => section.name) ?? []
      if (new Set(names).size !== names.length) {
        const { error: message } = expecting({ is: 'right: sections that differ' })
        context.addIssue({ code: 'custom', path: ['sections'], message })
      }
    }),
)
export type Stick = z.output<typeof stick>
