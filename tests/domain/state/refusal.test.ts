/** Which steps are refused, of which stick, and what is said of it. */
import { describe, expect, test } from 'vitest'
import type { Happening } from '../../../shared-domain/facts.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { type Objection, refusals } from '../../../shared-domain/state/refusal.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { inEnglish } from '../../support/english.ts'
import { aStick, day, happened, history, usPolicy } from '../../support/trade.ts'

const on = (date: string, facts: ReturnType<typeof history>) => {
  const state = replay(facts)
  return { state, standing: standingOn(state, day(date), usPolicy) }
}
const stick = (...events: Parameters<typeof history>) => on('2026-03-20', history(...events))

const entered = ['2026-01-01', happened.registered()] as const
const passed = ['2026-03-01', happened.tested('pass')] as const
const failed = ['2026-03-02', happened.tested('electrical')] as const
const cleaned = ['2026-03-03', happened.step('cleaned')] as const
const sticks = {
  fit: stick(entered, passed),
  held: stick(entered, passed, ['2026-03-05', happened.defect()]),
  'held and never tested': stick(entered, ['2026-03-05', happened.defect()]),
  overdue: on('2028-03-20', history(entered, passed)),
  'never tested': stick(entered),
  'removed for good': stick(entered, failed, cleaned, ['2026-03-04', happened.tested('electrical')]),
  scrapped: stick(entered, passed, ['2026-03-05', happened.moved('scrapped')]),
  unregistered: stick(['2026-03-05', happened.defect()]),
}
type Which = keyof typeof sticks

/** Of a stick that stood so then, and would with it; as a standing of its own, as a door has it. */
const refused = (which: Which, happening: Happening, by = 'somebody') => {
  const now = sticks[which]
  return refusals({ atTheTime: now, now, after: { ...now, standing: { ...now.standing } } }, happening, {
    personId: by,
  })
}
const told = (objection: Objection) => ({ code: objection.code, text: inEnglish.objection(objection) })
const codes = (which: Which, happening: Happening, by?: string) => refused(which, happening, by).map(({ code }) => code)

const look = (sound: boolean): Happening => ({
  kind: 'condition checked',
  check: { factId: 'x', occurredOn: '2026-03-19', by: 'Ines Roth', sound },
})
const certificate: Happening = {
  kind: 'certificate received',
  certificate: { factId: 'x', occurredOn: day('2026-03-19'), issuedBy: 'the maker' },
}
const named = (crewId: string | undefined): Happening => {
  const { crewId: _, ...rest } = aStick
  return happened.registered(crewId === undefined ? rest : { ...rest, crewId })
}
const everyStick = Object.keys(sticks) as Which[]

describe('never refused, of no stick', () => {
  test.each<[string, Happening]>([
    ['a use', happened.used()],
    ['a report from use', happened.defect()],
    ['a look that found something', look(false)],
    ['missing', happened.moved('missing')],
    ['found', happened.moved('found')],
    ['into store', happened.moved({ store: 'DEP-1' })],
    ['to the bench', happened.moved({ bench: 'DEP-1' })],
    ['scrapped', happened.moved('scrapped')],
    ['an entry that names no crew', named(undefined)],
    ['an entry that names its crew again', named('CR-1')],
  ])('%s', (_, happening) => {
    const allowed = everyStick.filter((which) => which !== 'unregistered' || happening.kind !== 'registered')
    for (const which of allowed) expect(refused(which, happening), which).toEqual([])
  })
})

describe('what acts on a stick is refused once it is gone for good, and only then', () => {
  test.each<[string, Happening]>([
    ['a test', happened.tested('pass')],
    ['a test that fails', happened.tested('electrical')],
    ['a step', happened.step('cleaned')],
    ['a judgement', happened.judgedAgain(2, 'pass')],
    ['a sound look', look(true)],
    ['its certificate', certificate],
    ['a removal by decision', happened.removed()],
  ])('%s', (_, happening) => {
    for (const which of ['fit', 'held', 'overdue', 'never tested'] as const)
      expect(refused(which, happening), which).toEqual([])
    expect(refused('scrapped', happening).map(told)).toEqual([{ code: 'scrapped', text: 'It was scrapped.' }])
    const why = inEnglish.why(sticks['removed for good'].standing)
    expect(why).toMatch(/^Failed again after it had been cleaned/)
    expect(refused('removed for good', happening).map(told)).toEqual([{ code: 'removed-from-service', text: why }])
  })
})

