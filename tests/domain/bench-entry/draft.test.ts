/** A test taken down digit by digit. Figures of limits are samples of no standard. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type BenchDraft,
  beginDraft,
  chosenAt,
  draftToSend,
  driedOnce,
  figureTyped,
  isBenchDraft,
  stagesOf,
} from '../../../shared-domain/bench-entry/draft.ts'
import { entered, fieldAsks, goneTo, progressOf, wentBack } from '../../../shared-domain/bench-entry/reading.ts'
import { lackingIn, questionsOf, statesToCheckAfter } from '../../../shared-domain/bench-entry/seen.ts'
import type { BenchSheet, ChosenAtBench } from '../../../shared-domain/bench-entry/sheet.ts'
import { testOfDraft } from '../../../shared-domain/bench-entry/test-of-draft.ts'
import { benchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import { unread } from '../../../shared-domain/bench-test/coverage.ts'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import type { Instant } from '../../../shared-domain/calendar.ts'
import { instrument } from '../../../shared-domain/registers.ts'
import { day, procedureOf, stickOf } from '../bench-test/fixtures.ts'

const anInstrument = instrument.parse({
  spanMetres: 0.3,
  calibratedOn: '2026-01-10',
  calibrationDueOn: '2026-12-01',
})

const sheetOf = (over: Partial<BenchSheet> = {}): BenchSheet => ({
  shape: 1,
  stickId: 'S-1',
  stick: stickOf(),
  today: day('2026-03-02'),
  procedures: [{ id: 'PRC-1', body: procedureOf() }],
  instruments: [{ id: 'INS-1', body: anInstrument }],
  demonstrations: [],
  newest: null,
  earlier: [],
  begins: { instrumentId: 'INS-1', procedureId: 'PRC-1', reason: 'periodic', tester: 'Ines Roth' },
  who: { organisation: 'demo-utility', person: 'bench' },
  ...over,
})

const begun = (sheet: BenchSheet): BenchDraft =>
  beginDraft({ sheet, factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001', now: '2026-03-02T15:40:00.000Z' as Instant })

const chosenOf = (draft: BenchDraft, sheet: BenchSheet): ChosenAtBench => {
  const chosen = chosenAt(draft, sheet)
  if (chosen === null) throw new Error('nothing is chosen')
  return chosen
}

/** Whatever is asked for is typed, until nothing is. */
function readThrough(draft: BenchDraft, sheet: BenchSheet, figure: (number: number) => string): BenchDraft {
  const chosen = chosenOf(draft, sheet)
  let now = draft
  for (let number = 0; fieldAsks(now, chosen).is === 'reading'; number++) {
    const next = entered({ ...now, typing: figure(number) }, chosen, true)
    if (next === null || number > 500) throw new Error('it does not go on')
    now = next
  }
  return now
}

const checks = (after = false) =>
  Object.fromEntries(
    (['dry', 'wet'] as const).flatMap((state) =>
      (after ? (['before', 'after'] as const) : (['before'] as const)).flatMap((when) => [
        [`${state} ${when} 0 open`, '0'],
        [`${state} ${when} 0 check`, '98'],
      ]),
    ),
  )

const examined = (draft: BenchDraft): BenchDraft => ({
  ...draft,
  answers: { ...draft.answers, gloss: 'sound', cleaned: 'yes', waxed: 'yes', water: 'distilled', appearance: 'beads' },
  checks: checks(),
})

function wholeTest(sheet: BenchSheet, dry = '4,1', wet = '9.0'): BenchDraft {
  const afterDry = readThrough({ ...examined(begun(sheet)), stage: 'dry' }, sheet, () => dry)
  return readThrough({ ...afterDry, stage: 'wet' }, sheet, () => wet)
}

