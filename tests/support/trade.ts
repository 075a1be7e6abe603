/** Sticks, surveys and facts for tests. Every limit here is a sample value of no standard. */
import { randomUUID } from 'node:crypto'
import type { BenchTest, Reading } from '../../shared-domain/bench-test/bench-test.ts'
import type { Judgement } from '../../shared-domain/bench-test/judge.ts'
import { addDays, type CalendarDate, type Instant } from '../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../shared-domain/facts.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import type {
  Crew,
  Demonstration,
  Depot,
  Instrument,
  OrganisationEntry,
  Person,
  Procedure,
  Stick,
} from '../../shared-domain/registers.ts'
import { whenOf } from '../../shared-domain/state/when.ts'
import { constructions, quarterTurns } from '../../shared-domain/words.ts'

export const day = (text: string) => text as CalendarDate

export const usPolicy = rulesFrom({ packs: ['us-29-cfr-1910-269-j'] })

export const aStick: Stick = {
  construction: 'foam-filled FRP tube',
  workingLengthMetres: 2.4,
  diameterMillimetres: 32,
  primaryProtection: true,
  crewId: 'CR-1',
  lot: 'L-7',
  inServiceSince: day('2025-01-15'),
}

export const aDepot: Depot = { name: 'North yard', timeZone: 'America/Chicago', sweepHour: 6 }

