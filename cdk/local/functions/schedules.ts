/** The schedules of the template, by the settable clock. */
import { Cron } from 'croner'
import type { SettableClock } from '../clock.ts'
import { type Deployed, functionNamed, type Properties } from '../template/template.ts'

export interface Schedules {
  /** A jump forward is a late scheduler: what fell due runs once, at the new time. A jump back runs nothing. */
  readonly jump: (to: number) => void
  /** a schedule that is switched off starts nothing more, as if somebody did it at the console */
  readonly switchOff: (targetArn: string) => void
  readonly switchOn: (targetArn: string) => void
  readonly stop: () => void
}

interface Schedule {
  readonly targetArn: string
  readonly start: () => void
  readonly after: (instant: number) => number
  due: number
}

export function schedules(
  deployed: Deployed,
  clock: SettableClock,
  start: (targetArn: string, payload: unknown, target: Properties) => void,
): Schedules {
  const all: Schedule[] = deployed
    .all('AWS::Scheduler::Schedule')
    .filter(({ properties }) => properties.State !== 'DISABLED')
    .map(({ properties }) => {
      const { ScheduleExpression, ScheduleExpressionTimezone = 'UTC', Target } = properties
      const after = occurrences(ScheduleExpression, ScheduleExpressionTimezone)
      return {
        targetArn: Target.Arn,
        start: () => start(Target.Arn, JSON.parse(Target.Input ?? '{}'), Target),
        after,
        due: after(clock.now()),
      }
    })
  const off = new Set<string>()
  let timer: NodeJS.Timeout | undefined

  function runDue(): void {
    const now = clock.now()
    for (const schedule of all) {
      if (schedule.due > now) continue
      schedule.due = schedule.after(now)
      if (!off.has(functionNamed(schedule.targetArn))) schedule.start()
    }
    wait()
  }

  function wait(): void {
    clearTimeout(timer)
    if (all.length === 0) return
    const next = Math.min(...all.map(({ due }) => due)) - clock.now()
    // longer waits than a day would overflow the timer
    timer = setTimeout(runDue, Math.min(Math.max(next, 0), 86_400_000))
  }

  function jump(to: number): void {
    const back = to < clock.now()
    clock.set(to)
    if (back) for (const schedule of all) schedule.due = schedule.after(to)
    runDue()
  }

  wait()
  return {
    jump,
    switchOff: (arn) => off.add(functionNamed(arn)),
    switchOn: (arn) => off.delete(functionNamed(arn)),
    stop: () => clearTimeout(timer),
  }
}

/** The next instant at which an expression falls due. @lintignore tried by itself, without a stack */
export function occurrences(expression: string, timezone: string): (after: number) => number {
  const [, kind, inside = ''] = /^(cron|rate)\((.+)\)$/.exec(expression) ?? []
  if (kind === 'rate') return every(inside)
  if (kind !== 'cron') throw new Error(`the local stack does not know the schedule ${expression}`)
  // minutes first, and Sunday is 1
  const cron = new Cron(`0 ${inside}`, { timezone, paused: true, alternativeWeekdays: true })
  return (after) => cron.nextRun(new Date(after))?.getTime() ?? Number.POSITIVE_INFINITY
}

function every(inside: string): (after: number) => number {
  const [, count, unit] = /^(\d+) (minute|hour|day)s?$/.exec(inside) ?? []
  const length = { minute: 60_000, hour: 3_600_000, day: 86_400_000 }[unit ?? '']
  if (length === undefined) throw new Error(`the local stack does not know the rate ${inside}`)
  return (after) => after + Number(count) * length
}
