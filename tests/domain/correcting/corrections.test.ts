/**
 * One slip put right, told as a story: how the stick stands, who is told what, what is refused, and whether one person
 * is enough.
 */
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import {
  type Correcting,
  type CorrectionDecision,
  decideCorrection,
  undone,
} from '../../../shared-domain/correcting.ts'
import { type Known, nothingOf } from '../../../shared-domain/decide.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { waysOfCorrection } from '../../../shared-domain/loosening/correction.ts'
import { asKnownNow, correctionsBySlip } from '../../../shared-domain/state/known-now.ts'
import type { Standing } from '../../../shared-domain/state/standing.ts'
import { initial } from '../../../shared-domain/state/state.ts'
import { knownAt, type Told, tell } from '../../support/deciding.ts'
import { inEnglish } from '../../support/english.ts'
import { aStick, day, happened, history, recordedFact } from '../../support/trade.ts'

const now = '2026-03-10T12:00:00.000Z' as Instant
const slip = { what: 'the bench test', on: day('2026-03-01'), reason: 'another stick', by: 'Mia Okafor' } as const
const entered: Told = ['2026-01-01', happened.registered()]
const passed: Told = ['2026-02-01', happened.tested('pass'), '09:00']

interface Asked {
  /** by its place in the story, from 1 */
  readonly corrects?: number
  readonly instead?: readonly [on: string, happening: Happening, at?: string]
  readonly from?: string
  readonly known?: Partial<Known>
}

/** What stands instead is told of since the slip was, as long as it had happened by then. */
function given(...events: readonly Told[]) {
  const facts = history(...events)
  const { kept } = facts.reduce(tell, { kept: nothingOf('S-1'), facts: [] as readonly RecordedFact[] })
  return {
    kept,
    facts,
    corrected: ({ corrects, instead, known = {} }: Asked): CorrectionDecision => {
      const target = facts.find(({ seq }) => seq === corrects)
      const first = kept.recorded + 1
      const correction: Correcting['correction'] =
        target === undefined
          ? undefined
          : {
              ...recordedFact(happened.released(), { seq: first, on: '2026-03-10', recordedAt: now }),
              factId: 'the-correction',
              within: { earliest: now, latest: now },
              kind: 'corrected',
              corrects: target.factId,
              reason: slip.reason,
              instead: instead === undefined ? null : { factId: 'instead', stickId: 'S-1' },
            }
      const stands = instead && insteadOf(instead, { target, seq: first + (correction === undefined ? 0 : 1) })
      const parts = { ...(correction && { correction }), ...(stands && { instead: stands }), judged: [], told: slip }
      const about = correction ?? stands
      if (about === undefined) throw new Error('a correction of nothing')
      return decideCorrection(kept, parts, { ...knownAt(about, facts), day: day('2026-03-10'), ...known })
    },
  }
}

function insteadOf(
  [on, what, at]: NonNullable<Asked['instead']>,
  { target, seq }: { readonly target: RecordedFact | undefined; readonly seq: number },
): RecordedFact {
  const told = target?.recordedAt ?? now
  // what happened later than the slip was told of is told of only now
  const recordedAt = on <= told.slice(0, 10) ? told : now
  const fact = recordedFact(what, { seq, on, at, recordedAt })
  const standsFor = { factId: target?.factId ?? 'elsewhere', recordedAt, ...(target && { seq: target.seq }) }
  return { ...fact, factId: 'instead', recordedAt: now, standsFor }
}

const seen = (decision: CorrectionDecision) => {
  if (decision.outcome !== 'accepted') return decision.outcome
  const { standing, ways, owed } = decision
  return {
    status: standing.status,
    dueOn: standing.dueOn,
    holds: standing.holds.map(({ code }) => code),
    ways: ways.map(({ code }) => code),
    owed: [...new Set(owed.map(({ kind }) => kind))],
  }
}

