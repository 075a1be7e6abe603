/**
 * The script of the bench: a test is taken down place by place, kept with every digit, and sent when its author says
 * so. It needs no link but for that.
 */
import { beginDraft } from '../../../shared-domain/bench-entry/draft.ts'
import type { BenchSheet } from '../../../shared-domain/bench-entry/sheet.ts'
import type { BenchTold } from '../../../shared-domain/bench-entry/told.ts'
import { runEntry } from './bench-entry.ts'
import { benchPath, testPath } from './bench-sending.ts'
import { type BenchStore, openBenchStore } from './bench-store.ts'
import { type BenchWords, benchWords, readBenchTold } from './bench-told.ts'
import { deviceNow } from './link.ts'
import { element, paragraph } from './markup.ts'
import { readTold } from './told.ts'

const place = document.getElementById('bench-entry')
const told = readBenchTold()
if (place !== null && told !== null) void begin(place, told)

async function begin(at: HTMLElement, { sheet, ...more }: BenchTold): Promise<void> {
  const store = await openBenchStore().catch(() => null)
  const words = benchWords({ sheet, ...more })
  const stickId = decodeURIComponent(/^\/bench\/([^/]+)$/.exec(location.pathname)?.[1] ?? '')
  await (stickId === '' ? showKept(at, { store, words }) : openEntry(at, { store, words, sheet, stickId }))
  await keepPageForNoLink()
  document.documentElement.dataset.bench = 'ready'
}

/** The page that opens without a link is kept by whoever has been at the bench, and by nobody else. */
async function keepPageForNoLink(): Promise<void> {
  const page = readTold()
  if (page === null || page.who === null) return
  const files = [`no-link-bench.${page.language === 'es' ? 'es' : 'en'}.html`, 'bench.js']
  try {
    const cache = await caches.open(`quarterturn ${page.build}`)
    const addresses = files.map((file) => `/device/${page.build}/${file}`)
    const missing = await Promise.all(addresses.map(async (one) => ((await cache.match(one)) ? [] : [one])))
    await cache.addAll(missing.flat())
  } catch {
    // without it the test is kept all the same, as long as the page stays open or the link comes back
  }
}

interface Place {
  readonly store: BenchStore | null
  readonly words: BenchWords
}

/** The queue is the service's; what was begun here is known here alone. */
async function showKept(at: HTMLElement, { store, words: { say, when } }: Place): Promise<void> {
  const kept = (await store?.drafts().catch(() => [])) ?? []
  const isWithoutLink = readTold()?.who === null
  if (kept.length === 0 && !isWithoutLink) return
  document.getElementById('bench-begun')?.removeAttribute('hidden')
  const rows = kept.map(({ stickId, begunAt }) => {
    const text = say('bench kept at stage', { stick: stickId, when: when(begunAt) })
    return element('li', {}, element('a', { href: benchPath(stickId) }, text))
  })
  at.replaceChildren(
    ...(isWithoutLink ? [paragraph(say('bench not shown'))] : []),
    ...(rows.length === 0 ? [paragraph(say('bench none kept'))] : [element('ul', { class: 'kept' }, ...rows)]),
  )
}

interface Entry extends Place {
  /** null without a link */
  readonly sheet: BenchSheet | null
  readonly stickId: string
}

async function openEntry(at: HTMLElement, { store, words, sheet, stickId }: Entry): Promise<void> {
  const { say } = words
  if (!(await isAloneWith(stickId))) return at.replaceChildren(paragraph(say('bench open elsewhere')))
  const [kept, keptSheet] = await Promise.all([store?.draft(stickId), store?.sheet(stickId)]).catch(() => [])
  const known = sheet ?? keptSheet ?? null
  if (known === null) {
    const back = element('a', { href: '/bench' }, say('bench to queue'))
    return at.replaceChildren(paragraph(say('bench not on device')), paragraph(back))
  }
  if (kept != null && known.newest?.factId === kept.factId) {
    // the answer to it was lost, and the test was not
    await store?.drop(stickId)
    return location.assign(testPath(stickId, kept.factId))
  }
  const draft = kept ?? beginDraft({ sheet: known, factId: crypto.randomUUID(), now: deviceNow() })
  runEntry(at, { store, words, sheet: known, draft, isGoneOnWith: kept != null })
}

/** Two windows of one device would write over each other. Where the browser has no locks, the last one wins. */
function isAloneWith(stickId: string): Promise<boolean> {
  if (navigator.locks === undefined) return Promise.resolve(true)
  return new Promise((resolve) => {
    void navigator.locks.request(`quarterturn bench ${stickId}`, { ifAvailable: true }, (lock) => {
      resolve(lock !== null)
      // held until the page is left
      return lock === null ? undefined : new Promise(() => undefined)
    })
  })
}
