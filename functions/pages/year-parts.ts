/** A fleet's year in a reader's words, as rows: the page draws them as tables, and the file writes them as lines. */
import { binomialLimits } from '../../shared-domain/fleet/exact.ts'
import { sentenceOfAdvice } from '../../shared-domain/fleet/told.ts'
import { testsInAll, yearsInStep } from '../../shared-domain/fleet/year.ts'
import { constructions, testReasons, verdicts } from '../../shared-domain/words.ts'
import type { AdviceAnswer, YearAnswer } from '../questions/fleet.ts'
import type { PageWording } from './wording.ts'
import type { Names } from './words.ts'

export type YearCell = number | string | null

export interface YearPart {
  readonly title: string
  /** the names above the first column, and above each of the others */
  readonly head: string
  readonly columns: readonly string[]
  readonly rows: readonly { readonly name: string; readonly cells: readonly YearCell[] }[]
  readonly note?: string
}

export function yearParts({ counted, confirmations }: YearAnswer, wording: PageWording): YearPart[] {
  const { say, word } = wording
  const { sticks, failures, reports, ages, overdue } = counted
  const counts = (title: string, all: readonly (readonly [name: string, count: YearCell])[], note?: string) => ({
    title,
    head: title,
    columns: [say('year column count')],
    rows: all.map(([name, count]) => ({ name, cells: [count] })),
    ...(note === undefined ? {} : { note }),
  })
  const ofConstructions = constructions
    .filter((one) => sticks.byConstruction[one] > 0)
    .map((construction) => [say('of construction', { construction }), sticks.byConstruction[construction]] as const)
  const reported = [...reports]
    .sort(([, a], [, b]) => b - a)
    .map(
      ([kind, times]) =>
        [kind === 'unsound' ? say('reports unsound') : say('reports of', { defect: kind }), times] as const,
    )
  const steps = ages.steps.map((count, i) => {
    const from = i * yearsInStep
    const isLast = i === ages.steps.length - 1
    return [
      isLast ? say('age and more', { from }) : say('age in years', { from, to: from + yearsInStep - 1 }),
      count,
    ] as const
  })
  return [
    counts(say('part sticks'), [
      [say('sticks at end'), sticks.atEnd],
      [say('sticks came'), sticks.entered],
      [say('sticks removed'), sticks.removed],
      [say('sticks scrapped'), sticks.scrapped],
      ...ofConstructions,
    ]),
    testsPart(counted, { say, word }),
    counts(say('part causes'), [
      [say('failures electrical'), failures.electrical],
      [say('failures examination'), failures.examination],
      ...reported,
    ]),
    counts(say('part ages'), [...steps, [say('age unknown'), ages.unknown]]),
    counts(
      say('part overdue'),
      [
        [say('overdue sticks'), overdue.sticks],
        [say('overdue days'), overdue.days],
      ],
      say('overdue told'),
    ),
    counts(say('part confirmed'), [
      [say('holds told'), confirmations.matters],
      [say('holds confirmed'), confirmations.confirmed],
      [say('hours median'), tenths(confirmations.medianHours)],
      [say('hours longest'), tenths(confirmations.longestHours)],
    ]),
  ]
}

const tenths = (hours: number | null) => (hours === null ? null : Math.round(hours * 10) / 10)

function testsPart(counted: YearAnswer['counted'], { say, word }: Pick<PageWording, 'say' | 'word'>): YearPart {
  const all = testsInAll(counted)
  const reasons = testReasons.filter((reason) => verdicts.some((verdict) => counted.tests[reason][verdict] > 0))
  const cellsOf = ({ pass, fail, incomplete, invalid }: typeof all) => [pass, fail, incomplete, invalid]
  return {
    title: say('part tests'),
    head: say('year column reason'),
    columns: [
      say('year column passed'),
      say('year column failed'),
      say('year column incomplete'),
      say('year column invalid'),
    ],
    rows: [
      { name: say('all tests'), cells: cellsOf(all) },
      ...reasons.map((reason) => ({ name: word('reason', reason), cells: cellsOf(counted.tests[reason]) })),
    ],
    note: `${say('share passed')}: ${shareOf(all.pass, all.pass + all.fail, say)}.`,
  }
}

function shareOf(found: number, of: number, say: PageWording['say']): string {
  if (of === 0) return say('nothing to share')
  const { low, high } = binomialLimits({ found, of }, 0.95)
  return say('share and limits', { share: percent(found / of), low: percent(low), high: percent(high) })
}

/** A tenth of one per cent. */
const percent = (share: number) => Math.round(share * 1000) / 10

export function advicePart({ groups }: AdviceAnswer, names: Names, { say, told }: PageWording): YearPart {
  const nameOf = ({ by, name }: (typeof groups)[number]) => {
    if (by === 'service class') return say(name === 'stored' ? 'advice by stored' : 'advice by in use')
    return say(`advice by ${by}`, { name: by === 'depot' ? names.depot(name) : name })
  }
  return {
    title: say('part advice'),
    head: say('year column group'),
    columns: [say('year column passed'), say('year column interval'), say('year column advice')],
    rows: groups.map((one) => ({
      name: nameOf(one),
      cells: [
        say('passed of', {
          passed: one.found,
          tested: one.of,
          share: percent(one.found / one.of),
          low: percent(one.limits.low),
          high: percent(one.limits.high),
        }),
        one.months === null ? null : say('in months', { months: one.months }),
        told({ code: one.says.is, says: sentenceOfAdvice(one) }),
      ],
    })),
  }
}
