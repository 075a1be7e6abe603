/**
 * A plan as a statement of linear rows over whole numbers, in the text format that solvers of such read (CPLEX LP), and
 * a solver's answer read back.
 *
 * `x3_12` is how many sticks of the class 3 are called in in week 12; sticks of one class are alike in all that a plan
 * asks. What may give way is a column of its own: `o12`, minutes that the bench lacks in week 12, and `u2_12`, sticks
 * that cover 2 lacks then. The due date cannot give way: after it there is no column.
 */
import {
  costOfWeek,
  minutesPerStickLacking,
  type Placed,
  type PlanNeeds,
  type StickToPlan,
  sticksWithin,
  weeksOpenTo,
} from './needs.ts'

export interface StickClass {
  readonly sticks: readonly StickToPlan[]
  readonly weeks: readonly number[]
  readonly costs: readonly number[]
}

export function classesOf(needs: PlanNeeds): StickClass[] {
  const each = sticksWithin(needs).map((stick) => {
    const weeks = weeksOpenTo(stick, needs)
    return { stick, weeks, costs: weeks.map((week) => costOfWeek(stick, week, needs)) }
  })
  const alike = Map.groupBy(each, ({ stick: { crewId, kind, benchMinutes, weeksAway }, weeks, costs }) =>
    JSON.stringify([crewId, kind, benchMinutes, weeksAway, weeks, costs]),
  )
  return [...alike.values()].flatMap((group) => {
    const [first] = group
    if (first === undefined) return []
    return [{ sticks: group.map(({ stick }) => stick), weeks: first.weeks, costs: first.costs }]
  })
}

const called = (of: number, week: number) => `x${of}_${week}`

/** How many of each class are called in by week, where that is settled already; null where it is free. */
export type SettledCounts = readonly (ReadonlyMap<number, number> | null)[]

export type StatementFor =
  /** the least that is lacking in all */
  | { readonly for: 'least lacking'; readonly isWhole: boolean }
  /** the least cost, where no more is lacking than that */
  | {
      readonly for: 'least cost'
      readonly isWhole: boolean
      readonly lackingAtMost: number
      readonly settled?: SettledCounts
    }

/** A coefficient and its column. */
type Term = readonly [number, string]

export function statementOf(needs: PlanNeeds, classes: readonly StickClass[], asked: StatementFor): string {
  const bench = benchRows(needs, classes)
  const cover = coverRows(needs, classes)
  const lacking: Term[] = [
    ...bench.map(({ gives }): Term => [1, gives]),
    ...cover.map(({ gives }): Term => [minutesPerStickLacking, gives]),
  ]
  const costs = classes.flatMap(({ weeks, costs }, of) =>
    weeks.map((week, i): Term => [costs[i] ?? 0, called(of, week)]),
  )
  const rows = [
    ...classes.map(({ sticks, weeks }, of) =>
      row(
        `c${of}`,
        weeks.map((week): Term => [1, called(of, week)]),
        `= ${sticks.length}`,
      ),
    ),
    ...[...bench, ...cover].map(({ name, terms, gives, most }) => row(name, [...terms, [-1, gives]], `<= ${most}`)),
    ...(asked.for === 'least cost' ? [row('lacking', lacking, `<= ${asked.lackingAtMost}`)] : []),
  ]
  const settled = asked.for === 'least cost' ? (asked.settled ?? []) : []
  const bounds = classes.flatMap(({ sticks, weeks }, of) =>
    weeks.map((week) => {
      const counts = settled[of]
      return counts ? ` ${called(of, week)} = ${counts.get(week) ?? 0}` : ` ${called(of, week)} <= ${sticks.length}`
    }),
  )
  const names = costs.map(([, name]) => ` ${name}`)
  return [
    'Minimize',
    row('obj', asked.for === 'least cost' ? costs : lacking, ''),
    'Subject To',
    ...rows,
    'Bounds',
    ...bounds,
    ...(asked.isWhole ? ['General', ...names] : []),
    'End',
    '',
  ].join('\n')
}

/** One term a line: readers of this format bound the length of lines. A row without terms is left out. */
function row(name: string, terms: readonly Term[], ends: string): string {
  if (terms.length === 0) return ''
  return [` ${name}:`, ...terms.map(([times, of]) => ` ${times < 0 ? '-' : '+'} ${Math.abs(times)} ${of}`), ` ${ends}`]
    .join('\n')
    .trimEnd()
}

/** What must fit, but for what gives way. */
interface GivingRow {
  readonly name: string
  readonly terms: readonly Term[]
  readonly gives: string
  readonly most: number
}

function benchRows({ capacityMinutes }: PlanNeeds, classes: readonly StickClass[]): GivingRow[] {
  return capacityMinutes.flatMap((most, week) => {
    const terms = classes.flatMap(({ sticks, weeks }, of): Term[] =>
      weeks.includes(week) ? [[sticks[0]?.benchMinutes ?? 0, called(of, week)]] : [],
    )
    return terms.length === 0 ? [] : [{ name: `b${week}`, terms, gives: `o${week}`, most }]
  })
}

function coverRows({ capacityMinutes, cover }: PlanNeeds, classes: readonly StickClass[]): GivingRow[] {
  return cover.flatMap(({ crewId, kinds, mayBeAway }, j) => {
    const theirs = classes.flatMap(({ sticks: [stick], weeks }, of) =>
      stick?.crewId === crewId && kinds.includes(stick.kind) ? [{ of, weeks, weeksAway: stick.weeksAway }] : [],
    )
    return capacityMinutes.flatMap((_, week) => {
      const terms = theirs.flatMap(({ of, weeks, weeksAway }) =>
        weeks.filter((since) => since <= week && week < since + weeksAway).map((since): Term => [1, called(of, since)]),
      )
      return terms.length === 0
        ? []
        : [{ name: `k${j}_${week}`, terms, gives: `u${j}_${week}`, most: mayBeAway[week] ?? 0 }]
    })
  })
}

/** How many of a class are called in by week: each count rounded down, and what is left to the largest remainders. */
export function countsOfClass(
  one: StickClass,
  of: number,
  columnValue: (column: string) => number,
): Map<number, number> {
  const values = one.weeks.map((week) => ({ week, value: Math.max(0, columnValue(called(of, week))) }))
  const down = (value: number) => Math.floor(value + nearlyWhole)
  const counts = new Map(values.map(({ week, value }) => [week, down(value)]))
  let left = one.sticks.length - [...counts.values()].reduce((sum, count) => sum + count, 0)
  for (const { week } of values.toSorted((a, b) => b.value - down(b.value) - (a.value - down(a.value)))) {
    if (left <= 0) break
    counts.set(week, (counts.get(week) ?? 0) + 1)
    left--
  }
  return counts
}

/** Solvers keep whole numbers to within a millionth. */
const nearlyWhole = 1e-6

export function isWholeClass(one: StickClass, of: number, columnValue: (column: string) => number): boolean {
  return one.weeks.every((week) => {
    const value = columnValue(called(of, week))
    return Math.abs(value - Math.round(value)) <= nearlyWhole
  })
}

export function placedBy(classes: readonly StickClass[], columnValue: (column: string) => number): Placed[] {
  return classes.flatMap((one, of) => {
    const weeks = [...countsOfClass(one, of, columnValue)].flatMap(([week, count]) =>
      new Array<number>(count).fill(week),
    )
    return one.sticks.flatMap(({ stickId }, i) => {
      const week = weeks[i]
      return week === undefined ? [] : [{ stickId, week }]
    })
  })
}
