/** What the examination found, and the cleaning that belongs to it. */
import type { Reason } from '../reason.ts'
import type { BenchTest } from './bench-test.ts'

/**
 * A defect still open after what was done at the bench has to be repaired and refinished, or the stick removed for good
 * (29 CFR 1910.269(j)(2)(iii)(B)). Lost gloss is such a defect (UFC 3-560-01 5-4.5) and calls for refinishing.
 */
export function openDefects({ examination }: BenchTest): Reason[] {
  const defects = examination.defects
    .filter((defect) => defect.open)
    .map(({ kind, section, atMetres }) => ({
      code: 'open-defect',
      text: `Open defect: ${kind}${tellAt(section, atMetres)}; it is repaired and the stick tested again`,
      ...(section === undefined ? {} : { section }),
      ...(atMetres === undefined ? {} : { fromMetres: atMetres, toMetres: atMetres }),
    }))
  if (examination.gloss === 'sound') return defects
  const text = 'The surface has lost its gloss; it is refinished and the stick tested again'
  return [...defects, { code: 'gloss-lost', text }]
}

/** Without gloss water spreads over the surface, and a wet reading says nothing of the inside (UFC 3-560-01 5-4.4). */
export function finishLost({ examination }: BenchTest): boolean {
  return (
    examination.gloss === 'lost' || examination.defects.some((defect) => defect.open && defect.kind === 'lost gloss')
  )
}

/** A stick without defects is cleaned as part of the examination (29 CFR 1910.269(j)(2)(iii)(B)). */
export function uncleaned({ cleaned }: BenchTest): Reason[] {
  if (cleaned) return []
  return [
    { code: 'cleaning-not-recorded', text: 'The stick was not recorded as cleaned; it is cleaned before it is tested' },
  ]
}

function tellAt(section: string | undefined, atMetres: number | undefined): string {
  const within = section === undefined ? '' : ` on section ${section}`
  return atMetres === undefined ? within : `${within} at ${atMetres} m`
}
