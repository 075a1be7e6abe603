/** What each fact leaves in the state of a stick; that the state is the fold of its facts is in `fold.test.ts`. */
import { describe, expect, test } from 'vitest'
import type { Judgement } from '../../../shared-domain/bench-test/judge.ts'
import type { Instant } from '../../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import { append, comesBefore, replay } from '../../../shared-domain/state/fold.ts'
import { inEnglish, whyRemoved } from '../../support/english.ts'
import { aStick, aTest, day, happened, history } from '../../support/trade.ts'

type Events = Parameters<typeof history>
type Tested = Happening & { kind: 'tested' }

const entered = ['2026-01-01', happened.registered()] as const
const stateAfter = (...events: Events) => replay(history(entered, ...events))
/** The first hold, as people read it. */
const firstHold = (...events: Events) =>
  stateAfter(...events).holds.map((hold) => ({ ...hold, ...inEnglish.hold(hold) }))[0]
const codes = (...events: Events) => stateAfter(...events).holds.map(({ code }) => code)
const factId = (seq: number) => `00000000-0000-4000-8000-${String(seq).padStart(12, '0')}`

const tested = (
  ending: Parameters<typeof happened.tested>[0],
  over: Partial<Judgement> = {},
  test = aTest(),
): Tested => {
  const made = happened.tested(ending, test) as Tested
  return { ...made, judgement: { ...made.judgement, ...over } }
}
const used = (on: string): Events[number] => [
  on,
  { kind: 'used', use: { factId: 'x', occurredOn: day(on), days: 2, conditions: ['wet'] } },
]
const look = (sound: boolean): Happening => ({
  kind: 'condition checked',
  check: { factId: 'x', occurredOn: day('2026-03-02'), by: 'Ines Roth', sound },
})

describe('appended to what is known', () => {
  const facts = history(entered, ['2026-03-02', happened.tested('invalid')], ['2026-03-04', happened.defect()])
  const state = replay(facts)
  const next = (on: string, happening: Happening, more: Partial<RecordedFact> = {}) => {
    const last = history(entered, entered, entered, [on, happening]).at(-1)
    return { ...last, ...more } as RecordedFact
  }

  test('a fact that comes last is folded on', () => {
    const fact = next('2026-03-05', happened.used())
    expect(append(state, fact)).toEqual(replay([...facts, fact]))
  })

  test.each([
    ['that comes late', next('2026-03-03', happened.used())],
    ['that judges a test again', next('2026-03-05', happened.judgedAgain(2, 'pass'))],
  ])('one %s asks for the whole history', (_, fact) => {
    expect(append(state, fact)).toBeNull()
  })

  test('so does a move to another clock, and no move by the same one', () => {
    const clock = (zone: string) => next('2026-03-05', happened.moved({ store: 'DEP-2' }), { clockAfter: zone })
    expect(append(state, clock('UTC'))?.stays.map(({ zone }) => zone)).toEqual(['UTC'])
    const known = replay([...facts, clock('UTC')])
    const later = { ...clock('UTC'), seq: 5, factId: 'f' }
    expect(append(known, later)).not.toBeNull()
    expect(append(known, { ...later, clockAfter: 'America/Denver' })).toBeNull()
  })

  test('the first fact of all', () => {
    const [first] = facts as [RecordedFact]
    expect(append(replay([]), first)).toEqual(replay([first]))
  })
})

test('before a fact lies what comes before it in time, and not the fact itself', () => {
  const facts = history(entered, ['2026-03-02', happened.tested('pass')], ['2026-03-06', happened.defect()])
  const late = history(entered, entered, entered, ['2026-03-04', happened.used()])[3] as RecordedFact
  expect(comesBefore(facts, late).map(({ seq }) => seq)).toEqual([1, 2])
})

