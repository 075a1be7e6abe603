/** An entry of a register as the API shows it. */
import { registerId } from '../../shared-domain/identifiers.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Edition } from '../store/registers.ts'

export async function entryView(kind: RegisterKind, id: string, entry: Edition<unknown>) {
  const { edition, effectiveFrom, recordedAt, recordedBy, body } = entry
  const shown = { ...(body as object), id, edition, effectiveFrom, recordedAt, recordedBy }
  if (kind !== 'procedure') return shown
  const { shownWarnings } = await import('./english-of-edits.ts')
  return { ...shown, warnings: shownWarnings(body as Procedure) } // the kind decides the body's type
}

export const isNumber = (key: string) => registerId.safeParse(key).success
