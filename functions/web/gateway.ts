/**
 * The instant at which the gateway took a request in. It judged the request's token by its own clock, so sessions and
 * tokens are judged by that clock too: all of them then agree on what came before a sign-out.
 */
import type { Context } from 'hono'
import { type Instant, instantOf } from '../../shared-domain/calendar.ts'
import type { WallClock } from '../ground/clock.ts'

interface RequestContext {
  readonly timeEpoch?: unknown
  readonly domainName?: unknown
  readonly http?: { readonly sourceIp?: unknown }
}

interface FromGateway {
  readonly event?: { readonly requestContext?: RequestContext }
}

/** By `clock` where no gateway stands before. */
export function arrivedAt({ env }: Context, clock: WallClock): Instant {
  const { timeEpoch } = (env as FromGateway | undefined)?.event?.requestContext ?? {}
  return typeof timeEpoch === 'number' ? instantOf(timeEpoch) : clock()
}

/** The host that was asked, as the gateway has it; undefined where none stands before. */
export function hostAsked({ env }: Context): string | undefined {
  const { domainName } = (env as FromGateway | undefined)?.event?.requestContext ?? {}
  return typeof domainName === 'string' ? domainName : undefined
}

/** The network address that a request came from, as the gateway saw it; empty where no gateway stands before. */
export function sourceOf({ env }: Context): string {
  const { sourceIp } = (env as FromGateway | undefined)?.event?.requestContext?.http ?? {}
  return typeof sourceIp === 'string' ? sourceIp : ''
}