describe('an entry on the register', () => {
  test('puts the stick into the hands of the crew that it names, once', () => {
    const { custody, crewId, custodySpells } = stateAfter([
      '2026-02-01',
      happened.registered({ ...aStick, lot: 'L-9' }),
    ])
    expect({ custody, crewId, custodySpells }).toEqual({
      custody: { crewId: 'CR-1' },
      crewId: 'CR-1',
      custodySpells: [{ since: '2026-01-01', kind: 'crew' }],
    })
  })

  test('that names another crew hands it over', () => {
    expect(stateAfter(['2026-02-01', happened.registered({ ...aStick, crewId: 'CR-2' })])).toMatchObject({
      custody: { crewId: 'CR-2' },
      crewId: 'CR-2',
      custodySpells: [{ kind: 'crew' }, { since: '2026-02-01', kind: 'crew' }],
    })
  })

  test('that names none leaves it where it is', () => {
    const { crewId: _, ...nobodys } = aStick
    expect(stateAfter(['2026-02-01', happened.registered(nobodys)]).custody).toEqual({ crewId: 'CR-1' })
    expect(replay(history(['2026-01-01', happened.registered(nobodys)]))).toMatchObject({ custody: null, crewId: null })
  })
})

describe('a move', () => {
  test.each<[string, (Happening & { kind: 'moved' })['move']['to'], string, string | null]>([
    ['to another crew', { crewId: 'CR-2' }, 'crew', 'CR-2'],
    ['into store', { store: 'DEP-1' }, 'store', null],
    ['to the bench', { bench: 'DEP-1' }, 'bench', 'CR-1'],
    ['on loan', { lentTo: 'Neighbours', returnBy: day('2026-04-01') }, 'lent', 'CR-1'],
  ])('%s', (_, to, kind, crewId) => {
    const state = stateAfter(['2026-02-01', happened.moved(to)])
    expect(state).toMatchObject({ custody: to, crewId })
    expect(state.custodySpells.at(-1)).toEqual({ since: '2026-02-01', kind })
  })

  test('missing, and found again', () => {
    const missing = ['2026-02-01', happened.moved('missing')] as const
    const found = ['2026-02-02', happened.moved('found')] as const
    expect(stateAfter(missing).missing).toBe(true)
    expect(stateAfter(missing, found)).toMatchObject({
      missing: false,
      holds: [{ code: 'found-untested', detail: { wasMissing: true } }],
    })
    expect(stateAfter(found).holds).toMatchObject([{ code: 'found-untested', detail: { wasMissing: false } }])
    // what else is held against it stays
    expect(codes(['2026-01-31', happened.defect()], missing, found)).toEqual(['defect-reported', 'found-untested'])
  })

  test('scrapped once and for all', () => {
    expect(
      stateAfter(['2026-02-01', happened.moved('scrapped')], ['2026-02-09', happened.moved('scrapped')]).scrapped,
    ).toEqual({
      since: '2026-02-01',
      factId: factId(2),
    })
  })
})

describe('what winds its clocks', () => {
  const evidence = (...events: Events) => stateAfter(...events).evidence
  const full = (on: string) => ({ examination: on, 'condition check': on, 'dry test': on, 'wet test': on })

  test('a full pass', () => {
    expect(evidence(['2026-03-02', happened.tested('pass')])).toEqual(full('2026-03-02'))
    expect(evidence(['2026-03-02', tested('pass', { asNew: true })])).toEqual({
      ...full('2026-03-02'),
      'acceptance test': '2026-03-02',
    })
  })

  test('of wood no wet test, by the entry that it was judged by', () => {
    const wood = happened.registered({ ...aStick, construction: 'wood' })
    const facts = (stickSeq: number) => [
      ['2026-01-01', wood] as const,
      ['2026-02-01', happened.registered()] as const,
      ['2026-03-02', { ...tested('pass'), pinned: { ...tested('pass').pinned, stickSeq } }] as const,
    ]
    expect(replay(history(...facts(1))).evidence['wet test']).toBeUndefined()
    expect(replay(history(...facts(2))).evidence['wet test']).toBe('2026-03-02')
    // an entry that is not known here: the one in force on its day
    expect(replay(history(...facts(9))).evidence['wet test']).toBe('2026-03-02')
    expect(replay(history(['2026-01-01', wood], facts(9)[2] ?? entered)).evidence['wet test']).toBeUndefined()
  })

  test('an examination that stands alone, beside what the test before it showed', () => {
    const examined = ['2026-04-01', happened.tested('examined')] as const
    expect(evidence(['2026-03-02', happened.tested('pass')], examined)).toEqual({
      ...full('2026-03-02'),
      examination: '2026-04-01',
      'condition check': '2026-04-01',
      'demonstrated examination': '2026-04-01',
    })
    expect(evidence(examined)).toEqual({})
  })

  test('a certificate and a sound look, and nothing else of either', () => {
    const certificate: Happening = {
      kind: 'certificate received',
      certificate: { factId: 'x', occurredOn: day('2026-03-04'), issuedBy: 'the maker' },
    }
    const pass = ['2026-03-02', happened.tested('pass')] as const
    expect(evidence(pass, ['2026-03-04', certificate])).toEqual({ ...full('2026-03-02'), certificate: '2026-03-04' })
    expect(evidence(pass, ['2026-03-05', look(true)])).toEqual({
      ...full('2026-03-02'),
      'condition check': '2026-03-05',
    })
    expect(evidence(pass, ['2026-03-05', look(false)])).toEqual(full('2026-03-02'))
    expect(codes(pass, ['2026-03-05', look(true)])).toEqual([])
  })
})

