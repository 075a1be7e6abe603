/**
 * Notices of every kind, and of each kind those that say something else. A kind, a cause or a reason that is added in
 * the domain is missed here by type. Names are in Greek letters, so that a test finds every word in Latin ones.
 */
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import {
  type InvitationTold,
  invitedWhys,
  type NoticeKind,
  type OwedNotice,
  type ProposalTold,
  type RecallTold,
  type Report,
  type StickLine,
  undeliveredWhys,
  waysBack,
} from '../../shared-domain/notices/notice.ts'
import { entrySlipNames, slipNames } from '../../shared-domain/slip.ts'
import { saidOfHold } from '../../shared-domain/state/hold.ts'
import { abilities, roles } from '../../shared-domain/words.ts'
import { holds as everyHold, source } from '../domain/wording/every-hold.ts'
import { day } from '../support/trade.ts'

/** The source of a hold is a name, as an employer's are. */
const holds = JSON.parse(JSON.stringify(everyHold).replaceAll(source, 'SAMPLE')) as typeof everyHold

type Sample = Partial<Omit<OwedNotice, 'kind' | 'key'>>

const today = day('2026-03-02')
const line: StickLine = {
  stickId: 'S-1',
  crewId: 'CR-1',
  crewName: 'Βορράς',
  status: 'overdue',
  dueOn: day('2026-02-28'),
  daysLeft: -2,
  bringTo: 'Αυλή',
  why: { is: 'why overdue', dueOn: '2026-02-28' },
  source: '29 CFR 1910.269(j)(2)(iii)',
  holds: [],
}
const of = (...lines: readonly Partial<StickLine>[]): Sample => ({ lines: lines.map((one) => ({ ...line, ...one })) })

/** As somebody reads it who has no stick in hand. */
const toManager = (sample: Sample): Sample => ({ ...sample, to: { ...reader(), role: 'manager' } })

const soon = { status: 'due soon', dueOn: day('2026-03-12'), daysLeft: 10 } as const
const look = { duty: 'look', why: { is: 'why overdue, look', dueOn: '2026-02-28' } } as const
const loan = { lentTo: 'Νότος', returnBy: day('2026-02-28'), daysLate: 2 }
const wrongLabel = day('2027-03-01')
const fit = {
  status: 'in service',
  dueOn: day('2027-03-01'),
  daysLeft: 364,
  why: { is: 'why in service', dueOn: '2027-03-01' },
} as const
const onHold = (from: number, many = 1): Partial<StickLine> => ({
  status: 'on hold',
  why: { is: 'why held' },
  holds: holds.slice(from, from + many).map(({ hold }) => saidOfHold(hold)),
})
const removed = { status: 'removed from service', why: { is: 'why removed' } } as const
const untested = {
  status: 'awaiting first test',
  dueOn: null,
  daysLeft: null,
  why: { is: 'why never tested' },
} as const

const causes = ['rules', 'day', 'correction', 'recall', 'import'] as const satisfies readonly OwedNotice['cause'][]

const digests: readonly Sample[] = [
  of({}),
  of(soon),
  of({}, soon, { ...soon, dueOn: today, daysLeft: 0 }, { ...soon, daysLeft: null }),
  of({ ...look }),
  of({ ...soon, ...look, why: { is: 'why due soon, look', dueOn: '2026-03-12' } }),
  of({}, { ...soon, ...look, liesAt: 'store' }),
  of({ ...fit, loan, onlyLoan: true }),
  of({}, { ...fit, loan, onlyLoan: true }),
  of({ ...fit, wrongLabel, onlyLabel: true }),
  of({}, { wrongLabel, notPrimary: true }, { ...fit, wrongLabel, onlyLabel: true }),
  { ...of({ ...onHold(0, 5), wrongLabel }, { ...onHold(5), liesAt: 'bench' }), more: 7 },
  {
    ...of({}),
    to: {
      ...reader(),
      tellInPerson: Array.from({ length: 62 }, () => ({ name: 'Ζωή', phone: '555 0100' })),
    },
  },
]

const stopping: readonly Sample[] = [
  ...holds.map((_, i) => of(onHold(i))),
  of(onHold(0, 14)),
  of({ ...onHold(0), liesAt: 'bench', wrongLabel }),
  of({ ...onHold(0), liesAt: 'store', bringTo: null }),
  of({ ...onHold(0), bringTo: null }),
  of(untested),
  of(onHold(0), onHold(1)),
  ...causes.flatMap((cause) => [
    { cause, ...of(onHold(0)) },
    { cause, ...of(onHold(0), onHold(1)), more: 40 },
  ]),
]

