/** SHA-256 of the runtime, and canonical JSON (RFC 8785) of a library that is kept by others. */
import { createHash, randomBytes } from 'node:crypto'
import canonicalize from 'canonicalize'

/** The hash and the form of JSON that the domain's trees are made with. */
export const hashing = {
  sha256: (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex'),
  canonicalBytes: (value: unknown): Uint8Array => Buffer.from(canonicalize(value) ?? ''),
}

/** 256 bits, so that nobody finds a text by trying likely ones. */
export const newSalt = (): string => randomBytes(32).toString('hex')
