/**
 * The script of every page. It keeps reports on the device until they are sent, and a list of sticks for where there is
 * no link. Without it all pages do what they do, but for that.
 */
import { isListOver, isWorthFetching, type KeptList, withReported } from '../../../shared-domain/device/kept-list.ts'
import type { DeviceAnswer } from '../../../shared-domain/device/waiting-report.ts'
import { type Device, deviceOf, showBanner } from './banner.ts'
import { watchForms } from './forms.ts'
import { watchSignOut } from './leaving.ts'
import { deviceNow, fetchList } from './link.ts'
import { lookAgain } from './look-again.ts'
import { fillToday, showKeptList } from './no-link.ts'
import { isPageWithoutLink, keepPages } from './pages-kept.ts'
import { type SendingRound, sendWaiting } from './sending.ts'
import { type DeviceStore, keepingTrouble, openStore } from './store.ts'
import { type PageTold, readTold } from './told.ts'

/** A browser tells that the link is back only sometimes. */
const triesEvery = 60_000

const told = readTold()
if (told !== null) void begin(told)

async function begin(told: PageTold): Promise<void> {
  const opened = await openStore().then(
    (store) => ({ store, trouble: null }),
    (error: unknown) => ({ store: null, trouble: keepingTrouble(error) }),
  )
  const list = await listThatStays(told, opened.store)
  const device = deviceOf(told, { ...opened, author: told.who ?? list?.by ?? null })
  const notes: string[] = []
  const answers = new Map<string, DeviceAnswer>()
  let round: SendingRound | null = null
  const show = () => showBanner(device, { round, notes, send: () => void sender.round() })
  const sender = {
    round: async () => {
      const { store } = device
      if (store === null) return null
      if ((await store.reports()).some(({ refused }) => refused === null)) round = await sendWaiting(store)
      for (const { report, answer } of round?.sent ?? []) answers.set(report.factId, answer)
      await markReported(device, round)
      await show()
      return round
    },
    answerTo: (factId: string) => answers.get(factId),
  }
  if (isPageWithoutLink()) fillToday()
  watchForms(device, sender)
  watchSignOut(device, sender)
  lookAgain()
  const hasPlace = showKeptList(device, list && withReported(list, await keptReports(device), device.say(reportedHere)))
  addEventListener('online', () => void sender.round())
  document.addEventListener('visibilitychange', () => void (document.hidden || sender.round()))
  setInterval(() => void (document.hidden || sender.round()), triesEvery)
  await sender.round()
  if (!hasPlace) await freshList(device, list)
  const note = await keepPages(told)
  if (note !== null) notes.push(device.say(note))
  if (device.trouble !== null || notes.length > 0) await show()
  document.documentElement.dataset.device = 'ready'
}

/** Pages that end a visit: signed out, or not let in any more. */
const endings = ['/signed-out', '/signed-in']

/** The list is wiped at a sign-out, after its owner's last day, and where somebody else signs in. */
async function listThatStays({ who }: PageTold, store: DeviceStore | null): Promise<KeptList | null> {
  const list = (await store?.list()) ?? null
  if (list === null || store === null) return null
  if (!endings.includes(location.pathname) && !isListOver(list, deviceNow(), who)) return list
  await store.dropList()
  return null
}

const reportedHere = 'device reported here'

const keptReports = async ({ store }: Device) => (await store?.reports()) ?? []

/** The list is older than what was just recorded. */
async function markReported({ store, say }: Device, round: SendingRound | null): Promise<void> {
  const recorded = (round?.sent ?? []).filter(({ answer }) => answer.is === 'recorded').map(({ report }) => report)
  const list = recorded.length === 0 ? null : await store?.list()
  if (list != null) await store?.keepList(withReported(list, recorded, say(reportedHere))).catch(() => undefined)
}

/** A page does all it does without a new list: that the device is full is told where a report is kept. */
async function freshList({ store, told }: Device, list: KeptList | null): Promise<void> {
  if (store === null || told.who === null || !isWorthFetching(list, deviceNow())) return
  const fetched = await fetchList()
  if (fetched !== null) await store.keepList(fetched).catch(() => undefined)
}
