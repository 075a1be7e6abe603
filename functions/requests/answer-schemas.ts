/**
 * The answers of the API, as schemas. The document is generated from them, and the journeys check real answers by them.
 */

import * as z from 'zod'
import { chartRules } from '../../shared-domain/bench-test/control-chart.ts'
import { marks } from '../../shared-domain/bench-test/strip.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { groupings } from '../../shared-domain/fleet/reliability.ts'
import { importKinds } from '../../shared-domain/import/choices.ts'
import { importStates } from '../../shared-domain/import/import.ts'
import { noticeKinds, undeliveredWhys } from '../../shared-domain/notices/notice.ts'
import { questionCodes } from '../../shared-domain/slips/question.ts'
import {
  evidenceKinds,
  quarterTurns,
  serviceClasses,
  statuses,
  surfaceStates,
  testReasons,
  verdicts,
} from '../../shared-domain/words.ts'

const reason = z
  .looseObject({
    code: z.string(),
    text: z.string(),
    state: z.enum(surfaceStates).optional(),
    section: z.string().optional(),
    quarterTurn: z.literal([...quarterTurns]).optional(),
    fromMetres: z.number().optional(),
    toMetres: z.number().optional(),
    leakageMicroamps: z.number().optional(),
  })
  .meta({ id: 'Reason' })

const hold = z
  .looseObject({
    ...reason.shape,
    since: calendarDate.nullable(),
    factId: z.string().nullable(),
    clearedBy: z.string(),
    /** parts that the hold's text is made of: the first of a test's reasons, a step, a source … */
    detail: z.looseObject({ reason: reason.optional(), more: z.int().optional() }).optional(),
  })
  .meta({ id: 'Hold' })

const clock = z
  .object({
    requirement: z.string(),
    words: z.string(),
    source: z.string(),
    evidence: z.array(z.enum(evidenceKinds)),
    since: calendarDate.nullable(),
    serviceClass: z.enum(serviceClasses).nullable(),
    dueOn: calendarDate.nullable(),
    useDaysLeft: z.number().optional(),
    expected: z.object({ on: calendarDate, earliest: calendarDate, latest: calendarDate }).optional(),
  })
  .meta({ id: 'Clock' })

const stickAnswer = z
  .looseObject({
    stickId: z.string(),
    status: z.enum(statuses),
    why: z.string(),
    dueOn: calendarDate.nullable(),
    daysOverdue: z.int(),
    governedBy: z
      .object({
        requirement: z.string(),
        words: z.string(),
        source: z.string(),
        since: calendarDate,
        serviceClass: z.enum(serviceClasses).nullable(),
      })
      .nullable(),
    clocks: z.array(clock),
    holds: z.array(hold),
    custody: z.looseObject({}).nullable(),
    crewId: z.string().nullable(),
    depotId: z.string().nullable(),
    /**
     * The label; null where nobody recorded one, or it was taken off. It is wrong where it shows a later date than the
     * stick is due, or is on a stick that must not be used.
     */
    label: z.object({ shows: calendarDate, since: calendarDate, isWrong: z.boolean() }).nullable(),
    /**
     * The last test from before the service was used, of which there are no readings; null where there is none, or the
     * stick has passed a full test since. The due date goes by the one of the day `countsFrom`.
     */
    testedBefore: z.object({ on: calendarDate, passed: z.boolean(), countsFrom: calendarDate.nullable() }).nullable(),
    on: calendarDate,
  })
  .meta({ id: 'Stick' })

const worst = z.looseObject({
  state: z.enum(surfaceStates),
  quarterTurn: z.literal([...quarterTurns]),
  fromMetres: z.number(),
  toMetres: z.number(),
  leakageMicroamps: z.number(),
})

const testAnswer = z.object({
  verdict: z.enum(verdicts),
  reasons: z.array(reason),
  worst: worst.nullable(),
  stick: stickAnswer,
})

const wouldFollowAnswer = testAnswer
  .partial()
  .required({ stick: true })
  /** likely slips of the keyboard; `pointer` leads into the request */
  .extend({ questions: z.array(z.looseObject({ code: z.enum(questionCodes), text: z.string(), pointer: z.string() })) })

const place = {
  section: z.string().optional(),
  quarterTurn: z.literal([...quarterTurns]),
  fromMetres: z.number(),
  toMetres: z.number(),
}

