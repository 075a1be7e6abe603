/** The flags of `npm run restore` besides the table. */
import { type Instant, instantOf } from '../../shared-domain/calendar.ts'

type TextOf = (flag: string) => string | undefined

const isMoment = (text: string) =>
  /^\d{4}-\d{2}-\d{2}T.*(Z|[+-]\d{2}:\d{2})$/.test(text) && !Number.isNaN(Date.parse(text))

/** The moment that a flag names; its faults were told before. */
export const momentOf = (text: string | undefined): Instant => instantOf(Date.parse(text ?? ''))

export function restoreFaults(textOf: TextOf): string[] {
  const moments = ['backup-at', 'lost-at'] as const
  const needed = [...moments, 'journal', ...(textOf('journal') === 'none' ? [] : ['names'])]
  const missing = needed.filter((flag) => textOf(flag) === undefined)
  const wrong = moments.filter((flag) => !isMoment(textOf(flag) ?? '') && !missing.includes(flag))
  const [from, to] = moments.map((flag) => Date.parse(textOf(flag) ?? ''))
  const isBackwards = missing.length + wrong.length === 0 && (from ?? 0) > (to ?? 0)
  return [
    ...missing.map((flag) => `--${flag} is missing`),
    ...wrong.map((flag) => `--${flag}: expected an instant with its offset, such as 2026-03-02T08:00:00-06:00`),
    ...(isBackwards ? ['--lost-at lies before --backup-at'] : []),
  ]
}
