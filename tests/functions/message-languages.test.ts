import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { catalogue, type Entry } from '../../functions/deliver-notices/catalogue.ts'
import { messageOf } from '../../functions/deliver-notices/message.ts'
import { reasons } from '../../functions/deliver-notices/reasons.ts'
import { placesOf, reasonFor, wordingFor } from '../../functions/deliver-notices/wording.ts'
import { words } from '../../functions/deliver-notices/words.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import { againstExaminationAlone } from '../../shared-domain/bench-test/examination.ts'
import { type JudgedBy, judge } from '../../shared-domain/bench-test/judge.ts'
import { failureOf } from '../../shared-domain/bench-test/withstand.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { type NoticeKind, noticeKinds, type StickLine } from '../../shared-domain/notices/notice.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { entryDifferences, type Hold, holdFor, identities } from '../../shared-domain/state/hold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { constructions, defectKinds, statuses, stoppingEvents, testReasons, waters } from '../../shared-domain/words.ts'
import { anyCase } from '../domain/bench-test/any-case.ts'
import { check, judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from '../domain/bench-test/fixtures.ts'
import { day, happened, history, usPolicy } from '../support/trade.ts'

const asRecorded = { language: 'en', units: 'metric' } as const
const spanish = { language: 'es', units: 'metric' } as const
const inFeet = { language: 'en', units: 'US customary' } as const

/** What a Spanish mail says beside a sentence that it can only quote. */
const quoted = 'texto original en inglés'

const entries: [string, Entry][] = Object.entries<Entry>({ ...catalogue, ...reasons })

describe('the catalogue', () => {
  test('has every entry in both languages, and the same places with the same kinds in each', () => {
    expect(entries.length).toBeGreaterThan(90)
    const places = (text: string) =>
      placesOf(text)
        .map(({ name, kind }) => `${name}:${kind}`)
        .toSorted()
    for (const [name, { en, es }] of entries) {
      expect([name, en.trim() === '', es.trim() === ''], name).toEqual([name, false, false])
      expect(places(es), name).toEqual(places(en))
    }
  })

  test('says nothing in Spanish that is only the English again', () => {
    const same = entries
      .filter(([, { en, es }]) => en.replace(/\{.*?\}/g, '') !== '' && en === es)
      .map(([name]) => name)
    expect(same).toEqual(['at'])
  })

  test('names only kinds of places there are', () => {
    const kinds = ['text', 'number', 'date', 'periods', 'length', 'figure', 'small', ...Object.keys(words)]
    for (const [name, { en }] of entries) for (const { kind } of placesOf(en)) expect(kinds, name).toContain(kind)
  })

  test('has a Spanish word for every word of the trade, and none that is the English', () => {
    for (const [kind, dictionary] of Object.entries<{ [word: string]: string }>(words)) {
      for (const [english, word] of Object.entries(dictionary)) {
        expect(word.trim(), `${kind} ${english}`).not.toBe('')
        expect(word, kind).not.toBe(english)
      }
    }
    const asked = {
      status: statuses,
      construction: constructions,
      defect: defectKinds,
      reason: testReasons,
      water: waters,
      event: stoppingEvents,
      entry: entryDifferences,
      identity: identities,
    }
    for (const [kind, all] of Object.entries(asked))
      expect(Object.keys(words[kind as keyof typeof asked]).toSorted()).toEqual([...all].toSorted())
  })
})

const cause = { since: day('2026-03-02'), factId: 'F-1' }
const overLimit: Reason = {
  code: 'reading-over-limit',
  text: 'Wet, section tip, quarter turn 90°, 0.9 to 1.2 m: 21 µA; the limit is not more than 20 µA (Employer’s table 4 (2025), row 2)',
  state: 'wet',
  section: 'tip',
  quarterTurn: 90,
  fromMetres: 0.9,
  toMetres: 1.2,
  leakageMicroamps: 21,
}
const inShort = { text: `${overLimit.text} (and 2 more)`, detail: { reason: overLimit, more: 2 } }

/** One of each, so that a hold added to the domain is missed here. */
const everyHold: { readonly [kind in keyof typeof holdFor]: readonly Hold[] } = {
  failedTest: [holdFor.failedTest(cause, inShort)],
  failedExamination: [
    holdFor.failedExamination(cause, inShort, 'repair'),
    holdFor.failedExamination(cause, inShort, 'cleaning'),
  ],
  notMended: [holdFor.notMended(cause, 'repair'), holdFor.notMended(cause, 'cleaning')],
  notWaxed: [false, true].map((first) => holdFor.notWaxed(cause, '29 CFR 1910.269(j)(2)(iii)(B)', first)),
  reportedAgain: defectKinds.map((kind) =>
    holdFor.reportedAgain(holdFor.defectReported(cause, kind), holdFor.defectReported(cause, kind)),
  ),
  unprovenTest: [holdFor.unprovenTest(cause, 'invalid', inShort), holdFor.unprovenTest(cause, 'incomplete', inShort)],
  noCorrectiveStep: [holdFor.noCorrectiveStep(cause)],
  testAfterRepair: [holdFor.testAfterRepair(cause, 'refinished'), holdFor.testAfterRepair(cause, 'repaired')],
  defectReported: defectKinds.map((kind) => holdFor.defectReported(cause, kind)),
  releaseAwaited: [holdFor.releaseAwaited(cause)],
  stoppedBy: stoppingEvents.map((event) => holdFor.stoppedBy(cause, event, 'UFC 3-560-01 5-4.4')),
  shelfLimit: [holdFor.shelfLimit(day('2025-06-30'), 12, 'MO-200 4.2')],
  restingInStore: [holdFor.restingInStore(day('2026-02-01'), 'Art. 351')],
  reportedMissing: [holdFor.reportedMissing(cause)],
  undone: [holdFor.undone(cause, 'removal'), holdFor.undone(cause, 'end of service')],
  found: [holdFor.found(cause, true), holdFor.found(cause, false)],
  entryChanged: entryDifferences.map((entry) => holdFor.entryChanged(day('2026-03-02'), entry)),
  anotherStick: identities.map((identity) =>
    holdFor.anotherStick(day('2026-03-02'), { identity, was: 'L-7', is: 'L-9' }),
  ),
  notRegistered: [holdFor.notRegistered()],
  policyMissing: [holdFor.policyMissing()],
  woodForbidden: [holdFor.woodForbidden()],
  noRequirement: constructions.map((construction) => holdFor.noRequirement(construction)),
}
const holds = Object.values(everyHold).flat()

describe('holds', () => {
  test('are built anew in English word for word as they were recorded, but for lengths and readings', () => {
    for (const hold of holds.filter(({ code }) => code !== 'failed-test')) {
      const { text, clearedBy } = wordingFor(inFeet).hold(hold)
      expect(text).toBe(hold.text.replace('0.9 to 1.2 m', '2 ft 11.4 in to 3 ft 11.2 in'))
      expect(clearedBy).toBe(hold.clearedBy)
    }
  })

  const rest = '21 µA, the limit is not more than 20 µA (Employer’s table 4 (2025), row 2) (and 2 more)'
  test.each([
    [asRecorded, '0.9 to 1.2 m'],
    [inFeet, '2 ft 11.4 in to 3 ft 11.2 in'],
  ])('of a reading say in plain words what is wrong, where and by how much, to %j', (reader, where) => {
    const { text, clearedBy } = wordingFor(reader).hold(holdFor.failedTest(cause, inShort))
    expect(text).toBe(`Leaks too much when wet, section tip, ${where} from its working end, quarter turn 90°: ${rest}`)
    expect(clearedBy).toBe(holdFor.failedTest(cause, inShort).clearedBy)
  })

  test('of a reading on a stick of one length name the working end of the stick', () => {
    const { section: _, ...whole } = overLimit
    const one = { ...whole, text: overLimit.text.replace('section tip, ', '') }
    const hold = holdFor.failedTest(cause, { text: one.text, detail: { reason: one, more: 0 } })
    expect(wordingFor(asRecorded).hold(hold).text).toBe(
      'Leaks too much when wet, 0.9 to 1.2 m from the working end, quarter turn 90°: 21 µA, the limit is not more than 20 µA (Employer’s table 4 (2025), row 2)',
    )
  })

  test('of any reading that the bench judges over its limit or too near it keep place, reading and limit', () => {
    const guarded = { procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 }
    const found = [
      ...reasonsOf({ dry: { readings: survey({ value: 21 }) } }),
      ...reasonsOf({ dry: { readings: survey({ value: 9.9 }) } }, guarded),
    ]
    const codes = new Set(found.map(({ code }) => code))
    expect(codes).toEqual(new Set(['reading-over-limit', 'reading-in-guard-band']))
    for (const reason of found) {
      const hold = holdFor.failedTest(cause, { text: reason.text, detail: { reason, more: 0 } })
      const { text } = wordingFor(asRecorded).hold(hold)
      expect(text).toMatch(/^Leaks too (much|near its limit) when dry, /)
      expect(text).toContain(`: ${reason.leakageMicroamps} µA, the limit is not more than 10 µA (`)
      expect(text).toContain(`${reason.fromMetres} to ${reason.toMetres} m from the working end`)
      expect(wordingFor(spanish).hold(hold).text).toMatch(/^Tiene (demasiada fuga|una fuga demasiado cercana)/)
    }
  })

  test('of a reading whose sentence an older build wrote otherwise are told as recorded', () => {
    const other = { ...overLimit, text: 'Wet, section tip, quarter turn 90°, 0.9 to 1.2 m: 21 is above 20' }
    const hold = holdFor.failedTest(cause, { text: other.text, detail: { reason: other, more: 0 } })
    expect(wordingFor(asRecorded).hold(hold).text).toBe(hold.text)
  })

  test('are quoted nowhere in Spanish, and keep nothing of their English', () => {
    const told = holds.map((hold) => ({ hold, ...wordingFor(spanish).hold(hold) }))
    for (const { hold, text, clearedBy } of told) {
      expect(`${text} ${clearedBy}`).not.toContain(quoted)
      expect(`${text} ${clearedBy}`).not.toMatch(/\b(the|was|it|its|and|not|test|tested|stick|quarter|limit)\b/i)
      expect(text).not.toBe(hold.text)
    }
    expect(new Set(told.map(({ text, clearedBy }) => text + clearedBy)).size).toBe(holds.length)
  })

  test('name place, reading, limit and its source in Spanish', () => {
    expect(wordingFor(spanish).hold(holdFor.failedTest(cause, inShort)).text).toBe(
      'Tiene demasiada fuga en húmedo, tramo tip, de 0.9 a 1.2 m desde su extremo de trabajo, cuarto de vuelta 90°: 21 µA, el límite es de no más de 20 µA (Employer’s table 4 (2025), row 2) (y 2 más)',
    )
    expect(
      wordingFor({ language: 'es', units: 'US customary' }).hold(holdFor.failedTest(cause, inShort)).text,
    ).toContain('de 2 pies 11.4 pulg a 3 pies 11.2 pulg desde su extremo de trabajo, cuarto de vuelta 90°: 21 µA')
    expect(wordingFor(spanish).hold(holdFor.shelfLimit(day('2025-06-30'), 12, 'MO-200 4.2')).text).toBe(
      'Probada el 30 de junio de 2025 y no entregada en 12 meses (MO-200 4.2)',
    )
  })

  /** Whose sentence needs nothing beyond its code, or that no earlier build kept. */
  const newer = ['not-mended', 'not-waxed', 'found-untested', 'removal-undone']
  const older = holds.filter(({ code, detail }) => detail !== undefined && !newer.includes(code))
  test.each(older.map(({ detail: _, ...one }) => one))(
    'kept by an earlier build without their parts are quoted as recorded: $text',
    (one) => {
      expect(wordingFor(spanish).hold(one).text).toBe(`“${one.text}” (${quoted})`)
      expect(wordingFor(inFeet).hold(one).text).toBe(one.text)
      expect(wordingFor(asRecorded).hold(one).text).toBe(one.text)
    },
  )
})

function reasonsOf(over: Partial<BenchTest>, by: Partial<JudgedBy> = {}): Reason[] {
  return judge(testOf(over), judgedBy(by)).reasons
}

const asksForSurroundings = procedureOf({
  waterConductivityAtMostMicrosiemensPerCm: 50,
  ambient: { celsius: [10, 35], relativeHumidityPercent: [0, 70] },
})
const wood = stickOf({ construction: 'wood' })
const telescoping = stickOf({
  workingLengthMetres: 3,
  sections: [
    { name: 'tip (1), quarter turn 90°', lengthMetres: 1.2 },
    { name: 'base', lengthMetres: 1.2 },
  ],
})
const [check0] = procedureOf().checks

/** Tests spoilt in every way that the bench's reasons tell of. */
const spoilt: Reason[] = [
  ...reasonsOf({
    examination: { gloss: 'lost', defects: defectKinds.map((kind) => ({ kind, open: true })) },
    cleaned: false,
  }),
  ...reasonsOf({ examination: { gloss: 'sound', defects: [{ kind: 'crack', open: true, atMetres: 0.9 }] } }),
  ...reasonsOf(
    {
      examination: {
        gloss: 'sound',
        defects: [
          { kind: 'crack', open: true, section: 'base', atMetres: 0.9 },
          { kind: 'dent', open: true, section: 'tip (1), quarter turn 90°' },
        ],
      },
    },
    { stick: telescoping },
  ),
  ...againstExaminationAlone(
    testOf({
      reason: 'repair',
      demonstrationId: 'DEM-1',
      examination: { gloss: 'sound', defects: [{ kind: 'dent', open: false }] },
    }),
    wood,
    { allowed: false, demonstrated: undefined },
  ),
  ...(['flashover', 'puncture', 'tracking', 'heating'] as const).map((outcome) =>
    failureOf('dry', { state: 'dry', fromMetres: 0, toMetres: 0.3, kilovolts: 75, seconds: 60, outcome }),
  ),
  ...reasonsOf(
    { withstand: [{ state: 'dry', fromMetres: 0, toMetres: 1.3, kilovolts: 30, seconds: 20, outcome: 'withstood' }] },
    {},
  ),
  ...reasonsOf(
    {
      dry: undefined,
      withstand: [{ state: 'dry', fromMetres: 0, toMetres: 1.3, kilovolts: 30, seconds: 20, outcome: 'withstood' }],
    } as never,
    {},
  ),
  ...reasonsOf({ dry: { readings: survey({ turns: [0, 90] }).slice(1) } }),
  ...reasonsOf({ dry: { readings: survey({ step: 280 }) } }),
  ...reasonsOf({ dry: { readings: survey({ value: 21 }) } }),
  ...reasonsOf(
    { dry: { readings: survey({ value: 9.9 }) } },
    { procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 },
  ),
  ...reasonsOf(
    { dry: { readings: survey({ value: 21 }) } },
    { procedure: procedureOf({ decision: 'guarded', comparison: 'less than' }) },
  ),
  ...reasonsOf({}, { instrumentSpanMetres: 0.25 }),
  ...reasonsOf({}, { calibrations: [] }),
  ...reasonsOf(
    {},
    {
      calibrations: [
        { calibratedOn: day('2024-01-10'), calibrationDueOn: day('2025-01-09') },
        { calibratedOn: day('2025-02-01'), calibrationDueOn: day('2026-01-31') },
      ],
    },
  ),
  ...reasonsOf(
    {},
    {
      calibrations: [{ calibratedOn: day('2024-01-10'), calibrationDueOn: day('2026-01-09') }],
      calibrationCap: { id: 'calibration', months: 12, cited: 'UFC 3-560-01, 5-5.1.1' },
    },
  ),
  ...[undefined, 15, 60].flatMap((lineKilovolts) =>
    reasonsOf(
      { withstand: [{ state: 'dry', fromMetres: 0, toMetres: 2.4, kilovolts: 30, seconds: 20, outcome: 'withstood' }] },
      {
        stick: stickOf(lineKilovolts === undefined ? {} : { lineKilovolts }),
        procedure: procedureOf({
          limits: [],
          withstand: [
            {
              construction: 'foam-filled FRP tube',
              when: 'in service',
              lineKilovolts: [1, 35],
              voltage: { times: 3, of: 'line voltage', atLeastKilovolts: 40 },
              seconds: 300,
              demonstrationId: 'DEM-1',
              source: 'Order 261, Annex 7',
            },
          ],
        }),
      },
    ),
  ),
  ...reasonsOf({}, { procedure: procedureOf({ checks: [], limits: [] }) }),
  ...reasonsOf({}, { procedure: procedureOf({ limits: [] }), instrumentKilovolts: 100, instrumentHertz: 60 }),
  ...reasonsOf(
    {},
    {
      procedure: procedureOf({
        limits: procedureOf().limits.map((one) => ({ ...one, kilovolts: 100, hertz: 60 })),
      }),
    },
  ),
  ...reasonsOf({ dry: { readings: survey({ value: 0 }) } }),
  ...reasonsOf({ dry: { readings: survey({ value: 4.5 }) }, wet: wetOf(survey({ value: 4.5, wet: true })) }),
  ...reasonsOf(
    { instrumentChecks: [] },
    { procedure: procedureOf({ checks: check0 === undefined ? [] : [{ ...check0, afterToo: true }] }) },
  ),
  ...reasonsOf({ instrumentChecks: [{ ...check('dry'), checkMicroamps: 70, openMicroamps: 4 }] }),
  ...reasonsOf(
    {
      ambient: { celsius: -3.5, relativeHumidityPercent: 91 },
      wet: wetOf(survey({ wet: true }), { conductivityMicrosiemensPerCm: 80 }),
    },
    { procedure: asksForSurroundings },
  ),
  ...reasonsOf({ ambient: undefined, wet: wetOf(survey({ wet: true })) } as never, { procedure: asksForSurroundings }),
  ...waters.flatMap((water) => reasonsOf({ wet: wetOf(survey({ wet: true }), { water }) })),
  ...(['film', 'drip line'] as const).flatMap((appearance) =>
    reasonsOf({ wet: wetOf(survey({ wet: true }), { appearance }) }),
  ),
  ...reasonsOf({ wet: wetOf(survey()) }),
  ...reasonsOf({ wet: undefined } as never),
]

describe('reasons of a bench test', () => {
  const both = (reason: Reason) => ({ again: reasonFor(reason, asRecorded), told: reasonFor(reason, spanish) })
  const examined: Reason = { code: 'examined-only', text: 'examined, and not tested' }

  test('of tests spoilt in any way are said again word for word in English, and never quoted in Spanish', () => {
    for (const reason of [...spoilt, examined]) {
      const { again, told } = both(reason)
      expect(again).toBe(reason.text)
      expect(told, reason.text).not.toContain(quoted)
      expect(told.replaceAll(/“.*?”|\(.*\)|tip.*?90°/g, ''), reason.text).not.toMatch(
        /\b(the|is|was|and|not|test|tested|stick|reading|readings)\b/i,
      )
    }
  })

  test('are all told of by those tests: no entry of the catalogue is idle', () => {
    const told = [...spoilt, examined].map((reason) => both(reason).told)
    const shapeOf = (es: string) =>
      es
        .split(/\{.*?\}/)
        .map((text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'))
        .join('.+')
    const idle = Object.entries<Entry>(reasons).filter(
      ([, { es }]) => !told.some((one) => new RegExp(`(?:^|: )${shapeOf(es)}$`).test(one)),
    )
    expect(idle.map(([name]) => name)).toEqual([])
  })

  test('of any test at random too', () => {
    fc.assert(
      fc.property(anyCase, ({ test: bench, editions }) => {
        for (const reason of judgeByEditions(bench, editions).reasons) {
          const { again, told } = both(reason)
          expect(again).toBe(reason.text)
          expect(told).not.toContain(quoted)
        }
      }),
      { numRuns: 300 },
    )
  })

  test('that no entry fits are quoted behind their place', () => {
    const unheard = { ...overLimit, text: 'Wet, section tip, quarter turn 90°, 0.9 to 1.2 m: something new' }
    expect(reasonFor(unheard, spanish)).toBe(
      `En húmedo, tramo tip, cuarto de vuelta 90°, de 0.9 a 1.2 m: “something new” (${quoted})`,
    )
    expect(reasonFor(unheard, inFeet)).toBe(
      'Wet, section tip, quarter turn 90°, 2 ft 11.4 in to 3 ft 11.2 in: something new',
    )
  })
})

describe('lengths for a reader of feet and inches, a foot being 0.3048 m (NIST SP 811, B.8)', () => {
  const at = (toMetres: number) => {
    const text = `Dry, 0 to ${toMetres} m: no reading; readings cover the whole ${toMetres} m`
    return reasonFor({ code: 'gap', text, state: 'dry', fromMetres: 0, toMetres }, inFeet)
  }
  test.each([
    [0.305, '1 ft'],
    [0.61, '2 ft'],
    [0.025, '1 in'],
    [0.25, '9.8 in'],
    [0.3, '11.8 in'],
    [0.304, '1 ft'],
    [1, '3 ft 3.4 in'],
    [2.4, '7 ft 10.5 in'],
    [30, '98 ft 5.1 in'],
  ])('%d m is %s', (length, told) => {
    expect(at(length)).toBe(`Dry, 0 ft to ${told}: no reading; readings cover the whole ${told}`)
  })

  test('no length is off by more than half of what it is rounded to', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 30_000 }), (mm) => {
        const [, feet = 0, inches = 0] = /whole (?:(\d+) ft)? ?(?:([\d.]+) in)?$/.exec(at(mm / 1000)) ?? []
        expect(Math.abs(Number(feet) * 304.8 + Number(inches) * 25.4 - mm)).toBeLessThanOrEqual(1.27 + 1e-9)
        expect(Number(inches)).toBeLessThan(12)
      }),
    )
  })

  test('millimetres become hundredths of an inch, and microamperes stay', () => {
    const text =
      'Dry, quarter turn 0°, 0.28 to 0.3 m: readings overlap by 20 mm; each overlaps the next by at least 50 mm'
    const reason: Reason = {
      code: 'overlap-too-small',
      text,
      state: 'dry',
      quarterTurn: 0,
      fromMetres: 0.28,
      toMetres: 0.3,
    }
    expect(reasonFor(reason, inFeet)).toContain('overlap by 0.79 in; each overlaps the next by at least 1.97 in')
    expect(reasonFor(overLimit, inFeet)).toContain('21 µA; the limit is not more than 20 µA')
  })
})