const strip = z
  .object({
    state: z.enum(surfaceStates),
    section: z.string().optional(),
    lengthMetres: z.number(),
    limitMicroamps: z.number().nullable(),
    turns: z.array(
      z.object({
        quarterTurn: z.literal([...quarterTurns]),
        cells: z.array(
          z.object({
            fromMetres: z.number(),
            toMetres: z.number(),
            leakageMicroamps: z.number().nullable(),
            mark: z.enum(marks),
          }),
        ),
      }),
    ),
  })
  .meta({ id: 'Strip' })

const trend = z
  .looseObject({
    state: z.enum(surfaceStates),
    ...place,
    points: z.int(),
    microampsPerYear: z.number(),
    limitMicroamps: z.number().nullable(),
    significant: z.boolean(),
    limitMetOn: calendarDate.nullable(),
  })
  .meta({ id: 'Trend' })

const toldTestAnswer = z
  .looseObject({
    factId: z.string(),
    occurredOn: calendarDate,
    verdict: z.enum(verdicts),
    reasons: z.array(reason),
    worst: worst.nullable(),
    strips: z.array(strip),
    likely: z.array(reason),
    inPhase: z.array(z.looseObject({ ...place, leakageMicroamps: z.number(), inPhaseMicroamps: z.number() })),
    rising: z.array(trend),
    meetsLimitBeforeDue: z.array(trend),
    /** every verdict on the test: the first one first, the one that counts last */
    judgements: z.array(
      z.object({
        recordedAt: z.string(),
        recordedBy: z.string(),
        reason: z.string().nullable(),
        verdict: z.enum(verdicts),
      }),
    ),
    test: z.looseObject({}),
  })
  .meta({ id: 'BenchTest' })

/** Remarks on parts of a report that could not be kept as they were sent. */
const remarks = z.array(z.object({ pointer: z.string(), text: z.string() })).optional()

/** The answer to a report on a stick that the reporter may not see. It says that the report is kept, and no more. */
const keptAnswer = z.strictObject({ factId: z.string(), stickId: z.string(), recorded: z.literal(true), remarks })

/** The answer to a report on a number that no stick has. */
const unplacedAnswer = z.strictObject({
  factId: z.string(),
  number: z.string(),
  recorded: z.literal(true),
  told: z.string(),
  remarks,
})

const stepAnswer = z.union([z.object({ factId: z.string(), stick: stickAnswer, remarks }), keptAnswer, unplacedAnswer])

const unplacedReport = z
  .looseObject({
    factId: z.string(),
    number: z.string(),
    what: z.string(),
    recordedAt: z.string(),
    recordedBy: z.string(),
    placed: z.object({ stickId: z.string(), by: z.string(), at: z.string() }).nullable(),
  })
  .meta({ id: 'UnplacedReport' })

const registerAnswer = z
  .looseObject({
    id: z.string(),
    edition: z.string(),
    effectiveFrom: calendarDate,
    recordedAt: z.string(),
    recordedBy: z.string(),
    /** parts of a procedure that were taken and should be looked at again */
    warnings: z.array(z.looseObject({ code: z.string(), text: z.string(), pointer: z.string() })).optional(),
    /** sticks that passed, and whose last readings are over the procedure as it was edited; the rest are at `/over` */
    over: z
      .looseObject({ items: z.array(z.looseObject({ stickId: z.string() })), next: z.string().nullable() })
      .optional(),
  })
  .meta({ id: 'RegisterEdition' })

const counted = z.union([z.int(), z.literal('1,000+')])

const rosterAnswer = z.looseObject({
  /** sticks; `dueOn` is null for one that must not be used for another reason than its date */
  items: z.array(stickAnswer),
  next: z.string().nullable(),
  /**
   * Number of sticks of each status, on the first page. They are those of the depot or crew asked for, whatever status
   * was asked for; where a lot or a part of a number was asked for, those of what was found. Counting ends at 1,000.
   */
  counts: z.object(Object.fromEntries(statuses.map((status) => [status, counted]))).optional(),
  /**
   * How far was looked for a lot or a part of a number: how many sticks' numbers were looked at, and whether that is
   * all of them and all that matched is listed. Where it is not, ask of one depot or crew, or for more of the number.
   */
  searched: z.object({ sticks: z.int(), all: z.boolean() }).optional(),
})

