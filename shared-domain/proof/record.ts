/**
 * A leaf of an organisation's tree is one fact: the fact itself, its stick, and the editions that a test was judged by.
 * Whatever names a person stands in it as a salted hash; salt and text lie beside the fact. Where both are
 * erased, the hash is left, and the leaf is what it was.
 */
import type { RecordedFact } from '../facts.ts'
import { type Digest, leafHash, type Sha256, saltedHash } from './digest.ts'
import { pathsThatName } from './named.ts'

/** The way in which values are hashed: SHA-256, over the bytes of canonical JSON (RFC 8785). */
export interface Hashing {
  readonly sha256: Sha256
  readonly canonicalBytes: (value: unknown) => Uint8Array
}

/** The edition of a register's entry that a test was judged by. */
export interface EditionRecord {
  readonly id: string
  readonly edition: string
  readonly body: unknown
}

export interface EditionRecords {
  readonly procedure: EditionRecord | null
  readonly instruments: readonly EditionRecord[]
  readonly policy?: EditionRecord
  readonly demonstration?: EditionRecord
}

export interface FactRecord {
  readonly organisation: string
  readonly stickId: string
  readonly fact: RecordedFact
  /** the editions behind a test, or behind a judgement of one */
  readonly editions?: EditionRecords
}

/** The texts beside a fact, by JSON pointer (RFC 6901): their salts, and the hashes of those erased. */
export interface KeptTexts {
  readonly salts: Readonly<Record<string, Digest>>
  readonly erased?: Readonly<Record<string, Digest>>
}

/** The form of what is hashed; another one would be another number. */
const form = 1

/** A salt for each text of the record that names a person. */
export function saltsOf(record: FactRecord, newSalt: () => Digest): Record<string, Digest> {
  return Object.fromEntries(pointersIn(record).map((pointer) => [pointer, newSalt()]))
}

/** The record as it is hashed, with nobody's name in it. A text of which no salt is known was not there. */
export function sealedRecord(hashing: Hashing, record: FactRecord, { salts, erased = {} }: KeptTexts): object {
  const pointers = [...new Set([...pointersIn(record), ...Object.keys(erased)])]
  return pointers.reduce<object>(
    (so, pointer) => {
      const salt = salts[pointer]
      const sealed = erased[pointer] ?? (salt === undefined ? null : hashOfText(hashing, salt, textAt(record, pointer)))
      return withAt(so, pointer.split('/').slice(1), { sealed }) as object
    },
    { form, ...record },
  )
}

export function leafOf(hashing: Hashing, record: FactRecord, kept: KeptTexts): Digest {
  return leafHash(hashing.sha256, hashing.canonicalBytes(sealedRecord(hashing, record, kept)))
}

/** A text is erased: its hash stays, and its salt goes. */
export function withoutText(hashing: Hashing, record: FactRecord, { kept, pointer }: Erasing): KeptTexts {
  const { [pointer]: salt, ...salts } = kept.salts
  if (salt === undefined) return kept
  const erased = { ...kept.erased, [pointer]: hashOfText(hashing, salt, textAt(record, pointer)) }
  return { salts, erased }
}

interface Erasing {
  readonly kept: KeptTexts
  readonly pointer: string
}

function hashOfText({ sha256, canonicalBytes }: Hashing, salt: Digest, text: unknown): Digest {
  return saltedHash(sha256, salt, canonicalBytes(text))
}

/** Pointers to what names a person in this record, as far as it is there. */
export function pointersIn(record: FactRecord): string[] {
  return pathsThatName(record.fact.kind).flatMap((path) => pointersAlong(record, path.split('/'), ''))
}

function pointersAlong(value: unknown, [step, ...rest]: readonly string[], so: string): string[] {
  if (value === undefined || value === null) return []
  if (step === undefined) return [so]
  if (step === '*') return Array.isArray(value) ? value.flatMap((one, i) => pointersAlong(one, rest, `${so}/${i}`)) : []
  if (typeof value !== 'object') return []
  return pointersAlong((value as Record<string, unknown>)[step], rest, `${so}/${step}`)
}

/** The text to which a pointer leads. */
export function textAt(value: unknown, pointer: string): unknown {
  return pointer
    .split('/')
    .slice(1)
    .reduce<unknown>((so, step) => (so as Record<string, unknown> | undefined)?.[step], value)
}

/** The same value with another one where the steps lead. */
export function withAt(value: unknown, [step, ...rest]: readonly string[], other: unknown): unknown {
  if (step === undefined) return other
  if (Array.isArray(value)) return value.map((one, i) => (String(i) === step ? withAt(one, rest, other) : one))
  const given = (value ?? {}) as Record<string, unknown>
  return { ...given, [step]: withAt(given[step], rest, other) }
}
