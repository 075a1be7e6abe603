/** How a sentence is put together: places, reasons beside each other, why a stick stands so, what hangs on an edit. */
import { describe, expect, test } from 'vitest'
import { ways } from '../../../shared-domain/catalogue/en/ways.ts'
import { waysInSpanish } from '../../../shared-domain/catalogue/es/ways.ts'
import { speechIn, type Values } from '../../../shared-domain/catalogue/say.ts'
import type { FleetEffect } from '../../../shared-domain/loosening/effect.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import { type Hold, holdFor, removedByDecisionCode } from '../../../shared-domain/state/hold.ts'
import { effectIn, wayIn, wordingIn } from '../../../shared-domain/wording.ts'
import { day } from '../../support/trade.ts'
import { spoken } from './messages.ts'

const inEnglish = wordingIn(spoken.en, 'metric', ways)
const inSpanish = wordingIn<typeof ways>(spoken.es, 'metric', waysInSpanish)

describe('the place of a reason', () => {
  const gap: Reason = { code: 'gap', says: { is: 'turn missing' } }
  const what = 'no reading there; all four quarter turns must be read'
  test.each<[Partial<Reason>, string]>([
    [{}, what],
    [{ state: 'dry' }, `Dry: ${what}`],
    [{ state: 'wet', section: 'tip' }, `Wet, section tip: ${what}`],
    [{ state: 'wet', quarterTurn: 90 }, `Wet, quarter turn 90°: ${what}`],
    [{ state: 'dry', fromMetres: 0, toMetres: 0.3 }, `Dry, 0 to 0.3 m: ${what}`],
    [{ state: 'dry', fromMetres: 0.3 }, `Dry: ${what}`],
    [{ state: 'dry', toMetres: 0.3 }, `Dry: ${what}`],
    [
      { state: 'dry', section: 'tip', quarterTurn: 270, fromMetres: 0.3, toMetres: 0.6 },
      `Dry, section tip, quarter turn 270°, 0.3 to 0.6 m: ${what}`,
    ],
  ])('%j', (place, said) => {
    expect(inEnglish.reason({ ...gap, ...place })).toBe(said)
  })

  test('begins with no name of a state where none is known', () => {
    const says = { is: 'tolerance widened' }
    const told = inEnglish.told({ code: 'x', says, place: { section: 'tip', fromMetres: 0, toMetres: 0.3 } })
    expect(told).toMatch(/has no words for \(x\)$/)
    expect(inEnglish.told({ code: 'y' })).toMatch(/has no words for \(y\)$/)
  })
})

describe('a hold', () => {
  const since = { since: day('2026-03-02'), factId: 'f' }
  const said = (hold: Hold) => inEnglish.hold(hold).text
  const place = { state: 'dry', fromMetres: 0.5, toMetres: 0.8 } as const
  const over = {
    is: 'over the limit',
    microamps: 12,
    comparison: 'not more than',
    limit: 10,
    source: 'SAMPLE',
  } as const
  const reading: Reason = { code: 'reading-over-limit', says: over, ...place }
  const missing: Reason = { code: 'turn-missing', says: { is: 'turn missing' }, ...place }

  test('by a reading says it in plain words where a test failed, and as a reason elsewhere', () => {
    const plain =
      'Leaks too much when dry, 0.5 to 0.8 m from the working end: 12 µA, the limit is not more than 10 µA (SAMPLE)'
    expect(said(holdFor.failedTest(since, { reason: reading, more: 0 }))).toBe(plain)
    expect(said(holdFor.failedTest(since, { reason: reading, more: 3 }))).toBe(`${plain} (and 3 more findings)`)
    expect(said(holdFor.unprovenTest(since, 'invalid', { reason: reading, more: 0 }))).toBe(
      'Its bench test proves nothing: Dry, 0.5 to 0.8 m: 12 µA; the limit is not more than 10 µA (SAMPLE)',
    )
  })

  test('by what is no reading says the reason, and how many more there are', () => {
    const plain = 'Failed its bench test: Dry, 0.5 to 0.8 m: no reading there; all four quarter turns must be read'
    expect(said(holdFor.failedTest(since, { reason: missing, more: 0 }))).toBe(plain)
    expect(said(holdFor.failedTest(since, { reason: missing, more: 1 }))).toBe(`${plain} (and 1 more finding)`)
  })

  test('of a stick that was found says whether anybody had missed it', () => {
    expect(said(holdFor.found(since, true))).toBe(spoken.en.core['hold found-untested'])
    expect(said(holdFor.found(since, false))).toBe(spoken.en.core['hold found-untested, not missed'])
  })

  test('that removed the stick for good is said with what failed', () => {
    const removedFor = { reason: missing, more: 0 }
    expect(inEnglish.why({ why: { is: 'why removed' }, removedFor, holds: [] })).toBe(
      'Failed again after it had been cleaned, refinished or repaired: Dry, 0.5 to 0.8 m: no reading there; all four ' +
        'quarter turns must be read.',
    )
  })
})

