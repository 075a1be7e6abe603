/** The effect of an edit on the fleet, whatever is edited. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import { type FleetEffect, stickEffect, wouldBeMilder } from '../../shared-domain/loosening/effect.ts'
import type { EmployerPolicy } from '../../shared-domain/policy/policy.ts'
import type { Instrument, Procedure, Stick } from '../../shared-domain/registers.ts'
import type { Proposal } from '../store/proposals.ts'
import type { Asker } from './asker.ts'
import { pinnedEditions } from './pinned.ts'
import { fleetEffectFor } from './policy-effect.ts'
import { rosterAndCountsFor } from './roster.ts'
import { rulesOn, todayAt } from './today.ts'

type Edit = Pick<Proposal, 'kind' | 'entryId' | 'body'>

/** Answers the effect; null where the edit bears on no stick by itself. */
export async function editEffectFor(asker: Asker, { kind, entryId: id, body }: Edit): Promise<FleetEffect | null> {
  switch (kind) {
    case 'policy':
      return fleetEffectFor(asker, body as EmployerPolicy) // the kind decides the body's type
    case 'procedure':
      return testsEffect(asker, { procedureId: id, instead: { procedure: body as Procedure } })
    case 'instrument':
      return testsEffect(asker, { instrumentId: id, instead: { instrument: body as Instrument } })
    case 'stick':
      return ofStick(asker, id, body as Stick)
    case 'depot':
      return sticksOf(asker, { depotId: id })
    case 'crew':
      return sticksOf(asker, { crewId: id })
    case 'person':
    case 'demonstration':
    case 'organisation':
    case 'correction':
    case 'tests before':
      return null
  }
}

interface JudgedAnew {
  readonly procedureId?: string
  readonly instrumentId?: string
  readonly instead: Parameters<typeof wouldBeMilder>[2]
}

/** Tests are large: only so many are judged as show what is asked for, and only so many at once. */
const mostTests = 500
const atOnce = 100

async function testsEffect(
  { organisation, now }: Asker,
  { procedureId, instrumentId, instead }: JudgedAnew,
): Promise<FleetEffect> {
  const { registers, sticks } = organisation
  const all = await registers.allInForce('instrument', localDateAt(now, 'UTC'))
  const newest = [...(await sticks.newestTests(all.map(({ id }) => id)))].sort(([a], [b]) => (a < b ? -1 : 1))
  const counted = newest.slice(0, mostTests)
  let [count, milder] = [0, 0]
  for (let i = 0; i < counted.length; i += atOnce) {
    const looked = counted.slice(i, i + atOnce).map(async ([stickId, seq]) => {
      const fact = await sticks.fact(stickId, seq)
      if (fact?.kind !== 'tested') return undefined
      const { test } = fact
      if (test.procedureId !== (procedureId ?? test.procedureId)) return undefined
      if (test.instrumentId !== (instrumentId ?? test.instrumentId)) return undefined
      const editions = await pinnedEditions(organisation, (entry) => sticks.entry(stickId, entry), fact)
      return editions !== undefined && wouldBeMilder(fact, editions, instead)
    })
    const judged = (await Promise.all(looked)).filter((one) => one !== undefined)
    count += judged.length
    milder += judged.filter(Boolean).length
  }
  return { of: 'tests', sticks: count, milder, isWhole: newest.length === counted.length }
}

async function ofStick(asker: Asker, stickId: string, stick: Stick): Promise<FleetEffect | null> {
  const stored = await asker.organisation.sticks.stored(stickId)
  if (stored === undefined) return null
  const { today: day } = await todayAt(asker, stored.depotId)
  const rules = await rulesOn(asker.organisation, day)
  return stickEffect(stored.state, { stick, from: stick.effectiveFrom ?? day, day, rules })
}

async function sticksOf(
  asker: Asker,
  where: { readonly depotId: string } | { readonly crewId: string },
): Promise<FleetEffect> {
  const { counts } = await rosterAndCountsFor(asker, { ...where, after: '', limit: 1 })
  const all = Object.values(counts)
  const sticks = all.reduce<number>((sum, one) => sum + (typeof one === 'number' ? one : 1000), 0)
  return { of: 'sticks', sticks, isWhole: !all.includes('1,000+') }
}
