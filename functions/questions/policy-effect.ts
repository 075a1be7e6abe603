/**
 * The effect of another policy on the fleet, stick by stick and counted: each stick on the first day on which it would
 * bind.
 */
import { daysBetween } from '../../shared-domain/calendar.ts'
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { EmployerPolicy } from '../../shared-domain/policy/policy.ts'
import { rulesFrom, withRecalls } from '../../shared-domain/policy/rules.ts'
import { type Effect, effectOf, tallyOf } from '../../shared-domain/state/policy-change.ts'
import type { Asker } from './asker.ts'
import { rosterFor } from './roster.ts'
import { rulesOn } from './today.ts'

export interface StickEffect extends Effect {
  readonly stickId: string
  readonly crewId: string | null
  readonly depotId: string | null
  readonly on: string
}

interface Page {
  readonly effects: readonly StickEffect[]
  readonly next: string | null
}

export async function policyEffectFor(
  asker: Asker,
  body: EmployerPolicy,
  page: { readonly after: string; readonly limit: number },
): Promise<Page> {
  const { organisation } = asker
  // no policy ends a recall
  const proposed = withRecalls(rulesFrom(body), await organisation.recallsNow())
  const { rows, next } = await rosterFor(asker, page)
  const effects = rows.map(async ({ stored, today }) => {
    const from = body.effectiveFrom
    const day = from !== undefined && daysBetween(today, from) > 0 ? from : today
    const effect = effectOf(stored.state, day, { inForce: await rulesOn(organisation, day), proposed })
    return { stickId: stored.stickId, crewId: stored.state.crewId, depotId: stored.depotId, on: day, ...effect }
  })
  return { effects: await Promise.all(effects), next }
}

/**
 * The most sticks that are counted, enough to see what is asked for. A larger fleet is counted by its preview, page by
 * page.
 */
const mostCounted = 2000
const atOnce = 500

export async function fleetEffectFor(asker: Asker, body: EmployerPolicy): Promise<FleetEffect> {
  const found: StickEffect[] = []
  let after: string | null = ''
  while (after !== null && found.length < mostCounted) {
    const { effects, next } = await policyEffectFor(asker, body, { after, limit: atOnce })
    found.push(...effects)
    after = next
  }
  return { of: 'rules', ...tallyOf(found), isWhole: after === null }
}
