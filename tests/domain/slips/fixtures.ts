import type { BenchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import type { Asked, Question, SlipContext } from '../../../shared-domain/slips/question.ts'
import { questionsAbout as questionsInData } from '../../../shared-domain/slips/slips.ts'
import { inEnglish } from '../../support/english.ts'
import { day, happened } from '../../support/trade.ts'
import { judgedBy, stickOf } from '../bench-test/fixtures.ts'

export const knownOf = (over: Partial<SlipContext> = {}): SlipContext => ({
  today: day('2026-03-10'),
  stick: stickOf(),
  tests: { by: judgedBy(), earlier: [] },
  isAtBench: true,
  alikeAtBench: [],
  ...over,
})

export const askedOf = (over: Partial<Asked> = {}): Asked => ({
  stickId: 'S-0012',
  happening: happened.used(),
  on: day('2026-03-10'),
  dateField: 'occurredOn',
  ...over,
})

type ReadQuestion = Pick<Question, 'code' | 'pointer'> & { readonly text: string }

/** The questions as people read them. */
export function questionsAbout(asked: Asked, known: SlipContext): ReadQuestion[] {
  return questionsInData(asked, known).map((one) => {
    const { code, pointer } = one
    return { code, text: inEnglish.question(one), pointer }
  })
}

/** Of a test on its day, handed in eight days later. */
export function ofTest(test: BenchTest, known: Partial<SlipContext> = {}): ReadQuestion[] {
  const happening = happened.tested('pass', test)
  return questionsAbout(askedOf({ happening, on: test.testedOn, dateField: 'testedOn' }), knownOf(known))
}
