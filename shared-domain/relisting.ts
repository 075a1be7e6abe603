/** A stick as it is kept and listed once it was looked at anew or its people were told, with no fact of its own. */
import type { Instant } from './calendar.ts'
import { type KeptStick, type Listing, listingOf } from './listing.ts'
import { changeOwed, importUntold } from './notices/change.ts'
import { earlierThanShown, type LoanTold, labelToldBy, stillForward, type ToldThrough } from './notices/ladder.ts'
import type { Morning } from './notices/morning.ts'
import type { Standing } from './state/standing.ts'
import { seenAs } from './state/use.ts'

export interface Relisted {
  readonly next: KeptStick
  readonly listing: Listing
  readonly rules: Morning['rules']
}

/**
 * The stick's place in the lists anew. A date brought forward is for the next digest to tell. A change is for whoever
 * looks for those untold.
 */
export function relisted(kept: KeptStick, standing: Standing, morning: Morning): Relisted {
  const { broughtForwardFrom: from, shownDueOn } = kept
  const broughtForwardFrom = stillForward(from ?? earlierThanShown(shownDueOn, standing), standing)
  const isTold = changeOwed(kept, standing) === null
  const after = { ...kept, broughtForwardFrom }
  const untold = importUntold(kept) === undefined ? morning.rules.id : kept.untold
  return listed(isTold ? toldNow(after, standing) : { ...after, untold }, standing, morning)
}

/** The word that the stick's people had just now. */
export interface JustTold {
  readonly told?: ToldThrough
  readonly loanTold?: LoanTold
  /** the notices that say so, where the stick must not be used from now on */
  readonly about?: string | undefined
  readonly now: Instant
}

export function onceTold(
  kept: KeptStick,
  { told, loanTold, about, now }: JustTold,
  { standing, morning }: { readonly standing: Standing; readonly morning: Morning },
): Relisted {
  const after: KeptStick = {
    ...kept,
    ...(told === undefined ? {} : { told, broughtForwardFrom: null }),
    loanTold: loanTold ?? kept.loanTold,
    labelTold: labelToldBy(kept.labelTold, standing, morning.day),
    ...(about === undefined ? {} : { held: { at: now, about, confirmed: false } }),
  }
  return listed(toldNow(after, standing), standing, morning)
}

/** Keeps that the stick's people know how it stands, or need not be told. */
const toldNow = (kept: KeptStick, { status }: Standing): KeptStick => ({
  ...kept,
  seen: seenAs(status),
  untold: undefined,
})

function listed(kept: KeptStick, standing: Standing, morning: Morning): Relisted {
  const listing = listingOf(kept, standing, morning)
  return { next: { ...kept, shownDueOn: standing.dueOn }, listing, rules: morning.rules }
}