const outlookAnswer = z.looseObject({
  /** weeks in order, and in each the depots by number; `depotId` is null where nobody knows where the sticks lie */
  items: z.array(
    z
      .object({
        depotId: z.string().nullable(),
        /** the week as ISO 8601 writes it: `2026-W10` */
        week: z.string(),
        /** first of the days that are counted: in the week of today, today */
        from: calendarDate,
        to: calendarDate,
        /** sticks whose due date is one of these days; counting ends at 1,000 */
        sticks: counted,
        /** bench minutes; null where nobody states how many a stick takes */
        minutes: z.int().nullable(),
      })
      .meta({ id: 'OutlookWeek' }),
  ),
  next: z.string().nullable(),
  /** what is in no week ahead, by depot, or for a crew of its own sticks */
  now: z.array(
    z.object({
      depotId: z.string().nullable(),
      crewId: z.string().nullable(),
      on: calendarDate,
      overdue: counted,
      onHold: counted,
      awaitingFirstTest: counted,
    }),
  ),
  /** the reason why there are no bench minutes */
  minutesUnknown: z.string().nullable(),
})

const limits = z.object({ low: z.number(), high: z.number() }).meta({ id: 'Limits' })

/** The share of sticks that pass at the end of their interval, and what follows for the interval. */
const groupAdvice = z
  .object({
    by: z.enum(groupings),
    name: z.string(),
    passed: z.int(),
    tested: z.int(),
    /** the usual interval in whole months; null where no test came at its end */
    months: z.int().nullable(),
    /** exact limits of the share at 95 % (Clopper and Pearson) */
    limits,
    /** `months` are those that would fit, where any are named */
    advice: z.object({ code: z.string(), text: z.string(), months: z.number().nullable() }),
  })
  .meta({ id: 'GroupAdvice' })

/** A lot held against all sticks that are not of it (Fisher's exact test, one-sided). */
const lotStandingOut = z
  .object({
    lot: z.string(),
    failed: z.int(),
    tested: z.int(),
    restFailed: z.int(),
    restTested: z.int(),
    chance: z.number(),
    /** put right for how many lots were looked at (Holm) */
    chancePutRight: z.number(),
    text: z.string(),
  })
  .meta({ id: 'LotStandingOut' })

const read = {
  /** today, by which the rules are those in force */
  on: calendarDate,
  /** the depots that are the caller's to read */
  depotIds: z.array(z.string()),
  /** false where there are more sticks than one answer counts */
  isAll: z.boolean(),
}

const fleetAdviceAnswer = z.object({
  ...read,
  target: z.number(),
  sticks: z.int(),
  groups: z.array(groupAdvice),
  /** lots of which too little is known for a word each */
  lotsWithTooFew: z.int(),
  lots: z.object({
    looked: z.int(),
    /** sticks that were ever tested, and those that ever failed */
    failed: z.int(),
    tested: z.int(),
    /** said where no lot stands out */
    text: z.string().nullable(),
    standingOut: z.array(lotStandingOut),
  }),
})

const verdictCounts = { pass: z.int(), fail: z.int(), incomplete: z.int(), invalid: z.int() }

const fleetReportAnswer = z.object({
  ...read,
  year: z.int(),
  from: calendarDate,
  to: calendarDate,
  sticks: z.object({
    atEnd: z.int(),
    entered: z.int(),
    removed: z.int(),
    scrapped: z.int(),
    byConstruction: z.record(z.string(), z.int()),
  }),
  tests: z.object({
    ...verdictCounts,
    /** share of the tests that passed or failed; null where there are none */
    passRate: z.number().nullable(),
    limits: limits.nullable(),
    byReason: z.array(z.object({ reason: z.enum(testReasons), ...verdictCounts })),
  }),
  causes: z.object({
    electrical: z.int(),
    examination: z.int(),
    reports: z.array(z.object({ kind: z.string(), times: z.int() })),
  }),
  /** sticks at the end by years in service, from so many on */
  ages: z.object({ steps: z.array(z.object({ fromYears: z.int(), sticks: z.int() })), unknown: z.int() }),
  /** days by the rules of today */
  overdue: z.object({ sticks: z.int(), days: z.int() }),
  confirmations: z.object({
    matters: z.int(),
    confirmed: z.int(),
    medianHours: z.number().nullable(),
    longestHours: z.number().nullable(),
  }),
})

