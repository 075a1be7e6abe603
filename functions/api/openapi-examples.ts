/**
 * An example of each body, by the operationId. All data are invented, and every limit is a sample value of no standard.
 */
import { factExamples } from './openapi-fact-examples.ts'

const construction = 'foam-filled FRP tube'
const packs = ['us-29-cfr-1910-269-j']
const aCheck = { expectedMicroamps: 100, tolerancePercent: 10, openAtMostMicroamps: 1 }
const yearly = { requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'Safety manual, section 4' }

const procedureWith = (dry: number, wet: number) => ({
  title: 'Bench survey, dry and wet',
  approvedBy: 'Safety engineer',
  leastOverlapMetres: 0.05,
  comparison: 'not more than',
  decision: 'simple',
  checks: [
    { state: 'dry', ...aCheck },
    { state: 'wet', ...aCheck },
  ],
  limits: [
    { construction, state: 'dry', microamps: dry, source: 'Sample value' },
    { construction, state: 'wet', microamps: wet, source: 'Sample value' },
  ],
})

export const examples: Readonly<Record<string, object>> = {
  sayReadingOfImport: { dates: 'day first', decimal: ',', units: { workingLengthMetres: 'ft' } },
  applyImport: { goodOnly: true },
  askForPlan: { depotId: 'DEP-1' },
  putBench: {
    weekMinutes: 1200,
    weeks: [{ week: '2026-03-16', minutes: 0 }],
    work: { setUpMinutes: 10, readingMinutes: 0.5, wettingMinutes: 10, refinishingMinutes: 60, failingShare: 0.05 },
    weeksAway: 1,
    marginWeeks: 2,
    mostWeeksEarly: 12,
    keepPercent: 50,
    cover: [{ crewId: 'CR-1', constructions: ['FRP rod'], least: 1, loaners: 0 }],
    pins: [],
    lockedWeeks: [],
  },
  putOrganisation: { name: 'Demo utility', packs },
  putDepot: {
    name: 'Harbour yard',
    timeZone: 'America/Chicago',
    sweepHour: 6,
    address: '12 Mill Road, Harbour',
    hours: 'Monday to Friday, 7 to 16',
  },
  putCrew: {
    name: 'Line crew one',
    depotId: 'DEP-1',
    recipients: [
      { name: 'Lea Quint', email: 'lea.quint@crew-one.example', role: 'foreman' },
      { name: 'Kai Brandt', phone: '+1 555 0142', role: 'crew' },
    ],
  },
  setPersonFree: {
    factId: '5d1f0f0e-6a52-4c7b-8a64-1f6f4f5b0c11',
    reason: 'They have another account at the sign-in service',
  },
  signPersonOut: { factId: '0b6a2f3c-9d0e-4c8e-9a39-7f1c2d5e4a22', reason: 'Their phone was lost' },
  putInstrument: {
    spanMetres: 0.3,
    calibratedOn: '2026-01-12',
    calibrationDueOn: '2027-01-12',
    certificate: 'C-2026-0112',
    laboratory: 'Invented laboratory',
  },
  putProcedure: procedureWith(10, 20),
  previewProcedure: procedureWith(10, 5),
  putDemonstration: {
    kind: 'readings for withstand',
    by: 'Safety engineer',
    grounds: 'Comparison of 40 sticks, test report 12',
  },
  putPerson: { name: 'Mia Okafor', email: 'mia.okafor@demo-utility.example', role: 'manager', depots: ['*'] },
  putPolicy: { packs, tellDaysBefore: [60, 30, 0], answerWithinHours: 4, releaseAfterFailure: true },
  previewPolicy: { packs, shorten: [yearly], effectiveFrom: '2026-04-01' },
  approveProposal: {},
  declineProposal: { reason: 'The longer interval was not agreed with the safety engineer' },
  putStick: {
    construction,
    workingLengthMetres: 0.6,
    diameterMillimetres: 32,
    primaryProtection: true,
    crewId: 'CR-1',
    lot: 'L-7',
    inServiceSince: '2025-01-15',
  },
  placeReport: { stickId: 'S-1' },
  ...factExamples,
  openRecall: {
    factId: '3c9f0a52-7d1b-4f0e-8b6a-2e5d4c7f9a10',
    cause: {
      instrumentId: 'INS-1',
      lastGoodOn: '2026-01-12',
      foundOutOn: '2026-03-02',
      error: { kind: 'percent of reading', value: -5 },
    },
    reason: 'Found 5 % low at its check with the reference piece',
  },
  closeRecall: { factId: '8e2b6d14-5a3c-4d97-9f01-6b7c8d9e0f21', notFound: [] },
  approveCorrection: {},
  recordToldInPerson: { name: 'Kai Brandt', toldOn: '2026-03-02' },
  remind: {
    factId: 'a5a6f5a0-3f0a-4b63-9d4f-0c1d6a7b2e19',
    stickIds: ['S-1'],
    note: 'Bring it on Friday, please: the bench is free',
  },
  clearMarkedAddress: {
    email: 'lea.quint@crew-one.example',
    reason: 'The mailbox was full and is emptied',
  },
}
