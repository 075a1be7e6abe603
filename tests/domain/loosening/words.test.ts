/** What would be milder, as people read it: from what to what, and where in the new edition. */
import { expect, test } from 'vitest'
import { loosenings } from '../../../shared-domain/catalogue/en/ways.ts'
import { type Edit, waysOfLoosening } from '../../../shared-domain/loosening/loosening.ts'
import type { Dated, Milder } from '../../../shared-domain/loosening/way.ts'
import type { EmployerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type {
  Demonstration,
  Instrument,
  Limit,
  OrganisationEntry,
  Procedure,
  Stick,
  WithstandTest,
} from '../../../shared-domain/registers.ts'
import { constructions } from '../../../shared-domain/words.ts'
import { inEnglish } from '../../support/english.ts'
import {
  aCrew,
  aDemonstration,
  aDepot,
  anInstrument,
  anOrganisation,
  aProcedure,
  aStick,
  day,
} from '../../support/trade.ts'

const on = <Body>(date: string, body: Body): Dated<Body> => ({ effectiveFrom: day(date), body })
const pair = <Body>(before: Body, after: Body) => ({
  id: 'X',
  before: [on('2026-01-01', before)],
  after: on('2026-03-02', after),
})

const us: EmployerPolicy = { packs: ['us-29-cfr-1910-269-j'] }
const own: Requirement = {
  id: 'house-1',
  words: 'tested again',
  source: { cited: 'House rule 1', jurisdiction: 'employer', confidence: 'the employer’s own' },
  evidence: ['dry test', 'examination'],
  interval: { months: 12 },
  shelfMonths: 6,
  stops: ['repaired', 'waxed'],
  appliesTo: { primaryProtectionOnly: false, constructions: [...constructions] },
  legalMaximum: true,
}
const policy = (before: Partial<EmployerPolicy>, after: Partial<EmployerPolicy>): Edit => ({
  kind: 'policy',
  ...pair({ ...us, ...before }, { ...us, ...after }),
  known: { pinned: [] },
})
const rule = (over: Partial<Requirement>) => policy({ add: [own] }, { add: [{ ...own, ...over }] })
const procedure = (before: Partial<Procedure>, after: Partial<Procedure>, others: readonly Procedure[] = []): Edit => ({
  kind: 'procedure',
  ...pair({ ...aProcedure, ...before }, { ...aProcedure, ...after }),
  known: { others },
})
const first = (over: Partial<Procedure>, others: readonly Procedure[] = []): Edit => ({
  kind: 'procedure',
  id: 'PRC-9',
  before: [],
  after: on('2026-03-02', { ...aProcedure, ...over }),
  known: { others },
})
const instrument = (before: Partial<Instrument>, after: Partial<Instrument>): Edit => ({
  kind: 'instrument',
  ...pair({ ...anInstrument, ...before }, { ...anInstrument, ...after }),
})
const stick = (
  editions: readonly Partial<Stick>[],
  after: Partial<Stick>,
  procedures: readonly Procedure[] = [],
): Edit => ({
  kind: 'stick',
  id: 'S-1',
  before: editions.map((one, i) => on(`2026-01-0${i + 1}`, { ...unnamed, ...one })),
  after: on('2026-03-02', { ...unnamed, ...after }),
  known: { requirements: rulesFrom({ packs: ['us-mo-200', 'ru-order-261'] }).requirements, procedures },
})
const { lot: _lot, inServiceSince: _since, ...unnamed } = aStick
const demonstration = (before: Partial<Demonstration> | null, after: Partial<Demonstration>): Edit =>
  before === null
    ? { kind: 'demonstration', id: 'DEM-1', before: [], after: on('2026-03-02', { ...aDemonstration, ...after }) }
    : { kind: 'demonstration', ...pair({ ...aDemonstration, ...before }, { ...aDemonstration, ...after }) }
const organisation = (before: OrganisationEntry['packs'], after: OrganisationEntry['packs']): Edit => ({
  kind: 'organisation',
  ...pair({ ...anOrganisation, packs: before }, { ...anOrganisation, packs: after }),
})
const limit: Limit = { construction: 'FRP rod', state: 'dry', microamps: 10, source: 'table 4' }
const withstand = (over: Partial<WithstandTest> = {}): WithstandTest => ({
  construction: 'FRP rod',
  when: 'in service',
  voltage: { kilovoltsPerFoot: 80 },
  seconds: 60,
  source: 'report 12',
  ...over,
})
const piece = (over: object = {}) => ({
  state: 'dry' as const,
  expectedMicroamps: 100,
  tolerancePercent: 5,
  openAtMostMicroamps: 1,
  ...over,
})
const today = day('2026-03-02')
const zones = new Map([
  ['DEP-1', ['America/Chicago']],
  ['DEP-2', ['America/Denver']],
])

const told: readonly (readonly [what: string, edit: Edit, ways: readonly (readonly (string | undefined)[])[]])[] = [
  [
    'a demonstration, from the first',
    demonstration(null, {}),
    [
      [
        'demonstration-relied-on',
        undefined,
        'The rule asks for a withstand test. With this change readings of leakage would be enough in its place. ' +
          'Safety engineer says that they are as good, by: comparison of 40 sticks, test report 12. Read that before ' +
          'you decide.',
      ],
    ],
  ],
  [
    'a demonstration that an examination alone is enough',
    demonstration(null, { kind: 'examination alone' }),
    [
      [
        'demonstration-relied-on',
        undefined,
        'The rule asks for a test. With this change an examination alone would be enough. Safety engineer says that ' +
          'it is as good, by: comparison of 40 sticks, test report 12. Read that before you decide.',
      ],
    ],
  ],
  [
    'a demonstration that a lower voltage is enough',
    demonstration(null, { kind: 'withstand' }),
    [
      [
        'demonstration-relied-on',
        undefined,
        'The rule asks for a withstand test at a voltage of its own. With this change a lower one would be enough. ' +
          'Safety engineer says that it is as good, by: comparison of 40 sticks, test report 12. Read that before ' +
          'you decide.',
      ],
    ],
  ],
  [
    'a demonstration of something else',
    demonstration({}, { kind: 'withstand' }),
    [['other-demonstration', '/kind', 'It is to show withstand instead of readings for withstand.']],
  ],
  [
    'other grounds',
    demonstration({}, { grounds: 'report 13' }),
    [
      [
        'other-grounds',
        '/grounds',
        'Its grounds are “report 13” instead of “comparison of 40 sticks, test report 12”.',
      ],
    ],
  ],
  [
    'a later end',
    demonstration({ until: day('2027-01-01') }, { until: day('2027-01-02') }),
    [['demonstration-lengthened', '/until', 'It counts until 2 January 2027; it was until 1 January 2027.']],
  ],
  [
    'no end any more',
    demonstration({ until: day('2027-01-01') }, {}),
    [['demonstration-lengthened', '/until', 'It counts without an end; it was until 1 January 2027.']],
  ],
  [
    'the same end, or an earlier one, or by somebody else',
    demonstration({ until: day('2027-01-02') }, { until: day('2027-01-02'), by: 'Other' }),
    [],
  ],
  ['an end where there was none', demonstration({}, { until: day('2027-01-02') }), []],
  [
    'a pack left',
    organisation(['us-mo-200', 'us-29-cfr-1910-269-j'], ['us-mo-200']),
    [
      [
        'pack-left',
        '/packs',
        'The rule pack us-29-cfr-1910-269-j, pinned when the organisation was made, is left: a policy need not have ' +
          'it any more.',
      ],
    ],
  ],
  ['a pack more', organisation(['us-mo-200'], ['us-mo-200', 'us-29-cfr-1910-269-j']), []],
  [
    'a calibration lengthened',
    instrument({}, { calibrationDueOn: day('2027-01-01') }),
    [
      [
        'calibration-lengthened',
        '/calibrationDueOn',
        'The calibration of 1 January 2024 is to last until 1 January 2027 instead of 1 December 2026.',
      ],
    ],
  ],
  [
    'a calibration of more than three years',
    instrument({}, { calibratedOn: day('2026-02-01'), calibrationDueOn: day('2029-02-02') }),
    [
      [
        'calibration-too-long',
        '/calibrationDueOn',
        'The calibration of 1 February 2026 is to last until 2 February 2029, more than 36 months.',
      ],
    ],
  ],
  [
    'a new calibration after it had read wrong',
    instrument({}, { calibratedOn: day('2026-02-01'), calibrationDueOn: day('2027-02-01'), foundOutOfTolerance: true }),
    [
      [
        'found-out-of-tolerance',
        '/foundOutOfTolerance',
        'It had read wrong when it was calibrated on 1 February 2026; from then on it is to count again.',
      ],
    ],
  ],
  [
    'it is not said to have read wrong any more',
    instrument({ foundOutOfTolerance: true }, { foundOutOfTolerance: false }),
    [
      [
        'in-tolerance-after-all',
        '/foundOutOfTolerance',
        'At the calibration of 1 January 2024 it is not said to have read wrong any more.',
      ],
    ],
  ],
  [
    'it is said to have read wrong by another figure',
    instrument(
      { foundOutOfTolerance: true, foundError: { kind: 'percent of reading', value: -5 } },
      { foundOutOfTolerance: true, foundError: { kind: 'percent of reading', value: -1 } },
    ),
    [
      [
        'found-error-changed',
        '/foundError',
        'At the calibration of 1 January 2024 it is said to have read wrong by another figure.',
      ],
      [
        'found-out-of-tolerance',
        '/foundOutOfTolerance',
        'It had read wrong when it was calibrated on 1 January 2024; from then on it is to count again.',
      ],
    ],
  ],
  [
    'a new calibration at which it read right, after one at which it had not',
    instrument({ foundOutOfTolerance: true }, { calibratedOn: day('2026-02-01'), calibrationDueOn: day('2027-02-01') }),
    [],
  ],
  [
    'an uncertainty filled in, a voltage and a frequency too',
    instrument({}, { expandedUncertaintyPercent: 3, kilovolts: 100, hertz: 60 }),
    [
      [
        'uncertainty-lessened',
        '/expandedUncertaintyPercent',
        'Its uncertainty goes from unknown to 3 %: the guard band is another.',
      ],
      ['kilovolts-changed', '/kilovolts', 'What it applies goes from unknown to 100 kV: other limits hold.'],
      ['hertz-changed', '/hertz', 'What it applies goes from unknown to 60 Hz: other limits hold.'],
    ],
  ],
  [
    'an uncertainty left out',
    instrument({ expandedUncertaintyPercent: 3, hertz: 50 }, {}),
    [
      [
        'uncertainty-lessened',
        '/expandedUncertaintyPercent',
        'Its uncertainty goes from 3 % to unknown: the guard band is another.',
      ],
      ['hertz-changed', '/hertz', 'What it applies goes from 50 Hz to unknown: other limits hold.'],
    ],
  ],
  [
    'a certificate of the very day from which it counts',
    instrument(
      { expandedUncertaintyPercent: 3 },
      { calibratedOn: day('2026-03-02'), calibrationDueOn: day('2027-03-02'), expandedUncertaintyPercent: 1 },
    ),
    [],
  ],
  [
    'a former lot',
    stick([{ lot: 'L-7' }, { lot: 'L-9' }], { lot: 'L-7' }),
    [['lot-named-again', '/lot', 'Its lot is L-7 again: what was tested may count again.']],
  ],
  ['the lot it has', stick([{ lot: 'L-7' }], { lot: 'L-7' }), []],
  ['no lot', stick([{}, { lot: 'L-9' }], {}), []],
  ['a lot it never had', stick([{ lot: 'L-7' }, { lot: 'L-9' }], { lot: 'L-8' }), []],
  [
    'a former first day',
    stick([{ inServiceSince: day('2025-06-01') }, { inServiceSince: day('2025-07-01') }], {
      inServiceSince: day('2025-06-01'),
    }),
    [
      [
        'first-day-named-again',
        '/inServiceSince',
        'Its first day of service is 1 June 2025 again: what was tested may count again.',
      ],
    ],
  ],
  [
    'a first day it never had',
    stick([{ inServiceSince: day('2025-06-01') }], { inServiceSince: day('2025-07-01') }),
    [],
  ],
  ['no first day', stick([{}, { inServiceSince: day('2025-06-01') }], {}), []],
  [
    'the same stick',
    stick([{ lot: 'L-7' }, { lot: 'L-9' }], { lot: 'L-9', sameStick: true }),
    [
      [
        'same-stick',
        '/sameStick',
        'It is said to be the stick that was tested, under another lot or first day of service: its tests count again.',
      ],
    ],
  ],
  ['the same stick still', stick([{ lot: 'L-9', sameStick: true }], { lot: 'L-9', sameStick: true }), []],
  [
    'the same stick, of another lot again',
    stick([{ lot: 'L-9', sameStick: true }], { lot: 'L-8', sameStick: true }),
    [
      [
        'same-stick',
        '/sameStick',
        'It is said to be the stick that was tested, under another lot or first day of service: its tests count again.',
      ],
    ],
  ],
  [
    'the same stick, of another first day',
    stick([{ lot: 'L-9', sameStick: true }], { lot: 'L-9', inServiceSince: day('2025-06-01'), sameStick: true }),
    [
      [
        'same-stick',
        '/sameStick',
        'It is said to be the stick that was tested, under another lot or first day of service: its tests count again.',
      ],
    ],
  ],
  ['the same stick no more', stick([{ lot: 'L-9', sameStick: true }], { lot: 'L-9' }), []],
  [
    'a lower line voltage, where one is asked by it',
    stick([{ lineKilovolts: 230 }], { lineKilovolts: 138 }, [
      { ...aProcedure, withstand: [withstand({ construction: aStick.construction, lineKilovolts: [0, 400] })] },
    ]),
    [
      [
        'line-voltage-lowered',
        '/lineKilovolts',
        'The line voltage it is used on goes from 230 kV to 138 kV: a lower voltage may be asked of it.',
      ],
    ],
  ],
  [
    'a line voltage filled in, where one is asked by times it',
    stick([{}], { lineKilovolts: 138 }, [
      {
        ...aProcedure,
        withstand: [withstand({ construction: aStick.construction, voltage: { times: 3, of: 'line voltage' } })],
      },
    ]),
    [
      [
        'line-voltage-lowered',
        '/lineKilovolts',
        'The line voltage it is used on goes from unknown to 138 kV: a lower voltage may be asked of it.',
      ],
    ],
  ],
  [
    'a lower line voltage, where none is asked by it',
    stick([{ lineKilovolts: 230 }], { lineKilovolts: 138 }, [
      { ...aProcedure, withstand: [withstand({ construction: aStick.construction })] },
    ]),
    [],
  ],
  [
    'a lower line voltage, where it is asked of other sticks',
    stick([{ lineKilovolts: 230 }], { lineKilovolts: 138 }, [
      { ...aProcedure, withstand: [withstand({ lineKilovolts: [0, 400] })] },
    ]),
    [],
  ],
  [
    'shorter',
    stick([{}], { workingLengthMetres: 2.3 }),
    [
      [
        'working-length-shortened',
        '/workingLengthMetres',
        'Its working length goes from 2.4 m to 2.3 m: less of it is tested.',
      ],
    ],
  ],
  [
    'of another construction',
    stick([{}], { construction: 'wood' }),
    [
      [
        'construction-changed',
        '/construction',
        'It is wood instead of foam-filled FRP tube: other rules and limits hold.',
      ],
    ],
  ],
  [
    'not relied on',
    stick([{}], { primaryProtection: false }),
    [
      [
        'primary-protection-taken-off',
        '/primaryProtection',
        'It is not relied on for primary employee protection any more: what the law asks of such sticks is not ' +
          'asked of it.',
      ],
    ],
  ],
  [
    'other sections',
    stick([{}], { sections: [{ name: 'tip', lengthMetres: 2.4 }] }),
    [
      [
        'sections-changed',
        '/sections',
        'Its sections are others: less of it may be read, or what was tested counts again.',
      ],
    ],
  ],
  [
    'longer sections',
    stick(
      [
        {
          sections: [
            { name: 'tip', lengthMetres: 1.2 },
            { name: 'butt', lengthMetres: 1.2 },
          ],
        },
      ],
      {
        sections: [
          { name: 'tip', lengthMetres: 1.3 },
          { name: 'butt', lengthMetres: 1.2 },
        ],
      },
    ),
    [],
  ],
  [
    'sections one fewer',
    stick(
      [
        {
          sections: [
            { name: 'tip', lengthMetres: 1.2 },
            { name: 'butt', lengthMetres: 1.2 },
          ],
        },
      ],
      { sections: [{ name: 'tip', lengthMetres: 2.4 }] },
    ),
    [
      [
        'sections-changed',
        '/sections',
        'Its sections are others: less of it may be read, or what was tested counts again.',
      ],
    ],
  ],
  [
    'sections under other names',
    stick([{ sections: [{ name: 'tip', lengthMetres: 2.4 }] }], { sections: [{ name: 'butt', lengthMetres: 2.4 }] }),
    [
      [
        'sections-changed',
        '/sections',
        'Its sections are others: less of it may be read, or what was tested counts again.',
      ],
    ],
  ],
  [
    'a diameter held to a higher limit',
    stick([{ diameterMillimetres: 32 }], { diameterMillimetres: 50 }, [
      {
        ...aProcedure,
        limits: [
          { ...limit, construction: aStick.construction, diameterMillimetres: [0, 40] },
          { ...limit, construction: aStick.construction, microamps: 12, diameterMillimetres: [40, 120] },
        ],
      },
    ]),
    [
      [
        'diameter-changed',
        '/diameterMillimetres',
        'Its diameter goes from 32 mm to 50 mm: another limit may hold, or what was tested counts again.',
      ],
    ],
  ],
  [
    'a diameter that only other sticks have a higher limit for',
    stick([{ diameterMillimetres: 32 }], { diameterMillimetres: 50 }, [
      {
        ...aProcedure,
        limits: [
          { ...limit, diameterMillimetres: [0, 40] },
          { ...limit, microamps: 12, diameterMillimetres: [40, 120] },
        ],
      },
    ]),
    [],
  ],
  [
    'put into service before a rule for newer sticks',
    {
      ...stick([{}], { inServiceSince: day('2020-01-01') }),
      known: {
        requirements: [{ ...own, appliesTo: { ...own.appliesTo, inServiceFrom: day('2021-01-01') } }],
        procedures: [],
      },
    } as Edit,
    [
      [
        'put-into-service-earlier',
        '/inServiceSince',
        'It was put into service on 1 January 2020 instead of a day not known: a rule for newer sticks does not ' +
          'bind it.',
      ],
    ],
  ],
  [
    'put into service earlier, after the rule began',
    {
      ...stick([{ inServiceSince: day('2021-06-01') }], { inServiceSince: day('2021-01-01') }),
      known: {
        requirements: [{ ...own, appliesTo: { ...own.appliesTo, inServiceFrom: day('2021-01-01') } }],
        procedures: [],
      },
    } as Edit,
    [],
  ],
  [
    'first, with a figure below the rule’s own',
    first({ withstand: [withstand(), withstand({ voltage: { kilovolts: 300 }, demonstrationId: 'DEM-1' })] }),
    [
      [
        'withstand-below-rule',
        '/withstand/1',
        'FRP rod, in service: 300 kV for 60 s is, or may be, less than the rule’s own 75 kV per foot for 60 s.',
      ],
    ],
  ],
  [
    'first, beside one that is stricter',
    first(
      { leastOverlapMetres: 0.01, limits: [{ ...limit, microamps: 11 }], checks: [piece({ tolerancePercent: 8 })] },
      [
        {
          ...aProcedure,
          title: 'Survey of rods',
          comparison: 'less than',
          decision: 'guarded',
          limits: [limit],
          checks: [piece(), piece({ state: 'wet' })],
        },
      ],
    ),
    [
      [
        'limit-raised',
        '/limits',
        'Beside the procedure “Survey of rods”: The limit of 10 µA of FRP rod, dry (table 4) becomes 11 µA.',
      ],
      [
        'overlap-lessened',
        '/leastOverlapMetres',
        'Beside the procedure “Survey of rods”: Readings overlap by at least 0.01 m instead of 0.05 m.',
      ],
      [
        'comparison-widened',
        '/comparison',
        'Beside the procedure “Survey of rods”: A reading at its limit passes, where it had to be less than that.',
      ],
      [
        'decision-not-guarded',
        '/decision',
        'Beside the procedure “Survey of rods”: A reading within the uncertainty of its limit passes.',
      ],
      [
        'tolerance-widened',
        '/checks',
        'Beside the procedure “Survey of rods”: A dry check is good within 8 % instead of 5 %.',
      ],
    ],
  ],
  [
    'first, beside one with a check as wide',
    first({ limits: [limit], checks: [piece()] }, [{ ...aProcedure, limits: [limit], checks: [piece()] }]),
    [],
  ],
  [
    'a withstand lowered, of two lines',
    procedure(
      {
        withstand: [
          withstand({ lineKilovolts: [0, 100] }),
          withstand({ lineKilovolts: [100, 400], voltage: { kilovoltsPerMetre: 300 } }),
        ],
      },
      {
        withstand: [
          withstand({ lineKilovolts: [0, 100], seconds: 50, demonstrationId: 'DEM-1' }),
          withstand({ lineKilovolts: [100, 400], voltage: { kilovoltsPerMetre: 300 } }),
        ],
      },
    ),
    [
      [
        'withstand-lowered',
        '/withstand',
        'FRP rod, in service: 80 kV per foot for 60 s on lines of 0 to 100 kV is not asked any more; it becomes 80 ' +
          'kV per foot for 50 s on lines of 0 to 100 kV, 300 kV per metre for 60 s on lines of 100 to 400 kV.',
      ],
    ],
  ],
  [
    'a withstand by the line lowered',
    procedure(
      { withstand: [withstand({ voltage: { times: 3, of: 'line voltage', atLeastKilovolts: 40 } })] },
      { withstand: [withstand({ voltage: { times: 2, of: 'line voltage' } })] },
    ),
    [
      [
        'withstand-lowered',
        '/withstand',
        'FRP rod, in service: 3 times the line voltage, at least 40 kV for 60 s is not asked any more; it becomes 2 ' +
          'times the line voltage for 60 s.',
      ],
    ],
  ],
  [
    'a withstand by the span lowered',
    procedure(
      { withstand: [withstand({ voltage: { kilovolts: 100 } })] },
      { withstand: [withstand({ voltage: { kilovolts: 90 } })] },
    ),
    [
      [
        'withstand-lowered',
        '/withstand',
        'FRP rod, in service: 100 kV for 60 s is not asked any more; it becomes 90 kV for 60 s.',
      ],
    ],
  ],
  [
    'a withstand for more lines',
    procedure(
      { withstand: [withstand({ lineKilovolts: [50, 100] })] },
      { withstand: [withstand({ lineKilovolts: [50, 101] })] },
    ),
    [
      [
        'withstand-lowered',
        '/withstand',
        'FRP rod, in service: 80 kV per foot for 60 s on lines of 50 to 101 kV is to hold for lines of which ' +
          'nothing was stated.',
      ],
    ],
  ],
  [
    'a withstand within what is asked',
    procedure(
      { withstand: [withstand({ lineKilovolts: [50, 100] })] },
      { withstand: [withstand({ lineKilovolts: [50, 100] }), withstand({ lineKilovolts: [50, 90] })] },
    ),
    [],
  ],
  [
    'for many sticks more',
    procedure({ sticks: ['S-0'] }, { sticks: ['S-0', 'S-1', 'S-2', 'S-3', 'S-4', 'S-5', 'S-6'] }),
    [['sticks-named', '/sticks', 'It is to judge S-1, S-2, S-3, S-4, S-5 and 1 more too.']],
  ],
  [
    'for five sticks more',
    procedure({ sticks: ['S-0'] }, { sticks: ['S-0', 'S-1', 'S-2', 'S-3', 'S-4', 'S-5'] }),
    [['sticks-named', '/sticks', 'It is to judge S-1, S-2, S-3, S-4, S-5 too.']],
  ],
  [
    'for a stick fewer',
    procedure({ sticks: ['S-0', 'S-1'] }, { sticks: ['S-1'] }),
    [['sticks-not-named', '/sticks', 'Other procedures may judge S-0 again.']],
  ],
  [
    'for all again',
    procedure({ sticks: ['S-0'] }, {}),
    [['sticks-not-named', '/sticks', 'It is for all sticks, instead of those it named.']],
  ],
  ['for some alone', procedure({}, { sticks: ['S-0'] }), []],
  [
    'for some alone, of which another names one',
    procedure({}, { sticks: ['S-0', 'S-1'] }, [aProcedure, { ...aProcedure, sticks: ['S-1'] }]),
    [['sticks-named', '/sticks', 'It is to judge S-1 too.']],
  ],
  [
    'a limit raised, one left out, one more',
    procedure(
      { limits: [limit, { ...limit, state: 'wet' }] },
      {
        limits: [
          { ...limit, microamps: 11 },
          { ...limit, construction: 'wood' },
        ],
      },
    ),
    [
      ['limit-raised', '/limits', 'The limit of 10 µA of FRP rod, dry (table 4) becomes 11 µA.'],
      ['limit-taken-away', '/limits', 'The limit of 10 µA of FRP rod, wet (table 4) is taken away.'],
      [
        'limit-added',
        '/limits/1',
        'A limit of 10 µA of wood, dry (table 4) is to hold where the procedure had none, so that a test could not ' +
          'pass.',
      ],
    ],
  ],
  [
    'checks: a wider tolerance, a higher open reading, none after',
    procedure(
      { checks: [piece({ afterToo: true })] },
      { checks: [piece({ tolerancePercent: 6, openAtMostMicroamps: 2 })] },
    ),
    [
      ['tolerance-widened', '/checks', 'The dry check of 100 µA is good within 6 % instead of 5 %.'],
      [
        'open-reading-raised',
        '/checks',
        'The dry check of 100 µA lets the empty instrument read 2 µA instead of 1 µA.',
      ],
      ['check-after-not-asked', '/checks', 'The dry check of 100 µA is not asked for again after the last reading.'],
    ],
  ],
  [
    'check pieces of other figures',
    procedure({ checks: [piece(), piece({ expectedMicroamps: 50 })] }, { checks: [] }),
    [['check-figures-changed', '/checks', 'The dry check figures go from 100, 50 µA to none.']],
  ],
  [
    'check pieces that share a figure',
    procedure(
      { checks: [piece(), piece({ openAtMostMicroamps: 0.5, afterToo: true }), piece({ expectedMicroamps: 50 })] },
      { checks: [piece(), piece({ expectedMicroamps: 50 })] },
    ),
    [
      [
        'open-reading-raised',
        '/checks',
        'The dry check of 100 µA lets the empty instrument read 1 µA instead of 0.5 µA.',
      ],
      ['check-after-not-asked', '/checks', 'The dry check of 100 µA is not asked for again after the last reading.'],
    ],
  ],
  [
    'any water and any air',
    procedure({ waterConductivityAtMostMicrosiemensPerCm: 10, ambient: { celsius: [10, 30] } }, {}),
    [
      [
        'water-ceiling-raised',
        '/waterConductivityAtMostMicrosiemensPerCm',
        'The mist may conduct anything; it was at most 10 µS/cm.',
      ],
      ['ambient-widened', '/ambient/celsius', 'The temperature in °C may lie anywhere instead of from 10 to 30.'],
    ],
  ],
  [
    'water that conducts more, and warmer air',
    procedure(
      {
        waterConductivityAtMostMicrosiemensPerCm: 10,
        ambient: { celsius: [10, 30], relativeHumidityPercent: [0, 60] },
      },
      {
        waterConductivityAtMostMicrosiemensPerCm: 12,
        ambient: { celsius: [10, 35], relativeHumidityPercent: [0, 60] },
      },
    ),
    [
      [
        'water-ceiling-raised',
        '/waterConductivityAtMostMicrosiemensPerCm',
        'The mist may conduct at most 12 µS/cm; it was at most 10 µS/cm.',
      ],
      ['ambient-widened', '/ambient/celsius', 'The temperature in °C may lie from 10 to 35 instead of from 10 to 30.'],
    ],
  ],
  [
    'less overlap, and what passes at the limit unguarded',
    procedure({ comparison: 'less than', decision: 'guarded' }, { leastOverlapMetres: 0.04 }),
    [
      ['overlap-lessened', '/leastOverlapMetres', 'Readings overlap by at least 0.04 m instead of 0.05 m.'],
      ['comparison-widened', '/comparison', 'A reading at its limit passes, where it had to be less than that.'],
      ['decision-not-guarded', '/decision', 'A reading within the uncertainty of its limit passes.'],
    ],
  ],
  [
    'a depot’s day that ends later',
    {
      kind: 'depot',
      ...pair({ ...aDepot, timeZone: 'America/Chicago' }, { ...aDepot, timeZone: 'America/Denver' }),
      known: { today },
    },
    [
      [
        'day-ends-later',
        '/timeZone',
        'A day ends later by the clock of America/Denver than by that of America/Chicago: 2 March 2026 is one.',
      ],
    ],
  ],
  [
    'a depot’s day that ends earlier',
    {
      kind: 'depot',
      ...pair({ ...aDepot, timeZone: 'America/Denver' }, { ...aDepot, timeZone: 'America/Chicago' }),
      known: { today },
    },
    [],
  ],
  [
    'a crew whose day ends later',
    { kind: 'crew', ...pair({ ...aCrew, depotId: 'DEP-1' }, { ...aCrew, depotId: 'DEP-2' }), known: { today, zones } },
    [
      [
        'day-ends-later',
        '/depotId',
        'A day ends later by the clock of America/Denver than by that of America/Chicago: 2 March 2026 is one.',
      ],
    ],
  ],
  [
    'a crew of a depot that is not known',
    { kind: 'crew', ...pair({ ...aCrew, depotId: 'DEP-1' }, { ...aCrew, depotId: 'DEP-9' }), known: { today, zones } },
    [['day-ends-later', '/depotId', 'By the clock of a depot that is not known a day may end later.']],
  ],
  [
    'use counted otherwise',
    policy(
      { useWeights: { wet: 3, salt: 2 } },
      { useWeights: { wet: 2 }, occasionalUse: { windowDays: 90, atMostUseDays: 5 } },
    ),
    [
      ['occasional-use-widened', '/occasionalUse', 'Use counts as occasional up to 5 days in any 90; it was never.'],
      ['use-weight-lessened', '/useWeights', 'A day of use under wet conditions counts 2-fold instead of 3-fold.'],
      ['use-weight-lessened', '/useWeights', 'A day of use under salt conditions counts 1-fold instead of 2-fold.'],
    ],
  ],
  [
    'more use that is occasional',
    policy(
      { occasionalUse: { windowDays: 90, atMostUseDays: 5 } },
      { occasionalUse: { windowDays: 90, atMostUseDays: 6 } },
    ),
    [
      [
        'occasional-use-widened',
        '/occasionalUse',
        'Use counts as occasional up to 6 days in any 90; it was up to 5 days in any 90.',
      ],
    ],
  ],
  [
    'an examination alone, no release, wood, fewer removals',
    policy(
      { releaseAfterFailure: true, woodForbidden: true },
      { examinationOnly: true, removesOnlyAfter: 'refinishing or repair' },
    ),
    [
      ['examination-alone-allowed', '/examinationOnly', 'An examination may stand in place of a periodic test.'],
      [
        'release-not-asked',
        '/releaseAfterFailure',
        'A stick that failed and passed since needs no release by a second person any more.',
      ],
      [
        'fewer-failures-remove',
        '/removesOnlyAfter',
        'A stick that fails again after it was only cleaned is not removed for good any more.',
      ],
      ['wood-allowed', '/woodForbidden', 'Sticks of wood may be used again.'],
    ],
  ],
  [
    'a calibration as long as it says',
    policy(
      { packs: ['ufc-3-560-01-5-4'], turnOn: ['ufc-3-560-01-5-5-1-1-calibration'] },
      { packs: ['ufc-3-560-01-5-4'] },
    ),
    [
      [
        'calibration-cap-lengthened',
        '/turnOn',
        'A calibration counts as long as its certificate says; it was at most 12 months.',
      ],
    ],
  ],
  [
    'an own rule left out',
    policy({ add: [own] }, {}),
    [['requirement-dropped', '/packs', 'The requirement house-1 (tested again) is left out.']],
  ],
  [
    'evidence and stops dropped',
    rule({ evidence: ['examination'], stops: [] }),
    [
      ['evidence-dropped', '/add/0/evidence', 'house-1: dry test is not asked for any more.'],
      ['stop-dropped', '/add/0/stops', 'house-1: repaired, waxed does not stop a stick any more.'],
    ],
  ],
  [
    'two stops and two kinds of evidence fewer',
    policy(
      { add: [{ ...own, evidence: ['dry test', 'examination', 'condition check'] }] },
      { add: [{ ...own, evidence: ['dry test'], stops: [] }] },
    ),
    [
      ['evidence-dropped', '/add/0/evidence', 'house-1: examination, condition check is not asked for any more.'],
      ['stop-dropped', '/add/0/stops', 'house-1: repaired, waxed does not stop a stick any more.'],
    ],
  ],
  [
    'for fewer sticks',
    rule({
      appliesTo: { primaryProtectionOnly: true, constructions: ['FRP rod', 'wood'], inServiceFrom: day('2021-01-01') },
    }),
    [
      [
        'requirement-narrowed',
        '/add/0/appliesTo',
        'house-1: it does not apply to foam-filled FRP tube, hollow FRP tube any more.',
      ],
      [
        'requirement-narrowed',
        '/add/0/appliesTo',
        'house-1: it does not apply to sticks not relied on for protection any more.',
      ],
      [
        'requirement-narrowed',
        '/add/0/appliesTo',
        'house-1: it does not apply to sticks put into service before 1 January 2021 any more.',
      ],
    ],
  ],
  [
    'an examination in place of its test',
    rule({ examinationOnly: ['FRP rod', 'wood'] }),
    [
      [
        'examination-alone-widened',
        '/add/0/examinationOnly',
        'house-1: an examination may stand in place of a test of FRP rod, wood.',
      ],
    ],
  ],
  [
    'longer, and no legal maximum',
    rule({ interval: { months: 24 }, legalMaximum: false }),
    [
      ['interval-lengthened', '/add/0/interval', 'house-1: it runs 24 months in frequent use instead of 12 months.'],
      ['legal-maximum-dropped', '/add/0/legalMaximum', 'house-1: its interval is not called a legal maximum any more.'],
    ],
  ],
  [
    'once and for all',
    rule({ interval: null }),
    [
      [
        'interval-lengthened',
        '/add/0/interval',
        'house-1: it runs once and for all in frequent use instead of 12 months.',
      ],
    ],
  ],
  [
    'by days of use',
    rule({ interval: { useDays: 5 } }),
    [
      [
        'interval-lengthened',
        '/add/0/interval',
        'house-1: it runs 5 days of use in frequent use instead of 12 months.',
      ],
    ],
  ],
  [
    'not asked in some service',
    rule({ byClass: { frequent: null } }),
    [['interval-lengthened', '/add/0/interval', 'house-1: it runs not at all in frequent use instead of 12 months.']],
  ],
  [
    'another shelf limit, none, and rest in store',
    rule({ shelfMonths: 12, suspendedInStorageAfterMonths: 3 }),
    [
      [
        'shelf-limit-changed',
        '/add/0/shelfMonths',
        'house-1: how long it may lie before its first issue goes from 6 months to 12 months.',
      ],
      [
        'rest-in-store-widened',
        '/add/0/suspendedInStorageAfterMonths',
        'house-1: after how long in store it rests goes from no months to 3 months.',
      ],
    ],
  ],
  [
    'no shelf limit',
    policy({ add: [own] }, { add: [(({ shelfMonths: _, ...others }) => others)(own)] }),
    [
      [
        'shelf-limit-changed',
        '/add/0/shelfMonths',
        'house-1: how long it may lie before its first issue goes from 6 months to no months.',
      ],
    ],
  ],
  [
    'a first policy without a pinned pack',
    {
      kind: 'policy',
      id: 'employer',
      before: [],
      after: on('2026-03-02', { packs: [] }),
      known: { pinned: ['us-mo-200'] },
    },
    [['pack-dropped', '/packs', 'The rule pack us-mo-200, pinned when the organisation was made, is left out.']],
  ],
  [
    'a pack left out of the policy',
    policy({ packs: ['us-29-cfr-1910-269-j', 'us-mo-200'] }, {}),
    [['pack-dropped', '/packs', 'The rule pack us-mo-200 is left out.']],
  ],
  [
    'another span, uncertainty, voltage and frequency',
    instrument(
      { spanMetres: 0.3, expandedUncertaintyPercent: 3, kilovolts: 100, hertz: 50 },
      { spanMetres: 0.6, expandedUncertaintyPercent: 2, kilovolts: 75, hertz: 60 },
    ),
    [
      ['span-changed', '/spanMetres', 'It spans 0.6 m instead of 0.3 m: other limits hold, and longer readings count.'],
      [
        'uncertainty-lessened',
        '/expandedUncertaintyPercent',
        'Its uncertainty goes from 3 % to 2 %: the guard band is another.',
      ],
      ['kilovolts-changed', '/kilovolts', 'What it applies goes from 100 kV to 75 kV: other limits hold.'],
      ['hertz-changed', '/hertz', 'What it applies goes from 50 Hz to 60 Hz: other limits hold.'],
    ],
  ],
  [
    'a voltage left out',
    instrument({ kilovolts: 100 }, {}),
    [['kilovolts-changed', '/kilovolts', 'What it applies goes from 100 kV to unknown: other limits hold.']],
  ],
  [
    'for many sticks fewer',
    procedure({ sticks: ['S-0', 'S-1', 'S-2', 'S-3', 'S-4', 'S-5', 'S-6', 'S-7'] }, { sticks: ['S-0'] }),
    [['sticks-not-named', '/sticks', 'Other procedures may judge S-1, S-2, S-3, S-4, S-5 and 2 more again.']],
  ],
  [
    'moister air',
    procedure({ ambient: { relativeHumidityPercent: [10, 60] } }, { ambient: { relativeHumidityPercent: [5, 70] } }),
    [
      [
        'ambient-widened',
        '/ambient/relativeHumidityPercent',
        'The relative humidity in % may lie from 5 to 70 instead of from 10 to 60.',
      ],
    ],
  ],
  [
    'air as moist as it may be',
    procedure({ ambient: { relativeHumidityPercent: [10, 60] } }, {}),
    [
      [
        'ambient-widened',
        '/ambient/relativeHumidityPercent',
        'The relative humidity in % may lie anywhere instead of from 10 to 60.',
      ],
    ],
  ],
  [
    'another check piece, and one where there was none',
    procedure(
      { checks: [piece()] },
      { checks: [piece({ expectedMicroamps: 90 }), piece({ state: 'wet', expectedMicroamps: 80 })] },
    ),
    [
      ['check-figures-changed', '/checks', 'The dry check figures go from 100 µA to 90 µA.'],
      ['check-figures-changed', '/checks', 'The wet check figures go from none to 80 µA.'],
    ],
  ],
  [
    'put into service earlier, before the rule began',
    {
      ...stick([{ inServiceSince: day('2021-06-01') }], { inServiceSince: day('2020-01-01') }),
      known: {
        requirements: [{ ...own, appliesTo: { ...own.appliesTo, inServiceFrom: day('2021-01-01') } }],
        procedures: [],
      },
    } as Edit,
    [
      [
        'put-into-service-earlier',
        '/inServiceSince',
        'It was put into service on 1 January 2020 instead of 1 June 2021: a rule for newer sticks does not bind it.',
      ],
    ],
  ],
  [
    'an examination alone no more, where it winds what counts by shelf time',
    policy(
      { add: [{ ...own, examinationOnly: ['wood'] }], examinationOnly: true },
      { add: [{ ...own, examinationOnly: ['wood'] }] },
    ),
    [
      [
        'counted-from-earlier',
        '/examinationOnly',
        'An examination no longer winds a requirement by which use or shelf time is counted, so that it counts anew.',
      ],
    ],
  ],
  [
    'an examination for fewer sticks, where shelf time counts',
    policy({ add: [{ ...own, examinationOnly: ['wood'] }] }, { add: [own] }),
    [
      [
        'counted-from-earlier',
        '/add/0/examinationOnly',
        'house-1: use and shelf time are counted from older evidence.',
      ],
    ],
  ],
  [
    'by days of the calendar',
    policy({ add: [{ ...own, interval: { days: 30 } }] }, { add: [{ ...own, interval: { days: 31 } }] }),
    [['interval-lengthened', '/add/0/interval', 'house-1: it runs 31 days in frequent use instead of 30 days.']],
  ],
  [
    'a rule that asks for a test where none did',
    policy(
      { packs: ['us-mo-200'] },
      { packs: ['us-mo-200'], add: [{ ...own, appliesTo: { primaryProtectionOnly: false, constructions: ['wood'] } }] },
    ),
    [
      [
        'uncovered-sticks-covered',
        '/add/0',
        'Sticks of wood are on hold because no rule asks for their test; by house-1 they may be used.',
      ],
    ],
  ],
  [
    'waxed before is enough',
    policy(
      {},
      { add: [{ ...own, stops: ['waxed'], appliesTo: { primaryProtectionOnly: true, constructions: ['FRP rod'] } }] },
    ),
    [
      [
        'waxed-before-is-enough',
        '/packs',
        'A stick of FRP rod that was waxed before its test, and not with it, is on hold for that no more.',
      ],
    ],
  ],
  [
    'waxing that no rule asks for',
    policy({ packs: ['ru-order-261'], waxing: 'House' }, { packs: ['ru-order-261'] }),
    [['waxing-not-asked', '/waxing', 'A stick of FRP rod that passes need not be waxed any more.']],
  ],
]

test.each(told)('%s', (_, edit, ways) => {
  expect(waysOfLoosening(edit).map((way) => [way.code, way.pointer, inEnglish.way(way)])).toEqual(ways)
})

/** Sentences on corrections, and the one to which no edit leads while one pack alone caps a calibration. */
const others: readonly Milder[] = [
  // as earlier builds wrote it
  { is: 'demonstration relied on', kind: 'withstand', by: 'Safety engineer', grounds: 'report 12' },
  { is: 'ends removal', status: 'in service' },
  { is: 'ends end of service', status: 'overdue' },
  { is: 'takes back', what: 'the bench test', on: '2026-02-20' },
  { is: 'judged milder', tests: 2 },
  { is: 'counts before', stick: 'S-1', on: '2025-05-14' },
  { is: 'counts less' },
  { is: 'ends hold' },
  { is: 'reads fitter', becomes: 'in service', was: 'on hold' },
  { is: 'due later', from: '2027-03-02', to: '2028-03-02' },
  { is: 'too many to say', sticks: 500 },
  { is: 'judged milder on sticks', sticks: 2 },
  { is: 'calibration cap lengthened', from: { is: 'months', count: 12 }, to: { is: 'months', count: 24 } },
]

test('what else would be milder is told with what it would be, and what it was', () => {
  expect(others.map((says) => inEnglish.way({ code: 'any', says }))).toEqual([
    'Another test than the rule’s own would be enough (withstand), as Safety engineer has shown: report 12.',
    'It would no longer be removed from service: it would be in service.',
    'It would no longer be scrapped: it would be overdue.',
    'What spoke against it would no longer stand as it did: the bench test of 20 February 2026.',
    '2 tests would be judged more mildly.',
    'Stick S-1 would be due by its test of 14 May 2025, which passed and of which nobody has readings.',
    'An earlier failure would no longer count toward its removal from service.',
    'This hold would end:',
    'It would be in service instead of on hold.',
    'It would be due on 2 March 2028 instead of 2 March 2027.',
    'More than 500 sticks were tested by it, too many to say here that none is judged more mildly.',
    'On 2 sticks a test would be judged more mildly than it was.',
    'A calibration counts at most 24 months; it was at most 12 months.',
  ])
})

test('no sentence of the catalogue is left out here', () => {
  const ofEdits = told.flatMap(([, edit]) => waysOfLoosening(edit).flatMap(({ says }) => says ?? []))
  const names = [...ofEdits, ...others].map(({ is }) => is)
  expect([...new Set(names)].sort()).toEqual(Object.keys(loosenings).sort())
})
