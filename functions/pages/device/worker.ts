/**
 * The worker between pages and the service: it keeps one page that opens without a link, and answers with that where a
 * page cannot be had. It keeps nothing of anybody; all else goes to the service as if there were no worker.
 */

/** A worker's scope, as much of it as is used here: the types of pages know none. */
interface Scope {
  readonly location: Location
  readonly caches: CacheStorage
  readonly clients: { readonly claim: () => Promise<void> }
  readonly skipWaiting: () => Promise<void>
  readonly addEventListener: (type: 'install' | 'activate' | 'fetch', hear: (event: Heard) => void) => void
}

interface Heard {
  readonly request: Request
  readonly waitUntil: (work: Promise<unknown>) => void
  readonly respondWith: (answer: Promise<Response>) => void
}

const scope = globalThis as unknown as Scope // the types are those of a page, and this runs in a worker
const query = new URLSearchParams(scope.location.search)
const build = query.get('build') ?? ''
const kept = `quarterturn ${build}`
const files = `/device/${encodeURIComponent(build)}/`
const language = query.get('language') === 'es' ? 'es' : 'en'
const pageWithoutLink = `${files}no-link.${language}.html`
/** Kept by the script of the bench, on devices that have been there. */
const benchWithoutLink = `${files}no-link-bench.${language}.html`

/** A page takes long with one bar; after this the one that is kept is better than none. */
const patience = 15_000

scope.addEventListener('install', (event) => event.waitUntil(install()))
scope.addEventListener('activate', (event) => event.waitUntil(activate()))
scope.addEventListener('fetch', (event) => {
  const { request } = event
  const { origin, pathname } = new URL(request.url)
  if (request.method !== 'GET' || origin !== scope.location.origin) return
  if (request.mode === 'navigate') event.respondWith(pageOrKept(request))
  else if (pathname.startsWith(files)) event.respondWith(keptOrFetched(request))
})

async function install(): Promise<void> {
  const cache = await scope.caches.open(kept)
  await cache.addAll([pageWithoutLink, `${files}page.js`])
  await scope.skipWaiting()
}

/** Pages that an older build kept go; reports do not lie here and stay. */
async function activate(): Promise<void> {
  const names = await scope.caches.keys()
  await Promise.all(names.filter((name) => name !== kept).map((name) => scope.caches.delete(name)))
  await scope.clients.claim()
}

async function pageOrKept(request: Request): Promise<Response> {
  const page = fetch(request)
  const late = new Promise<null>((resolve) => setTimeout(() => resolve(null), patience))
  const first = await Promise.race([page, late]).catch(() => null)
  if (first !== null) return first
  const isBench = /^\/bench(\/|$)/.test(new URL(request.url).pathname)
  const ofBench = isBench ? await scope.caches.match(benchWithoutLink) : undefined
  return ofBench ?? (await scope.caches.match(pageWithoutLink)) ?? page
}

async function keptOrFetched(request: Request): Promise<Response> {
  return (await scope.caches.match(request)) ?? fetch(request)
}