const checkAnswer = z
  .object({
    testedOn: calendarDate,
    at: z.string().nullable(),
    /** the test of the check and its stick; null where the stick is not the caller's to read */
    stickId: z.string().nullable(),
    factId: z.string().nullable(),
    state: z.enum(surfaceStates),
    when: z.enum(['before', 'after']),
    openMicroamps: z.number(),
    checkMicroamps: z.number(),
    procedureId: z.string(),
    /** what the procedure asked of the check by the edition that judged the test; null where it asked for none */
    expected: z
      .object({ expectedMicroamps: z.number(), tolerancePercent: z.number(), openAtMostMicroamps: z.number() })
      .nullable(),
    /** whether the check read as the procedure asked */
    isRight: z.boolean().nullable(),
  })
  .meta({ id: 'CheckReading' })

const chartedDay = z.object({
  testedOn: calendarDate,
  microamps: z.number(),
  /** distance from the reading before; null of the first, and where there are too few for limits */
  step: z.number().nullable(),
})

/** Individuals and moving range, as NIST/SEMATECH e-Handbook 6.3.2.2 has them. */
const checkSeries = z.object({
  state: z.enum(surfaceStates),
  expectedMicroamps: z.number(),
  tolerancePercent: z.number(),
  /** the first reading of each day that was taken before its tests, the oldest first */
  readings: z.array(chartedDay),
  /** null where there are too few readings, and then `text` says so */
  limits: z
    .object({
      mean: z.number(),
      low: z.number(),
      high: z.number(),
      meanStep: z.number(),
      highStep: z.number(),
      isPreliminary: z.boolean(),
    })
    .nullable(),
  text: z.string().nullable(),
  warnings: z.array(z.object({ code: z.enum(chartRules), text: z.string(), from: calendarDate, to: calendarDate })),
})

const checksAnswer = z.object({
  items: z.array(checkAnswer),
  next: z.string().nullable(),
  /** charts of all checks, on the first page alone */
  charts: z
    .object({
      /** the last calibration by today, from which readings are charted */
      since: calendarDate.nullable(),
      /** false where only the newest tests since then were looked at */
      isAll: z.boolean(),
      daysWithoutCheck: z.int(),
      series: z.array(checkSeries),
    })
    .optional(),
})

const instrumentTestAnswer = z
  .object({
    factId: z.string(),
    stickId: z.string(),
    testedOn: calendarDate,
    at: z.string().nullable(),
    /** verdict as it is known by now */
    verdict: z.enum(verdicts),
    procedureId: z.string(),
  })
  .meta({ id: 'TestWithInstrument' })

const factAnswer = z
  .looseObject({
    factId: z.string(),
    kind: z.string(),
    occurredOn: calendarDate,
    recordedAt: z.string(),
    recordedBy: z.string(),
  })
  .meta({ id: 'Fact' })

const stands = z.object({ status: z.enum(statuses), dueOn: calendarDate.nullable(), why: z.string() })

const previewAnswer = z
  .looseObject({
    sticks: z.int(),
    changed: z.int(),
    dueEarlier: z.int(),
    dueLater: z.int(),
    noLongerFit: z.int(),
    dueInMonth: z.record(z.string(), z.object({ inForce: z.int(), proposed: z.int() })),
    items: z.array(z.looseObject({ stickId: z.string(), on: calendarDate, inForce: stands, proposed: stands })),
    next: z.string().nullable(),
  })
  .meta({ id: 'PolicyPreview' })

const noticeAnswer = z
  .looseObject({
    number: z.string(),
    kind: z.enum(noticeKinds),
    /** an address that is not the reader's to know is null */
    to: z.looseObject({ name: z.string(), email: z.string().nullable(), role: z.string() }),
    day: calendarDate,
    owedAt: z.string(),
    state: z.string(),
    sentAt: z.string().nullable(),
    /** instant at which the reader's mail server took the notice */
    deliveredAt: z.string().nullable(),
    /** reason why the notice did not reach its reader */
    undeliveredWhy: z.enum(undeliveredWhys).nullable(),
    /** readers whom the notice did not reach, where it was passed on */
    passedOnFor: z.array(z.string()),
    /** instant by which the notice is to be confirmed as read, where a confirmation is asked for */
    answerBy: z.string().nullable(),
    /** instant of that confirmation */
    answeredAt: z.string().nullable(),
    /** true where the notice tells of a slip that is put right by now */
    isOfSlip: z.boolean(),
    sticks: z.array(z.string()),
    tellInPerson: z.array(
      z.object({
        name: z.string(),
        phone: z.string(),
        told: z.looseObject({ toldOn: calendarDate, by: z.string(), recordedAt: z.string() }).nullable(),
      }),
    ),
  })
  .meta({ id: 'Notice' })

