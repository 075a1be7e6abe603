/** The demo fleet into a running local stack, over its own addresses. */
import type { Instant } from '../shared-domain/calendar.ts'
import { type Call, type Loaded, loadDemo, type Progress, startDayAt } from './load.ts'

export interface Addresses {
  readonly api: string
  readonly tokens: Readonly<Record<string, string>>
}

/** Whoever stands above the crews confirms what he is sent; that they do not shows on the roster. */
const manager = 'manager@demo-utility.example'
const linkToConfirm = /https?:\/\/\S+\/answers\/\S+/g

export interface Watching {
  /** Hears how far the loading is, where there is something to load. */
  readonly progress?: (progress: Progress) => void
  /** Breaks the loading off; another call takes it up again. */
  readonly signal?: AbortSignal
}

/**
 * Loads once: what is there already is left alone. `startAt`, an ISO 8601 instant in UTC, is when the history ends and
 * where the clock stands after it.
 */
export async function loadDemoInto(
  { api, tokens }: Addresses,
  startAt: string,
  { progress, signal }: Watching = {},
): Promise<Loaded> {
  const send = async (method: string, path: string, role: string, body?: object) => {
    const answer = await fetch(api + path, {
      method,
      signal: signal ?? null,
      headers: { authorization: `Bearer ${tokens[role]}`, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    })
    const text = await answer.text()
    return { status: answer.status, body: text === '' ? null : JSON.parse(text) }
  }
  const call: Call = ({ role, method, path, body }) => send(method, path, role, body)
  const setClock = async (now: Instant) => {
    await send('PUT', '/local/clock', 'owner', { now })
    await send('POST', '/local/settle', 'owner', {})
  }
  const confirmed = new Set<string>()
  const confirm = async () => {
    const { body } = await send('GET', `/local/mail?to=${manager}`, 'owner')
    const links = (body as { items: { text: string }[] }).items.flatMap(({ text }) => text.match(linkToConfirm) ?? [])
    for (const link of links.filter((one) => !confirmed.has(one))) {
      confirmed.add(link)
      await fetch(link, { method: 'POST', signal: signal ?? null })
    }
  }
  return loadDemo({
    call,
    setClock,
    confirm,
    startDay: startDayAt(startAt as Instant),
    startAt: startAt as Instant,
    ...(progress === undefined ? {} : { progress }),
  })
}
