/** Reports that wait are sent, one after the other, each under its own id and hour. */
import {
  type DeviceAnswer,
  type DevicePerson,
  keptAfter,
  readyToSend,
  reportsToSend,
  sendsOn,
  type WaitingReport,
} from '../../../shared-domain/device/waiting-report.ts'
import { askLink, sendReport } from './link.ts'
import type { DeviceStore } from './store.ts'

export interface SentReport {
  readonly report: WaitingReport
  readonly answer: DeviceAnswer
}

export interface SendingRound {
  /** null where there is no link */
  readonly secondsOff: number | null
  readonly who: DevicePerson | null
  readonly sent: readonly SentReport[]
}

/** Two tabs take turns, where the browser can; where it cannot, the id of a report keeps it from being two facts. */
export function sendWaiting(store: DeviceStore): Promise<SendingRound> {
  const work = () => oneRound(store)
  return navigator.locks === undefined ? work() : navigator.locks.request('quarterturn sends', work)
}

async function oneRound(store: DeviceStore): Promise<SendingRound> {
  const link = await askLink()
  if (link === null) return { secondsOff: null, who: null, sent: [] }
  const { who, secondsOff } = link
  const sent: SentReport[] = []
  for (const waiting of who === null ? [] : reportsToSend(await store.reports(), who)) {
    const report = readyToSend(waiting, secondsOff)
    // a report whose hour cannot be kept any more goes all the same: its id makes it one fact
    await store.keep(report).catch(() => undefined)
    const answer = await sendReport(report)
    const kept = keptAfter(report, answer)
    await (kept === null ? store.drop(report.factId) : store.keep(kept).catch(() => undefined))
    sent.push({ report, answer })
    if (!sendsOn(answer)) break
  }
  return { secondsOff, who, sent }
}
