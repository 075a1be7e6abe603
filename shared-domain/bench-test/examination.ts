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
      says: openDefect(kind, section, atMetres),
      ...(section === undefined ? {} : { section }),
      ...(atMetres === undefined ? {} : { fromMetres: atMetres, toMetres: atMetres }),
    }))
  if (examination.gloss === 'sound') return defects
  return [...defects, { code: 'gloss-lost', says: { is: 'gloss lost' } }]
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
  return [{ code: 'cleaning-not-recorded', says: { is: 'not cleaned' } }]
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
    ...(allowed ? [] : [{ code, says: { is: 'examination not allowed' as const } }]),
    ...(isShown('examination alone', demonstrated)
      ? []
      : [
          {
            code: 'demonstration-missing',
            says: { is: 'examination not demonstrated' as const, id: demonstrationId },
          },
        ]),
    ...(construction === 'FRP rod' || construction === 'foam-filled FRP tube'
      ? []
      : [{ code, says: { is: 'examination not enough for its construction' as const, construction } }]),
    ...(reason === 'periodic' ? [] : [{ code, says: { is: 'examination not periodic' as const, reason } }]),
    ...(mended ? [{ code, says: { is: 'examination with a mended defect' as const } }] : []),
  ]
}

function openDefect(defect: string, section: string | undefined, at: number | undefined): NonNullable<Reason['says']> {
  if (section === undefined)
    return at === undefined ? { is: 'open defect', defect } : { is: 'open defect at', defect, at }
  if (at === undefined) return { is: 'open defect on a section', defect, section }
  return { is: 'open defect on a section, at', defect, section, at }
}
