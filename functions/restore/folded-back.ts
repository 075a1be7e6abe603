/** A stick folded from its facts, those of a backup and those of the journal, and put into its lists again. */
import { nothingOf } from '../../shared-domain/decide.ts'
import { relisted } from '../../shared-domain/relisting.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { type OrganisationNow, rulesOn, todayAt } from '../questions/today.ts'
import { asStored } from '../store/sticks.ts'
import type { Item } from '../store/table.ts'

/** `kept` is the stick's item in the journal, which says how far its people were told; its state is not there. */
export async function foldedBack(when: OrganisationNow, stickId: string, kept: Item | undefined): Promise<void> {
  const { sticks } = when.organisation
  for (let tries = 0; tries < 5; tries++) {
    const [before, facts] = await Promise.all([sticks.stored(stickId), sticks.facts(stickId)])
    if (facts.length === 0) return
    const told = kept === undefined ? undefined : asStored({ ...kept, state: {} })
    const known = told?.version ?? 0
    const newest = known > (before?.version ?? 0) ? told : before
    const state = replay(facts, stickId)
    const one = { ...(newest ?? nothingOf(stickId)), state, recorded: Math.max(...facts.map(({ seq }) => seq)) }
    const { today } = await todayAt(when, one.depotId)
    const morning = { day: today, rules: await rulesOn(when.organisation, today) }
    const listed = relisted(one, standingOn(state, today, morning.rules), morning)
    if (await sticks.putBack({ before, known }, listed)) return
  }
  throw new Error(`stick ${stickId} was being written to: the table is filled before anybody else works on it`)
}
