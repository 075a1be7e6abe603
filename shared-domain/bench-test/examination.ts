/** The findings of the examination, and the cleaning that belongs to it. */
import type { Reason } from '../reason.ts'
import type { Stick } from '../registers.ts'
import type { BenchTest } from './bench-test.ts'
import { type Demonstrated, isShown } from './demonstration.ts'

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

/**
 * Water spreads over a surface without gloss, and a wet reading then says nothing of the inside (UFC 3-560-01 5-4.4).
 */
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

/** Tells whether nothing was measured, and the employer's demonstration is to stand in its place. */
export function reliesOnExamination({ dry, wet, withstand, demonstrationId }: BenchTest): boolean {
  return demonstrationId !== undefined && dry === undefined && wet === undefined && (withstand ?? []).length === 0
}

/**
 * Reasons why an examination cannot stand alone; none where it can. 29 CFR 1910.269(j)(2)(iii)(C) asks for a test:
 * - after every repair or refinishing (1);
 * - otherwise too, unless the tool is FRP rod or foam-filled FRP tube and the employer can demonstrate that it has no
 *   defects that could cause failure in use (2).
 * The text leaves open whether a stick reported from use may take this way: here it may not.
 */
export function againstExaminationAlone(
  { reason, examination, demonstrationId = '' }: BenchTest,
  { construction }: Stick,
  { allowed, demonstrated }: { readonly allowed: boolean; readonly demonstrated: Demonstrated | undefined },
): Reason[] {
  const code = 'examination-not-enough'
  const mended = examination.defects.some((defect) => !defect.open)
  return [
    ...(allowed ? [] : [{ code, text: 'The policy in force does not let an examination stand in place of a test' }]),
    ...(isShown('examination alone', demonstrated)
      ? []
      : [
          {
            code: 'demonstration-missing',
            text: `${demonstrationId} is no demonstration, in force on the day of the test, that an examination alone is enough`,
          },
        ]),
    ...(construction === 'FRP rod' || construction === 'foam-filled FRP tube'
      ? []
      : [{ code, text: `A stick of ${construction} is tested after every examination` }]),
    ...(reason === 'periodic'
      ? []
      : [{ code, text: `An examination for ${reason} is followed by a test; only a periodic one can stand alone` }]),
    ...(mended ? [{ code, text: 'A defect was mended at the bench, and a stick is tested after every repair' }] : []),
  ]
}

function tellAt(section: string | undefined, atMetres: number | undefined): string {
  const within = section === undefined ? '' : ` on section ${section}`
  return atMetres === undefined ? within : `${within} at ${atMetres} m`
}