describe('a figure', () => {
  test.each([
    ['4.1', 4.1],
    ['4,1', 4.1],
    ['41', 41],
    [',5', 0.5],
    ['4.', 4],
    [' 0 ', 0],
    ['-3', -3],
    ['4,1,2', null],
    ['4.1.2', null],
    ['', null],
    ['.', null],
    ['1e5', null],
    ['four', null],
  ])('typed as %j is %j', (text, figure) => expect(figureTyped(text)).toBe(figure))
})

describe('a whole test', () => {
  test('of 2.4 m is eighty readings, passes by the one judge, and is a body that the service takes', () => {
    const sheet = sheetOf()
    const draft = wholeTest(sheet)
    // (2.4 − 0.05) / (0.3 − 0.05) = 9.4, so ten a turn, four turns, dry and wet: by arithmetic
    expect(draft.readings).toHaveLength(80)
    expect(lackingIn(draft, sheet)).toEqual([])
    const body = testOfDraft(draft, sheet)
    expect(benchTest.safeParse(body).error).toBeUndefined()
    expect(judge(body, chosenOf(draft, sheet).by).verdict).toBe('pass')
    expect(body.testedBy).toEqual({ personId: 'bench' })
  })

  test('of wood is read dry alone; of a telescoping stick section by section', () => {
    expect(stagesOf({ method: 'readings' }, { construction: 'wood', asksAfter: false })).not.toContain('wet')
    const sections = [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'butt', lengthMetres: 1.2 },
    ]
    const sheet = sheetOf({ stick: stickOf({ sections }) })
    const draft = readThrough({ ...examined(begun(sheet)), stage: 'dry' }, sheet, () => '4')
    expect(new Set(draft.readings.map(({ section }) => section))).toEqual(new Set(['tip', 'butt']))
    expect(
      unread({ state: 'dry', readings: testOfDraft(draft, sheet).dry?.readings ?? [] }, sheet.stick, 0.05),
    ).toEqual([])
  })

  test('keeps every figure as it was typed, whatever order of Enter, Backspace and jumps it came by', () => {
    const sheet = sheetOf({ stick: stickOf({ workingLengthMetres: 0.8 }) })
    const chosen = chosenOf(begun(sheet), sheet)
    const act = fc.oneof(
      { weight: 6, arbitrary: fc.integer({ min: 0, max: 99 }).map((tenths) => `${tenths / 10}`) },
      { weight: 2, arbitrary: fc.constant('back') },
      { weight: 1, arbitrary: fc.constant('enter') },
      { weight: 1, arbitrary: fc.nat(30).map((index) => `go ${index}`) },
    )
    let full = 0
    fc.assert(
      fc.property(fc.array(act, { maxLength: 60, size: 'max' }), (acts) => {
        let draft: BenchDraft = { ...examined(begun(sheet)), stage: 'dry' }
        let model: string[] = []
        // beside the draft a list and a cursor, as a person would keep on paper
        let cursor: { at: number; following: boolean } | null = null
        for (const one of acts) {
          const jump = /^go (\d+)$/.exec(one)
          if (one === 'back') {
            draft = wentBack(draft)
            const before: number = (cursor?.at ?? model.length) - 1
            if (before >= 0) cursor = { at: before, following: true }
          } else if (jump !== null) {
            const at = Number(jump[1])
            draft = goneTo(draft, at)
            if (at < model.length) cursor = { at, following: false }
          } else {
            const typing = one === 'enter' ? '' : one
            const next = entered({ ...draft, typing }, chosen, true)
            if (cursor === null && model.length === 12) full++
            const isFull = cursor === null && model.length === 12
            expect(next === null).toBe(isFull || (cursor === null && typing === ''))
            if (next === null) continue
            draft = next
            if (cursor === null) model = [...model, typing]
            else {
              const { at, following }: { at: number; following: boolean } = cursor
              if (typing !== '') model = model.with(at, typing)
              cursor = following && at + 1 < model.length ? { at: at + 1, following } : null
            }
          }
          expect(draft.readings.map(({ typed }) => typed)).toEqual(model)
        }
        // (0.8 − 0.05) / (0.3 − 0.05) = 3 a turn, and four turns, by arithmetic
        const { read, left } = progressOf('dry', draft, chosen)
        expect([read, read + left]).toEqual([model.length, 12])
      }),
      { numRuns: 300 },
    )
    expect(full).toBeGreaterThan(30)
  })
})