describe('uses', () => {
  test('are kept in the order of their days', () => {
    expect(stateAfter(used('2026-03-04'), used('2026-03-01'), used('2026-03-02'), used('2026-03-02')).uses).toEqual([
      { on: '2026-03-01', days: 2, conditions: ['wet'] },
      { on: '2026-03-02', days: 2, conditions: ['wet'], times: 2 },
      { on: '2026-03-04', days: 2, conditions: ['wet'] },
    ])
    // a long one that is recorded after a short one that began later
    const use = { factId: 'x', occurredOn: day('2026-03-01'), days: 9, conditions: [] }
    const long: Happening = { kind: 'used', use }
    expect(stateAfter(used('2026-03-03'), ['2026-03-01', long]).uses.map(({ on }) => on)).toEqual([
      '2026-03-01',
      '2026-03-03',
    ])
  })

  test('of 800 days before the last full pass', () => {
    const pass = ['2028-03-11', happened.tested('pass')] as const
    expect(
      stateAfter(used('2025-12-31'), used('2026-01-01'), used('2028-03-10'), pass).uses.map(({ on }) => on),
    ).toEqual(['2026-01-01', '2028-03-10'])
  })
})

describe('a pass', () => {
  test('keeps the spell that is on, and none of what happened before', () => {
    const state = stateAfter(
      ['2026-02-01', happened.moved({ store: 'DEP-1' })],
      ['2026-02-02', happened.defect()],
      ['2026-03-02', happened.tested('pass')],
    )
    expect(state).toMatchObject({ custodySpells: [{ since: '2026-02-01', kind: 'store' }], events: [], holds: [] })
  })

  test('keeps of several spells the last, and of what is held that the stick is missing', () => {
    const pass = ['2026-03-02', happened.tested('pass')] as const
    const moved = [
      ['2026-02-01', happened.moved({ store: 'DEP-1' })],
      ['2026-02-02', happened.moved({ bench: 'DEP-1' })],
    ] as const
    expect(stateAfter(...moved, pass).custodySpells).toEqual([{ since: '2026-02-02', kind: 'bench' }])
    expect(codes(['2026-02-01', happened.defect()], ['2026-02-02', happened.moved('missing')], pass)).toEqual([
      'reported-missing',
    ])
  })

  test('after a failure waits for a release, by nobody who recorded or judged it', () => {
    const repeat = (ending: 'pass' | 'invalid') =>
      [
        ['2026-03-02', happened.tested('electrical')],
        ['2026-03-03', happened.step('cleaned')],
        ['2026-03-04', happened.tested(ending)],
      ] as const
    const waiting = { since: '2026-03-04', factId: factId(4), testRecordedBy: 'bench', testedBy: 'Ines Roth' }
    expect(stateAfter(...repeat('pass')).toBeReleased).toEqual(waiting)
    expect(stateAfter(...repeat('invalid'), ['2026-03-09', happened.judgedAgain(4, 'pass')]).toBeReleased).toEqual({
      ...waiting,
      testJudgedBy: 'bench',
    })
    expect(stateAfter(...repeat('pass'), ['2026-03-05', happened.released()]).toBeReleased).toBeUndefined()
    // not every failure is electrical, and not every pass comes after one
    const mended = ['2026-03-03', happened.step('repaired')] as const
    const pass = ['2026-03-04', happened.tested('pass')] as const
    expect(stateAfter(['2026-03-02', happened.tested('examination')], mended, pass).toBeReleased).toEqual(waiting)
    expect(stateAfter(['2026-03-02', happened.defect()], mended, pass).toBeReleased).toBeUndefined()
    // what fails again has nothing to be released
    expect(stateAfter(...repeat('pass'), ['2026-03-05', happened.tested('examination')]).toBeReleased).toBeUndefined()
    expect(stateAfter(...repeat('pass'), ['2026-03-05', happened.tested('electrical')]).toBeReleased).toBeUndefined()
  })

  describe.each<[what: string, pass: Happening]>([
    ['in full', tested('pass', {}, aTest({ waxed: false }))],
    ['by examination alone', tested('examined', {}, aTest({ waxed: false }))],
  ])('without wax, %s', (_, unwaxed) => {
    const dry = { ...unwaxed, test: aTest({ waxed: false, cleaned: false }) } as Happening
    const wax = happened.step('waxed')
    const waxes = (...events: Events) => {
      const { waxedOn, unwaxed: found } = stateAfter(
        ['2026-01-02', tested('pass', {}, aTest({ waxed: false }))],
        ...events,
      )
      return [waxedOn, found?.since, found?.waxedBefore]
    }

    test('is kept as that', () => {
      expect(waxes(['2026-03-02', unwaxed])).toEqual([null, '2026-03-02', false])
      expect(stateAfter(['2026-01-02', happened.tested('pass')], ['2026-03-02', unwaxed]).unwaxed?.factId).toBe(
        factId(3),
      )
    })
    test('is waxed by a step since', () => {
      expect(waxes(['2026-03-02', unwaxed], ['2026-03-03', wax])).toEqual(['2026-03-03', undefined, undefined])
    })
    test('bears the wax of before, unless its own cleaning took that off', () => {
      expect(waxes(['2026-02-20', wax], ['2026-03-02', dry])).toEqual(['2026-02-20', undefined, undefined])
      expect(waxes(['2026-02-20', wax], ['2026-03-02', unwaxed])).toEqual([null, '2026-03-02', true])
      expect(waxes(['2026-03-02', wax, '08:00'], ['2026-03-02', unwaxed, '09:00'])).toEqual([
        '2026-03-02',
        undefined,
        undefined,
      ])
    })
    test('or another cleaning did', () => {
      expect(waxes(['2026-02-20', wax], ['2026-02-21', happened.step('cleaned')], ['2026-03-02', dry])).toEqual([
        null,
        '2026-03-02',
        false,
      ])
    })
    test('is no matter once it was waxed with its test', () => {
      expect(waxes(['2026-03-02', unwaxed], ['2026-04-02', happened.tested('pass')])).toEqual([
        '2026-04-02',
        undefined,
        undefined,
      ])
    })
  })
})

