/**
 * Reports are kept on the device before they are sent: what was entered is lost neither to a dead zone nor to a page
 * that is closed.
 */
import {
  type DeviceAnswer,
  readyToSend,
  reportHour,
  type WaitingReport,
} from '../../../shared-domain/device/waiting-report.ts'
import { type Device, reportSaid, troubleSaid } from './banner.ts'
import { askLink, deviceNow, sendReport } from './link.ts'
import { element, paragraph, showInstead, signInLink } from './markup.ts'
import type { SendingRound } from './sending.ts'
import { type DeviceStore, type KeepingTrouble, keepingTrouble } from './store.ts'

const dayField = '/occurredOn'
const hourField = '/at'

export interface Sender {
  /** Sends all that waits, and tells what became of it. */
  readonly round: () => Promise<SendingRound | null>
  /** the answer to a report, if it was sent from this page */
  readonly answerTo: (factId: string) => DeviceAnswer | undefined
}

/** A button of the form, whose value may belong to the report. */
type Pressed = HTMLButtonElement | HTMLInputElement | null

/** A report is of one stick, and has an id, a day and an hour of its own. All other forms are the browser's. */
export function watchForms(device: Device, sender: Sender): void {
  for (const form of document.querySelectorAll<HTMLFormElement>('form.act')) {
    const day = form.elements.namedItem(dayField)
    const isOfStick = addressOf(form).pathname.startsWith('/sticks/') || form.elements.namedItem('/stick') !== null
    if (!isOfStick || !(day instanceof HTMLInputElement) || form.elements.namedItem('factId') === null) continue
    const dayShown = cameBack(form) ? '' : day.value
    let isTheBrowsers = false
    form.addEventListener('submit', (event) => {
      const pressed = event.submitter as Pressed // nothing else submits a form
      // a button without a slash in its name asks the service something first
      if (isTheBrowsers || !/^$|^\//.test(pressed?.name ?? '')) return
      event.preventDefault()
      const report = reportIn(form, { device, dayShown, pressed })
      void busy(form, () => keepAndSend(report, form, { device, sender })).then((next) => {
        if (next === 'done') return
        isTheBrowsers = true
        form.requestSubmit(pressed)
      })
    })
  }
}

const addressOf = (form: HTMLFormElement) => new URL(form.getAttribute('action') ?? '', location.href)

/** A form that came back shows the day that was typed, and no more the day that it was. */
const cameBack = (form: HTMLFormElement) => form.closest('main')?.querySelector('.trouble[role="alert"]') != null

interface Entered {
  readonly device: Device
  readonly dayShown: string
  readonly pressed: Pressed
}

function reportIn(form: HTMLFormElement, { device, dayShown, pressed }: Entered): WaitingReport {
  const { pathname, search } = addressOf(form)
  const typed = [...new FormData(form)].flatMap(
    ([name, value]): Typed => (typeof value === 'string' ? [[name, value]] : []),
  )
  if (pressed?.name) typed.push([pressed.name, pressed.value])
  const { path, fields, about } = aimed(typed, pathname + search)
  const value = (name: string) => fields.find(([one]) => one === name)?.[1] ?? ''
  return {
    shape: 1,
    factId: value('factId') || crypto.randomUUID(),
    by: device.author,
    path,
    about,
    fields: fields.filter(([name]) => name !== 'factId'),
    enteredAt: deviceNow(),
    hour: reportHour({ dayShown, dayTyped: value(dayField), hourTyped: value(hourField) }),
    happenedAt: null,
    refused: null,
  }
}

type Typed = [name: string, value: string][]

interface Aimed {
  readonly path: string
  readonly fields: Typed
  readonly about: string
}

/**
 * Forms of the service lead where they lead. The one on the page without a link asks for the number of a stick, and for
 * `<act> <field> <value>` that stands for the form which the service would have shown.
 */
function aimed(typed: Typed, here: string): Aimed {
  const asked = (name: string) => typed.find(([one]) => one === name)?.[1]
  const [stick, what] = [asked('/stick')?.trim(), asked('/what')]
  if (stick === undefined || what === undefined)
    return { path: here, fields: typed, about: document.querySelector('h1')?.textContent ?? '' }
  const [act, field = '', value = ''] = what.split(' ')
  const chosen = document.querySelector('select[name="/what"] option:checked')?.textContent ?? ''
  const rest = typed.filter(([name]) => name !== '/stick' && name !== '/what')
  return {
    path: `/sticks/${encodeURIComponent(stick)}/${act}`,
    fields: field === '' ? rest : [...rest, [field, value]],
    about: `${stick}: ${chosen}`,
  }
}

async function busy<T>(form: HTMLFormElement, work: () => Promise<T>): Promise<T> {
  const buttons = [...form.querySelectorAll('button')].filter((one) => !one.disabled)
  for (const one of buttons) one.disabled = true
  try {
    return await work()
  } finally {
    for (const one of buttons) one.disabled = false
  }
}

interface Parts {
  readonly device: Device
  readonly sender: Sender
}

/** All is done, or the browser is to send the form itself: then the service shows what is wrong, and where. */
type Next = 'done' | 'send it'

async function keepAndSend(report: WaitingReport, form: HTMLFormElement, { device, sender }: Parts): Promise<Next> {
  const trouble = await keptOn(device, report)
  if (trouble !== null) return sendUnkept(report, form, { ...device, trouble })
  const sending = element('p', { role: 'status' }, device.say('device sending'))
  form.append(sending)
  const round = await sender.round().catch(() => null)
  sending.remove()
  const answer = sender.answerTo(report.factId)
  if (isSettled(answer)) return settled(answer)
  const { say, store } = device
  const kept = await store?.reports().catch(() => [report])
  if (!kept?.some(({ factId }) => factId === report.factId))
    return settled({ is: 'recorded', goTo: donePath(report), before: false })
  const isOver = round !== null && round.secondsOff !== null && round.who === null
  showInstead(
    say('device kept'),
    paragraph(element('strong', {}, say('device kept what', reportSaid(device, report)))),
    paragraph(say('device nobody knows')),
    paragraph(say(device.author === null ? 'device sent by the next' : 'device sent later')),
    ...((await isLasting()) ? [] : [paragraph(say('device may be lost'))]),
    ...(isOver ? [paragraph(signInLink(say('device sign in')))] : []),
    paragraph(element('a', { href: '/' }, say('device go on'))),
  )
  return 'done'
}

/** The page that says it is done, where another of our pages was quicker to send it. */
function donePath({ path }: WaitingReport): string {
  return `${path}${path.includes('?') ? '&' : '?'}done=recorded`
}

/** Null where it is kept now. */
async function keptOn({ store, trouble }: Device, report: WaitingReport): Promise<KeepingTrouble | null> {
  if (store === null) return trouble ?? 'keeps nothing'
  return keep(store, report)
}

async function keep(store: DeviceStore, report: WaitingReport): Promise<KeepingTrouble | null> {
  try {
    await store.keep(report)
    return null
  } catch (error) {
    return keepingTrouble(error)
  }
}

type Settled = DeviceAnswer & { readonly is: 'recorded' | 'refused' }

const isSettled = (answer: DeviceAnswer | undefined): answer is Settled =>
  answer?.is === 'recorded' || answer?.is === 'refused'

/**
 * A refused report stays kept under the id of the form. The one that stood before under that id may be another, which
 * the service tells.
 */
function settled(answer: Settled): Next {
  if (answer.is === 'refused' || answer.before) return 'send it'
  location.assign(answer.goTo)
  return 'done'
}

/** Nothing could be kept. The report is sent at once all the same, and else stays in the form, which says so. */
async function sendUnkept(report: WaitingReport, form: HTMLFormElement, { say, trouble }: Device): Promise<Next> {
  const link = await askLink()
  const answer = link?.who == null ? undefined : await sendReport(readyToSend(report, link.secondsOff))
  if (isSettled(answer)) return settled(answer)
  const said = element(
    'div',
    { class: 'trouble', role: 'alert', tabindex: '-1', id: 'device-not-kept' },
    element('h2', {}, say('device not kept')),
    paragraph(say(troubleSaid[trouble ?? 'keeps nothing'])),
    paragraph(say('device not kept, do')),
  )
  document.getElementById('device-not-kept')?.remove()
  form.before(said)
  said.focus()
  return 'done'
}

/** The browser is asked once: one that agrees keeps reports until somebody clears them by hand. */
async function isLasting(): Promise<boolean> {
  try {
    return (await navigator.storage.persisted()) || (await navigator.storage.persist())
  } catch {
    return false
  }
}
