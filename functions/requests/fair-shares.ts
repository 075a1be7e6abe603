/**
 * Lets nobody ask so much that others get no turn. Each organisation has a share of a running function. Word of danger
 * is counted apart and for each person by themselves, so no flood of anything else takes a turn from it, and neither
 * does somebody else's of the same.
 */
import { type Bucket, isFullBy, type Share, speaksOfDanger, takenFrom } from '../../shared-domain/fair-share.ts'
import { Refused } from '../ground/errors.ts'

export interface Shares {
  /** @throws Refused where the asker's share is used up */
  readonly admit: (asker: AskerOfShare, route: { readonly danger?: true }, sent: unknown) => void
}

interface AskerOfShare {
  readonly organisation: string
  readonly personId: string
}

/** More than anybody sends by hand, and than a phone sends that was long without a link. */
const ofDanger: Share = { atOnce: 50, perSecond: 5 }
/** Twelve seconds' worth: a page that acts on a selection of sticks sends a request for each. */
const secondsAtOnce = 12

/** Askers beyond this number are forgotten where their buckets are full again. */
const mostKept = 1000

export function fairShares(requestsPerSecond: number, now: () => number): Shares {
  const ofOrganisation: Share = { atOnce: secondsAtOnce * requestsPerSecond, perSecond: requestsPerSecond }
  const take = { organisation: bucketsOf(ofOrganisation, now), danger: bucketsOf(ofDanger, now) }
  return {
    admit({ organisation, personId }, { danger }, sent) {
      const waitSeconds =
        danger && speaksOfDanger(sent) ? take.danger(`${organisation} ${personId}`) : take.organisation(organisation)
      if (waitSeconds > 0) throw new Refused({ kind: 'too many', seconds: waitSeconds })
    },
  }
}

function bucketsOf(share: Share, now: () => number): (name: string) => number {
  const buckets = new Map<string, Bucket>()
  return (name) => {
    const at = now()
    const { bucket, waitSeconds } = takenFrom(buckets.get(name), share, at)
    buckets.set(name, bucket)
    if (buckets.size > mostKept) for (const [one, kept] of buckets) if (isFullBy(at, kept, share)) buckets.delete(one)
    return waitSeconds
  }
}