describe('why a stick stands so', () => {
  const holds = [{ code: 'reported-missing' }, { code: 'release-awaited' }]
  const decided = (text: string) =>
    inEnglish.why({
      why: { is: 'why removed' },
      removedFor: { reason: { code: removedByDecisionCode, text }, more: 0 },
      holds: [],
    })

  test('on hold says each of its holds, a sentence each', () => {
    expect(inEnglish.why({ why: { is: 'why held' }, holds })).toBe(
      'Reported missing. Passed after a failure, and no second person has released it yet.',
    )
    expect(inEnglish.why({ why: { is: 'why scrapped' }, holds })).toBe('It was scrapped.')
  })

  test('removed by decision says the reason of whoever decided, with one full stop', () => {
    for (const text of ['cracked at the ferrule', 'cracked at the ferrule.'])
      expect(decided(text)).toBe('Removed by decision: cracked at the ferrule.')
    expect(decided('3.5 m is too short')).toBe('Removed by decision: 3.5 m is too short.')
    const unnamed = { reason: { code: removedByDecisionCode }, more: 0 }
    expect(inEnglish.why({ why: { is: 'why removed' }, removedFor: unnamed, holds: [] })).toBe('Removed by decision: .')
  })
})

test('a status says beside it that the stick is not for primary protection', () => {
  expect(inEnglish.status({ status: 'in service' })).toBe('in service')
  expect(inEnglish.status({ status: 'in service', notPrimary: true })).toBe('in service, not for primary protection')
  expect(inSpanish.status({ status: 'in service' })).toBe('en servicio')
  expect(inSpanish.status({ status: 'in service', notPrimary: true })).toMatch(/^en servicio, /)
})

test('days and names are told as the language tells them', () => {
  expect([inEnglish.day('2026-03-02'), inSpanish.day('2026-03-02')]).toEqual(['2 March 2026', '2 de marzo de 2026'])
  expect(inEnglish.list(['Ana', 'Bo', 'Cy'])).toMatch(/^Ana, Bo,? and Cy$/)
  expect(inSpanish.list(['Ana', 'Bo', 'Cy'])).toBe('Ana, Bo y Cy')
})

describe('an objection', () => {
  const stands = {
    status: 'overdue',
    dueOn: day('2026-02-28'),
    why: { is: 'why overdue', dueOn: '2026-02-28' },
    holds: [],
  } as const

  test('says its own sentence, then how the stick stands', () => {
    const says = { is: 'not to be issued', status: 'overdue' } as const
    expect(inEnglish.objection({ code: 'overdue', says, stands })).toBe(
      'It is overdue, and cannot be issued. Its test ran out on 28 February 2026.',
    )
    expect(inEnglish.objection({ code: 'overdue', says })).toBe('It is overdue, and cannot be issued.')
    expect(inEnglish.objection({ code: 'overdue', stands })).toBe('Its test ran out on 28 February 2026.')
    expect(inEnglish.objection({ code: 'of-old', text: 'So it was.' })).toBe('So it was.')
  })
})

test('a way by which a hold would end says the hold', () => {
  const way = { code: 'ends-hold', says: { is: 'ends hold' }, hold: { code: 'reported-missing' } } as const
  expect(wayIn(inEnglish, way)).toBe('This hold would end: Reported missing.')
})

describe('what hangs on an edit', () => {
  const tally = { sticks: 9, changed: 5, dueEarlier: 1, dueLater: 2, noLongerFit: 3, newlyFit: 4, dueInMonth: {} }
  const stands = { dueOn: null, why: { is: 'why held' }, holds: [] } as const
  test.each<[FleetEffect, readonly string[]]>([
    [
      { of: 'stick', inForce: { ...stands, status: 'on hold' }, proposed: { ...stands, status: 'in service' } },
      ['When it was asked for the stick was on hold; by this it would be in service.'],
    ],
    [
      { of: 'rules', ...tally, isWhole: true },
      [
        'Counted when it was asked for, sticks: 9; fit that must not be used now: 4; due later: 2; not to be used ' +
          'any more: 3.',
      ],
    ],
    [
      { of: 'tests', sticks: 9, milder: 2, isWhole: true },
      [
        'Counted when it was asked for, sticks last tested by it: 9; judged more mildly by this: 2. What was judged ' +
          'stays.',
      ],
    ],
    [{ of: 'sticks', sticks: 9, isWhole: true }, ['Counted when it was asked for, sticks that it bears on: 9.']],
    [
      { of: 'sticks', sticks: 9, isWhole: false },
      [
        'Counted when it was asked for, sticks that it bears on: 9.',
        'Only the first sticks were counted; there are more.',
      ],
    ],
  ])('%j', (fleet, said) => {
    expect(effectIn(inEnglish, fleet)).toEqual(said)
    expect(effectIn(inSpanish, fleet)).toHaveLength(said.length)
  })
})

describe('a value', () => {
  const speech = speechIn(spoken.en, 'metric', {})

  test.each<[string, unknown]>([
    ['{$of :figure}', ''],
    ['{$of :figure}', '  '],
    ['{$of :figure}', 'many'],
    ['{$of :length}', 'far'],
    ['{$of :small}', Number.NaN],
    ['{$of :date}', null],
    ['{$of :said}', undefined],
    ['{$of :word of=state}', null],
  ])('%s is not said of %j', (message, of) => {
    expect(() => speech.message(message, { of } as Values)).toThrow()
  })

  test('is said as its function tells it, a length without its unit where that follows', () => {
    expect(speech.message('{$of :length}', { of: 0.3 })).toBe('0.3 m')
    expect(speech.message('{$of :length unit=after}', { of: 0.3 })).toBe('0.3')
    expect(speech.message('{$of :figure}', { of: ' 0.25 ' })).toBe('0.25')
    expect(speech.message('{$of :words of=state}', { of: 'dry, wet' })).toBe('dry, wet')
    expect(
      speechIn(spoken.es, 'metric', spoken.es.vocabulary).message('{$of :words of=state}', { of: 'dry, wet' }),
    ).toBe('en seco, en húmedo')
  })
})
