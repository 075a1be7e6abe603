/** An example of each body by which a fact comes in or is put right, by the operationId. */
import type { Reading } from '../../shared-domain/bench-test/bench-test.ts'
import { quarterTurns } from '../../shared-domain/words.ts'

/** Fact ids of the examples: what a correction names is what another example records. */
const ids = {
  benchTest: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e01',
  judgement: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e02',
  correctiveStep: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e03',
  use: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e04',
  defect: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e05',
  move: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e06',
  certificate: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e07',
  conditionCheck: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e08',
  release: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e09',
  removal: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e10',
  label: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e11',
  paperLook: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e15',
  pastTest: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e16',
  counting: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e17',
  correction: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e12',
  supposed: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e14',
  replacement: '0b5f6a0e-6a53-4c1e-9a55-3d1f0a7c2e13',
} as const

/** The spans of an instrument of 0.3 m along a stick of 0.6 m, each overlapping the one before. */
const spans = [
  [0, 0.3],
  [0.15, 0.45],
  [0.3, 0.6],
] as const

const survey = (leakageMicroamps: number, settled: object): Reading[] =>
  quarterTurns.flatMap((quarterTurn) =>
    spans.map(([fromMetres, toMetres]) => ({ quarterTurn, fromMetres, toMetres, leakageMicroamps, ...settled })),
  )

const on = { occurredOn: '2026-03-02' }
const checked = { when: 'before', openMicroamps: 0, checkMicroamps: 98 }

export const factExamples: Readonly<Record<string, object>> = {
  recordBenchTest: {
    factId: ids.benchTest,
    testedOn: '2026-03-02',
    testedBy: 'Ines Roth',
    instrumentId: 'INS-1',
    procedureId: 'PRC-1',
    reason: 'periodic',
    instrumentChecks: [
      { state: 'dry', ...checked },
      { state: 'wet', ...checked },
    ],
    examination: { defects: [], gloss: 'sound' },
    cleaned: true,
    waxed: true,
    dry: { readings: survey(4, {}) },
    wet: { water: 'distilled', appearance: 'beads', readings: survey(9, { settled: true }) },
  },
  judgeBenchTestAgain: {
    factId: ids.judgement,
    reason: 'The check after the last reading was not typed in',
    instrumentChecks: [{ state: 'wet', ...checked, when: 'after' }],
  },
  recordPastTest: { factId: ids.pastTest, testedOn: '2025-05-14', passed: true, testedBy: 'Ines Roth' },
  askThatPastTestsCount: { factId: ids.counting, stickIds: ['S-1'], reason: 'Its sheet of 2025 lies in the tool room' },
  recordCorrectiveStep: { factId: ids.correctiveStep, ...on, at: '07:30', kind: 'cleaned', by: 'Ines Roth' },
  recordUse: { factId: ids.use, ...on, days: 1, conditions: ['wet'] },
  reportDefect: { factId: ids.defect, ...on, kind: 'tingle', note: 'Felt at the grip in light rain' },
  recordMove: { factId: ids.move, ...on, to: { crewId: 'CR-1' } },
  recordCertificate: { factId: ids.certificate, ...on, issuedBy: 'The maker’s laboratory', number: 'C-2207' },
  recordConditionCheck: { factId: ids.conditionCheck, ...on, by: 'Lea Quint', sound: true },
  releaseStick: { factId: ids.release, ...on, at: '08:30', note: 'Looked over after the retest' },
  removeStick: { factId: ids.removal, ...on, reason: 'The end fitting is obsolete' },
  recordLabel: { factId: ids.label, ...on, kind: 'fixed', shows: '2028-03-01' },
  recordPaperLook: { factId: ids.paperLook, ...on, at: '10:00', note: 'The bench book says nothing more' },
  askWhatWouldFollow: { kind: 'uses', fact: { factId: ids.supposed, ...on, days: 2, conditions: ['salt'] } },
  correct: {
    factId: ids.correction,
    corrects: ids.use,
    reason: 'It was dry that day',
    replacement: { factId: ids.replacement, ...on, days: 1, conditions: [] },
  },
}
