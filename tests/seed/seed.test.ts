import { describe, expect, it } from 'vitest'
import { chanceOf } from '../../seed/chance.ts'
import { demoHumans } from '../../seed/fleet.ts'
import { firstDayOf, historyOf, startDayOf } from '../../seed/history.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Procedure, Stick } from '../../shared-domain/registers.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { initial } from '../../shared-domain/state/state.ts'
import { constructions, statuses, verdicts } from '../../shared-domain/words.ts'
import { whyRemoved } from '../support/english.ts'
import { day, usPolicy } from '../support/trade.ts'
import { doorOf, replayed, schemas } from './in-memory.ts'

const startDay = day('2026-03-02')
const history = historyOf(startDay)
const folded = replayed(history)
const bodiesOf = <T>(door: string) => history.filter((one) => doorOf(one).door === door).map((one) => one.body as T)
const countOf = (door: string) =>
  new Set(history.filter((one) => one.method === 'PUT' && doorOf(one).door === door).map((one) => one.path)).size
const factsOf = (id: string) => folded.facts.get(id) ?? []
const allFacts = [...folded.facts.values()].flat()
const endingsOf = (facts: readonly RecordedFact[]) =>
  facts.flatMap((fact) => (fact.kind === 'tested' ? [fact.judgement.verdict] : []))

describe('the demo history', () => {
  it('is the same, byte for byte, for the same start day', () => {
    expect(JSON.stringify(historyOf(startDay))).toBe(JSON.stringify(history))
  })

  it('falls as it always fell', () => {
    const chance = chanceOf('a fixed text')
    expect([chance(), chance()].map((one) => one.toFixed(6))).toMatchInlineSnapshot(`
      [
        "0.582834",
        "0.516234",
      ]
    `)
  })

  it('hands in nothing that the API would find fault with', () => {
    for (const request of history) {
      const parsed = schemas[doorOf(request).door].safeParse(JSON.parse(JSON.stringify(request.body)))
      expect(parsed.error?.issues ?? [], `${request.path} of ${request.on}`).toEqual([])
    }
    expect(folded.refused).toEqual([])
  })

  it('keeps its numbers', () => {
    expect(['depots', 'crews', 'instruments', 'procedures', 'demonstrations', 'sticks'].map(countOf)).toEqual([
      3, 12, 2, 2, 1, 100,
    ])
    expect(demoHumans).toHaveLength(30)
    expect(new Set(bodiesOf<{ timeZone: string }>('depots').map((one) => one.timeZone)).size).toBe(3)
    expect(history.length).toBeGreaterThan(400)
    expect(history.length).toBeLessThan(550)
  })

  it('gives every fact an id of its own', () => {
    const ids = history.flatMap(({ body }) => ('factId' in body ? [body.factId] : []))
    expect(new Set(ids).size).toBe(ids.length)
  })

  it('runs from its first day to the start day and not beyond, in order of time', () => {
    const days = history.map((one) => one.on)
    expect(days).toEqual([...days].sort())
    expect(days[0]).toBe(firstDayOf(startDay))
    expect(days.every((one) => one <= startDay)).toBe(true)
    expect(startDayOf(firstDayOf(startDay))).toBe(startDay)
  })

  it('ends by entering a stick that nothing else touches', () => {
    const last = history.at(-1)
    expect(last?.method).toBe('PUT')
    expect(history.filter((one) => one.path.startsWith(last?.path ?? '-'))).toHaveLength(1)
  })

  it('marks every limit and procedure as a demonstration', () => {
    for (const procedure of bodiesOf<Procedure>('procedures')) {
      expect(procedure.title).toMatch(/^DEMONSTRATION ONLY/)
      for (const limit of procedure.limits) expect(limit.source).toMatch(/^demonstration value/)
    }
  })

  it('lets the crew that signs in write only of its own sticks', () => {
    const crews = new Map(history.filter((one) => one.method === 'PUT').map((one) => [one.path, one.body as Stick]))
    const byCrew = history.filter((one) => one.role === 'crew')
    expect(byCrew.length).toBeGreaterThan(3)
    for (const { path } of byCrew) expect(crews.get(path.split('/').slice(0, 4).join('/'))?.crewId).toBe('CR-1')
  })
})

