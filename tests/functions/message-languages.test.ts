import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { mailWordingFor } from '../../functions/deliver-notices/wording.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import { againstExaminationAlone } from '../../shared-domain/bench-test/examination.ts'
import { type JudgedBy, judge } from '../../shared-domain/bench-test/judge.ts'
import { failureOf } from '../../shared-domain/bench-test/withstand.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { reasons } from '../../shared-domain/catalogue/en/reasons.ts'
import { type NoticeKind, noticeKinds, type StickLine } from '../../shared-domain/notices/notice.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { entryDifferences, type Hold, holdFor, identities } from '../../shared-domain/state/hold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { constructions, defectKinds, stoppingEvents, waters } from '../../shared-domain/words.ts'
import { anyCase } from '../domain/bench-test/any-case.ts'
import { check, judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from '../domain/bench-test/fixtures.ts'
import { messageOf } from '../support/mails.ts'
import { day, happened, history, usPolicy } from '../support/trade.ts'

const asRecorded = { language: 'en', units: 'metric' } as const
const spanish = { language: 'es', units: 'metric' } as const
const inFeet = { language: 'en', units: 'US customary' } as const

/** What a Spanish mail says beside a sentence that it can only quote. */
const quoted = 'texto original en inglés'

const cause = { since: day('2026-03-02'), factId: 'F-1' }
const overLimit: Reason = {
  code: 'reading-over-limit',
  says: {
    is: 'over the limit',
    microamps: 21,
    comparison: 'not more than',
    limit: 20,
    source: 'Employer’s table 4 (2025), row 2',
  },
  state: 'wet',
  section: 'tip',
  quarterTurn: 90,
  fromMetres: 0.9,
  toMetres: 1.2,
  leakageMicroamps: 21,
}
const inShort = { reason: overLimit, more: 2 }

/** One of each, so that a hold added to the domain is missed here. */
const everyHold: { readonly [kind in keyof typeof holdFor]: readonly Hold[] } = {
  failedTest: [holdFor.failedTest(cause, inShort)],
  failedBefore: [holdFor.failedBefore(cause)],
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
  recordsRestored: [holdFor.recordsRestored(cause)],
  undone: [holdFor.undone(cause, 'removal'), holdFor.undone(cause, 'end of service')],
  found: [holdFor.found(cause, true), holdFor.found(cause, false)],
  entryChanged: entryDifferences.map((entry) => holdFor.entryChanged(day('2026-03-02'), entry)),
  anotherStick: identities.map((identity) =>
    holdFor.anotherStick(day('2026-03-02'), { identity, was: 'L-7', is: 'L-9' }),
  ),
  unknownFact: [holdFor.unknownFact(cause)],
  recalled: [
    holdFor.recalled(day('2026-03-02'), { recall: 'R-1', recalledBy: 'lot', named: 'L-7' }),
    holdFor.recalled(day('2026-03-02'), { recall: 'R-1', recalledBy: 'instrument', named: 'INS-1', on: cause.since }),
  ],
  notRegistered: [holdFor.notRegistered()],
  policyMissing: [holdFor.policyMissing()],
  woodForbidden: [holdFor.woodForbidden()],
  noRequirement: constructions.map((construction) => holdFor.noRequirement(construction)),
}
const holds = Object.values(everyHold).flat()

const wordings = {
  asRecorded: await mailWordingFor(asRecorded),
  spanish: await mailWordingFor(spanish),
  inFeet: await mailWordingFor(inFeet),
}

describe('holds', () => {
  const rest = '21 µA, the limit is not more than 20 µA (Employer’s table 4 (2025), row 2) (and 2 more findings)'
  test.each([
    ['asRecorded', '0.9 to 1.2 m'],
    ['inFeet', '2 ft 11.4 in to 3 ft 11.2 in'],
  ] as const)('of a reading say in plain words what is wrong, where and by how much, %s', (reader, where) => {
    const { text } = wordings[reader].hold(holdFor.failedTest(cause, inShort))
    expect(text).toBe(`Leaks too much when wet, section tip, ${where} from its working end, quarter turn 90°: ${rest}`)
  })

  test('of a reading on a stick of one length name the working end of the stick', () => {
    const { section: _, ...whole } = overLimit
    const hold = holdFor.failedTest(cause, { reason: whole, more: 0 })
    expect(wordings.asRecorded.hold(hold).text).toBe(
      'Leaks too much when wet, 0.9 to 1.2 m from the working end, quarter turn 90°: 21 µA, the limit is not more ' +
        'than 20 µA (Employer’s table 4 (2025), row 2)',
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
      const hold = holdFor.failedTest(cause, { reason, more: 0 })
      const { text } = wordings.asRecorded.hold(hold)
      expect(text).toMatch(/^Leaks too (much|near its limit) when dry, /)
      expect(text).toContain(`: ${reason.leakageMicroamps} µA, the limit is not more than 10 µA (`)
      expect(text).toContain(`${reason.fromMetres} to ${reason.toMetres} m from the working end`)
      expect(wordings.spanish.hold(hold).text).toMatch(/^Tiene (demasiada fuga|una fuga demasiado cercana)/)
    }
  })

  test('of a reason that an older build kept as a sentence are told as recorded, and quoted in Spanish', () => {
    const { says: _, ...other } = {
      ...overLimit,
      text: 'Wet, section tip, quarter turn 90°, 0.9 to 1.2 m: 21 is above 20',
    }
    const hold = holdFor.failedTest(cause, { reason: other, more: 0 })
    expect(wordings.asRecorded.hold(hold).text).toBe(`Failed its bench test: ${other.text}`)
    expect(wordings.spanish.hold(hold).text).toBe(`Falló su prueba en banco: “${other.text}” (${quoted})`)
  })

  test('are quoted nowhere in Spanish, and keep nothing of their English', () => {
    const told = holds.map((hold) => wordings.spanish.hold(hold))
    for (const { text, clearedBy } of told) {
      expect(`${text} ${clearedBy}`).not.toContain(quoted)
      expect(`${text} ${clearedBy}`).not.toMatch(/\b(the|was|it|its|and|not|test|tested|stick|quarter|limit)\b/i)
    }
    expect(new Set(told.map(({ text, clearedBy }) => text + clearedBy)).size).toBe(holds.length)
  })

  test('name place, reading, limit and its source in Spanish', async () => {
    expect(wordings.spanish.hold(holdFor.failedTest(cause, inShort)).text).toBe(
      'Tiene demasiada fuga en húmedo, tramo tip, de 0.9 a 1.2 m desde su extremo de trabajo, cuarto de vuelta 90°: ' +
        '21 µA, el límite es de no más de 20 µA (Employer’s table 4 (2025), row 2) (y 2 hallazgos más)',
    )
    const inSpanishFeet = await mailWordingFor({ language: 'es', units: 'US customary' })
    expect(inSpanishFeet.hold(holdFor.failedTest(cause, inShort)).text).toContain(
      'de 2 pies 11.4 pulg a 3 pies 11.2 pulg desde su extremo de trabajo, cuarto de vuelta 90°: 21 µA',
    )
    expect(wordings.spanish.hold(holdFor.shelfLimit(day('2025-06-30'), 12, 'MO-200 4.2')).text).toBe(
      'Probada el 30 de junio de 2025 y no entregada en 12 meses (MO-200 4.2)',
    )
  })
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
  const both = (reason: Reason) => ({
    english: wordings.asRecorded.reason(reason),
    told: wordings.spanish.reason(reason),
  })
  const examined: Reason = { code: 'examined-only', says: { is: 'examined only' } }

  test('of tests spoilt in any way are said in Spanish without a word of English', () => {
    for (const reason of [...spoilt, examined]) {
      const { english, told } = both(reason)
      expect(told, english).not.toContain(quoted)
      expect(told.replaceAll(/“.*?”|\(.*\)|tip.*?90°/g, ''), english).not.toMatch(
        /\b(the|is|was|and|not|test|tested|stick|reading|readings)\b/i,
      )
    }
  })

  /** Said of what is not a test that was just judged: hints, refusals, verdicts of another entry. */
  const elsewhere = [
    'test of another stick',
    'test that does not fit',
    'unknown',
    'failure stands',
    'nothing new',
    'verdict',
    'nothing to release',
    'no records restored',
    'same person',
    'not to be issued',
    'not to be issued, in use',
    'nothing to remind of',
    'nobody to bring it in',
    'nobody to remind',
    'reminded already',
    'withstand too low for a procedure without a source',
  ]

  test('are all told of by those tests: no sentence of the catalogue is idle', () => {
    const told = new Set([...spoilt, examined].map(({ says }) => says?.is))
    const idle = Object.keys(reasons).filter(
      (name) => !told.has(name as never) && !name.startsWith('likely ') && !elsewhere.includes(name),
    )
    expect(idle).toEqual([])
  })

  test('of any test at random too', () => {
    fc.assert(
      fc.property(anyCase, ({ test: bench, editions }) => {
        for (const reason of judgeByEditions(bench, editions).reasons) {
          const { english, told } = both(reason)
          expect(english).not.toContain('{$')
          expect(told).not.toContain(quoted)
        }
      }),
      { numRuns: 300 },
    )
  })

  test('that an older build kept as a sentence are quoted', () => {
    const { says: _, ...unheard } = { ...overLimit, text: 'Wet, section tip, 0.9 to 1.2 m: something old' }
    expect(wordings.spanish.reason(unheard)).toBe(`“${unheard.text}” (${quoted})`)
    expect(wordings.inFeet.reason(unheard)).toBe(unheard.text)
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
  why: { is: 'why overdue', dueOn: '2026-02-28' },
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
  const words =
    'the|stick|sticks|status|crew|due|label|bring|why|cleared|rule|roster|notice|days?|ago|today|' +
    'January|February|March|overdue|on hold|do not|please'
  const english = new RegExp(`\\b(${words})\\b`, 'i')
  const mails = noticeKinds
    .filter((kind) => !['proposal', 'calibration', 'reminder', 'recall', 'invitation', 'fingerprint'].includes(kind))
    .flatMap((kind) =>
      (['overdue', 'due soon', 'in service', 'scrapped', 'on hold'] as const).map((status) => ({ kind, status })),
    )

  test.each(mails)('of the kind $kind about a stick $status has not a word of English', async ({ kind, status }) => {
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
    ['overdue', { is: 'why overdue', dueOn: '2026-02-28' }, 'Su prueba venció el 28 de febrero de 2026.'],
    [
      'due soon',
      { is: 'why due soon', dueOn: '2026-02-28' },
      'Su prueba vence el 28 de febrero de 2026; puede usarse hasta ese día inclusive.',
    ],
    [
      'in service',
      { is: 'why in service', dueOn: '2026-02-28' },
      'Puede usarse hasta el 28 de febrero de 2026 inclusive.',
    ],
    ['scrapped', { is: 'why scrapped' }, 'Fue desechada.'],
  ] as const)('says why a stick is %s', async (status, why, told) => {
    expect(spanishMail('used while unfit', { status, why }).text).toMatch(new RegExp(`(Motivo|Cómo está): ${told}`))
  })

  test.each([
    [-2, 'hace 2 días'],
    [-1, 'hace 1 día'],
    [0, 'hoy'],
    [1, 'en 1 día'],
    [60, 'en 60 días'],
  ])('says of %i days left: %s', async (daysLeft, told) => {
    expect(spanishMail('digest', { daysLeft }).text).toContain(`Vence: 28 de febrero de 2026, ${told}`)
  })

  test.each(['overdue', 'on hold', 'in service'] as const)('of a loan that is not back, %s', async (status) => {
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
  ] as const)('of a wrong label on a stick %s', async (status, told, what) => {
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
  ])('of %i overdue and %i due says so in its subject', async (late, soon, subject) => {
    const lines = [...Array(late).fill(line), ...Array(soon).fill({ ...line, status: 'due soon' })]
    expect(spanishMail('digest', {}, { lines }).subject).toBe(`${subject} [2A3B-4C5D-6E7F]`)
  })

  test.each([
    [
      'overdue',
      -2,
      'why overdue, look',
      'No se revisó a más tardar el 28 de febrero de 2026: revísela antes de usarla.',
      '1 pértiga sin revisar a tiempo: no la use',
    ],
    [
      'due soon',
      5,
      'why due soon, look',
      'Debe revisarse a más tardar el 28 de febrero de 2026; puede usarse hasta ese día inclusive.',
      '1 pértiga por revisar',
    ],
  ] as const)(
    'of a look at idle stock that is %s speaks of no test and of no bench',
    async (status, daysLeft, is, told, subject) => {
      const why = { is, dueOn: '2026-02-28' }
      const mail = spanishMail('digest', { status, daysLeft, why, duty: 'look' })
      expect(mail.text).toMatch(new RegExp(`(Motivo|Cómo está): ${told}`))
      expect(mail.subject).toBe(`${subject} [2A3B-4C5D-6E7F]`)
      expect(mail.text).not.toMatch(/prueba|banco|Patio Norte/)
    },
  )

  test('says the date of the sentence where a look was missed before a test ran out', async () => {
    const why = { is: 'why overdue', dueOn: '2026-02-27' } as const
    expect(spanishMail('digest', { dueOn: day('2026-01-31'), why }).text).toContain(
      'Su prueba venció el 27 de febrero de 2026.',
    )
  })

  test('tells by what a stick failed again when it is removed; an older notice quotes the English it has', async () => {
    const facts = history(
      ['2026-01-01', happened.registered()],
      ['2026-01-02', happened.tested('electrical')],
      ['2026-01-03', happened.step('cleaned')],
      ['2026-01-04', happened.tested('electrical')],
    )
    const { status, why, removedFor } = standingOn(replay(facts), day('2026-01-05'), usPolicy)
    expect(status).toBe('removed from service')
    const told = async (over: Partial<StickLine>) => spanishMail('removal', { status, why, ...over }).text
    expect(await told({ removedFor: { reason: overLimit, more: 1 } })).toContain(
      'Motivo: Volvió a fallar después de limpieza, acabado renovado o reparación: En húmedo, tramo tip,',
    )
    expect(removedFor).toBeDefined()
    const old = 'Failed again after it had been cleaned.'
    expect(await told({ why: old })).toContain(`Motivo: “${old}” (${quoted})`)
  })

  test('says a removal by decision in the reader’s language, and the reason in the words of who decided', async () => {
    const facts = history(['2026-01-01', happened.registered()], ['2026-01-04', happened.removed('Fitting recalled.')])
    const { status, why, removedFor } = standingOn(replay(facts), day('2026-01-05'), usPolicy)
    expect([status, why]).toEqual(['removed from service', { is: 'why removed' }])
    const line = { status, why, ...(removedFor === undefined ? {} : { removedFor }) }
    const told = async (to: Partial<Notice['to']>, over: Partial<StickLine>) =>
      spanishMail('removal', over, {
        to: { name: 'Bo', email: 'bo@crew.example', role: 'crew', tellInPerson: [], ...to },
      }).text
    expect(await told({ language: 'es' }, line)).toContain('Motivo: Retirada por decisión: Fitting recalled.\n')
    expect(await told({ language: 'en', units: 'US customary' }, line)).toContain(
      'Why: Removed by decision: Fitting recalled.\n',
    )
  })

  test('says of a stick that was never tested what it waits for', async () => {
    const why = { is: 'why not tested yet' } as const
    const { text } = spanishMail('used while unfit', {
      status: 'awaiting first test',
      dueOn: null,
      daysLeft: null,
      why,
    })
    expect(text).toContain('Motivo: Aún no ha tenido su primera prueba completa.')
  })
})
