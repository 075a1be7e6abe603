import { describe, expect, test } from 'vitest'
import { correctiveStep } from '../../shared-domain/fact-bodies.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { line, note, shownText } from '../../shared-domain/text.ts'

const isName = (text: string) => line(120).safeParse(text).success
const isNote = (text: string) => note.safeParse(text).success

/** What nobody sees, alone or inside a name. */
const unseen: readonly [what: string, letters: string][] = [
  ['a letter of tags', '\u{E0041}'],
  ['a joiner of graphemes', '\u034F'],
  ['a filler of Hangul', '\u115F'],
  ['another filler of Hangul', '\u1160'],
  ['a filler of jamo', '\u3164'],
  ['a halfwidth filler', '\uFFA0'],
  ['an inherent vowel of Khmer', '\u17B4'],
  ['a selector of Mongolian', '\u180B'],
  ['a vowel separator of Mongolian', '\u180E'],
  ['an annotation', '\uFFF9'],
  ['a selector of variants', '\uFE00'],
  ['a selector of variants beyond the first sixteen', '\u{E0101}'],
  ['the sign for a lost letter', '\uFFFD'],
  ['half of a letter', '\uD800'],
  ['the other half', '\uDC00'],
  ['a letter of somebody’s own', '\uE000'],
  ['no letter', '\uFFFE'],
  ['no letter of a plane beyond', '\u{10FFFF}'],
  ['a place where no letter is yet', '\u0378'],
  ['a cell of Braille without a dot', '\u2800'],
  ['a soft hyphen', '\u00AD'],
  ['a space without width', '\u200B'],
  ['a byte-order mark', '\uFEFF'],
  ['an isolate', '\u2066'],
  ['an override of the writing direction', '\u202E'],
  ['a bell', '\u0007'],
  ['a nought', '\u0000'],
  ['a control of the second set', '\u0085'],
  ['a line separator', '\u2028'],
]

describe('a name is what it looks like', () => {
  test.each([
    'Ana Ferro',
    'Łukasz Żak',
    'Đặng Thị Hoa',
    'محمد علی‌پور',
    '山田 太郎',
    'O’Brien, "Bo"',
    'नेहा क‍ष',
    'ශ්‍රී',
    'അനില്‍',
    'שָׁלוֹם',
    'กิ่งแก้ว',
    'Crew ❤️',
    'Ana 👷🏽‍♀️',
    'e\u0301\u0302',
  ])('accepted: %s', (name) => {
    expect(isName(name)).toBe(true)
  })

  test.each([
    ['empty', ''],
    ['blank', '   '],
    ['signs alone', '—!?'],
    ['marks alone', '\u0301\u0302'],
    ['a line break that would become a header', 'Ana\r\nBcc: all@example.org'],
    ['marks heaped on one letter', `A${'\u0301'.repeat(5)}`],
    ['a joiner between letters that need none', 'Ana\u200DFerro'],
    ['two joiners where one is needed', 'क\u200D\u200Dष'],
    ['a joiner at the end', 'नेहा\u200C'],
    ['a selector of pictures after a letter', 'Ana1\uFE0F'],
    ['too long', 'x'.repeat(121)],
  ])('refused: %s', (_, name) => {
    expect(isName(name)).toBe(false)
  })

  test.each(unseen)('refused alone and inside: %s', (_, letters) => {
    expect([isName(letters), isName(`Ana${letters}Ferro`), isName(`${letters}Ana`)]).toEqual([false, false, false])
  })
})

describe('a remark is kept as it is shown', () => {
  test.each(['', 'Two\nlines\tand a tab', 'As pasted\r\nfrom a form', '👷🏽‍♀️ wet', 'نصب شد‌ه \u200F(2)', 'a\u00ADb'])(
    'accepted, and nothing left out: %j',
    (text) => {
      expect(isNote(text)).toBe(true)
      expect(shownText(text)).toEqual({ text, leftOut: false })
    },
  )

  test.each([
    ['\u0000', ''],
    ['bell\u0007 and escape\u001B[31m', 'bell and escape[31m'],
    ['turned \u202Eround\u202C', 'turned round'],
    ['isolated \u2066x\u2069', 'isolated x'],
    ['half \uD83D of a letter', 'half  of a letter'],
    ['a whole one 😀', null],
    ['lost \uFFFD on the way', 'lost  on the way'],
    ['no letter \uFFFF', 'no letter '],
    ['own \uE000', 'own '],
    ['tags \u{E0041}\u{E0042}', 'tags '],
    ['annotated \uFFF9x\uFFFB', 'annotated x'],
  ])('%j is refused, and of a report of danger the rest is kept: %j', (text, kept) => {
    expect(isNote(text)).toBe(kept === null)
    expect(shownText(text)).toEqual({ text: kept ?? text, leftOut: kept !== null })
  })

  test('what is left of a report can always be kept as a remark', () => {
    for (let code = 0; code <= 0x10ffff; code += code < 0x3000 || code > 0xd700 ? 1 : 97) {
      if (code === 0x10000) code = 0xe0000
      if (code === 0xe1000) code = 0x10fff0
      const { text } = shownText(`a${String.fromCodePoint(code)}b`)
      if (!isNote(text) || !text.startsWith('a')) throw new Error(`U+${code.toString(16)} is left in`)
    }
    expect(isNote('x'.repeat(4001))).toBe(false)
  })
})

describe('an address', () => {
  test.each(['ana@crew.example', 'a.b+c@x1.2y.example', 'a@b.xn--p1ai', 'a@1.2.3.crew'])('is taken: %s', (address) => {
    expect(mailAddress.safeParse(address).success).toBe(true)
  })

  // a domain that ends in a number is read as a machine's: WHATWG URL, "ends in a number checker"
  test.each(['a@123.456', 'a@b.123', 'a@1.2.3.4', 'a@b.0x1f', 'a@b.1c', 'a@b.c', 'a@[127.0.0.1]'])(
    'that is no name’s is refused: %s',
    (address) => {
      expect(mailAddress.safeParse(address).success).toBe(false)
    },
  )
})

test('a fact’s id is the same id in either case of its letters', () => {
  const step = (factId: string) =>
    correctiveStep.parse({ factId, occurredOn: '2026-03-02', kind: 'cleaned', by: 'Ines Roth' }).factId
  expect(step('0199D9C4-7A3E-7BD0-9C55-1F0A6B1F0001')).toBe(step('0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001'))
})
