/** Control charts in English: loaded with the first request for one. */
import type { DayReading } from '../../shared-domain/bench-test/check-charts.ts'
import { type ChartWarning, leastReadings } from '../../shared-domain/bench-test/control-chart.ts'
import { charts } from '../../shared-domain/catalogue/en/charts.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { wordingIn } from '../../shared-domain/wording.ts'

const { say } = wordingIn<typeof charts>(english, 'metric', charts)

export function shownWarning({ rule, from, to }: ChartWarning, readings: readonly DayReading[]) {
  const [first = '', last = ''] = [readings[from]?.on, readings[to]?.on]
  return { code: rule, text: say(`chart ${rule}`, { from: first, to: last }), from: first, to: last }
}

export const tooFew = (days: number): string => say('chart too few', { days, least: leastReadings })