describe('what is seen at once', () => {
  const sheet = sheetOf()

  test('a figure beside smaller neighbours is asked about, and once it is meant no more', () => {
    const draft = readThrough({ ...examined(begun(sheet)), stage: 'dry' }, sheet, (number) =>
      number === 7 ? '41' : '4.1',
    )
    const [question, ...others] = questionsOf(draft, sheet, chosenOf(draft, sheet))
    expect([question?.says, question?.reading, others]).toEqual([
      { is: 'far from its neighbours, meant', reads: 41, usual: 4.1, meant: 4.1 },
      7,
      [],
    ])
    const meant = { ...draft, meant: [question?.key ?? ''] }
    expect(questionsOf(meant, sheet, chosenOf(draft, sheet))).toEqual([])
    const mended = entered({ ...goneTo(draft, 7), typing: '4.1' }, chosenOf(draft, sheet), true)
    expect(mended?.editing).toBeNull()
    expect(questionsOf(mended ?? draft, sheet, chosenOf(draft, sheet))).toEqual([])
  })

  test('all nought asks for the check after, and the check takes the doubt away', () => {
    const draft = wholeTest(sheet, '0', '9')
    const chosen = chosenOf(draft, sheet)
    expect(statesToCheckAfter(draft, sheet, chosen)).toEqual(['dry'])
    expect(lackingIn(draft, sheet).map(({ is }) => is)).toEqual(['not shown alive'])
    const checked = { ...draft, checks: checks(true) }
    expect(lackingIn(checked, sheet)).toEqual([])
    expect(statesToCheckAfter(checked, sheet, chosen)).toEqual(['dry'])
    expect(judge(testOfDraft(checked, sheet), chosen.by).verdict).toBe('pass')
  })

  test('a reading over the limit, one not at rest, one elsewhere: each is told, and none is refused', () => {
    const draft = wholeTest(sheet)
    const over = entered({ ...goneTo(draft, 3), typing: '10.1' }, chosenOf(draft, sheet), true) ?? draft
    expect(lackingIn(over, sheet)).toMatchObject([{ is: 'over the limit', state: 'dry', count: 1, stops: false }])
    const moving = entered({ ...goneTo(draft, 79), typing: '9' }, chosenOf(draft, sheet), false) ?? draft
    expect(lackingIn(moving, sheet)).toMatchObject([{ is: 'not settled', state: 'wet', count: 1 }])
    const first = { ...examined(begun(sheet)), stage: 'dry' as const, elsewhere: '0,1', typing: '4' }
    const away = entered(first, chosenOf(first, sheet), true)
    expect(away?.readings).toMatchObject([{ quarterTurn: 0, fromMetres: 0.1, toMetres: 0.4 }])
    expect(fieldAsks(away ?? first, chosenOf(first, sheet))).toMatchObject({ place: { fromMetres: 0 } })
  })

  test('without what the service asks of any test it is not sent', () => {
    const draft = begun(sheetOf({ begins: { ...sheet.begins, instrumentId: '', reason: '' } }))
    const found = lackingIn(draft, sheet)
    expect(found.map(({ is }) => is)).toEqual(['no instrument', 'no reason', 'no gloss'])
    expect(found.every(({ stops }) => stops)).toBe(true)
  })

  test('an instrument past its calibration is told before the first reading', () => {
    const late = sheetOf({ today: day('2026-12-02') })
    const draft = examined(begun(late))
    expect(lackingIn(draft, late).map(({ is }) => is)).toContain('out of calibration')
  })

  test('a span that is no longer than the overlap asks for nothing that cannot be read', () => {
    const narrow = sheetOf({ procedures: [{ id: 'PRC-1', body: procedureOf({ leastOverlapMetres: 0.3 }) }] })
    const draft = { ...examined(begun(narrow)), stage: 'dry' as const, typing: '4' }
    expect(fieldAsks(draft, chosenOf(draft, narrow))).toEqual({ is: 'span too short' })
    expect(entered(draft, chosenOf(draft, narrow), true)).toBeNull()
  })
})