describe('a report from use', () => {
  const events = (...all: Events) => stateAfter(...all).events
  const suspicion = { event: 'suspicion', since: '2026-03-02', factId: factId(2) }

  test('is a suspicion, and after a flashover or a drop an incident too; the first of each kind stands', () => {
    expect(events(['2026-03-02', happened.defect('tingle')])).toEqual([suspicion])
    expect(events(['2026-03-02', happened.defect('drop')])).toEqual([suspicion, { ...suspicion, event: 'incident' }])
    const flashover = {
      ...happened.defect(),
      defect: { factId: 'x', occurredOn: '2026-03-02', kind: 'flashover' },
    } as Happening
    expect(events(['2026-03-02', flashover])).toHaveLength(2)
    expect(events(['2026-03-02', happened.defect('tingle')], ['2026-03-03', happened.defect('drop')])).toEqual([
      suspicion,
      { event: 'incident', since: '2026-03-03', factId: factId(3) },
    ])
  })

  test('says when, by whom and of what', () => {
    expect(stateAfter(['2026-03-02', happened.defect('drop'), '09:40']).holds[0]?.detail).toEqual({
      defect: 'drop',
      lastOn: '2026-03-02',
      lastAt: '09:40',
      lastBy: 'bench',
    })
    expect(stateAfter(['2026-03-02', look(false)]).holds).toMatchObject([
      { since: '2026-03-02', factId: factId(2), detail: { defect: 'other' } },
    ])
    expect(stateAfter(['2026-03-02', look(false)]).holds[0]?.detail).not.toHaveProperty('lastAt')
  })

  test('of one kind is counted, of another kind is held beside it', () => {
    const { holds } = stateAfter(
      ['2026-03-01', happened.defect('drop')],
      ['2026-03-02', happened.defect('tingle')],
      ['2026-03-03', happened.defect('tingle')],
    )
    expect(holds.map((hold) => [inEnglish.hold(hold).text, hold.since])).toEqual([
      ['Reported from use: drop', '2026-03-01'],
      ['Reported from use: tingle (2 times)', '2026-03-02'],
    ])
  })
})