const line: StickLine = {
  stickId: 'S-1',
  crewId: 'CR-1',
  crewName: 'Cuadrilla Norte',
  status: 'overdue',
  dueOn: day('2026-02-28'),
  daysLeft: -2,
  bringTo: 'Patio Norte',
  why: 'Its test ran out on 28 February 2026.',
  source: '29 CFR 1910.269(j)(2)(iii)',
  holds: [],
}

function spanishMail(kind: NoticeKind, over: Partial<StickLine>, more: Partial<Notice> = {}) {
  const notice: Notice = {
    kind,
    key: kind,
    number: '2A3B-4C5D-6E7F',
    organisation: 'demo-utility',
    to: {
      name: 'Itxaso Añez',
      email: 'p@crew.example',
      role: 'foreman',
      language: 'es',
      tellInPerson: [{ name: 'Cy Dahl', phone: '555 0100' }],
    },
    day: day('2026-03-02'),
    owedAt: '2026-03-02T12:00:00.000Z' as Instant,
    state: 'owed',
    lines: [{ ...line, ...over }],
    ...more,
  }
  return messageOf(notice, 'https://paginas.example/q')
}

describe('a Spanish mail', () => {
  const english =
    /\b(the|stick|sticks|status|crew|due|label|bring|why|cleared|rule|roster|notice|days?|ago|today|January|February|March|overdue|on hold|do not|please)\b/i
  const mails = noticeKinds
    .filter((kind) => kind !== 'proposal' && kind !== 'calibration')
    .flatMap((kind) =>
      (['overdue', 'due soon', 'in service', 'scrapped', 'on hold'] as const).map((status) => ({ kind, status })),
    )

  test.each(mails)('of the kind $kind about a stick $status has not a word of English', ({ kind, status }) => {
    const over = { status, broughtForwardFrom: day('2027-03-01'), holds: status === 'on hold' ? holds.slice(0, 9) : [] }
    const { subject, text, html } = spanishMail(kind, over)
    const plain = (part: string) =>
      part
        .replace(/<head>.*<\/head>/s, '')
        .replace(/<[^>]*>|https?:\S+/g, ' ')
        .replaceAll('Employer’s table 4 (2025), row 2', '')
        .replaceAll('Employer’s table 4', '')
    for (const part of [subject, plain(text), plain(html)]) expect(part).not.toMatch(english)
    expect(html).toContain('<html lang="es">')
    expect(subject).toMatch(/\[2A3B-4C5D-6E7F\]$/)
    for (const part of [text, html]) {
      expect(part).toContain('nunca sustituye los procedimientos de su empresa')
      expect(part).toContain('2 de marzo de 2026')
      expect(part).toContain('Cy Dahl, 555 0100')
    }
  })

  test.each([
    ['overdue', 'Su prueba venció el 28 de febrero de 2026.'],
    ['due soon', 'Su prueba vence el 28 de febrero de 2026; puede usarse hasta ese día inclusive.'],
    ['in service', 'Puede usarse hasta el 28 de febrero de 2026 inclusive.'],
    ['scrapped', 'Fue desechada.'],
  ] as const)('says why a stick is %s', (status, why) => {
    expect(spanishMail('used while unfit', { status }).text).toContain(`Motivo: ${why}`)
  })

  test.each([
    [-2, 'hace 2 días'],
    [-1, 'hace 1 día'],
    [0, 'hoy'],
    [1, 'en 1 día'],
    [60, 'en 60 días'],
  ])('says of %i days left: %s', (daysLeft, told) => {
    expect(spanishMail('digest', { daysLeft }).text).toContain(`Vence: 28 de febrero de 2026, ${told}`)
  })

  test.each(['overdue', 'on hold', 'in service'] as const)('of a loan that is not back, %s', (status) => {
    const loan = { lentTo: 'Fennick', returnBy: day('2026-02-28'), daysLate: 2 }
    const { subject, text, html } = spanishMail('digest', { status, loan, onlyLoan: true, holds: [] })
    expect(subject).toContain(status === 'overdue' ? 'prestadas y sin volver: 1' : '1 pértiga prestada no ha vuelto')
    expect(text).toContain('Prestada: a Fennick; debía volver el 28 de febrero de 2026, hace 2 días')
    for (const part of [subject, text, html.replace(/<head>.*<\/head>/s, '').replace(/<[^>]*>/g, ' ')])
      expect(part.replace(/https?:\S+/g, '')).not.toMatch(/\b(lent|back|by the day|agreed|ask)\b/i)
  })

  test.each([
    ['overdue', 'etiquetas incorrectas: 1', 'posterior al vencimiento: quítela o cámbiela'],
    ['in service', 'Etiquetas incorrectas por quitar o cambiar: 1', 'posterior al vencimiento: quítela o cámbiela'],
  ] as const)('of a wrong label on a stick %s', (status, told, what) => {
    const over = { status, wrongLabel: day('2028-09-01'), onlyLabel: true as const, holds: [] }
    const { subject, text, html } = spanishMail('digest', over)
    expect(subject).toContain(told)
    expect(text).toContain(`Etiqueta: Muestra el 1 de septiembre de 2028, ${what}`)
    for (const part of [subject, text, html.replace(/<head>.*<\/head>/s, '').replace(/<[^>]*>/g, ' ')])
      expect(part.replace(/https?:\S+/g, '')).not.toMatch(/\b(label|shows|later|take|off|change|wrong)\b/i)
    expect(spanishMail('hold', { ...over, status: 'on hold' }).text).toContain(
      'Etiqueta: Muestra todavía el 1 de septiembre de 2028: quítela',
    )
  })

  test.each([
    [1, 0, '1 pértiga vencida: no la use'],
    [0, 1, '1 pértiga debe ir al banco de pruebas'],
    [2, 0, '2 pértigas vencidas: no las use'],
    [0, 3, '3 pértigas deben ir al banco de pruebas'],
    [1, 3, '1 pértiga vencida: no la use; al banco de pruebas: 3'],
    [2, 3, '2 pértigas vencidas: no las use; al banco de pruebas: 3'],
  ])('of %i overdue and %i due says so in its subject', (late, soon, subject) => {
    const lines = [...Array(late).fill(line), ...Array(soon).fill({ ...line, status: 'due soon' })]
    expect(spanishMail('digest', {}, { lines }).subject).toBe(`${subject} [2A3B-4C5D-6E7F]`)
  })

  test.each([
    [
      'overdue',
      -2,
      'It was not looked over by 28 February 2026: look it over before it is used.',
      'No se revisó a más tardar el 28 de febrero de 2026: revísela antes de usarla.',
      '1 pértiga sin revisar a tiempo: no la use',
    ],
    [
      'due soon',
      5,
      'It is to be looked over by 28 February 2026; it may be used through that day.',
      'Debe revisarse a más tardar el 28 de febrero de 2026; puede usarse hasta ese día inclusive.',
      '1 pértiga por revisar',
    ],
  ] as const)(
    'of a look at idle stock that is %s speaks of no test and of no bench',
    (status, daysLeft, why, told, subject) => {
      const mail = spanishMail('digest', { status, daysLeft, why, duty: 'look' })
      expect(mail.text).toContain(`Motivo: ${told}`)
      expect(mail.subject).toBe(`${subject} [2A3B-4C5D-6E7F]`)
      expect(mail.text).not.toMatch(/prueba|banco|Patio Norte/)
    },
  )

  test('says the date of the sentence where a look was missed before a test ran out', () => {
    const why = 'Its test ran out on 27 February 2026.'
    expect(spanishMail('digest', { dueOn: day('2026-01-31'), why }).text).toContain(
      'Su prueba venció el 27 de febrero de 2026.',
    )
  })

  test('tells by what a stick failed again when it is removed; an older notice has only the English, and quotes it', () => {
    const facts = history(
      ['2026-01-01', happened.registered()],
      ['2026-01-02', happened.tested('electrical')],
      ['2026-01-03', happened.step('cleaned')],
      ['2026-01-04', happened.tested('electrical')],
    )
    const { status, why, removedFor } = standingOn(replay(facts), day('2026-01-05'), usPolicy)
    expect(status).toBe('removed from service')
    const told = (over: Partial<StickLine>) => spanishMail('removal', { status, why, ...over }).text
    expect(told({ removedFor: { reason: overLimit, more: 1 } })).toContain(
      'Motivo: Volvió a fallar después de limpieza, acabado renovado o reparación: En húmedo, tramo tip,',
    )
    expect(removedFor).toBeDefined()
    expect(told({})).toContain(`Motivo: “${why}” (${quoted})`)
  })

  test('says a removal by decision in the reader’s language, and the reason in the words of whoever decided it', () => {
    const facts = history(['2026-01-01', happened.registered()], ['2026-01-04', happened.removed('Fitting recalled.')])
    const { status, why, removedFor } = standingOn(replay(facts), day('2026-01-05'), usPolicy)
    expect([status, why]).toEqual(['removed from service', 'Removed by decision: Fitting recalled.'])
    const line = { status, why, ...(removedFor === undefined ? {} : { removedFor }) }
    const told = (to: Partial<Notice['to']>, over: Partial<StickLine>) =>
      spanishMail('removal', over, {
        to: { name: 'Bo', email: 'bo@crew.example', role: 'crew', tellInPerson: [], ...to },
      }).text
    expect(told({ language: 'es' }, line)).toContain('Motivo: Retirada por decisión: Fitting recalled.\n')
    expect(told({ language: 'en', units: 'US customary' }, line)).toContain(`Why: ${why}\n`)
  })

  test('quotes the words of the rule where a stick was never tested', () => {
    const why = 'It was never examined, cleaned and tested.'
    expect(
      spanishMail('used while unfit', { status: 'awaiting first test', dueOn: null, daysLeft: null, why }).text,
    ).toContain('Motivo: Aún no cumple lo que pide su regla, que dice en inglés “examined, cleaned and tested”.')
  })
})
