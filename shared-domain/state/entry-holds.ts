/**
 * Holds by what the register now says of a stick beside what was proved of it: in doubt what was proved shows nothing
 * of it.
 */
import { millimetres } from '../quantities.ts'
import type { Stick } from '../registers.ts'
import { type EntryDifference, type Hold, holdFor, type Identity } from './hold.ts'
import { inOrderOfEffect, isProven, type Registration, type StickState } from './state.ts'

export function entryHolds(state: StickState, now: Registration | undefined): Hold[] {
  if (now === undefined) return []
  return [...anotherStick(state, now), ...entryChanged(state, now)]
}

/** A shorter working length or a lower line voltage holds nothing: the test covered it too. */
function entryChanged({ testedSeq, registrations }: StickState, now: Registration): Hold[] {
  const tested = registrations.find(({ seq }) => seq === testedSeq)
  const what = tested === undefined ? null : differenceSince(tested.stick, now.stick)
  return what === null ? [] : [holdFor.entryChanged(now.effectiveFrom, what)]
}

function differenceSince(tested: Stick, now: Stick): EntryDifference | null {
  if (now.construction !== tested.construction) return 'construction'
  if (millimetres(now.workingLengthMetres) > millimetres(tested.workingLengthMetres)) return 'working length'
  if (now.diameterMillimetres !== tested.diameterMillimetres) return 'diameter'
  if (sectionsIn(now) !== sectionsIn(tested)) return 'sections'
  // no test rests on a line voltage that was not known then
  const { lineKilovolts: any = Number.POSITIVE_INFINITY } = now
  return any > (tested.lineKilovolts ?? Number.POSITIVE_INFINITY) ? 'line voltage' : null
}

/** The table keeps no order of the names in a section. */
const sectionsIn = ({ sections }: Stick) =>
  JSON.stringify(sections?.map(({ name, lengthMetres }) => [name, millimetres(lengthMetres)]))

/** The marks by which a stick is told from another that bears its number. */
const identities = {
  lot: ({ lot }: Stick) => lot,
  'first day of service': ({ inServiceSince }: Stick) => inServiceSince,
} as const satisfies { readonly [identity in Identity]: (stick: Stick) => string | undefined }

/** A new stick got the number of an old one: nothing that was proved of the old one is known of it. */
function anotherStick(state: StickState, now: Registration): Hold[] {
  if (!isProven(state)) return []
  const since = entriesSinceProof(state, now)
  return (Object.keys(identities) as Identity[]).flatMap((identity) => {
    const other = anotherSince(since, identities[identity])
    return other === null ? [] : [holdFor.anotherStick(other.since, { identity, ...other })]
  })
}

/**
 * The entries from the one by which the last full test that counts was judged, or else the first, to that of the day.
 */
function entriesSinceProof({ testedSeq, registrations }: StickState, now: Registration): readonly Registration[] {
  const ordered = inOrderOfEffect(registrations)
  const proved = ordered.findIndex(({ seq }) => seq === testedSeq)
  return ordered.slice(Math.max(0, proved), ordered.indexOf(now) + 1)
}

/** A name that was empty may be filled in. A name that was given stays where a later entry says nothing of it. */
function anotherSince(
  entries: readonly Registration[],
  named: (stick: Stick) => string | undefined,
): { was: string; is: string; since: Registration['effectiveFrom'] } | null {
  let proved: string | undefined
  let last: { readonly name: string; readonly since: Registration['effectiveFrom'] } | undefined
  for (const { stick, effectiveFrom } of entries) {
    const name = named(stick)
    if (name !== undefined && name !== last?.name) last = { name, since: effectiveFrom }
    if (proved === undefined || stick.sameStick) proved = last?.name
  }
  if (last === undefined || proved === undefined || last.name === proved) return null
  return { was: proved, is: last.name, since: last.since }
}
