/**
 * The order on a stick: the first line that anybody reads of it, and below it what to do with it and whom to give it
 * to. Every page that gives one asks this table. Before each day of use a stick is wiped clean and looked over: 29 CFR
 * 1910.269(j)(2)(i).
 */
import type { CalendarDate } from '../calendar.ts'
import type { orders } from '../catalogue/en/orders.ts'
import type { Status } from '../words.ts'
import type { Duty } from './duty.ts'
import type { Standing, Why } from './standing.ts'
import type { StickState } from './state.ts'
import { mayBeUsed } from './use.ts'

/** A stick as far as its order depends on it. */
export interface ToOrder {
  readonly status: Status
  readonly dueOn: CalendarDate | null
  readonly duty?: Exclude<Duty, 'test'> | undefined
  readonly notPrimary?: true | undefined
  readonly why: Why | string
  readonly lies: 'in hands' | 'lent' | 'bench' | 'store' | 'missing'
  /** the name of whoever it is lent to */
  readonly lentTo?: string | undefined
  /** the name of the depot to bring it to; null where nobody knows */
  readonly place: string | null
}

type Name = keyof typeof orders

/** A sentence of `orders` with its values. */
export interface Ordered {
  readonly is: Name
  readonly on?: CalendarDate
  readonly place?: string
  readonly to?: string
}

interface Order {
  readonly line: Ordered
  readonly errand: Ordered
}

type Case = readonly [fits: (one: ToOrder) => boolean, line: Name, errand: Name]

const isOut = ({ status }: ToOrder) => status === 'removed from service' || status === 'scrapped'
const stops = ({ status }: ToOrder) => !mayBeUsed(status)
const at = (place: ToOrder['lies']) => (one: ToOrder) => one.lies === place
const atBench = at('bench')
const inStore = at('store')
const isLent = at('lent')
const isMissing = at('missing')

/** A stick that only nobody has looked over yet, or in time, is looked over where it lies. */
const needsLook = ({ status, duty, why }: ToOrder) =>
  (duty === 'look' && (status === 'overdue' || status === 'due soon')) ||
  (typeof why === 'object' && why.is === 'why not looked over yet')

/** The first that fits is the order. Each stick must fit one: the last two are for what may be used. */
const cases: readonly Case[] = [
  [(one) => isOut(one) && atBench(one), 'do not use', 'do leave at the bench'],
  [isOut, 'do not use', 'do hand in'],
  [isMissing, 'do not use', 'do find'],
  [(one) => stops(one) && needsLook(one), 'order look first', 'do look over'],
  [(one) => stops(one) && atBench(one), 'do not use', 'do leave at the bench'],
  [(one) => stops(one) && inStore(one), 'do not use', 'do bring from store'],
  [(one) => stops(one) && isLent(one), 'do not use', 'do get back'],
  [({ status }) => status === 'awaiting first test', 'do not use', 'do first test'],
  [stops, 'do not use', 'do bring'],
  [(one) => needsLook(one) && one.dueOn !== null, 'order look', 'do look over'],
  [(one) => isSoon(one) && atBench(one), 'order stays at the bench', 'do until then'],
  [(one) => isSoon(one) && inStore(one), 'order bring from store', 'do until then'],
  [(one) => isSoon(one) && isLent(one), 'order get back', 'do get back soon'],
  [isSoon, 'order bring', 'do until then'],
  [({ dueOn }) => dueOn === null, 'order use, no date', 'do clean and look'],
  [() => true, 'order use', 'do clean and look'],
]

function isSoon({ status, dueOn }: ToOrder): boolean {
  return status === 'due soon' && dueOn !== null
}

export function orderOn(one: ToOrder): Order {
  const found = cases.find(([fits]) => fits(one))
  if (found === undefined) throw new Error(`no order fits a stick that is ${one.status}`)
  const [, line, errand] = found
  return { line: ordered(line, one), errand: ordered(errand, one) }
}

const withPlace: Partial<Record<Name, Name>> = {
  'order bring': 'order bring to',
  'do bring': 'do bring to',
  'do get back': 'do get back to',
  'do get back soon': 'do get back soon to',
  'do find': 'do find to',
  'do first test': 'do first test to',
  'do hand in': 'do hand in to',
}

/** Less is asked of such a stick, so that its order says what it is not for. */
const notForPrimary: Partial<Record<Name, Name>> = {
  'order use': 'order use, not primary',
  'order use, no date': 'order use, no date, not primary',
  'do until then': 'do until then, not primary',
  'do get back soon': 'do until then, not primary',
  'do clean and look': 'do clean and look, not primary',
}

function ordered(name: Name, { dueOn, place, lentTo, notPrimary }: ToOrder): Ordered {
  const said = (notPrimary ? notForPrimary[name] : undefined) ?? name
  return {
    is: (place === null ? undefined : withPlace[said]) ?? said,
    ...(dueOn === null ? {} : { on: dueOn }),
    ...(place === null ? {} : { place }),
    ...(lentTo === undefined ? {} : { to: lentTo }),
  }
}

/** `place`: the name of the depot to which the stick belongs. */
export function toOrder(standing: Standing, { custody, missing }: StickState, place: string | null): ToOrder {
  const { status, dueOn, duty, notPrimary, why } = standing
  const lentTo = custody !== null && 'lentTo' in custody ? custody.lentTo : undefined
  return { status, dueOn, duty, notPrimary, why, place, lentTo, lies: missing ? 'missing' : lying(custody) }
}

function lying(custody: StickState['custody']): ToOrder['lies'] {
  if (custody === null || 'crewId' in custody) return 'in hands'
  if ('lentTo' in custody) return 'lent'
  return 'bench' in custody ? 'bench' : 'store'
}