describe('a step', () => {
  const failed = ['2026-03-02', happened.tested('electrical'), '10:00'] as const
  const correctedOn = (...events: Events) => stateAfter(...events).failure?.correctedOn

  test.each(['cleaned', 'waxed', 'refinished', 'repaired'] as const)(
    '%s is an event of its day, and the first of it stands',
    (kind) => {
      expect(stateAfter(['2026-03-02', happened.step(kind)], ['2026-03-05', happened.step(kind)]).events).toEqual([
        { event: kind, since: '2026-03-02', factId: factId(2) },
      ])
    },
  )

  test('corrects the failure that it came after, once', () => {
    expect(correctedOn(failed, ['2026-03-02', happened.step('cleaned'), '10:01'])).toBe('2026-03-02')
    expect(correctedOn(failed, ['2026-03-02', happened.step('cleaned'), '10:00'])).toBeNull()
    expect(
      correctedOn(failed, ['2026-03-03', happened.step('cleaned')], ['2026-03-04', happened.step('repaired')]),
    ).toBe('2026-03-03')
    expect(stateAfter(['2026-03-03', happened.step('cleaned')]).failure).toBeNull()
  })

  test('without its hour corrects what was recorded before it, and not what is typed in after', () => {
    const noHour = ['2026-03-02', happened.step('repaired')] as const
    expect(correctedOn(failed, noHour)).toBe('2026-03-02')
    expect(correctedOn(noHour, failed)).toBeNull()
    expect(correctedOn(failed, ['2026-03-02', happened.step('repaired'), '09:00'])).toBeNull()
  })

  test('with an hour that can be read twice corrects nothing that one of the readings comes before', () => {
    const read = (earliest: string, steps: Events) =>
      replay(
        history(entered, failed, ...steps).map((fact) =>
          fact.kind === 'corrective step'
            ? {
                ...fact,
                within: {
                  earliest: `2026-03-02T${earliest}:00.000Z` as Instant,
                  latest: '2026-03-02T11:30:00.000Z' as Instant,
                },
              }
            : fact,
        ),
      )
    const repaired = ['2026-03-02', happened.step('repaired'), '11:30'] as const
    expect(read('10:01', [repaired]).failure?.correctedOn).toBe('2026-03-02')
    expect(read('10:00', [repaired]).failure?.correctedOn).toBeNull()
    expect(read('09:30', [repaired]).failure?.correctedOn).toBeNull()
    const repeated = ['2026-03-02', happened.tested('pass'), '11:00'] as const
    const held = (earliest: string) => read(earliest, [repeated, repaired]).holds.map(({ code }) => code)
    expect(held('10:01')).toEqual(['failed-test', 'test-after-repair'])
    expect(held('09:30')).toEqual(['failed-test', 'no-corrective-step', 'test-after-repair'])
  })

  test('keeps by when the last of them had happened, at the latest', () => {
    const lastStepBy = (...events: Events) => stateAfter(...events).lastStepBy
    expect(lastStepBy(['2026-03-02', happened.step('cleaned'), '09:00'])).toBe('2026-03-02T09:00:00.000Z')
    expect(lastStepBy(['2026-03-02', happened.step('waxed'), '09:00'])).toBeNull()
    expect(
      lastStepBy(['2026-03-02', happened.step('cleaned'), '09:00'], ['2026-03-04', happened.step('repaired'), '08:00']),
    ).toBe('2026-03-04T08:00:00.000Z')
    // a cleaning without its hour stands at the start of its day and may have been later than a repair of that morning
    const [from, until] = ['2026-03-02T00:00:00.000Z', '2026-03-02T12:00:00.000Z'] as Instant[]
    expect(
      lastStepBy(['2026-03-02', happened.step('cleaned')], ['2026-03-02', happened.step('repaired'), '09:00']),
    ).toBe(until)
    expect(from).not.toBe(until)
  })

  test('a failure that may have come before the step counts toward no removal', () => {
    const cleaned = ['2026-03-03', happened.step('cleaned'), '10:00'] as const
    const again = (at: string) => stateAfter(failed, cleaned, ['2026-03-03', happened.tested('electrical'), at]).removed
    expect(again('10:00')).toBeNull()
    expect(again('10:01')).not.toBeNull()
  })

  test('takes back that none was done, as far as it corrects', () => {
    const repeated = [failed, ['2026-03-03', happened.tested('pass')]] as const
    expect(codes(...repeated)).toEqual(['failed-test', 'no-corrective-step'])
    expect(codes(...repeated, ['2026-03-04', happened.step('cleaned')])).toEqual(['failed-test'])
    expect(codes(...repeated, ['2026-03-04', happened.step('waxed')])).toEqual(['failed-test', 'no-corrective-step'])
    const early = ['2026-03-02', happened.step('cleaned'), '10:00'] as const
    expect(codes(failed, ['2026-03-02', happened.tested('pass'), '09:59'], early)).toEqual(['failed-test'])
  })
})