export const aCrew: Crew = {
  name: 'Crew one',
  depotId: 'DEP-1',
  recipients: [
    { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew' },
    { name: 'Bo Lind', email: 'bo@crew-one.example', role: 'foreman' },
  ],
}

export const aManager: Person = {
  name: 'Mia Okafor',
  email: 'manager@demo-utility.example',
  role: 'manager',
  depots: ['*'],
}

export const anInstrument: Instrument = {
  spanMetres: 0.3,
  calibratedOn: day('2024-01-01'),
  calibrationDueOn: day('2026-12-01'),
}

export const aProcedure: Procedure = {
  title: 'Bench survey',
  approvedBy: 'Safety engineer',
  leastOverlapMetres: 0.05,
  comparison: 'not more than',
  decision: 'simple',
  checks: (['dry', 'wet'] as const).map((state) => ({
    state,
    expectedMicroamps: 100,
    tolerancePercent: 10,
    openAtMostMicroamps: 1,
  })),
  limits: constructions
    .filter((construction) => construction !== 'wood')
    .flatMap((construction) => [
      { construction, state: 'dry' as const, microamps: 10, source: 'sample value' },
      { construction, state: 'wet' as const, microamps: 20, source: 'sample value' },
    ]),
}

export const aDemonstration: Demonstration = {
  kind: 'readings for withstand',
  by: 'Safety engineer',
  grounds: 'comparison of 40 sticks, test report 12',
}

export const anOrganisation: OrganisationEntry = { name: 'Demo utility', packs: ['us-29-cfr-1910-269-j'] }

/**
 * A complete survey of spans of 0.3 m stepped by 0.25 m, all turns; `change` alters a reading or, with null, leaves it
 * out.
 */
export function survey(
  lengthMetres: number,
  leakageMicroamps: number,
  change: (reading: Reading) => Partial<Reading> | null = () => ({}),
  settled?: boolean,
): Reading[] {
  const length = Math.round(lengthMetres * 1000)
  const starts = Array.from({ length: Math.ceil((length - 300) / 250) + 1 }, (_, i) => Math.min(i * 250, length - 300))
  return quarterTurns.flatMap((quarterTurn) =>
    starts.flatMap((start) => {
      const reading: Reading = {
        quarterTurn,
        fromMetres: start / 1000,
        toMetres: (start + 300) / 1000,
        leakageMicroamps,
        ...(settled === undefined ? {} : { settled }),
      }
      const changed = change(reading)
      return changed === null ? [] : [{ ...reading, ...changed }]
    }),
  )
}

export function aTest(over: Partial<BenchTest> = {}): BenchTest {
  return {
    factId: randomUUID(),
    testedOn: day('2026-03-02'),
    testedBy: 'Ines Roth',
    instrumentId: 'INS-1',
    procedureId: 'PRC-1',
    reason: 'periodic',
    instrumentChecks: (['dry', 'wet'] as const).map((state) => ({
      state,
      when: 'before' as const,
      openMicroamps: 0,
      checkMicroamps: 98,
    })),
    examination: { defects: [], gloss: 'sound' },
    cleaned: true,
    waxed: true,
    dry: { readings: survey(2.4, 4) },
    wet: { water: 'distilled', appearance: 'beads', readings: survey(2.4, 9, undefined, true) },
    ...over,
  }
}

/** A passing test but for one wet reading of 21 at 1.0 m, 90 degrees. */
export function overTheLimit(over: Partial<BenchTest> = {}): BenchTest {
  const change = (reading: Reading) =>
    reading.quarterTurn === 90 && reading.fromMetres === 1 ? { leakageMicroamps: 21 } : {}
  return aTest({ wet: { water: 'distilled', appearance: 'beads', readings: survey(2.4, 9, change, true) }, ...over })
}

export const judgements: Record<
  'pass' | 'examined' | 'electrical' | 'guard band' | 'examination' | 'invalid' | 'incomplete',
  Judgement
> = {
  pass: { verdict: 'pass', cause: null, reasons: [], worst: null },
  examined: { verdict: 'pass', cause: null, reasons: [], worst: null, byExaminationAlone: true },
  electrical: {
    verdict: 'fail',
    cause: 'electrical',
    reasons: [{ code: 'reading-over-limit', text: '21 over the limit of 20' }],
    worst: null,
  },
  'guard band': {
    verdict: 'fail',
    cause: 'electrical',
    reasons: [{ code: 'reading-in-guard-band', text: '19 within the uncertainty of the limit of 20' }],
    worst: null,
    inGuardBand: true,
  },
  examination: {
    verdict: 'fail',
    cause: 'examination',
    reasons: [{ code: 'open-defect', text: 'an open crack' }],
    worst: null,
  },
  invalid: {
    verdict: 'invalid',
    cause: null,
    reasons: [{ code: 'water-not-allowed', text: 'tap water' }],
    worst: null,
  },
  incomplete: {
    verdict: 'incomplete',
    cause: null,
    reasons: [{ code: 'turn-missing', text: 'no quarter turn of 270' }],
    worst: null,
  },
}

export type Ending = keyof typeof judgements

const withstoodAsNew = ({ reason, withstand = [] }: BenchTest) => reason === 'first issue' && withstand.length > 0

export const happened = {
  registered: (stick: Stick = aStick): Happening => ({ kind: 'registered', stick }),
  tested: (ending: Ending, test: BenchTest = aTest()): Happening => ({
    kind: 'tested',
    test,
    pinned: { stickSeq: 1, procedureEdition: '2026-03-02#0001', instrumentEditions: ['2026-03-02#0001'] },
    judgement: { ...judgements[ending], ...(ending === 'pass' && withstoodAsNew(test) ? { asNew: true } : {}) },
  }),
  testedBefore: (passed = true): Happening => ({
    kind: 'tested before',
    before: { factId: randomUUID(), testedOn: day('2026-03-02'), passed },
  }),
  /** two people, by `recordedFact`, say that the test from before counts that `history` recorded as number `seq` */
  countedBefore: (seq: number): Happening => ({
    kind: 'test before counted',
    counting: { factId: randomUUID(), counts: factIdOf(seq), reason: 'its sheet lies in the tool room' },
  }),
  /** the new judgement of the test that `history` recorded as number `seq` */
  judgedAgain: (seq: number, ending: Ending, instrumentChecks?: BenchTest['instrumentChecks']): Happening => ({
    kind: 'judged again',
    judges: factIdOf(seq),
    again: {
      factId: randomUUID(),
      reason: 'the certificate came late',
      ...(instrumentChecks === undefined ? {} : { instrumentChecks }),
    },
    pinned: { stickSeq: 1, procedureEdition: '2026-03-02#0001', instrumentEditions: [`by ${ending}`] },
    judgement: judgements[ending],
  }),
  step: (kind: 'cleaned' | 'waxed' | 'refinished' | 'repaired'): Happening => ({
    kind: 'corrective step',
    step: { factId: randomUUID(), occurredOn: day('2026-03-02'), kind, by: 'Ines Roth' },
  }),
  defect: (kind: 'tingle' | 'drop' = 'tingle'): Happening => ({
    kind: 'defect reported',
    defect: { factId: randomUUID(), occurredOn: day('2026-03-02'), kind },
  }),
  used: (): Happening => ({
    kind: 'used',
    use: { factId: randomUUID(), occurredOn: day('2026-03-02'), days: 1, conditions: [] },
  }),
  released: (): Happening => ({
    kind: 'released',
    release: { factId: randomUUID(), occurredOn: day('2026-03-02') },
  }),
  moved: (to: (Happening & { kind: 'moved' })['move']['to']): Happening => ({
    kind: 'moved',
    move: { factId: randomUUID(), occurredOn: day('2026-03-02'), to },
  }),
  removed: (reason = 'Its end fitting is obsolete'): Happening => ({
    kind: 'removed',
    removal: { factId: randomUUID(), occurredOn: day('2026-03-02'), reason },
  }),
  restored: (): Happening => ({
    kind: 'records restored',
    lost: { from: '2026-03-01T00:00:00.000Z' as Instant, to: '2026-03-02T00:00:00.000Z' as Instant },
  }),
  paperLookedAt: (): Happening => ({
    kind: 'paper looked at',
    look: { factId: randomUUID(), occurredOn: day('2026-03-02') },
  }),
  /** a label without a date is taken off */
  labelled: (shows?: string): Happening => ({
    kind: 'label changed',
    label: {
      factId: randomUUID(),
      occurredOn: day('2026-03-02'),
      ...(shows === undefined ? { kind: 'taken off' } : { kind: 'fixed', shows: day(shows) }),
    },
  }),
}

/**
 * Facts recorded one after another, each on its day or, where that is over, after the one before it:
 * `history(['2026-03-02', happened.registered()], …)`. Without an hour it was recorded about noon, by the clock of UTC.
 */
export function history(...events: (readonly [on: string, happening: Happening, at?: string])[]): RecordedFact[] {
  let last = 0
  return events.map(([on, happening, at], i) => {
    last = Math.max(last + 1000, Date.parse(`${on}T${at ?? '12:00'}:00Z`))
    return recordedFact(happening, { seq: i + 1, on, at, recordedAt: new Date(last).toISOString() as Instant })
  })
}

const factIdOf = (seq: number) => `00000000-0000-4000-8000-${String(seq).padStart(12, '0')}`

/** The fact as a door would keep it, at a depot whose clock shows UTC. */
export function recordedFact(
  happening: Happening,
  { seq, on, at, recordedAt }: { seq: number; on: string; at?: string | undefined; recordedAt: Instant },
): RecordedFact {
  const stays = [{ zone: 'UTC', since: '' as const }]
  const { within } = whenOf({ day: on, at }, stays, recordedAt)
  const days = happening.kind === 'used' ? happening.use.days : 1
  const { latest } = days === 1 ? within : whenOf({ day: addDays(day(on), days - 1) }, stays, recordedAt).within
  return {
    factId: factIdOf(seq),
    seq,
    occurredOn: day(on),
    ...(at === undefined ? {} : { at }),
    within: { ...within, latest },
    clock: 'UTC',
    recordedAt,
    recordedBy: 'bench',
    ...(happening.kind === 'test before counted' ? { approvedBy: 'manager-2' } : {}),
    ...happening,
  }
}
