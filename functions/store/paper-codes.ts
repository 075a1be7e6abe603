/**
 * Codes on printed papers, by which anybody may look whether the paper still holds. A paper that is printed again shows
 * its code again, so the code lies in the table beside its stick. Whoever guesses one meets 128 random bits.
 */
import { createHash, randomBytes } from 'node:crypto'
import type { Instant } from '../../shared-domain/calendar.ts'
import { is, onlyIf } from './change.ts'
import { codePointer, type OrganisationTable } from './keys.ts'
import { readerOf } from './reading.ts'
import type { Table } from './table.ts'

export interface PaperCode {
  readonly stickId: string
  /** the factId of the test that a certificate is of; `label` of a label */
  readonly about: string
  readonly code: string
  readonly issuedAt: Instant
  readonly issuedBy: string
  /** the last record of the stick's label when the code was issued: a later one that takes it off ends the code */
  readonly labelFactId: string | null
}

export const aboutLabel = 'label'

interface Pointer {
  readonly organisation: string
  readonly stickId: string
  readonly about: string
}

const asCode = readerOf<PaperCode>('paper code', {
  stickId: 'text',
  about: 'text',
  code: 'text',
  issuedAt: 'text',
  issuedBy: 'text',
  labelFactId: ['text', 'null'],
})
const asPointer = readerOf<Pointer>('paper code pointer', { organisation: 'text', stickId: 'text', about: 'text' })

const codeBytes = 16
const codePattern = /^[\w-]{22}$/

type Of = Pick<PaperCode, 'stickId' | 'about'>

/** The code that counts; one that it replaced leads here too, and differs. */
export async function paperCodeOf({ table, keys }: OrganisationTable, { stickId, about }: Of) {
  const item = await table.get(keys.paperCode(stickId, about))
  return item === undefined ? undefined : asCode(item)
}

/** Puts a new code in the place of the one before, if any; undefined where somebody else did so meanwhile. */
export async function issuePaperCode(
  { table, keys, name }: OrganisationTable,
  to: Omit<PaperCode, 'code'>,
  before: PaperCode | undefined,
): Promise<PaperCode | undefined> {
  const issued: PaperCode = { ...to, code: randomBytes(codeBytes).toString('base64url') }
  const { stickId, about, code } = issued
  const item = { ...keys.paperCode(stickId, about), entity: 'paper code' as const, ...issued }
  const pointer = { organisation: name, stickId, about }
  const { done } = await table.transact([
    before === undefined ? table.putNew(item) : table.put(item, onlyIf(is('code', before.code))),
    table.putNew({ ...codePointer(hashOf(code)), entity: 'paper code pointer', ...pointer }),
  ])
  return done ? issued : undefined
}

/** The paper that the code was issued for; undefined where there was never such a code. */
export async function paperBehind(table: Table, code: string): Promise<Pointer | undefined> {
  if (!codePattern.test(code)) return undefined
  const item = await table.get(codePointer(hashOf(code)))
  return item === undefined ? undefined : asPointer(item)
}

/** The code is of chance alone, so that a plain hash cannot be turned round by trying. */
function hashOf(code: string): string {
  return createHash('sha256').update(code).digest('hex')
}