describe('what an examination found open', () => {
  const found = (
    kinds: readonly (readonly ['contamination' | 'crack', boolean])[],
    gloss: 'sound' | 'lost' = 'sound',
    code = 'open-defect',
  ) =>
    tested(
      'examination',
      { reasons: [{ code, text: 'open' }] },
      aTest({ examination: { defects: kinds.map(([kind, open]) => ({ kind, open })), gloss } }),
    )
  const dirt = found([['contamination', true]])
  const crack = found([['crack', true]])

  test.each<[string, Happening, 'cleaning' | 'repair' | undefined]>([
    ['dirt alone', dirt, 'cleaning'],
    [
      'dirt beside a crack that was mended',
      found([
        ['contamination', true],
        ['crack', false],
      ]),
      'cleaning',
    ],
    [
      'dirt beside a crack',
      found([
        ['contamination', true],
        ['crack', true],
      ]),
      'repair',
    ],
    ['dirt and lost gloss', found([['contamination', true]], 'lost'), 'repair'],
    ['lost gloss', found([], 'lost', 'gloss-lost'), 'repair'],
    ['a crack', crack, 'repair'],
    ['nothing open', happened.tested('incomplete'), undefined],
  ])('%s', (_, what, by) => {
    const { unmended } = stateAfter(['2026-03-02', what])
    expect(unmended?.by).toBe(by)
    if (by !== undefined) expect(unmended).toMatchObject({ since: '2026-03-02', factId: factId(2), mendedOn: null })
    if (by !== undefined) expect(stateAfter(['2026-03-02', what]).holds[0]?.detail?.by).toBe(by)
  })

  test('that is named in no way known here asks for a repair', () => {
    const unnamed = tested('examination', { reasons: [{ code: 'other', text: 'a smell of smoke' }] })
    expect(stateAfter(['2026-03-02', unnamed]).holds).toMatchObject([{ code: 'open-defect', detail: { by: 'repair' } }])
  })

  test('a crack is not forgotten over dirt that is found later, and dirt grows into a crack', () => {
    const by = (...events: Events) => stateAfter(...events).unmended?.by
    expect(by(['2026-03-02', crack], ['2026-03-03', dirt])).toBe('repair')
    expect(by(['2026-03-02', dirt], ['2026-03-03', crack])).toBe('repair')
    expect(by(['2026-03-02', dirt], ['2026-03-03', dirt])).toBe('cleaning')
    expect(by(['2026-03-02', crack], ['2026-03-03', happened.step('repaired')], ['2026-03-04', dirt])).toBe('cleaning')
    expect(by(['2026-03-02', crack], ['2026-03-03', happened.tested('incomplete')])).toBe('repair')
    expect(stateAfter(['2026-03-02', crack], ['2026-03-03', dirt]).unmended).toMatchObject({
      since: '2026-03-03',
      factId: factId(3),
    })
  })

  test('the hold asks for what the worst of it asks for', () => {
    const by = (...events: Events) => stateAfter(...events).holds.map(({ since, detail }) => [since, detail?.by])
    expect(by(['2026-03-02', dirt], ['2026-03-03', crack])).toEqual([['2026-03-02', 'repair']])
    expect(by(['2026-03-02', crack], ['2026-03-03', dirt])).toEqual([['2026-03-02', 'repair']])
    expect(by(['2026-03-02', dirt], ['2026-03-03', dirt])).toEqual([['2026-03-02', 'cleaning']])
  })

  test('is told as it was found first', () => {
    const first = (...findings: Happening[]) => {
      const texts = findings.map((one, i): Events[number] => {
        const { judgement } = one as Tested
        return [
          `2026-03-0${i + 2}`,
          { ...(one as Tested), judgement: { ...judgement, reasons: [{ code: 'open-defect', text: `finding ${i}` }] } },
        ]
      })
      return firstHold(...texts)?.text
    }
    expect(first(dirt, dirt)).toMatch(/finding 0$/)
    expect(first(crack, crack)).toMatch(/finding 0$/)
    expect(first(crack, dirt)).toMatch(/finding 0$/)
    expect(first(dirt, crack)).toMatch(/finding 1$/)
  })

  test('with an hour that can be read twice is not mended by a step that may have come before', () => {
    const mendedOn = (earliest: string) =>
      replay(
        history(entered, ['2026-03-02', crack, '10:00'], ['2026-03-02', happened.step('repaired'), '11:30']).map(
          (fact) =>
            fact.kind === 'corrective step'
              ? { ...fact, within: { ...fact.within, earliest: `2026-03-02T${earliest}:00.000Z` as Instant } }
              : fact,
        ),
      ).unmended?.mendedOn
    expect([mendedOn('10:01'), mendedOn('10:00'), mendedOn('09:30')]).toEqual(['2026-03-02', null, null])
  })

  test('is mended by a step after it of the kind that it asks for, and by no other', () => {
    const mendedOn = (...events: Events) => stateAfter(['2026-03-02', dirt, '10:00'], ...events).unmended?.mendedOn
    expect(mendedOn(['2026-03-02', happened.step('cleaned'), '10:01'])).toBe('2026-03-02')
    expect(mendedOn(['2026-03-02', happened.step('cleaned'), '10:00'])).toBeNull()
    expect(mendedOn(['2026-03-02', happened.step('cleaned'), '09:00'])).toBeNull()
    expect(mendedOn(['2026-03-03', happened.step('repaired')])).toBe('2026-03-03')
    expect(mendedOn(['2026-03-03', happened.step('waxed')])).toBeNull()
    expect(stateAfter(['2026-03-02', crack], ['2026-03-03', happened.step('cleaned')]).unmended?.mendedOn).toBeNull()
  })

  test('is asked for in every test that would pass until then', () => {
    const pass = ['2026-03-03', happened.tested('pass')] as const
    const alsoHeld = (...events: Events) =>
      codes(['2026-01-02', happened.tested('pass')], ['2026-03-02', crack], ...events)
    expect(alsoHeld(pass)).toEqual(['open-defect', 'not-mended'])
    expect(alsoHeld(['2026-03-03', happened.tested('examined')])).toEqual(['open-defect', 'not-mended'])
    expect(alsoHeld(pass, ['2026-03-04', happened.step('cleaned')])).toEqual(['open-defect', 'not-mended'])
    expect(alsoHeld(pass, ['2026-03-04', happened.step('repaired')])).toEqual(['open-defect', 'test-after-repair'])
    expect(stateAfter(['2026-03-02', crack], pass).holds[1]).toMatchObject({
      since: '2026-03-03',
      detail: { by: 'repair' },
    })
  })
})

