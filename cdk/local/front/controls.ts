/** `/local/…`: the clock, waiting for quiet, and the mail. Absent from the deployed template. */
import { setTimeout as pause } from 'node:timers/promises'
import type { Alarms } from '../alarms/alarms.ts'
import { parseInstant, type SettableClock } from '../clock.ts'
import type { Runs } from '../functions/runs.ts'
import type { Schedules } from '../functions/schedules.ts'
import type { MailService } from '../mail/mail.ts'
import type { Poller } from '../sources/poller.ts'
import type { FrontParts } from './http.ts'

export interface ControlParts {
  readonly clock: SettableClock
  readonly schedules: Schedules
  readonly runs: Runs
  readonly poller: Poller
  readonly mail: MailService
  readonly alarms: Alarms
}

const patienceMillis = 30_000

export function controls(parts: ControlParts): FrontParts['controls'] {
  const { clock, schedules, mail, alarms } = parts
  const time = () => ({ status: 200, body: { now: new Date(clock.now()).toISOString() } })

  function setClock(body: string) {
    const instant = parseInstant(field(body, 'now'))
    if (instant === undefined)
      return { status: 422, body: { message: 'expected {"now": "<ISO 8601 instant with Z or an offset>"}' } }
    const before = clock.now()
    schedules.jump(instant)
    alarms.leapt(before, instant)
    return time()
  }

  return async (method, url, body) => {
    switch (`${method} ${url.pathname}`) {
      case 'GET /local/clock':
        return time()
      case 'PUT /local/clock':
        return setClock(body)
      case 'POST /local/settle':
        return (await settle(parts))
          ? { status: 200, body: { settled: true } }
          : { status: 504, body: { message: 'not idle after 30 seconds' } }
      case 'GET /local/mail':
        return { status: 200, body: { items: await mail.mailTo(url.searchParams.get('to') ?? undefined) } }
      default:
        return undefined
    }
  }
}

function field(body: string, name: string): unknown {
  try {
    return JSON.parse(body)?.[name]
  } catch {
    return undefined
  }
}

/** True once all is quiet: nothing was left at the stream's end and in the queues, and no run was under way. */
async function settle({ runs, poller }: ControlParts): Promise<boolean> {
  const end = performance.now() + patienceMillis
  while (performance.now() < end) {
    if (!runs.idle()) {
      await pause(5)
      continue
    }
    const before = runs.started() + poller.handedOn()
    await Promise.race([poller.drained(), pause(end - performance.now(), undefined, { ref: false })])
    const quiet = runs.idle() && runs.started() + poller.handedOn() === before
    if (quiet && performance.now() < end) return true
  }
  return false
}