describe('evidence', () => {
  test('withdrawn by one: the stick was never tested, and its people hear that it must not be used', () => {
    expect(seen(given(entered, passed).corrected({ corrects: 2 }))).toEqual({
      status: 'awaiting first test',
      dueOn: null,
      holds: [],
      ways: [],
      owed: ['hold'],
    })
  })

  test('withdrawn where an older test stands: its date comes forward', () => {
    const story = given(entered, ['2026-01-10', happened.tested('pass'), '09:00'], passed)
    const decision = story.corrected({ corrects: 3 })
    expect(seen(decision)).toMatchObject({ dueOn: '2028-01-10', ways: [], owed: ['date brought forward'] })
    if (decision.outcome !== 'accepted') throw new Error('not accepted')
    for (const notice of decision.owed) expect(notice.slip).toEqual(slip)
  })

  test('dated anew by one: whoever has the stick hears of the other date', () => {
    const decision = given(entered, passed).corrected({
      corrects: 2,
      instead: ['2026-01-20', happened.tested('pass'), '09:00'],
    })
    expect(seen(decision)).toMatchObject({ dueOn: '2028-01-20', ways: [], owed: ['date brought forward'] })
  })

  test('that comes from another stick clears what a test of its day would, and nothing that came after it', () => {
    const held = given(entered, passed, ['2026-02-20', happened.defect(), '10:00'])
    const after = held.corrected({ instead: ['2026-02-21', happened.tested('pass'), '09:00'] })
    expect(seen(after)).toMatchObject({ status: 'in service', ways: [], owed: ['return'] })
    if (after.outcome !== 'accepted') throw new Error('not accepted')
    expect(after.owed[0]?.cameBackBy).toBe('record put right')
    const before = held.corrected({ instead: ['2026-02-19', happened.tested('pass'), '09:00'] })
    expect(seen(before)).toMatchObject({ status: 'on hold', dueOn: '2028-02-19', owed: ['put right'] })
  })

  test('dated anew past a report clears it as a test of that day would, by one', () => {
    const held = given(entered, passed, ['2026-02-20', happened.defect(), '10:00'])
    const decision = held.corrected({ corrects: 2, instead: ['2026-02-21', happened.tested('pass'), '09:00'] })
    expect(seen(decision)).toMatchObject({ status: 'in service', ways: [], owed: ['return'] })
  })

  test('that failed instead holds, by one', () => {
    const decision = given(entered, passed).corrected({
      corrects: 2,
      instead: ['2026-02-01', happened.tested('electrical'), '09:00'],
    })
    expect(seen(decision)).toMatchObject({ status: 'on hold', ways: [], owed: ['hold'] })
  })

  test('is asked for its hour where something against the stick stands on its day', () => {
    const held = given(entered, passed, ['2026-02-20', happened.defect(), '10:00'])
    expect(seen(held.corrected({ instead: ['2026-02-20', happened.tested('pass')] }))).toBe('hour asked')
  })

  test('is not taken by a stick that left service', () => {
    const gone = given(entered, passed, ['2026-02-20', happened.moved('scrapped')])
    const decision = gone.corrected({ instead: ['2026-02-10', happened.tested('pass'), '09:00'] })
    expect(decision).toMatchObject({ outcome: 'refused', reasons: [{ code: 'scrapped' }] })
  })

  test('of that stick itself is put right though it left service since, and brings it back in no way', () => {
    const gone = given(entered, passed, ['2026-02-20', happened.moved('scrapped')])
    const decision = gone.corrected({ corrects: 2, instead: ['2026-01-20', happened.tested('pass'), '09:00'] })
    expect(seen(decision)).toMatchObject({ status: 'scrapped', ways: [], owed: [] })
  })
})

