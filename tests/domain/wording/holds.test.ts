/** Every hold there is, said in both languages: what stops a stick must never fail to be said. */
import { describe, expect, test } from 'vitest'
import { core } from '../../../shared-domain/catalogue/en/core.ts'
import type { Messages } from '../../../shared-domain/catalogue/say.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import { type Hold, holdFor } from '../../../shared-domain/state/hold.ts'
import { type Wording, wordingIn } from '../../../shared-domain/wording.ts'
import { type Language, languages } from '../../../shared-domain/words.ts'
import { cause, everyHold, holds, near, over, source } from './every-hold.ts'
import { spoken, variantsOf } from './messages.ts'

const wordings: { readonly [language in Language]: readonly Wording<Messages>[] } = {
  en: [wordingIn(spoken.en, 'metric', {}), wordingIn(spoken.en, 'US customary', {})],
  es: [wordingIn(spoken.es, 'metric', {}), wordingIn(spoken.es, 'US customary', {})],
}
const [inEnglish] = wordings.en
const [inSpanish] = wordings.es
const ownWordsOf = (hold: Hold) => Object.values(hold.detail ?? {}).filter((one) => one === 'L-7' || one === source)

/** The sentences for what another build wrote: no hold of this one is said with them. */
const unheard = { code: 'never-heard-of' }

describe.each(languages)('in %s', (language) => {
  test.each(Object.keys(everyHold) as (keyof typeof everyHold)[])('%s is said, and what alone clears it', (kind) => {
    expect(everyHold[kind].length).toBeGreaterThan(0)
    for (const hold of everyHold[kind])
      for (const wording of wordings[language]) {
        const { text, clearedBy } = wording.hold(hold)
        for (const said of [text, clearedBy]) {
          expect(said).toMatch(/^\p{Letter}|^“|^«/u)
          expect(said.length).toBeGreaterThan(8)
          expect(said).not.toMatch(/[{}]|\$|undefined|NaN|null|\.$/)
        }
        expect(text).not.toMatch(like(spoken[language].core['hold unknown']))
        expect(clearedBy).not.toBe(wording.hold(unheard).clearedBy)
        for (const value of ownWordsOf(hold)) expect(text).toContain(value)
      }
  })
})

test('every hold is said otherwise in Spanish than in English', () => {
  for (const { kind, hold } of holds) {
    const [one, other] = [inEnglish?.hold(hold), inSpanish?.hold(hold)]
    expect(other?.text, kind).not.toBe(one?.text)
    expect(other?.clearedBy, kind).not.toBe(one?.clearedBy)
  }
})

test('no two holds that are not the same are said alike, but for what is not told', () => {
  for (const wording of [inEnglish, inSpanish]) {
    const said = holds.map(({ hold }) => {
      const { text = '', clearedBy = '' } = wording?.hold(hold) ?? {}
      return `${hold.code}: ${text}; ${clearedBy}`
    })
    expect(new Set(said).size).toBe(holds.length)
  }
})

/** Its own words in their order, with anything between them. */
function like(message: string): RegExp {
  const words = variantsOf(message).flatMap(({ words: own }) => own)
  return new RegExp(`^${words.map((own) => own.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('.+')}`)
}

test('every sentence on holds is one that some hold is said with', () => {
  const all = [...holds.map(({ hold }) => hold), unheard]
  const said = all.map((hold) => inEnglish?.hold(hold) ?? { text: '', clearedBy: '' })
  const names = Object.keys(core) as (keyof typeof core)[]
  const onHolds = names.filter((name) => name.startsWith('hold ') || name.startsWith('cleared '))
  expect(onHolds.length).toBeGreaterThan(50)
  const unsaid = onHolds.filter((name) => {
    const pattern = like(core[name])
    return !said.some(({ text, clearedBy }) => pattern.test(name.startsWith('hold ') ? text : clearedBy))
  })
  expect(unsaid).toEqual([])
})

test('a failure by a reading says what is wrong, where and by how much', () => {
  const said = (wording: Wording<Messages> | undefined, reason: Reason, more = 0) =>
    wording?.hold(holdFor.failedTest(cause, { reason, more })).text
  expect(said(inEnglish, over)).toBe(
    'Leaks too much when dry, 0.5 to 0.8 m from the working end, quarter turn 90°: 12.5 µA, the limit is not more ' +
      'than 10 µA (SAMPLE)',
  )
  expect(said(inEnglish, { ...near, section: 'tip' }, 2)).toBe(
    'Leaks too near its limit when dry, section tip, 0.5 to 0.8 m from its working end, quarter turn 90°: 12.5 µA, ' +
      "the limit is not more than 10 µA (SAMPLE), less 5 % for the instrument's uncertainty (and 2 more findings)",
  )
  expect(said(inSpanish, over)).toBe(
    'Tiene demasiada fuga en seco, de 0.5 a 0.8 m desde el extremo de trabajo, cuarto de vuelta 90°: 12.5 µA, el ' +
      'límite es de no más de 10 µA (SAMPLE)',
  )
  expect(said(wordings.en[1], over)).toContain('1 ft 7.7 in to 2 ft 7.5 in from the working end')
})
