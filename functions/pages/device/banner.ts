/** The banner on every page: what waits on this device, what became of it, and what can be done about it. */
import { isClockWrong } from '../../../shared-domain/device/device-clock.ts'
import {
  type DevicePerson,
  mayBeSentBy,
  sentAgain,
  type WaitingReport,
} from '../../../shared-domain/device/waiting-report.ts'
import { button, element, paragraph, signInLink } from './markup.ts'
import type { SendingRound } from './sending.ts'
import type { DeviceStore, KeepingTrouble } from './store.ts'
import { type DeviceSay, type PageTold, saying, whenInWords } from './told.ts'

export interface Device {
  readonly told: PageTold
  readonly say: DeviceSay
  /** null where the browser keeps nothing for us */
  readonly store: DeviceStore | null
  /** the reason for which the store could not be opened, if any */
  readonly trouble: KeepingTrouble | null
  /** the author of what is entered here: signed in now, or when there last was a link; null where nobody was */
  readonly author: DevicePerson | null
}

export const deviceOf = (told: PageTold, opened: Omit<Device, 'told' | 'say'>): Device => ({
  ...opened,
  told,
  say: saying(told),
})

export interface Shown {
  /** the last round of sending; null where there was none on this page */
  readonly round: SendingRound | null
  /** sentences to be told besides */
  readonly notes: readonly string[]
  /** Sends what waits. */
  readonly send: () => void
}

export const troubleSaid = {
  full: 'device full',
  'later build': 'device later build',
  'keeps nothing': 'device keeps nothing',
} as const satisfies { readonly [trouble in KeepingTrouble]: string }

export function reportSaid({ told }: Device, { about, enteredAt }: WaitingReport) {
  return { about, when: whenInWords(enteredAt, told) }
}

/** Nothing is shown where nothing waits and nothing was done. */
export async function showBanner(device: Device, shown: Shown): Promise<void> {
  const { say, store, trouble } = device
  const kept = (await store?.reports()) ?? []
  const who = shown.round?.who ?? device.author
  const isOurs = (report: WaitingReport) => who === null || mayBeSentBy(report, who)
  const refused = kept.filter((report) => report.refused !== null && isOurs(report))
  const lines = [
    ...(trouble === null ? [] : [paragraph(say(troubleSaid[trouble]))]),
    ...shown.notes.map((note) => paragraph(note)),
    ...sentSaid(device, shown.round).map((line) => paragraph(line)),
    ...waitingSaid(
      device,
      kept.filter((report) => report.refused === null && isOurs(report)),
      shown,
    ),
    ...othersSaid(device, kept.filter((report) => !isOurs(report)).length),
    ...refused.map((report) => refusedSaid(device, report, shown)),
  ]
  const before = document.getElementById('device-banner')
  const told = element('div', { role: 'status' }, ...lines)
  if (lines.length === 0) return before?.remove()
  // a text that was heard once is not heard again each minute
  if (before?.textContent === told.textContent) return
  if (before !== null) return before.firstElementChild?.replaceChildren(...lines)
  const banner = element('section', { id: 'device-banner', 'aria-label': say('device banner') }, told)
  document.getElementById('main')?.before(banner)
}

function sentSaid(device: Device, round: SendingRound | null): string[] {
  const { say } = device
  const sent = round?.sent ?? []
  const went = sent.flatMap(({ report, answer }) =>
    answer.is === 'recorded' ? [say('device sent', reportSaid(device, report))] : [],
  )
  const seconds = round?.secondsOff ?? null
  // the clock is told of only where it touched an hour
  if (seconds === null || sent.length === 0 || !isClockWrong(seconds)) return went
  const minutes = Math.round(Math.abs(seconds) / 60)
  return [...went, say(seconds < 0 ? 'device clock ahead' : 'device clock behind', { minutes })]
}

const othersSaid = ({ say }: Device, count: number): HTMLElement[] =>
  count === 0 ? [] : [paragraph(say('device waits for others', { count }))]

function waitingSaid({ say, author }: Device, waiting: readonly WaitingReport[], shown: Shown): HTMLElement[] {
  const { round, send } = shown
  if (waiting.length === 0) return []
  // a device that lies about after a sign-out tells how many there are, and not of what
  const list = author === null ? [] : [element('ul', {}, ...waiting.map(({ about }) => element('li', {}, about)))]
  const isOver = round !== null && isSessionOver(round)
  const next = isOver ? signInLink(say('device sign in')) : button(say('device send now'), send)
  const why = round === null ? [] : whyItWaits(say, round)
  return [
    paragraph(element('strong', {}, say('device waits', { count: waiting.length }))),
    ...list,
    ...why.map((line) => paragraph(line)),
    paragraph(next),
  ]
}

/** There is a link, but nobody is signed in. */
function isSessionOver({ secondsOff, who, sent }: SendingRound): boolean {
  return secondsOff !== null && (who === null || sent.at(-1)?.answer.is === 'no session')
}

function whyItWaits(say: DeviceSay, round: SendingRound): string[] {
  const last = round.sent.at(-1)?.answer
  if (round.secondsOff === null || last?.is === 'no link') return [say('device no link')]
  if (isSessionOver(round)) return [say('device session over')]
  return last?.is === 'trouble' ? [say('device service trouble', { status: last.status })] : []
}

function refusedSaid(device: Device, report: WaitingReport, { send }: Shown): HTMLElement {
  const { say, store } = device
  const again = async () => {
    await store?.keep(sentAgain(report))
    send()
  }
  const throwAway = async () => {
    await store?.drop(report.factId)
    send()
  }
  const sure = button(say('device throw away surely'), () => void throwAway())
  const away = element('details', {}, element('summary', {}, say('device throw away')), paragraph(sure))
  return element(
    'div',
    { class: 'trouble' },
    paragraph(element('strong', {}, say('device not taken', reportSaid(device, report)))),
    element('ul', {}, ...whyRefused(device, report).map((why) => element('li', {}, why))),
    paragraph(say('device stays until')),
    paragraph(button(say('device send again'), () => void again())),
    away,
  )
}

/** A gateway between us and the service may refuse without a word. */
function whyRefused({ say }: Device, { refused }: WaitingReport): readonly string[] {
  return refused === null || refused.length === 0 ? [say('device answered')] : refused
}
