import { describe, expect, test } from 'vitest'
import { correctiveStep } from '../../shared-domain/facts.ts'
import { line } from '../../shared-domain/registers.ts'

const accepts = (text: string) => line(120).safeParse(text).success

describe('a name is what it looks like', () => {
  test.each(['Ana Ferro', 'Łukasz Żak', 'Đặng Thị Hoa', 'محمد علی‌پور', '山田 太郎', 'O’Brien, "Bo"', 'नेहा क‍ष'])(
    'accepted: %s',
    (name) => {
      expect(accepts(name)).toBe(true)
    },
  )

  test.each([
    ['empty', ''],
    ['blank', '   '],
    ['signs alone', '—!?'],
    ['a line break that would become a header', 'Ana\r\nBcc: all@example.org'],
    ['an override of the writing direction', 'Ana \u202Eorref'],
    ['an isolate', 'Ana \u2066Ferro\u2069'],
    ['an invisible filler', 'Ana\u200BFerro'],
    ['a byte-order mark', '\uFEFFAna'],
    ['a line separator', 'Ana\u2028Ferro'],
  ])('refused: %s', (_, name) => {
    expect(accepts(name)).toBe(false)
  })
})

test('a fact’s id is the same id in either case of its letters', () => {
  const step = (factId: string) =>
    correctiveStep.parse({ factId, occurredOn: '2026-03-02', kind: 'cleaned', by: 'Ines Roth' }).factId
  expect(step('0199D9C4-7A3E-7BD0-9C55-1F0A6B1F0001')).toBe(step('0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001'))
})