describe('what spoke against a stick', () => {
  const failed: Told = ['2026-02-20', happened.tested('electrical'), '09:00']

  test.each<[string, Told, string[]]>([
    ['a report', ['2026-02-20', happened.defect(), '10:00'], ['takes-back', 'ends-hold']],
    ['a failure', failed, ['takes-back', 'counts-less', 'ends-hold']],
    ['an invalid test', ['2026-02-20', happened.tested('invalid'), '09:00'], ['takes-back', 'ends-hold']],
    ['word that it is missing', ['2026-02-20', happened.moved('missing'), '10:00'], ['takes-back', 'ends-hold']],
    ['a removal', ['2026-02-20', happened.removed(), '10:00'], ['ends-removal', 'takes-back']],
    ['its scrapping', ['2026-02-20', happened.moved('scrapped'), '10:00'], ['ends-end-of-service']],
    ['a repair', ['2026-02-20', happened.step('repaired'), '10:00'], ['takes-back', 'ends-hold']],
  ])('%s taken back takes two', (_, event, ways) => {
    expect(seen(given(entered, passed, event).corrected({ corrects: 3 }))).toMatchObject({ ways })
  })

  test('says what would no longer stand, and which hold would end', () => {
    const decision = given(entered, passed, failed).corrected({ corrects: 3 })
    expect(decision.outcome === 'accepted' && decision.ways.map(inEnglish.way)).toEqual([
      'What spoke against it would no longer stand as it did: the bench test of 20 February 2026.',
      'An earlier failure would no longer count toward its removal from service.',
      'This hold would end: Failed its bench test: 21 over the limit of 20.',
    ])
  })

  test('an unsound look that is made a sound one, and one missed that is made one found, take two', () => {
    const unsound = (sound: boolean): Happening => ({
      kind: 'condition checked',
      check: { factId: 'x', occurredOn: '2026-02-20', by: 'Ines Roth', sound },
    })
    const looked = given(entered, passed, ['2026-02-20', unsound(false), '10:00'])
    const asSound = looked.corrected({ corrects: 3, instead: ['2026-02-20', unsound(true), '10:00'] })
    expect(seen(asSound)).toMatchObject({ status: 'in service', ways: ['takes-back', 'ends-hold'] })
    const missed = given(entered, passed, ['2026-02-20', happened.moved('missing'), '10:00'])
    const asFound = missed.corrected({ corrects: 3, instead: ['2026-02-20', happened.moved('found'), '10:00'] })
    expect(seen(asFound)).toMatchObject({ status: 'on hold', ways: ['ends-hold'] })
    const asStored = missed.corrected({
      corrects: 3,
      instead: ['2026-02-20', happened.moved({ store: 'DEP-1' }), '10:00'],
    })
    expect(seen(asStored)).toMatchObject({ ways: ['takes-back', 'ends-hold'] })
  })

  test('what stands instead and speaks against the stick too ends no hold by itself', () => {
    const missed: Told = ['2026-02-20', happened.moved('missing'), '10:00']
    const story = given(entered, passed, missed, ['2026-02-21', happened.moved({ bench: 'DEP-1' }), '10:00'])
    const asFound = story.corrected({ corrects: 4, instead: ['2026-02-21', happened.moved('found'), '10:00'] })
    expect(seen(asFound)).toMatchObject({ holds: ['found-untested'], ways: ['ends-hold'] })
  })

  test('a failure that stays one takes one; one that counts less, or is none, two', () => {
    const story = given(entered, passed, failed)
    const instead = (ending: Parameters<typeof happened.tested>[0]) =>
      seen(story.corrected({ corrects: 3, instead: ['2026-02-20', happened.tested(ending), '09:00'] }))
    expect(instead('electrical')).toMatchObject({ ways: [], owed: [] })
    expect(instead('guard band')).toMatchObject({ ways: ['takes-back', 'counts-less'] })
    expect(instead('examination')).toMatchObject({ ways: ['takes-back', 'counts-less', 'ends-hold'] })
    expect(instead('invalid')).toMatchObject({ ways: ['takes-back', 'counts-less', 'ends-hold'] })
    expect(instead('pass')).toMatchObject({
      status: 'in service',
      ways: ['takes-back', 'counts-less', 'ends-hold'],
      owed: ['return'],
    })
  })

  test('a report of another kind stays one; dated before the pass that would clear it, it ends its hold', () => {
    const story = given(entered, passed, ['2026-02-20', happened.defect('tingle'), '10:00'])
    const as = (on: string, kind: 'tingle' | 'drop', at?: string) =>
      seen(
        story.corrected({
          corrects: 3,
          instead: [on, happened.defect(kind), ...(at === undefined ? [] : [at])] as never,
        }),
      )
    expect(as('2026-02-20', 'tingle', '10:30')).toMatchObject({ status: 'on hold', ways: [] })
    expect(as('2026-02-20', 'drop', '10:00')).toMatchObject({ ways: ['ends-hold'] })
    expect(as('2026-01-20', 'tingle', '10:00')).toMatchObject({
      status: 'in service',
      ways: ['takes-back', 'ends-hold'],
    })
  })

  test('the hour of its recording stays that of the slip: what is known since is older than the test after', () => {
    const story = given(
      entered,
      ['2026-02-20', happened.defect('tingle')],
      ['2026-02-20', happened.tested('pass'), '14:20'],
    )
    const decision = story.corrected({ corrects: 2, instead: ['2026-02-20', happened.defect('drop')] })
    expect(seen(decision)).toMatchObject({ status: 'in service', ways: [] })
  })
})