const reminderAnswer = z
  .object({
    factId: z.string(),
    by: z.string(),
    at: z.string(),
    note: z.string().optional(),
    /** sticks whose readers are written to */
    stickIds: z.array(z.string()),
    /** notices owed, one a reader */
    notices: z.array(
      z.object({
        number: z.string(),
        to: z.object({ name: z.string(), email: z.string(), role: z.string() }),
        stickIds: z.array(z.string()),
        tellInPerson: z.array(z.object({ name: z.string(), phone: z.string() })),
      }),
    ),
    /** sticks of which nobody is reminded, and why */
    leftOut: z.array(z.object({ stickId: z.string(), reason })),
  })
  .meta({ id: 'Reminder' })

const markAnswer = z
  .object({
    email: z.string(),
    since: z.string(),
    why: z.enum(undeliveredWhys),
    trouble: z.string(),
    notice: z.string(),
    clearedAt: z.string().nullable(),
    clearedBy: z.string().nullable(),
    clearedFor: z.string().nullable(),
  })
  .meta({ id: 'MarkedAddress' })

const signInAnswer = z
  .object({
    personId: z.string(),
    /** whether an account of the sign-in service is bound to the person; else the next sign-in by their address is */
    isBound: z.boolean(),
    boundAt: z.string().nullable(),
    /** sessions and tokens from before this moment are refused */
    sessionsSince: z.string().nullable(),
    acts: z.array(
      z.object({
        factId: z.string(),
        act: z.enum(['set free', 'signed out']),
        reason: z.string(),
        by: z.string(),
        at: z.string(),
      }),
    ),
  })
  .meta({ id: 'SignIn' })

const feedAnswer = z
  .object({
    feedId: z.string(),
    crewId: z.string(),
    madeAt: z.string(),
    madeBy: z.string(),
    revokedAt: z.string().nullable(),
    revokedBy: z.string().nullable(),
    /**
     * true once the maker is no longer on the register of people; the crew may still read the feed until it is revoked
     */
    makerLeft: z.boolean(),
  })
  .meta({ id: 'Feed' })

const madeFeedAnswer = feedAnswer.extend({ url: z.url() })

export const problemAnswer = z
  .looseObject({
    title: z.string(),
    status: z.int(),
    detail: z.string().optional(),
    /** faults, each with the part of the request that `pointer` leads into, what came there and what would be right */
    errors: z
      .array(
        z.object({
          in: z.enum(['path', 'query', 'body']),
          pointer: z.string(),
          came: z.unknown(),
          expected: z.string(),
        }),
      )
      .optional(),
    reasons: z.array(reason).optional(),
  })
  .meta({ id: 'Problem' })

const proposal = z
  .looseObject({
    id: z.string(),
    state: z.enum(['open', 'approved', 'declined', 'fallen']),
    what: z.string(),
    entry: z.object({ register: z.string(), id: z.string() }),
    effect: z.object({
      loosens: z.array(z.looseObject({ code: z.string(), text: z.string() })),
      fleet: z.looseObject({}).nullable(),
    }),
    by: z.string(),
    at: z.string(),
    body: z.looseObject({}),
    decided: z.looseObject({ by: z.string(), at: z.string(), reason: z.string().optional() }).nullable(),
  })
  .meta({ id: 'Proposal' })

const stickOver = z.object({
  stickId: z.string(),
  factId: z.string(),
  testedOn: calendarDate,
  /** reading that governs by the procedure as it is now */
  worst: worst.nullable(),
})

const procedurePreview = z
  .object({
    /** tests that passed and were looked at */
    tests: z.int(),
    /** those of them that would not pass any more; what was judged stays */
    items: z.array(
      z.object({
        stickId: z.string(),
        factId: z.string(),
        testedOn: calendarDate,
        verdict: z.enum(verdicts),
        reasons: z.array(reason),
        worst: worst.nullable(),
      }),
    ),
    next: z.string().nullable(),
  })
  .meta({ id: 'ProcedurePreview' })

