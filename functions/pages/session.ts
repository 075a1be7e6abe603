/** The session of a browser: who signed in there, and when. What they may do is asked of the register at each page. */
import type { Context } from 'hono'
import type { WallClock } from '../ground/clock.ts'
import type { Session } from '../questions/signed-in.ts'
import { arrivedAt } from '../web/gateway.ts'
import { cookieOf, forget, keep } from './cookies.ts'
import type { Seals } from './seals.ts'

const name = 'session'
const seconds = 8 * 3600

export type SessionOf = (context: Context) => Promise<Session | null>

export function sessionsIn(seals: Seals, clock: WallClock): SessionOf {
  return async (context) => {
    const held = await seals.open('session', cookieOf(context, name), arrivedAt(context, clock))
    return held as Session | null // sealed as such, and for nothing else
  }
}

export async function beginSession(context: Context, seals: Seals, session: Session): Promise<void> {
  const value = await seals.seal('session', session, { from: session.issuedAt, seconds })
  keep(context, name, { value, seconds })
}

export const endSession = (context: Context) => forget(context, name)
