/** Sentences of the API: in English and metres. Programs go by the codes and values beside them. */
import { english } from '../../shared-domain/catalogue/en/language.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import type { Hold } from '../../shared-domain/state/hold.ts'
import type { Stands } from '../../shared-domain/state/policy-change.ts'
import { wordingIn } from '../../shared-domain/wording.ts'

const wording = wordingIn(english, 'metric', {})

export const whyInEnglish = wording.why

export function shownReason(reason: Reason) {
  return { ...reason, text: wording.reason(reason) }
}

export function shownHold(hold: Hold) {
  const { code, since, factId, detail } = hold
  const { reason, ...others } = detail ?? {}
  return {
    code,
    ...wording.hold(hold),
    since,
    factId,
    ...(detail === undefined
      ? {}
      : { detail: { ...others, ...(reason === undefined ? {} : { reason: shownReason(reason) }) } }),
  }
}

export function shownStands(stands: Stands) {
  return { status: stands.status, dueOn: stands.dueOn, why: wording.why(stands) }
}

export function shownFleet(fleet: FleetEffect | null) {
  if (fleet?.of !== 'stick') return fleet
  return { ...fleet, inForce: shownStands(fleet.inForce), proposed: shownStands(fleet.proposed) }
}

/** A fact with the sentences of its verdict. */
export function toldFact(fact: RecordedFact): RecordedFact {
  if (fact.kind !== 'tested' && fact.kind !== 'judged again') return fact
  const { judgement } = fact
  return { ...fact, judgement: { ...judgement, reasons: judgement.reasons.map(shownReason) } }
}