describe('the demo fleet', () => {
  it('has all constructions, telescoping sticks, and sticks not relied on for primary protection', () => {
    const sticks = bodiesOf<Stick>('sticks')
    expect(new Set(sticks.map((one) => one.construction))).toEqual(new Set(constructions))
    expect(sticks.filter((one) => one.sections !== undefined).length).toBeGreaterThan(15)
    expect(sticks.filter((one) => !one.primaryProtection)).toHaveLength(2)
    const lengths = sticks.map((one) => one.workingLengthMetres)
    expect([Math.min(...lengths), Math.max(...lengths)]).toEqual([1.2, 6])
  })

  it('has people who are told by phone alone and a crew without any mail', () => {
    expect(demoHumans.filter((one) => one.email === undefined)).toHaveLength(6)
    const crews = bodiesOf<{ recipients: { email?: string }[] }>('crews')
    expect(crews.filter((one) => one.recipients.every((who) => who.email === undefined))).toHaveLength(1)
  })

  // a leap day, a day whose clamped anniversaries differ, and a Sunday
  it.each(['2026-03-02', '2028-02-29', '2027-08-01'])('stands on %s as it is meant to', (start) => {
    const { states, refused } = replayed(historyOf(day(start)))
    const count = Object.fromEntries(statuses.map((status) => [status, 0]))
    for (const state of states.values())
      count[standingOn(state, day(start), usPolicy).status] =
        (count[standingOn(state, day(start), usPolicy).status] ?? 0) + 1
    expect(refused).toEqual([])
    expect(count).toEqual({
      scrapped: 2,
      'removed from service': 4,
      'on hold': 8,
      'awaiting first test': 4,
      overdue: 6,
      'due soon': 14,
      'in service': 62,
    })
  })

  it('has met with every kind of fact, step, move and verdict', () => {
    const kinds = allFacts.map((fact) => {
      if (fact.kind === 'corrective step') return fact.step.kind
      if (fact.kind !== 'moved') return fact.kind
      return typeof fact.move.to === 'string' ? fact.move.to : Object.keys(fact.move.to)[0]
    })
    expect(new Set(kinds)).toEqual(
      new Set([
        ...['registered', 'tested', 'used', 'defect reported', 'released'],
        ...['cleaned', 'waxed', 'refinished', 'repaired'],
        ...['crewId', 'store', 'bench', 'lentTo', 'missing', 'found', 'scrapped'],
      ]),
    )
    expect(new Set(endingsOf(allFacts))).toEqual(new Set(verdicts))
  })

  it('shows what a bench can get wrong', () => {
    const codes = new Set(
      allFacts.flatMap((fact) => (fact.kind === 'tested' ? fact.judgement.reasons : [])).map((one) => one.code),
    )
    expect([...codes].sort()).toEqual(
      [
        ...['check-missing', 'check-out-of-tolerance', 'gap', 'gloss-lost', 'instrument-out-of-calibration'],
        ...['open-defect', 'overlap-too-small', 'reading-not-settled', 'reading-over-limit', 'turn-missing'],
        ...['dry-missing', 'water-not-allowed', 'wet-appearance', 'wet-missing'],
      ].sort(),
    )
    expect(bodiesOf<BenchTest>('bench-tests').filter((one) => one.wet?.driedAndRepeated !== undefined)).toHaveLength(1)
  })

  it('holds sticks for many reasons', () => {
    const holds = [...folded.states.values()].flatMap((state) =>
      state.removed === null && state.scrapped === null ? state.holds.map((one) => one.code) : [],
    )
    expect(new Set(holds)).toEqual(
      new Set([
        ...['failed-test', 'test-after-repair', 'no-corrective-step', 'defect-reported', 'reported-missing'],
        ...['found-untested', 'test-incomplete', 'open-defect'],
      ]),
    )
  })

  it('tells of S-0042: sound, weaker, failed at its joint, refinished, failed there again, removed', () => {
    const facts = factsOf('S-0042')
    expect(endingsOf(facts)).toEqual(['pass', 'pass', 'fail', 'fail'])
    expect(facts.flatMap((fact) => (fact.kind === 'corrective step' ? [fact.step.kind] : []))).toEqual(['refinished'])
    const worst = facts.flatMap((fact) => (fact.kind === 'tested' ? [fact.judgement.worst?.leakageMicroamps ?? 0] : []))
    expect(worst[1]).toBeGreaterThan(worst[0] ?? 0)
    const places = facts.flatMap((fact) => (fact.kind === 'tested' ? fact.judgement.reasons : []))
    expect(new Set(places.map((one) => one.quarterTurn))).toEqual(new Set([0, 90, 180, 270]))
    expect(whyRemoved(folded.states.get('S-0042') ?? initial)).toMatch(/^Failed again/)
  })

  it('reads a surface fault on one quarter turn alone', () => {
    const failed = factsOf('S-0024').flatMap((fact) => (fact.kind === 'tested' ? fact.judgement.reasons : []))
    expect(new Set(failed.map((one) => one.quarterTurn))).toEqual(new Set([90]))
  })

  it('leaks as sound sticks do where it passes', () => {
    const passed = allFacts.flatMap((fact) =>
      fact.kind === 'tested' && fact.judgement.verdict === 'pass' && fact.test.note === undefined ? [fact.test] : [],
    )
    const dry = passed.flatMap((test) => test.dry?.readings ?? []).map((one) => one.leakageMicroamps)
    const wet = passed.flatMap((test) => test.wet?.readings ?? []).map((one) => one.leakageMicroamps)
    expect(Math.min(...dry)).toBeGreaterThan(3.5)
    expect(Math.max(...dry)).toBeLessThan(8.5)
    expect(Math.min(...wet)).toBeGreaterThan(7)
    expect(Math.max(...wet)).toBeLessThan(17)
  })
})
