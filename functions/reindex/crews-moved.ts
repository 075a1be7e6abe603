/**
 * A crew that belongs to another depot now takes its sticks along: into that depot's lists, its mornings, and the hands
 * of its bench and managers. What lies in a store or at a bench stays there.
 */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import { type OrganisationNow, rulesOn, todayAt } from '../questions/today.ts'
import type { Organisation } from '../store/organisation.ts'
import { readEach, readerOf } from '../store/reading.ts'
import type { StoredStick } from '../store/sticks.ts'
import { type RewriteOutcome, rewriteAll, sticksOnPage } from './rewrite.ts'

interface Followed {
  /** the crew's id */
  readonly sk: string
  /** the edition of the crew's entry */
  readonly edition: string
  /** the instant from which the crew's sticks are to be looked through once more; null when they were */
  readonly again: Instant | null
}

const asFollowed = readerOf<Followed>('crew followed', { sk: 'text', edition: 'text', again: ['text', 'null'] })

/**
 * The time after which a moved crew's sticks are looked through once more. By then the day has turned in every zone,
 * what was recorded while the crew moved is in every list, and an entry that was put right at once has been seen.
 */
const againSeconds = 26 * 3600

export async function followCrews(
  organisation: Organisation,
  now: Instant,
  mayGoOn: () => boolean,
): Promise<RewriteOutcome> {
  const { table, keys } = organisation
  const [crews, marks] = await Promise.all([
    organisation.crewsNow(now),
    table.all({ partition: ['pk', keys.crewsFollowed()], consistent: true }),
  ])
  const followed = new Map(readEach(marks, asFollowed).map((mark) => [mark.sk, mark]))
  let sticks = 0
  for (const { id, ...crew } of crews) {
    const mark = followed.get(id)
    const isSame = mark !== undefined && mark.edition === crew.edition
    if (isSame && (mark.again === null || now < mark.again)) continue
    const outcome = await followCrew({ organisation, now }, { crewId: id, depotId: crew.body.depotId }, mayGoOn)
    sticks += outcome.sticks
    if (!outcome.finished) return { sticks, finished: false }
    const again = isSame ? null : addSeconds(now, againSeconds)
    await table.transact([
      table.put({ ...keys.crewFollowed(id), entity: 'crew followed', edition: crew.edition, again }),
    ])
  }
  return { sticks, finished: true }
}

/** `depotId` names the depot where the crew is now. */
async function followCrew(
  when: OrganisationNow,
  { crewId, depotId }: { crewId: string; depotId: string },
  mayGoOn: () => boolean,
): Promise<RewriteOutcome> {
  const { organisation } = when
  const { today } = await todayAt(when, depotId)
  const rules = await rulesOn(organisation, today)
  let sticks = 0
  let next: string | null = '0'
  while (next !== null) {
    if (!mayGoOn()) return { sticks, finished: false }
    const page = await organisation.sticks.crewPage(crewId, { from: next, to: '~', limit: sticksOnPage })
    const belongs = ({ state, depotId: lies }: StoredStick) => ({ is: depotOf(state, depotId), lies })
    const rewritten = await rewriteAll(organisation, page.sticks, {
      isStale: (one) => one.state.crewId === crewId && belongs(one).is !== belongs(one).lies,
      as: (one) => ({
        standing: standingOn(one.state, today, rules),
        morning: { day: today, rules },
        depotId: belongs(one).is,
      }),
    })
    sticks += rewritten.sticks
    next = page.next
  }
  return { sticks, finished: true }
}
