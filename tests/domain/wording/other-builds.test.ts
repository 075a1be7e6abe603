/** What an earlier or a later build wrote is said all the same: a word on danger must reach its reader. */
import { describe, expect, test } from 'vitest'
import { faultsAgainstStick } from '../../../shared-domain/bench-test/faults.ts'
import { ways } from '../../../shared-domain/catalogue/en/ways.ts'
import { waysInSpanish } from '../../../shared-domain/catalogue/es/ways.ts'
import type { Way } from '../../../shared-domain/loosening/way.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import type { SaidHold } from '../../../shared-domain/state/hold.ts'
import type { Why } from '../../../shared-domain/state/standing.ts'
import { wayIn, wordingIn } from '../../../shared-domain/wording.ts'
import { stickOf, testOf, wetOf } from '../bench-test/fixtures.ts'
import { spoken } from './messages.ts'

const inEnglish = wordingIn(spoken.en, 'metric', ways)
const inSpanish = wordingIn(spoken.es, 'metric', waysInSpanish)
const quoted = (text: string) => `“${text}” (texto original en inglés)`

const reading = { code: 'reading-over-limit', state: 'dry', quarterTurn: 90, leakageMicroamps: 21 } as const

describe('a hold', () => {
  test('that was kept as sentences is said by its code, or as it was written where the code needs more', () => {
    const reported = { code: 'defect-reported', text: 'Reported from use: burn', clearedBy: 'a test' }
    expect(inEnglish.hold(reported).text).toBe('Reported from use: burn')
    expect(inSpanish.hold(reported).text).toBe(quoted('Reported from use: burn'))
    const missing = { code: 'reported-missing', text: 'Reported missing', clearedBy: 'found' }
    expect(inSpanish.hold(missing).text).toBe('Informada como perdida')
    const gone = { code: 'a-code-of-old', text: 'So it was', clearedBy: 'this alone' }
    expect(inEnglish.hold(gone)).toEqual({ text: 'So it was', clearedBy: 'this alone' })
    expect(inSpanish.hold(gone)).toEqual({ text: quoted('So it was'), clearedBy: quoted('this alone') })
  })

  test.each<[string, SaidHold]>([
    ['of a code that is not known here', { code: 'a-code-to-come' }],
    ['without what its sentence tells', { code: 'shelf-limit', detail: { months: 12 } }],
    ['of a code whose name is one of the language itself', { code: 'constructor' }],
  ])('%s is held for a reason that is not known, and named', (_, hold) => {
    expect(inEnglish.hold(hold).text).toBe(
      `Held for a reason that this version of the service has no words for (${hold.code})`,
    )
    expect(inSpanish.hold(hold).text).toBe(
      `Retenida por un motivo que esta versión del servicio no sabe expresar (${hold.code})`,
    )
  })

  test('of a failed test whose reason is not whole is a failed test', () => {
    const asked = { microamps: 21, comparison: 'less than', limit: 20, source: 'SAMPLE' } as const
    const whole: Reason = { ...reading, says: { is: 'over the limit', ...asked }, fromMetres: 0, toMetres: 0.3 }
    const { fromMetres: _, ...placeless } = whole
    const { limit: __, ...unlimited } = asked
    const partial = { ...whole, says: { is: 'over the limit', ...unlimited } } as unknown as Reason
    for (const reason of [placeless, partial, { code: 'a-code-to-come' }])
      for (const wording of [inEnglish, inSpanish])
        expect(wording.hold({ code: 'failed-test', detail: { reason, more: 0 } }).text).toMatch(
          /^(Failed its bench test|Leaks too much|Falló su prueba en banco|Tiene demasiada fuga|Held for|Retenida por)/,
        )
  })
})

test('a reason that was kept as a sentence is said as it was written; one that is not known is named', () => {
  const kept: Reason = { ...reading, text: 'Dry, 0 to 0.3 m: 21 µA; the limit is 20 µA' }
  expect(inEnglish.reason(kept)).toBe(kept.text)
  expect(inSpanish.reason(kept)).toBe(quoted(kept.text ?? ''))
  const unknown = { code: 'to-come', says: { is: 'a sentence to come' } } as unknown as Reason
  for (const one of [unknown, { code: 'to-come' }])
    expect(inEnglish.reason(one)).toBe('a reason that this version of the service has no words for (to-come)')
})

