/** Calls of the script to the service: the time and who is signed in, the list of sticks, a report to be taken. */
import { type Instant, instantOf, isInstant } from '../../../shared-domain/calendar.ts'
import { secondsOff } from '../../../shared-domain/device/device-clock.ts'
import type { KeptList } from '../../../shared-domain/device/kept-list.ts'
import {
  answerFrom,
  type DeviceAnswer,
  type DevicePerson,
  type WaitingReport,
} from '../../../shared-domain/device/waiting-report.ts'

/** A slow link is still one; after this long a driver with one bar wants to know. */
const patience = 20_000

export const deviceNow = (): Instant => instantOf(Date.now())

export interface Linked {
  readonly who: DevicePerson | null
  readonly secondsOff: number
}

/** Null where there is no link, or something else answers in the place of the service. */
export async function askLink(): Promise<Linked | null> {
  const asked = deviceNow()
  const answer = await ask('/device/now')
  const said = answer?.ok ? await jsonOf(answer) : null
  const { now, who } = (said ?? {}) as { now?: string; who?: DevicePerson | null }
  if (now === undefined || !isInstant(now)) return null
  return { who: who ?? null, secondsOff: secondsOff({ service: now, asked, answered: deviceNow() }) }
}

/** Null where it could not be had. */
export async function fetchList(): Promise<KeptList | null> {
  const fetchedAt = deviceNow()
  const answer = await ask('/device/list')
  const said = answer?.ok ? await jsonOf(answer) : null
  return said === null ? null : { ...(said as Omit<KeptList, 'fetchedAt'>), fetchedAt } // the service wrote it so
}

export async function sendReport(report: WaitingReport): Promise<DeviceAnswer> {
  const body = new URLSearchParams(report.fields.map(([name, value]) => [name, value]))
  body.set('factId', report.factId)
  if (report.happenedAt !== null) body.set('enteredAt', report.happenedAt)
  return (await sendForm(report.path, body)).answer
}

interface Sent {
  readonly answer: DeviceAnswer
  /** all that the service said; null where it said nothing */
  readonly said: unknown
}

export async function sendForm(path: string, body: URLSearchParams): Promise<Sent> {
  const answer = await ask(path, { method: 'POST', body })
  if (answer === null) return { answer: { is: 'no link' }, said: null }
  const said = await jsonOf(answer)
  return { answer: answerFrom(answer.status, said), said }
}

/** A redirect leads to a page, and a page is no answer to a script. */
async function ask(path: string, init: RequestInit = {}): Promise<Response | null> {
  const signal = AbortSignal.timeout(patience)
  try {
    return await fetch(path, { headers: { accept: 'application/json' }, redirect: 'manual', signal, ...init })
  } catch {
    return null
  }
}

async function jsonOf(answer: Response): Promise<unknown> {
  try {
    return await answer.json()
  } catch {
    return null
  }
}
