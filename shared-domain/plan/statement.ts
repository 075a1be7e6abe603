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

/** Sticks of a class that are called in, by week. */
export type Counts = ReadonlyMap<number, number>

export type StatementFor =
  /** in parts of sticks, the least cost where no more is lacking than that: no plan costs less */
  | { readonly is: 'bound'; readonly lackingAtMost: number }
  /** the least that is lacking, and of such plans the one of least cost; settled classes stay */
  | { readonly is: 'plan'; readonly isWhole: boolean; readonly settled: readonly (Counts | null)[] }

/** A coefficient and its column. */
type Term = readonly [number, string]

export function statementOf(needs: PlanNeeds, classes: readonly StickClass[], asked: StatementFor): string {
  const settled = asked.is === 'plan' ? asked.settled : []
  const giving = [...benchRows(needs, classes), ...coverRows(needs, classes)].flatMap((one) =>
    lessSettled(one, settled),
  )
  const free = classes.flatMap((one, of) => (settled[of] ? [] : [{ ...one, of }]))
  const costs = free.flatMap(({ weeks, costs: costsOf, of }) =>
    weeks.map((week, i): Term => [costsOf[i] ?? 0, called(of, week)]),
  )
  const lacking = giving.map(({ gives, weighs }): Term => [weighs, gives])
  const rows = [
    ...free.map(({ sticks, weeks, of }) =>
      row(
        `c${of}`,
        weeks.map((week): Term => [1, called(of, week)]),
        `= ${sticks.length}`,
      ),
    ),
    ...giving.map(({ name, terms, gives, most }) => row(name, [...terms, [-1, gives]], `<= ${most}`)),
    ...(asked.is === 'bound' ? [row('lacking', lacking, `<= ${asked.lackingAtMost}`)] : []),
  ]
  const bounds = free.flatMap(({ sticks, weeks, of }) =>
    weeks.map((week) => ` ${called(of, week)} <= ${sticks.length}`),
  )
  // one minute lacking outweighs all that these sticks can cost
  const outweighs = 1 + free.reduce((sum, one) => sum + one.sticks.length * Math.max(...one.costs), 0)
  const inObjective = asked.is === 'plan' ? lacking.map(([weighs, gives]): Term => [outweighs * weighs, gives]) : []
  const whole = asked.is === 'plan' && asked.isWhole ? ['General', ...costs.map(([, name]) => ` ${name}`)] : []
  return [
    'Minimize',
    row('obj', [...costs, ...inObjective], ''),
    'Subject To',
    ...rows,
    'Bounds',
    ...bounds,
    ...whole,
    'End',
    '',
  ].join('\n')
}

/** A row without the classes that are settled: what they take is taken from what there is. */
function lessSettled(one: GivingRow, settled: readonly (Counts | null)[]): (GivingRow & { terms: Term[] })[] {
  const terms: Term[] = []
  let most = one.most
  for (const { of, week, times } of one.takes) {
    const counts = settled[of]
    if (counts) most -= times * (counts.get(week) ?? 0)
    else terms.push([times, called(of, week)])
  }
  return terms.length === 0 ? [] : [{ ...one, terms, most }]
}

/** One term a line: readers of this format bound the length of lines. A row without terms is left out. */
function row(name: string, terms: readonly Term[], ends: string): string {
  if (terms.length === 0) return ''
  return [` ${name}:`, ...terms.map(([times, of]) => ` ${times < 0 ? '-' : '+'} ${Math.abs(times)} ${of}`), ` ${ends}`]
    .join('\n')
    .trimEnd()
}

/** Rows that must fit, but for what gives way. */
interface GivingRow {
  readonly name: string
  /** how much each stick of a class takes that is called in in a week */
  readonly takes: readonly { readonly of: number; readonly week: number; readonly times: number }[]
  readonly gives: string
  /** minutes that one unit of it stands for */
  readonly weighs: number
  readonly most: number
}

function benchRows({ capacityMinutes }: PlanNeeds, classes: readonly StickClass[]): GivingRow[] {
  return capacityMinutes.map((most, week) => ({
    name: `b${week}`,
    takes: classes.flatMap(({ sticks: [stick], weeks }, of) =>
      stick !== undefined && weeks.includes(week) ? [{ of, week, times: stick.benchMinutes }] : [],
    ),
    gives: `o${week}`,
    weighs: 1,
    most,
  }))
}

function coverRows({ capacityMinutes, cover }: PlanNeeds, classes: readonly StickClass[]): GivingRow[] {
  const byCrew = Map.groupBy(
    classes.map((one, of) => ({ ...one, of })),
    ({ sticks: [stick] }) => stick?.crewId,
  )
  return cover.flatMap(({ crewId, kinds, mayBeAway }, j) => {
    const takes = capacityMinutes.map((): { of: number; week: number; times: number }[] => [])
    for (const { of, weeks, sticks } of byCrew.get(crewId) ?? []) {
      const [stick] = sticks
      if (stick === undefined || !kinds.includes(stick.kind)) continue
      for (const since of weeks)
        for (let week = since; week < since + stick.weeksAway; week++) takes[week]?.push({ of, week: since, times: 1 })
    }
    return capacityMinutes.map((_, week) => ({
      name: `k${j}_${week}`,
      takes: takes[week] ?? [],
      gives: `u${j}_${week}`,
      weighs: minutesPerStickLacking,
      most: mayBeAway[week] ?? 0,
    }))
  })
}

/** Sticks of a class that are called in, by week: each rounded down, and what is left to the largest remainders. */
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

/** The same counts of a plan that there is. */
export function countsIn(placed: readonly Placed[], classes: readonly StickClass[]): Counts[] {
  const weekOf = new Map(placed.map(({ stickId, week }) => [stickId, week]))
  return classes.map(({ sticks }) => {
    const counts = new Map<number, number>()
    for (const { stickId } of sticks) {
      const week = weekOf.get(stickId)
      if (week !== undefined) counts.set(week, (counts.get(week) ?? 0) + 1)
    }
    return counts
  })
}

/** Solvers keep whole numbers to within a millionth. */
const nearlyWhole = 1e-6

export function placedBy(classes: readonly StickClass[], counts: readonly Counts[]): Placed[] {
  return classes.flatMap((one, of) => {
    const weeks = [...(counts[of] ?? [])].flatMap(([week, count]) => new Array<number>(count).fill(week))
    return one.sticks.flatMap(({ stickId }, i) => {
      const week = weeks[i]
      return week === undefined ? [] : [{ stickId, week }]
    })
  })
}
