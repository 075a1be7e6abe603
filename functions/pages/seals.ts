/**
 * What a browser keeps for us, sealed: nobody else can read it, make it or change it. Each is good for one purpose and
 * for a time.
 */
import { createHash } from 'node:crypto'
import type { Instant } from '../../shared-domain/calendar.ts'

/** What is sealed for one purpose does not open for another. */
export type Purpose = 'session' | 'sign-in' | 'authenticator'

export interface Seals {
  readonly seal: (purpose: Purpose, held: object, lasts: Lasts) => Promise<string>
  /** null for what is not ours, was changed, is for another purpose, or is over */
  readonly open: (purpose: Purpose, sealed: string | undefined, now: Instant) => Promise<object | null>
}

interface Lasts {
  readonly from: Instant
  readonly seconds: number
}

const algorithm = { alg: 'dir', enc: 'A256GCM' } as const

/** The first secret seals. Both open, so that a new secret ends nobody's session. */
export function sealsOf(secrets: readonly [now: string, before: string]): Seals {
  const keys = new Map(secrets.map(keyOf))
  const [[kid, key] = ['', new Uint8Array()]] = keys
  return {
    async seal(purpose, held, { from, seconds }) {
      // most pages seal nothing
      const { EncryptJWT } = await import('jose/jwt/encrypt')
      const began = Date.parse(from)
      return new EncryptJWT({ ...held })
        .setProtectedHeader({ ...algorithm, kid })
        .setAudience(purpose)
        .setExpirationTime(new Date(began + seconds * 1000))
        .encrypt(key)
    },
    async open(purpose, sealed, now) {
      if (sealed === undefined) return null
      const { jwtDecrypt } = await import('jose/jwt/decrypt')
      try {
        const { payload } = await jwtDecrypt(sealed, (header) => known(keys.get(header.kid ?? '')), {
          audience: purpose,
          keyManagementAlgorithms: [algorithm.alg],
          contentEncryptionAlgorithms: [algorithm.enc],
          requiredClaims: ['exp'],
          currentDate: new Date(now),
        })
        return payload
      } catch {
        return null
      }
    },
  }
}

/** Secrets are text of any length; a key has 256 bits, and a name that tells nothing of it. */
function keyOf(secret: string): [name: string, key: Uint8Array] {
  const hashed = (text: string) => createHash('sha256').update(text).digest()
  return [hashed(`name of ${secret}`).toString('hex').slice(0, 8), new Uint8Array(hashed(`key of ${secret}`))]
}

function known(key: Uint8Array | undefined): Uint8Array {
  if (key === undefined) throw new Error('sealed with a key that is not ours any more')
  return key
}
