/** What the due dates of a fleet take, beside reading the same sticks' data as JSON, which comes before any answer. */
import { chanceOf, oneOf, whole } from '../../seed/chance.ts'
import { addDays, type CalendarDate } from '../../shared-domain/calendar.ts'
import { clocksOf, type Wound } from '../../shared-domain/policy/clocks.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import type { CustodySpell } from '../../shared-domain/policy/service-class.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import type { Construction } from '../../shared-domain/words.ts'
import { aStick, day } from '../support/trade.ts'
import type { Figure, Measured } from './figure.ts'
import { interleaved } from './interleaved.ts'

const sticks = 100_000
/** Dry by service class, wet, and the two years: three clocks on every stick of FRP. */
const policy = rulesFrom({ packs: ['us-29-cfr-1910-269-j', 'ufc-3-560-01-5-4'] })

const chance = chanceOf('due dates and parsing')
const someDay = () => addDays(day('2016-03-01'), whole(chance, 0, 3_652))
const oneOfFrp = () => oneOf<Construction>(chance, ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube'])

/** No more of each than its clocks run on: a stored state holds more, and would flatter the ratio. */
function someStick(): { stick: Stick; known: Wound } {
  const [tested, wet, before] = [someDay(), someDay(), someDay()]
  const spell = (since: CalendarDate): CustodySpell => ({ since, kind: oneOf(chance, ['crew', 'store']) })
  return {
    stick: { ...aStick, construction: oneOfFrp() },
    known: {
      evidence: { examination: tested, 'condition check': tested, 'dry test': tested, 'wet test': wet },
      custodySpells: [spell(before), ...(chance() < 0.3 ? [spell(addDays(tested, 40))] : [])],
      uses: [{ on: addDays(tested, 20), days: 1, conditions: ['wet'] }],
    },
  }
}
const fleet = Array.from({ length: sticks }, someStick)
const text = fleet.map((one) => JSON.stringify(one))

const parse = () => text.map((one) => JSON.parse(one))
const dueDates = () => fleet.map(({ stick, known }) => clocksOf(stick, known, policy)[0]?.dueOn)

/** A round is 300,000 clocks, so a fortieth of the rounds asked for tells enough. */
function measure(rounds: number): Measured {
  const clocks = fleet.map(({ stick, known }) => clocksOf(stick, known, policy).length)
  if (clocks.some((many) => many !== 3)) throw new Error('not every stick has the three clocks this figure is about')
  if (dueDates().some((due) => due == null)) throw new Error('a stick without a due date is no part of this figure')
  return interleaved(parse, dueDates, Math.ceil(rounds / 40))
}

export const figure: Figure = {
  unit: 'ratio to JSON.parse of the same 100,000 sticks, for the due date of each by three clocks',
  better: 'lower',
  goal: 2,
  measure,
}