const correctionAnswer = z.looseObject({
  factId: z.string(),
  corrects: z.union([z.string(), z.looseObject({ register: z.string(), id: z.string(), edition: z.string() })]),
  reason: z.string(),
  /** fact that stands in place of the slip, and its stick */
  instead: z.object({ factId: z.string(), stickId: z.string() }).nullable().optional(),
  /**
   * progress with the tests that a corrected entry had judged: all are judged anew, or some wait for the next minutes
   */
  judgedAnew: z.enum(['all', 'goes on']).optional(),
  verdict: z.enum(verdicts).optional(),
  reasons: z.array(reason).optional(),
  worst: worst.nullable().optional(),
  /** stick whose fact was the slip */
  stick: stickAnswer.optional(),
  others: z.array(stickAnswer).optional(),
})

const dayHead = z.object({
  day: calendarDate,
  /** facts in the tree */
  size: z.int(),
  /** the hash of the whole tree (RFC 9162), in hexadecimal letters */
  root: z.string(),
  at: z.string(),
})

const decidedProposal = z.looseObject({ proposal })

const planAnswer = z.object({
  id: z.string(),
  /** whoever asked for it; null where the night did */
  by: z.string().nullable(),
  at: z.string(),
  state: z.enum(['waiting', 'planning', 'planned']),
  depotIds: z.array(z.string()),
  /** from nought to one */
  progress: z.number(),
  weeks: z.array(
    z.object({
      depotId: z.string(),
      /** its Monday */
      week: calendarDate,
      minutes: z.int(),
      capacityMinutes: z.int(),
      stickIds: z.array(z.string()),
    }),
  ),
  broken: z.array(
    z.looseObject({
      code: z.string(),
      text: z.string(),
      depotId: z.string(),
      stickIds: z.array(z.string()).optional(),
      week: calendarDate.optional(),
      minutes: z.number().optional(),
    }),
  ),
  value: z.number().nullable(),
  bound: z.number().nullable(),
})

const benchSettingsAnswer = z.looseObject({
  depotId: z.string(),
  edition: z.int(),
  recordedAt: z.string(),
  recordedBy: z.string(),
  weekMinutes: z.int(),
})

const importQuestion = z.looseObject({
  about: z.enum(['encoding', 'sheet', 'columns', 'dates', 'decimal', 'unit', 'order']),
})

const importAnswer = z.object({
  id: z.string(),
  kind: z.enum(importKinds),
  mode: z.enum(['check', 'apply']),
  goodOnly: z.boolean(),
  state: z.enum(importStates),
  by: z.string(),
  at: z.string(),
  counts: z.object({
    /** rows that were looked at so far, and all of them */
    done: z.int(),
    of: z.int(),
    added: z.int(),
    changed: z.int(),
    /** rows that say what is recorded already */
    known: z.int(),
    /** rows that loosen, and wait for a second person */
    waiting: z.int(),
    /** sticks that must not be used any more: each of their people is told of all in one mail */
    unsafe: z.int().optional(),
    faulty: z.int(),
    /** notices that people are told by */
    told: z.int(),
    /** how the sticks of the rows stand then */
    standing: z.partialRecord(z.enum(statuses), z.int()),
  }),
  /** what was said of how the file is to be read */
  said: z.looseObject({}),
  questions: z.array(importQuestion),
  /** the headings, the field of each, and the first rows */
  columns: z
    .object({
      headerRow: z.int(),
      headings: z.array(z.string()),
      mapping: z.array(z.string().nullable()),
      sample: z.array(z.array(z.string())),
    })
    .nullable(),
  /** the first hundred; column by its place from 0 */
  faults: z.array(
    z.object({
      row: z.int(),
      column: z.int().nullable(),
      field: z.string().nullable(),
      came: z.string().nullable(),
      text: z.string(),
    }),
  ),
  refused: z.object({ code: z.string(), text: z.string() }).nullable(),
  /** the form by which the file is to be sent: its fields in this order, and behind them the file as `file` */
  upload: z.object({ url: z.string(), fields: z.record(z.string(), z.string()), most: z.int() }).nullable(),
  /** where the rows that were not taken can be fetched, for some minutes */
  rest: z.string().nullable(),
})