describe('a removal', () => {
  const twice: readonly Told[] = [
    entered,
    passed,
    ['2026-02-10', happened.tested('electrical'), '09:00'],
    ['2026-02-11', happened.step('cleaned'), '09:00'],
    ['2026-02-12', happened.tested('electrical'), '09:00'],
  ]

  test.each([
    ['the second failure', 5],
    ['the first', 3],
    ['the step between', 4],
  ])('that a slip had brought about is undone with %s, and asks for a full test', (_, corrects) => {
    const decision = given(...twice).corrected({ corrects })
    expect(seen(decision)).toMatchObject({ status: 'on hold', owed: ['hold'] })
    if (decision.outcome !== 'accepted') throw new Error('not accepted')
    expect(decision.ways.map((way) => [way.code, inEnglish.way(way)])[0]).toEqual([
      'ends-removal',
      'It would no longer be removed from service: it would be on hold.',
    ])
    const [correction] = decision.facts
    expect(correction?.kind === 'corrected' && correction.undoes).toBe('removal')
    expect(decision.standing.holds.map(({ code }) => code)).toContain('removal-undone')
  })

  test('that stands by another cause stays', () => {
    const decided: Told = ['2026-02-11', happened.removed(), '10:00']
    const scrapped: Told = ['2026-02-20', happened.moved('scrapped'), '10:00']
    const decision = given(entered, passed, decided, scrapped).corrected({ corrects: 3 })
    expect(seen(decision)).toMatchObject({ status: 'scrapped', ways: ['ends-removal', 'takes-back'], owed: [] })
  })

  test('is told from an end of service', () => {
    const gone = { since: day('2026-02-12'), factId: 'f' }
    const [removed, scrapped] = [
      { ...initial, removed: { ...gone, detail: {} } },
      { ...initial, scrapped: gone },
    ]
    expect(undone(removed, initial)).toBe('removal')
    expect(undone(scrapped, initial)).toBe('end of service')
    expect(undone({ ...removed, scrapped: gone }, scrapped)).toBe('removal')
    expect(undone(removed, removed)).toBeUndefined()
    expect(undone(initial, removed)).toBeUndefined()
    expect(undone(initial, scrapped)).toBeUndefined()
  })
})

describe('with no hold', () => {
  const stands = (status: Standing['status']): Standing => ({
    status,
    dueOn: null,
    daysOverdue: 0,
    governedBy: null,
    clocks: [],
    holds: [],
    custody: null,
    why: { is: 'why in service without a date' },
  })
  const [used] = history(['2026-02-20', happened.used()])
  const waysOf = (...[before, without, after]: Standing['status'][]) => {
    if (used === undefined || before === undefined || without === undefined || after === undefined) throw new Error()
    const slipOf = { slip: used, instead: undefined }
    const of = (status: Standing['status']) => ({ state: initial, standing: stands(status) })
    return waysOfCorrection({ before: of(before), without: of(without), after: of(after), verdicts: [], ...slipOf })
  }

  test('what reads fitter without the slip takes two: a use can move a due date', () => {
    expect(waysOf('overdue', 'in service', 'due soon').map((way) => [way.code, inEnglish.way(way)])).toEqual([
      ['reads-fitter', 'It would be due soon instead of overdue.'],
    ])
    expect(waysOf('in service', 'in service', 'in service')).toEqual([])
    // what is no evidence of now, such as an entry, makes nothing fitter by one
    expect(waysOf('overdue', 'overdue', 'in service').map(({ code }) => code)).toEqual(['reads-fitter'])
    expect(waysOf('overdue', 'in service', 'overdue')).toEqual([])
  })
})

