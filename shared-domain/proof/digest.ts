/** Hashes of a tree as RFC 6962 has them, over a hash function that is handed in: the domain has none of its own. */

/** A hash in hexadecimal letters. */
export type Digest = string
/** SHA-256 of some bytes. */
export type Sha256 = (bytes: Uint8Array) => Digest

/** A leaf, a node above two others, and a text kept apart: no one of them can be taken for another. */
const prefix = { leaf: 0x00, node: 0x01, text: 0x02 } as const

export function leafHash(hash: Sha256, bytes: Uint8Array): Digest {
  return hash(joined(Uint8Array.of(prefix.leaf), bytes))
}

export function nodeHash(hash: Sha256, left: Digest, right: Digest): Digest {
  return hash(joined(Uint8Array.of(prefix.node), bytesOf(left), bytesOf(right)))
}

/** Stands for a text that can be erased: whoever has not the salt learns nothing of the text. */
export function saltedHash(hash: Sha256, salt: Digest, bytes: Uint8Array): Digest {
  return hash(joined(Uint8Array.of(prefix.text), bytesOf(salt), bytes))
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((length, part) => length + part.length, 0))
  let at = 0
  for (const part of parts) {
    all.set(part, at)
    at += part.length
  }
  return all
}

function bytesOf(digest: Digest): Uint8Array {
  return Uint8Array.from({ length: digest.length / 2 }, (_, i) => Number.parseInt(digest.slice(2 * i, 2 * i + 2), 16))
}