describe('what a test says in short', () => {
  const reading = (leakageMicroamps: number): Reason => ({
    code: 'reading-over-limit',
    text: `${leakageMicroamps} over the limit of 20`,
    leakageMicroamps,
  })
  const failing = (...reasons: Reason[]) => tested('electrical', { reasons })

  test('its worst reason, and how many more there are', () => {
    const hold = (...reasons: Reason[]) => firstHold(['2026-03-02', failing(...reasons)])
    expect(hold(reading(21))).toMatchObject({
      text: 'Failed its bench test: 21 over the limit of 20',
      detail: { more: 0 },
    })
    expect(hold(reading(21), reading(40), reading(30))).toMatchObject({
      text: 'Failed its bench test: 40 over the limit of 20 (and 2 more findings)',
      detail: { reason: { leakageMicroamps: 40 }, more: 2 },
    })
    expect(hold()).toMatchObject({ text: 'Failed its bench test: fail', detail: { reason: { code: 'fail' } } })
  })

  test('that it was examined and not tested, where that is all', () => {
    const examined = ['2026-03-02', tested('examined')] as const
    expect(stateAfter(examined).holds).toHaveLength(1)
    expect(firstHold(examined)).toMatchObject({
      code: 'test-incomplete',
      text: expect.stringMatching(/examined, and not tested$/) as string,
      detail: { reason: { code: 'examined-only' } },
    })
  })

  test('of a repeat without a step the higher reading is told, of the day of the first', () => {
    const told = (...readings: number[]) =>
      stateAfter(...readings.map((one, i) => [`2026-03-0${i + 2}`, failing(reading(one))] as const))
        .holds.filter(({ code }) => code === 'failed-test')
        .map(({ since, factId, detail }) => [since, factId, detail?.reason?.leakageMicroamps])
    expect(told(21, 40)).toEqual([['2026-03-02', factId(2), 40]])
    expect(told(40, 21)).toEqual([['2026-03-02', factId(2), 40]])
    expect(told(21, 21)).toEqual([['2026-03-02', factId(2), 21]])
    const equal = { ...reading(21), text: 'the same elsewhere' }
    expect(firstHold(['2026-03-02', failing(reading(21))], ['2026-03-03', failing(equal)])?.text).toMatch(
      /21 over the limit/,
    )
    const unproven = (one: Reason) => tested('invalid', { reasons: [one] })
    const twice = firstHold(['2026-03-02', unproven(reading(21))], ['2026-03-03', unproven(reading(40))])
    expect(twice?.text, 'what proves nothing is not worse by its readings').toMatch(/21 over the limit/)
    const [first] = stateAfter(
      ['2026-03-02', happened.tested('electrical')],
      ['2026-03-03', failing(reading(40))],
    ).holds
    expect(first?.detail?.reason?.leakageMicroamps, 'what says no reading is not outdone').toBeUndefined()
    const again = stateAfter(['2026-03-02', failing(reading(30))], ['2026-03-03', happened.tested('electrical')]).holds
    expect(again[0]?.detail?.reason?.leakageMicroamps).toBe(30)
  })

  test('of what removes it for good', () => {
    const after = stateAfter(
      ['2026-03-02', happened.tested('electrical')],
      ['2026-03-03', happened.step('cleaned')],
      ['2026-03-04', failing(reading(40), reading(30))],
    )
    expect({ ...after.removed, why: whyRemoved(after) }).toEqual({
      since: '2026-03-04',
      factId: factId(4),
      why:
        'Failed again after it had been cleaned, refinished or repaired: 40 over the limit of 20 (and 1 more ' +
        'finding).',
      detail: { reason: reading(40), more: 1 },
    })
  })
})

