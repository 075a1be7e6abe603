/** A user pool in memory, which keeps what was asked of it, in order. */
import type { Pool } from '../../functions/web/pool.ts'

export interface FakePool extends Pool {
  readonly asked: string[]
  /** addresses of accounts, and whether each is open */
  readonly accounts: Map<string, boolean>
  /** refuses all calls as long as it is away */
  away: boolean
}

export function fakePool(known: readonly string[] = []): FakePool {
  const accounts = new Map(known.map((email) => [email, true]))
  const asked: string[] = []
  const pool: FakePool = {
    asked,
    accounts,
    away: false,
    make: async (email) => {
      ask(`make ${email}`)
      if (accounts.has(email.toLowerCase())) return 'known'
      accounts.set(email.toLowerCase(), true)
      return 'made'
    },
    makeAnew: async (email) => {
      ask(`make anew ${email}`)
      accounts.set(email.toLowerCase(), true)
    },
    inviteAgain: async (email) => ask(`invite again ${email}`),
    letInAgain: async (email) => {
      ask(`let in again ${email}`)
      accounts.set(email.toLowerCase(), true)
    },
    end: async (email) => {
      ask(`end ${email}`)
      if (accounts.has(email.toLowerCase())) accounts.set(email.toLowerCase(), false)
    },
  }
  return pool

  function ask(what: string): void {
    if (pool.away) throw new Error('the pool is away')
    asked.push(what)
  }
}
