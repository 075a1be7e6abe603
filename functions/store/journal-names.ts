/**
 * The names in a fact, as the journal has them. What is locked for years holds a salted hash in place of each text that
 * names somebody; salts and texts lie in a bucket without a lock, an object a line, so that they can be erased. Of a
 * fact in the tree the hashes are those of its leaf.
 */

import type { RecordedFact } from '../../shared-domain/facts.ts'
import { type Digest, saltedHash } from '../../shared-domain/proof/digest.ts'
import { pointersIn, textAt, withAt } from '../../shared-domain/proof/record.ts'
import { hashing, newSalt } from '../ground/hashing.ts'
import type { JournalLine, JournalObject } from './journal.ts'
import type { Item } from './table.ts'
import type { InTree } from './tree.ts'

/** What lies beside a line, by JSON pointers (RFC 6901) into its item. */
export interface NamesBeside {
  readonly salts: Readonly<Record<string, Digest>>
  readonly texts: Readonly<Record<string, unknown>>
}

/** This stands where a name stood, in any language. */
export const goneText = '—'

export const folderOfNames = (organisation: string) => `names/${organisation}/`

export const keyOfNames = ({ organisation, item, sequence }: JournalLine): string =>
  `${folderOfNames(organisation)}${(item.fact as RecordedFact).factId}/${sequence}.json`

/** The line as it is locked, and the object beside it; none where nobody is named. */
export function apart(line: JournalLine): { readonly line: JournalLine; readonly beside: JournalObject | null } {
  if (line.entity !== 'fact') return { line, beside: null }
  const fact = line.item.fact as RecordedFact
  const leaf = line.item.leaf as InTree | undefined
  const pointers = pointersIn({ organisation: line.organisation, stickId: '', fact })
  const salts = Object.fromEntries(pointers.map((pointer) => [pointer, leaf?.salts[pointer] ?? newSalt()]))
  const texts = Object.fromEntries(pointers.map((pointer) => [pointer, textAt(line.item, pointer)]))
  const item = pointers.reduce<Item>(
    (so, pointer) => withText(so, pointer, { sealed: hashOf(salts[pointer] ?? '', texts[pointer]) }),
    leaf === undefined ? line.item : { ...line.item, leaf: { ...leaf, salts: withoutThose(leaf.salts, pointers) } },
  )
  const beside = { key: keyOfNames(line), text: `${JSON.stringify({ salts, texts } satisfies NamesBeside)}\n` }
  return { line: { ...line, item }, beside: pointers.length === 0 ? null : beside }
}

/** The line with the names that are left. Of one that was erased since, the hash is kept, as the table does. */
export function together(line: JournalLine, beside: NamesBeside | null): JournalLine {
  if (line.entity !== 'fact') return line
  const leaf = line.item.leaf as InTree | undefined
  let { item } = line
  const salts: Record<string, Digest> = { ...leaf?.salts }
  const erased: Record<string, Digest> = { ...leaf?.erased }
  for (const [pointer, hash] of hashesIn(line.item.fact, '/fact')) {
    const salt = beside?.salts[pointer]
    const isThere = salt !== undefined && beside?.texts[pointer] !== undefined
    item = withText(item, pointer, isThere ? beside.texts[pointer] : goneText)
    // what was erased in the table before has its hash in the leaf, and another one here
    if (leaf?.erased?.[pointer] !== undefined) continue
    if (isThere) salts[pointer] = salt
    else erased[pointer] = hash
  }
  if (leaf === undefined) return { ...line, item }
  const kept = { ...leaf, salts, ...(Object.keys(erased).length === 0 ? {} : { erased }) }
  return { ...line, item: { ...item, leaf: kept } }
}

export const readNames = (text: string): NamesBeside => JSON.parse(text) as NamesBeside

const hashOf = (salt: Digest, text: unknown) => saltedHash(hashing.sha256, salt, hashing.canonicalBytes(text))

const withText = (item: Item, pointer: string, text: unknown): Item =>
  withAt(item, pointer.split('/').slice(1), text) as Item

function withoutThose(salts: InTree['salts'], pointers: readonly string[]): InTree['salts'] {
  return Object.fromEntries(Object.entries(salts).filter(([pointer]) => !pointers.includes(pointer)))
}

function hashesIn(value: unknown, at: string): [pointer: string, hash: Digest][] {
  if (typeof value !== 'object' || value === null) return []
  if ('sealed' in value) return [[at, String(value.sealed)]]
  return Object.entries(value).flatMap(([name, one]) => hashesIn(one, `${at}/${name}`))
}