const recallCounts = z.object({
  sticks: z.int(),
  /** must not be used, by this recall */
  held: z.int(),
  /** of those held: somebody who has it confirmed, or nobody has it in hand; lying at a bench or in a store; missing */
  confirmed: z.int(),
  broughtIn: z.int(),
  missing: z.int(),
  /** of those held: named as not found when the recall was closed */
  notFound: z.int(),
  /** freed by a full test since */
  retested: z.int(),
  /** their readings pass also when they are put right */
  cleared: z.int(),
  /** another full test had replaced the suspect one before */
  replaced: z.int(),
  removed: z.int(),
})

const recallFields = {
  id: z.string(),
  cause: z.looseObject({}),
  reason: z.string(),
  by: z.string(),
  at: z.string(),
  state: z.enum(['open', 'closed']),
  /** whether every stick is on its list and every reader told, or that goes on by itself in the next minutes */
  settled: z.enum(['all', 'goes on']),
  closed: z
    .looseObject({ by: z.string(), at: z.string(), notFound: z.array(z.string()), note: z.string().optional() })
    .nullable(),
}

const recallStick = z.looseObject({
  stickId: z.string(),
  outcome: z.enum(['held', 'retested', 'cleared', 'replaced', 'removed']),
  status: z.enum(statuses),
  crewId: z.string().nullable(),
  depotId: z.string().nullable(),
  custody: z.looseObject({}).nullable(),
  isConfirmed: z.boolean(),
  isBroughtIn: z.boolean(),
  isMissing: z.boolean(),
  hold: hold.nullable(),
  /** the highest readings of its last full test, put right by the error of the instrument */
  readings: z.array(z.looseObject({ readMicroamps: z.number(), trueMicroamps: z.number().nullable() })),
})

const recallAnswer = z.looseObject({ ...recallFields }).meta({ id: 'Recall' })
const recallProgressAnswer = z
  .looseObject({
    ...recallFields,
    counts: recallCounts,
    unconfirmed: z.array(recallStick),
    /** sticks removed for good that right readings would not have removed, for two managers to decide about */
    removals: z.array(z.object({ stickId: z.string(), removal: z.enum(['would not have been', 'in doubt']) })),
  })
  .meta({ id: 'RecallProgress' })
const recallPreviewAnswer = z
  .looseObject({ counts: recallCounts, readers: z.int(), sticks: z.array(recallStick) })
  .meta({ id: 'RecallPreview' })

const answers = {
  stick: stickAnswer,
  test: testAnswer,
  'would follow': wouldFollowAnswer,
  'told test': toldTestAnswer,
  step: stepAnswer,
  'unplaced report': unplacedReport,
  register: registerAnswer,
  roster: rosterAnswer,
  outlook: outlookAnswer,
  checks: checksAnswer,
  'fleet advice': fleetAdviceAnswer,
  'fleet report': fleetReportAnswer,
  'test with instrument': instrumentTestAnswer,
  'proof folder': z.instanceof(Uint8Array),
  paper: z.instanceof(Uint8Array),
  spreadsheet: z.instanceof(Uint8Array),
  'day head': dayHead,
  import: importAnswer,
  plan: planAnswer,
  'bench settings': benchSettingsAnswer,
  fact: factAnswer,
  preview: previewAnswer,
  notice: noticeAnswer,
  reminder: reminderAnswer,
  mark: markAnswer,
  'sign-in': signInAnswer,
  proposal,
  'sticks over': stickOver,
  'procedure preview': procedurePreview,
  correction: correctionAnswer,
  'proposal decided': decidedProposal,
  recall: recallAnswer,
  'recall progress': recallProgressAnswer,
  'recall opened': z.union([recallAnswer, recallPreviewAnswer]),
  'recall stick': recallStick,
  feed: feedAnswer,
  'made feed': madeFeedAnswer,
}
type Item = keyof typeof answers
/** A route says by this name what it answers, so that the API starts without these schemas. */
export type AnswerName = Item | `list of ${Item}`

export function answerSchema(name: AnswerName): z.ZodType {
  if (!name.startsWith('list of ')) return answers[name as Item]
  const item = answers[name.slice('list of '.length) as Item]
  return z.looseObject({ items: z.array(item), next: z.string().nullable() })
}
