/** Holds in the order in which people are to read them: what can hurt somebody before what is only not shown. */
import type { Hold } from './hold.ts'

type HoldToRank = Pick<Hold, 'code'> & { readonly detail?: { readonly defect?: string } }

/** Defects felt or seen under voltage, or that break the stick. */
export const dangers: readonly string[] = ['flashover', 'tingle', 'burn', 'tracking', 'crack', 'delamination', 'drop']

const afterDanger: readonly string[] = [
  'failed-test',
  'failed-before',
  'open-defect',
  'defect-reported',
  'recalled',
  'unknown-fact',
  'found-untested',
  'reported-missing',
  'no-corrective-step',
  'not-mended',
  // what is lost may be any of these
  'records-restored',
]

/** The sort is stable: holds of one rank stay in the order in which they came. */
export function worstHoldFirst<H extends HoldToRank>(holds: readonly H[]): H[] {
  return [...holds].sort((a, b) => rankOfHold(a) - rankOfHold(b))
}

/** The rank of a hold: the lower, the worse. */
export function rankOfHold({ code, detail }: HoldToRank): number {
  if (code === 'failed-test') return 0
  if (code === 'defect-reported' && dangers.includes(detail?.defect ?? '')) return 1
  const place = afterDanger.indexOf(code)
  return place < 0 ? 2 + afterDanger.length : 2 + place
}
