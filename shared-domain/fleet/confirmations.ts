/** The hours until somebody confirmed that a stick must not be used, of each matter that was to be confirmed. */
import { type Instant, millisOf } from '../calendar.ts'

/** A notice that was to be confirmed. */
interface ToConfirm {
  /** the matter, the same for everybody told of it */
  readonly about: string
  readonly owedAt: Instant
  readonly answeredAt?: Instant | undefined
}

export interface Confirmations {
  readonly matters: number
  readonly confirmed: number
  /** half of those confirmed took so long, or less; null where none was */
  readonly medianHours: number | null
  readonly longestHours: number | null
}

/** Hours from the first word of each matter to its first confirmation; null of one that nobody confirmed. */
export function hoursToConfirm(notices: readonly ToConfirm[]): (number | null)[] {
  return [...Map.groupBy(notices, ({ about }) => about).values()].map((of) => {
    const told = Math.min(...of.map(({ owedAt }) => millisOf(owedAt)))
    const answered = of.flatMap(({ answeredAt }) => (answeredAt === undefined ? [] : [millisOf(answeredAt)]))
    return answered.length === 0 ? null : Math.max(0, Math.min(...answered) - told) / millisPerHour
  })
}

const millisPerHour = 3_600_000

export function confirmationsOf(hours: readonly (number | null)[]): Confirmations {
  const taken = hours.filter((one) => one !== null).sort((a, b) => a - b)
  return {
    matters: hours.length,
    confirmed: taken.length,
    medianHours: taken[Math.ceil(taken.length / 2) - 1] ?? null,
    longestHours: taken.at(-1) ?? null,
  }
}