test('a hold that was stored before holds had parts stands as it is', () => {
  const failing = tested('electrical', {
    reasons: [{ code: 'reading-over-limit', text: '40 over the limit of 20', leakageMicroamps: 40 }],
  })
  for (const happening of [failing, happened.tested('examination')]) {
    const facts = history(entered, ['2026-03-02', happening], ['2026-03-03', happening])
    const state = replay(facts.slice(0, 2))
    for (const detail of [undefined, {}]) {
      const holds = state.holds.map(({ detail: _, ...hold }) => (detail === undefined ? hold : { ...hold, detail }))
      expect(append({ ...state, holds }, facts[2] as RecordedFact)?.holds.slice(0, 1)).toEqual(holds)
    }
  }
})

test('what stops it or mends it was last at the instant of that', () => {
  const lastAgainst = (...events: Events) => stateAfter(...events).lastAgainst
  expect(lastAgainst(['2026-03-02', happened.tested('pass')])).toBeNull()
  expect(lastAgainst(['2026-03-02', happened.defect(), '09:00'], ['2026-03-03', happened.used()])).toBe(
    '2026-03-02T09:00:00.000Z',
  )
  expect(lastAgainst(['2026-03-02', happened.step('repaired'), '09:00'])).toBe('2026-03-02T09:00:00.000Z')
})