test('a withstand test is rows of voltage and seconds, and no readings', () => {
  const sheet = sheetOf()
  const row = { fromMetres: '0', toMetres: '2,4', kilovolts: '600', seconds: '60', outcome: 'withstood' }
  const draft: BenchDraft = {
    ...examined(begun(sheet)),
    method: 'withstand',
    withstand: [
      { state: 'dry', ...row },
      { state: 'wet', ...row, outcome: '' },
    ],
  }
  expect(lackingIn(draft, sheet).map(({ is }) => is)).toEqual(['withstand row open'])
  const whole = { ...draft, withstand: [{ state: 'dry' as const, ...row }] }
  const body = testOfDraft(whole, sheet)
  expect(benchTest.safeParse(body).error).toBeUndefined()
  expect(body).toMatchObject({ withstand: [{ toMetres: 2.4, kilovolts: 600, seconds: 60 }], instrumentChecks: [] })
  expect(body.dry).toBeUndefined()
})

test('an examination alone names the demonstration that it relies on, and nothing is measured', () => {
  const sheet = sheetOf({ demonstrations: [{ id: 'DEM-1', kind: 'examination alone' }] })
  const draft = examined(begun(sheet))
  const alone = { ...draft, checks: {}, answers: { ...draft.answers, demonstrationId: 'DEM-1' } }
  const body = testOfDraft(alone, sheet)
  expect(benchTest.safeParse(body).error).toBeUndefined()
  expect([body.demonstrationId, body.dry, body.wet, body.withstand]).toEqual(['DEM-1', undefined, undefined, undefined])
})

test('too much water: what was read wet stays on record, all of it is read again, and that once', () => {
  const sheet = sheetOf()
  const chosen = chosenOf(begun(sheet), sheet)
  const first = readThrough({ ...examined(begun(sheet)), stage: 'dry' }, sheet, () => '4')
  const over = entered({ ...first, stage: 'wet', typing: '25' }, chosen, true) ?? first
  const dried = driedOnce(over, 'film')
  expect([dried.stage, dried.readings.length, dried.answers.appearance]).toEqual(['before wet', 40, ''])
  const again = { ...dried, stage: 'wet' as const, answers: { ...dried.answers, appearance: 'beads' } }
  const whole = readThrough(again, sheet, () => '9')
  const body = testOfDraft(whole, sheet)
  expect(benchTest.safeParse(body).error).toBeUndefined()
  expect(body.wet?.driedAndRepeated).toMatchObject({ appearance: 'film', readings: [{ leakageMicroamps: 25 }] })
  expect(judge(body, chosen.by).verdict).toBe('pass')
  expect(driedOnce(whole, 'film')).toBe(whole)
  expect(driedOnce(first, 'film')).toBe(first)
})

test('the hour is that of beginning, put right by the service’s clock once', () => {
  const draft = begun(sheetOf())
  const ready = draftToSend(draft, 600)
  expect(ready.happenedAt).toBe('2026-03-02T15:50:00.000Z')
  expect(draftToSend(ready, 0)).toBe(ready)
})

test('what is no draft is not taken for one', () => {
  const draft = begun(sheetOf())
  expect(isBenchDraft(structuredClone(draft))).toBe(true)
  for (const other of [
    null,
    'text',
    {},
    { ...draft, shape: 2 },
    { ...draft, stage: 'lunch' },
    { ...draft, begunAt: 'x' },
  ])
    expect(isBenchDraft(other)).toBe(false)
})
