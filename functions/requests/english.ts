/** Sentences of the API: in English and metres. Programs go by the codes and values beside them. */
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import type { Translated } from '../../shared-domain/catalogue/say.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import type { Refusal } from '../../shared-domain/refusal.ts'
import type { Hold } from '../../shared-domain/state/hold.ts'
import type { Stands } from '../../shared-domain/state/policy-change.ts'
import type { Objection } from '../../shared-domain/state/refusal.ts'
import { faultIn, refusalIn, wordingIn } from '../../shared-domain/wording.ts'

/** Dates of a request are told back as programs write them. */
const withDatesAsSent = Object.fromEntries(
  Object.entries(refusing).map(([name, text]) => [name, text.replaceAll(' :date}', '}')]),
) as Translated<typeof refusing>

const wording = wordingIn<typeof refusing>(english, 'metric', withDatesAsSent)

export const shownRefusal = (refusal: Refusal) => refusalIn(wording, refusal)
export const shownFault = (fault: Pick<Fault, 'expected'>) => faultIn(wording, fault)

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

export function shownObjection(objection: Objection) {
  const { stands: _, hold: __, refuses: ___, ...reason } = objection
  return { ...reason, text: wording.objection(objection) }
}

/** A fact with the sentences of its verdict. */
export function toldFact(fact: RecordedFact): RecordedFact {
  if (fact.kind !== 'tested' && fact.kind !== 'judged again') return fact
  const { judgement } = fact
  return { ...fact, judgement: { ...judgement, reasons: judgement.reasons.map(shownReason) } }
}
