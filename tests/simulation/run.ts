/** Years of a utility by one seed: its days one after another, and on each what must hold. */
import { chanceOf } from '../../seed/chance.ts'
import { hour } from '../faults/service.ts'
import { buildOf } from './builds.ts'
import * as fleet from './fleet.ts'
import { Broken } from './hearing.ts'
import { dayAt, instantOn } from './model.ts'
import { peopleOf } from './people.ts'
import { type Planted, type PlantName, plants } from './plants.ts'
import { watchOf } from './watch.ts'
import { openWorld, type World } from './world.ts'

export interface Asked {
  readonly years: number
  readonly sticks: number
  readonly seed: string
  readonly faults: boolean
  readonly plant?: PlantName
}

export interface Outcome {
  /** the first invariant that broke, in words, and the day; null where all held */
  readonly broken: string | null
  readonly checked: World['tally'] & { readonly words: number }
  readonly struck: ReadonlyMap<string, number>
}

export async function run({ years, sticks, seed, faults, plant }: Asked): Promise<Outcome> {
  const { build, ...planted }: Planted = plant === undefined ? {} : plants[plant]
  const slips = build === undefined ? [] : [build]
  const ours = await buildOf(...slips)
  const corrected = await buildOf(...slips, 'corrected')
  const world = await openWorld({ seed, faults, deployed: ours, ...planted })
  const chance = chanceOf(`${seed} people`)
  const people = peopleOf(world, chance, { ours, corrected })
  const watch = watchOf(world, chance)

  /** Each look by itself now and then, as far as nothing is under way. */
  async function evening(): Promise<void> {
    if (!world.isQuiet()) return
    if (chance() < 1 / 4) await watch.checkRoster()
    if (chance() < 1 / 14) await watch.checkLists()
    if (chance() < 1 / 7) await watch.checkPages()
    for (const stick of world.there.sticks.values()) if (chance() < 1 / 60) await watch.checkKept(stick)
  }

  async function atTheEnd(): Promise<void> {
    await watch.checkLists()
    for (const stick of world.there.sticks.values()) await watch.checkKept(stick)
  }

  async function day(on: string): Promise<void> {
    world.tally.days += 1
    world.trouble().newDay(world.now())
    const looks = Object.keys(fleet.depots).map((depotId) => ({
      at: instantOn(on, '09:00', fleet.zoneOf(depotId)),
      does: async () => {
        if (world.hadOutageSince(world.now() - 3 * 24 * hour)) return
        watch.checkLadder(depotId, on)
        watch.checkLabels(depotId, on)
      },
    }))
    const doings = [...people.doingsOf(on), ...looks].sort((a, b) => a.at - b.at)
    for (const { at, does } of doings) {
      await world.walkTo(at)
      await does()
      for (const stick of world.touched) await watch.checkStick(stick)
      world.touched.clear()
    }
    await world.walkTo(instantOn(on, '23:30', 'UTC'))
    await world.calmly(evening)
  }

  try {
    for (let i = 0; i < sticks; i++) {
      await world.enterStick(
        `S-${i + 1}`,
        chance() < 0.2,
        [...world.there.crews.keys()][i % world.there.crews.size] ?? '',
      )
    }
    const first = world.now()
    for (let i = 1; i <= years * 365; i++) await day(dayAt(first + i * 24 * hour, 'UTC'))
    await world.calmly(atTheEnd)
    return { broken: null, checked: { ...world.tally, words: world.heard.words() }, struck: world.trouble().struck }
  } catch (error) {
    if (!(error instanceof Broken)) throw error
    const broken = `on ${new Date(world.now()).toISOString()}: ${error.message}`
    return { broken, checked: { ...world.tally, words: world.heard.words() }, struck: world.trouble().struck }
  }
}