test('a test that does not fit its stick is told with what would be right, by an earlier build in its words', () => {
  const [misfit] = faultsAgainstStick(testOf({ wet: wetOf([]) }), stickOf({ construction: 'wood' }))
  if (misfit === undefined) throw new Error('it fits')
  const { pointer, expected: right } = misfit
  const now: Reason = { code: 'test-does-not-fit', says: { is: 'test that does not fit', pointer, right } }
  const before: Reason = {
    code: 'test-does-not-fit',
    says: { is: 'test of another stick', pointer, expected: 'no wet test' },
  }
  const byRegister = 'By what the register says now the test was of another stick: /wet would have to be '
  expect(inEnglish.reason(now)).toBe(`${byRegister}no wet test: the stick is wood, which is tested dry only`)
  expect(inEnglish.reason(before)).toBe(`${byRegister}no wet test`)
  expect(inSpanish.reason(now)).toMatch(/: \/wet tendría que ser ninguna prueba en húmedo: la pértiga es de madera, /)
  expect(inSpanish.reason(before)).toContain(quoted('no wet test'))
  const partial = {
    ...now,
    says: { ...now.says, right: { is: 'right: a section of this stick' } },
  } as unknown as Reason
  expect(inEnglish.reason(partial)).toMatch(/has no words for \(test-does-not-fit\)$/)
})

describe('why a stick stands so', () => {
  const holds: readonly SaidHold[] = []

  test('is said as it was written where it was kept as a sentence', () => {
    expect(inEnglish.why({ why: 'It was never tested.', holds })).toBe('It was never tested.')
    expect(inSpanish.why({ why: 'It was never tested.', holds })).toBe(quoted('It was never tested.'))
  })

  test('is said whatever is missing of it', () => {
    const unknown = { is: 'why to come' } as unknown as Why
    const undated = { is: 'why overdue' } as unknown as Why
    for (const why of [unknown, undated]) expect(inEnglish.why({ why, holds })).toBe('Ask the bench how it stands.')
    expect(inEnglish.why({ why: { is: 'why held' }, holds })).toBe('It is on hold.')
    expect(inEnglish.why({ why: { is: 'why removed' }, holds })).toBe('It is removed from service for good.')
  })

  test('removed for good is said without what removed it, where that was not kept', () => {
    for (const removedFor of [{}, { more: 1 }])
      expect(inEnglish.why({ why: { is: 'why removed' }, removedFor, holds })).toMatch(/^(It is removed|Failed again)/)
  })
})

test('a way that is not known here is said, or named', () => {
  const way = { code: 'to-come', says: { is: 'a sentence to come' } } as unknown as Way
  for (const wording of [inEnglish, inSpanish]) expect(wayIn(wording, way)).toMatch(/has no words for|no sabe expresar/)
  const phrases = [{ is: 'months', count: 12 }, { is: 'a phrase to come' }, { is: 'months' }]
  for (const to of [phrases, ...phrases.slice(1)]) {
    const says = { is: 'shelf limit changed', id: 'R', from: { is: 'no months' }, to }
    expect(wayIn(inEnglish, { code: 'to-come', says } as unknown as Way)).toMatch(/has no words for/)
  }
  expect(wayIn(inEnglish, { code: 'kept', text: 'The limit becomes 20 µA.' })).toBe('The limit becomes 20 µA.')
  expect(wayIn(inSpanish, { code: 'kept', text: 'The limit becomes 20 µA.' })).toBe(quoted('The limit becomes 20 µA.'))
  expect(wayIn(inEnglish, 'The limit becomes 20 µA.')).toBe('The limit becomes 20 µA.')
  expect(wayIn(inSpanish, 'The limit becomes 20 µA.')).toBe(quoted('The limit becomes 20 µA.'))
})