describe('what cannot be decided yet, or not at all', () => {
  test('without the history nothing is', () => {
    const decision = given(entered, passed).corrected({ corrects: 2, known: { history: undefined } })
    expect(decision).toEqual({ outcome: 'incomplete', missing: 'history' })
  })

  test('what stands no more is not corrected twice', () => {
    const story = given(entered, passed)
    const first = story.corrected({ corrects: 2 })
    if (first.outcome !== 'accepted') throw new Error('not accepted')
    const again = story.corrected({ corrects: 2, known: { history: [...story.facts, ...first.facts] } })
    const text = 'This fact stands no more: somebody corrected it already. Nothing was changed.'
    expect(again).toMatchObject({ outcome: 'refused', reasons: [{ code: 'no-longer-stands' }] })
    expect(again.outcome === 'refused' && again.reasons.map(inEnglish.objection)).toEqual([text])
  })

  test('a release is held to a second person by name as well, whom it looks up', () => {
    const story = given(
      entered,
      ['2026-02-10', happened.tested('electrical'), '09:00'],
      ['2026-02-11', happened.step('cleaned'), '09:00'],
      ['2026-02-12', happened.tested('pass'), '09:00'],
      ['2026-02-13', happened.used(), '09:00'],
    )
    const release: Asked = { instead: ['2026-02-14', happened.released(), '10:00'] }
    const registers = { crews: new Map(), depotNames: new Map() }
    expect(story.corrected({ ...release, known: { registers } })).toEqual({ outcome: 'incomplete', missing: 'people' })
    expect(seen(story.corrected(release))).toBe('refused')
  })
})

describe('what is told', () => {
  test('nobody is told where nothing reads otherwise', () => {
    const story = given(entered, passed, ['2026-02-20', happened.used()])
    expect(seen(story.corrected({ corrects: 3 }))).toMatchObject({ ways: [], owed: [] })
  })

  test('an entry put right is told where the stick stands otherwise by it', () => {
    const story = given(entered, passed)
    const wood = happened.registered({ ...aStick, construction: 'wood' })
    expect(seen(story.corrected({ corrects: 1, instead: ['2026-01-01', wood] }))).toMatchObject({
      holds: expect.arrayContaining([]) as unknown,
    })
  })

  test('uses that were of an unfit stick, as is seen only now, are told too', () => {
    const story = given(entered, passed, ['2026-02-20', happened.used(), '10:00'])
    const decision = story.corrected({ corrects: 2 })
    expect(seen(decision)).toMatchObject({ owed: ['hold', 'used while unfit'] })
    if (decision.outcome !== 'accepted') throw new Error('not accepted')
    expect(decision.unfitUses).toHaveLength(1)
  })
})

describe('what is known by now', () => {
  const facts = history(entered, passed)
  const [, test2] = facts
  const correction = {
    ...recordedFact(happened.released(), { seq: 3, on: '2026-03-10', recordedAt: now }),
    kind: 'corrected' as const,
    corrects: test2?.factId ?? '',
    reason: 'a slip',
    instead: null,
  } as RecordedFact

  test('is all but slips, and the correction itself', () => {
    expect(asKnownNow(facts)).toEqual(facts)
    expect(asKnownNow([...facts, correction])).toEqual([facts[0], correction])
  })

  test('names the correction of each slip', () => {
    expect([...correctionsBySlip([...facts, correction])]).toEqual([[test2?.factId, correction]])
    expect(correctionsBySlip(facts).size).toBe(0)
  })
})