const whats: { readonly [what in Report['what']]: Partial<Report> } = {
  defect: { defect: 'tingle', at: '09:40', note: 'σπίθα' },
  'unsound look': {},
  missing: {},
  found: {},
  'bench test': { verdict: 'fail' },
}
const reportOf = (what: Report['what'], over: Partial<Report> = {}): Sample['report'] & {} => ({
  what,
  on: '2026-03-01',
  reportedBy: 'Ζωή',
  ...whats[what],
  ...over,
})

const proposalKinds: { readonly [kind in ProposalTold['kind']]: true } = {
  depot: true,
  crew: true,
  person: true,
  instrument: true,
  procedure: true,
  demonstration: true,
  policy: true,
  organisation: true,
  stick: true,
  correction: true,
  'tests before': true,
}
const ways: readonly (Way | string)[] = [
  { code: 'due-later', says: { is: 'due later', from: day('2026-03-02'), to: day('2026-04-02') } },
  {
    code: 'shelf',
    says: { is: 'shelf limit changed', id: 'CR-1', from: { is: 'months', count: 1 }, to: { is: 'no months' } },
  },
  ...holds
    .slice(0, 3)
    .map(({ hold }): Way => ({ code: 'ends-hold', says: { is: 'ends hold' }, hold: saidOfHold(hold) })),
  'as an earlier build wrote it',
]
const tally = { sticks: 9, changed: 3, dueEarlier: 1, dueLater: 2, noLongerFit: 1, newlyFit: 1, dueInMonth: {} }
const stands = { status: 'on hold', dueOn: null, why: { is: 'why held' }, holds: [] } as const
const effects: { readonly [of in FleetEffect['of']]: FleetEffect } = {
  rules: { of: 'rules', ...tally, isWhole: false },
  tests: { of: 'tests', sticks: 9, milder: 2, isWhole: true },
  sticks: { of: 'sticks', sticks: 9, isWhole: true },
  stick: { of: 'stick', inForce: stands, proposed: { ...stands, status: 'in service' } },
}
const proposalOf = (over: Partial<ProposalTold>): Sample => ({
  lines: [],
  proposal: { id: 'CR-1', kind: 'policy', entryId: 'S-1', by: 'Ζωή', ways, state: 'open', ...over },
})

const slip = { on: day('2026-02-27'), reason: 'άλλη', by: 'Ζωή' }

const used = { on: day('2026-03-01'), unfitOn: day('2026-02-28'), status: 'overdue' } as const
const usedWith = (sample: Sample) => ({ ...sample, used })

/** A recall that a house may open under this id. */
export const recallId = '00000000-0000-4000-8000-00000000ca11'