describe('an issue', () => {
  const issues: [string, Happening][] = [
    ['to a crew', happened.moved({ crewId: 'CR-2' })],
    ['on loan', happened.moved({ lentTo: 'Neighbours', returnBy: day('2026-05-01') })],
  ]

  test.each(issues)('%s is refused of every stick that may not be used, with each reason', (_, issue) => {
    expect(codes('fit', issue)).toEqual([])
    expect(refused('held', issue).map(told)).toEqual([
      { code: 'on-hold', text: 'It is on hold, and cannot be issued. Reported from use: tingle.' },
      { code: 'defect-reported', text: 'Reported from use: tingle' },
    ])
    expect(codes('overdue', issue)).toEqual(['overdue'])
    expect(codes('never tested', issue)).toEqual(['awaiting-first-test'])
    expect(codes('removed for good', issue)[0]).toBe('removed-from-service')
    expect(codes('scrapped', issue)).toEqual(['scrapped'])
  })

  test.each(issues)('%s must be allowed then, now and by what it makes of the stick', (_, issue) => {
    const { fit, held, overdue } = sticks
    const said = (found: Parameters<typeof refusals>[0]) =>
      refusals(found, issue, { personId: 'somebody' }).map(inEnglish.objection)
    expect(said({ atTheTime: fit, now: fit, after: fit })).toEqual([])
    expect(said({ atTheTime: held, now: fit, after: fit })[0]).toMatch(/^It is on hold,/)
    expect(said({ atTheTime: fit, now: held, after: fit })[0]).toMatch(/^It is on hold,/)
    expect(said({ atTheTime: fit, now: fit, after: overdue })[0]).toMatch(/^In use it would be overdue, and/)
    // how it stands today is said first
    expect(said({ atTheTime: held, now: overdue, after: held })[0]).toMatch(/^It is overdue,/)
  })

  test('is what naming another crew in its entry is, unless the stick was in nobody’s use yet', () => {
    const other = named('CR-2')
    expect(codes('fit', other)).toEqual([])
    expect(codes('never tested', other)).toEqual([])
    expect(codes('unregistered', other)).toEqual([])
    expect(codes('held', other)).toEqual(['on-hold', 'defect-reported'])
    expect(codes('held and never tested', other)).toEqual(['on-hold', 'defect-reported'])
    expect(codes('overdue', other)).toEqual(['overdue'])
    expect(codes('scrapped', other)).toEqual(['scrapped'])
  })
})

describe('a release', () => {
  const repeat = [entered, failed, cleaned, ['2026-03-04', happened.tested('pass')]] as const
  const by = (personId: string, facts: ReturnType<typeof history>, name?: string) => {
    const found = on('2026-03-20', facts)
    return refusals({ atTheTime: found, now: found, after: found }, happened.released(), { personId, name })
  }

  test('is of a second person: not of who recorded the test, nor of who judged it again', () => {
    const facts = history(...repeat)
    expect(by('bench', facts).map(({ code }) => code)).toEqual(['same-person'])
    expect(by('bench', facts).map(inEnglish.objection)[0]).toMatch(/cannot release it; a second person can$/)
    expect(by('manager', facts)).toEqual([])
    const invalid = [entered, failed, cleaned, ['2026-03-04', happened.tested('invalid')]] as const
    const judged = history(...invalid, ['2026-03-10', happened.judgedAgain(4, 'pass')]).map((fact) =>
      fact.kind === 'judged again' ? { ...fact, recordedBy: 'manager' } : fact,
    )
    expect(by('manager', judged).map(({ code }) => code)).toEqual(['same-person'])
    expect(by('bench', judged).map(({ code }) => code)).toEqual(['same-person'])
    expect(by('owner', judged)).toEqual([])
  })

  test('is not of who did the test, by name or by number', () => {
    const facts = history(...repeat)
    expect(by('manager', facts, 'Ines Roth').map(({ code }) => code)).toEqual(['same-person'])
    expect(by('manager', facts, 'Mia Okafor')).toEqual([])
    const numbered = facts.map((fact) =>
      fact.kind === 'tested' ? { ...fact, test: { ...fact.test, testedBy: { personId: 'manager' } } } : fact,
    )
    expect(by('manager', numbered, 'Mia Okafor').map(({ code }) => code)).toEqual(['same-person'])
  })

  test('has to have something to release', () => {
    expect(codes('fit', happened.released())).toEqual(['nothing-to-release'])
    expect(refused('fit', happened.released()).map(inEnglish.objection)[0]).toMatch(/not passed a test after a failure/)
    expect(codes('scrapped', happened.released())).toEqual(['scrapped'])
  })
})