/** One of each at least; a kind of the domain without one fails to compile. */
const samplesOf: { readonly [kind in NoticeKind]: readonly [Sample, ...Sample[]] } = {
  digest: [
    of({}),
    ...digests,
    of({ ...soon, plannedOn: today }, soon),
    ...[of({}), of({}, {}), of({}, soon), of(soon), of(soon, soon)].flatMap((one) => [one, toManager(one)]),
  ],
  hold: [
    of(onHold(0)),
    ...stopping,
    toManager(of(onHold(0))),
    toManager(of(onHold(0), onHold(1))),
    of({ ...onHold(0), holds: [{ code: 'reported-missing' }] }),
  ],
  removal: [
    of({ ...removed, removedFor: { reason: { code: 'removed-by-decision', text: 'παλιά' }, more: 0 } }),
    of({ ...removed, liesAt: 'bench' }),
    toManager(of(removed)),
    of({ ...removed, status: 'scrapped', why: { is: 'why scrapped' } }),
  ],
  recall: (['instrument', 'lot', 'order'] as const).flatMap((by) => [
    recallOf(by, of(onHold(0))),
    recallOf(by, { ...of(onHold(0), onHold(1)), more: 40 }),
    recallOf(by, toManager(of(onHold(0)))),
    recallOf(by, toManager(of(onHold(0), { ...onHold(1), liesAt: 'store' }))),
  ]) as [Sample, ...Sample[]],
  return: [
    of(fit),
    of({ ...fit, liesAt: 'bench' }),
    of({ ...fit, liesAt: 'store' }),
    ...waysBack.map((cameBackBy) => ({ cameBackBy, ...of(fit) })),
    of(fit, fit),
    ...causes.flatMap((cause) => [
      { cause, ...of(fit) },
      { cause, ...of(fit, fit) },
    ]),
  ],
  'used while unfit': [
    usedWith(of({})),
    usedWith(toManager(of({}))),
    usedWith(of({ liesAt: 'bench' })),
    usedWith(of(fit)),
  ],
  report: [
    { ...of(fit), report: reportOf('defect') },
    // the table's own keys
    ...Object.keys(whats).map((what) => ({ ...of(onHold(0)), report: reportOf(what as Report['what']) })),
    { ...of(fit), report: reportOf('missing', { passedSince: day('2026-03-02') }) },
    { lines: [], report: reportOf('defect', { unknownNumber: 'S-9' }) },
  ],
  'date brought forward': [
    of({ ...soon, broughtForwardFrom: wrongLabel }),
    of({ broughtForwardFrom: wrongLabel, wrongLabel }),
  ],
  unanswered: [
    { ...of(onHold(0)), unanswered: ['Ζωή', 'Άνα'] },
    { ...of(onHold(0), onHold(1)), unanswered: ['Ζωή'], to: { ...reader(), role: 'manager' } },
  ],
  'not delivered': [
    { ...of({}), passedOnFor: ['Ζωή'] },
    { ...of(fit), passedOnFor: ['Ζωή'] },
    { ...of(onHold(0), onHold(1)), passedOnFor: ['Ζωή'] },
    ...undeliveredWhys.map((why) => ({ ...of({}), missed: { name: 'Ζωή', email: 'zoe@crew.example', why } })),
  ],
  proposal: [
    proposalOf({}),
    ...Object.keys(proposalKinds).flatMap((kind) =>
      (['open', 'approved', 'declined'] as const).map((state) => {
        const told = { state, decidedBy: 'Άνα', reason: 'όχι', because: 'ναι' }
        return proposalOf({ ...told, kind: kind as ProposalTold['kind'] }) // the table's own keys
      }),
    ),
    ...Object.values(effects).map((fleet) => proposalOf({ fleet })),
  ],
  calibration: [
    { lines: [], calibration: { instrumentId: 'INS-1', through: day('2026-03-20'), daysLeft: 18 } },
    { lines: [], calibration: { instrumentId: 'INS-1', through: day('2026-03-01'), daysLeft: -1 } },
  ],
  'put right': [
    { ...of(fit), slip: { ...slip, what: 'the bench test', to: 'S-2' } },
    ...[...Object.values(slipNames), ...Object.values(entrySlipNames)].map((what) => ({
      ...of(onHold(0)),
      slip: { on: slip.on, reason: slip.reason, what, from: 'S-3' },
    })),
  ],
  reminder: [
    { ...of({}), reminder: { by: 'Ζωή', on: day('2026-03-02'), at: '09:40' } },
    { ...of({}, onHold(0)), reminder: { by: 'Ζωή', on: day('2026-03-02'), at: '09:40', note: 'σήμερα' } },
  ],
  invitation: [
    invitationOf({}),
    ...roles.map((role) => invitationOf({ role })),
    ...invitedWhys.map((why) => invitationOf({ why, by: 'Ζωή', ask: { name: 'Άνα', email: 'ana@crew.example' } })),
    invitationOf({ depots: ['Άνω'], crew: 'Κάτω', until: day('2026-04-02') }),
  ],
  fingerprint: [fingerprintOf(1), fingerprintOf(1234)],
}

function recallOf(by: RecallTold['by'], sample: Sample): Sample {
  return { ...sample, recall: { id: recallId, by, named: 'S-9', reason: 'άλλη', openedBy: 'Ζωή' } }
}

function fingerprintOf(records: number): Sample {
  const root = '0123456789012345'.repeat(4)
  return { lines: [], fingerprint: { organisation: 'demo-utility', records, root } }
}

function invitationOf(over: Partial<InvitationTold>): Sample {
  const { role = 'crew' } = over
  const invited: InvitationTold = { why: 'entered', organisation: 'demo-utility', role, may: abilities, depots: ['*'] }
  return { lines: [], invitation: { ...invited, ...over } }
}

function reader(): OwedNotice['to'] {
  return { name: 'Άνα', email: 'ana@crew.example', role: 'crew', tellInPerson: [] }
}

/** All of them, each with a link by which it is confirmed. */
export const everyNotice: readonly OwedNotice[] = Object.entries(samplesOf).flatMap(([kind, samples]) =>
  samples.map((sample, i) => ({
    kind: kind as NoticeKind, // the table's own keys
    key: `${kind} ${i}`,
    to: reader(),
    day: today,
    lines: [],
    answer: { about: `${kind} ${i}`, withinHours: 4 },
    ...sample,
  })),
)
