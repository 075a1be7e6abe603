/** The doors of the pages' own script: it is answered with data, where a reader is answered with a page. */
import type { Context, Hono } from 'hono'
import type { Times } from '../questions/signed-in.ts'
import { webPage } from '../web/web-page.ts'
import type { PageAnswer } from './acts/act.ts'
import { type DeviceScript, deviceBuild, deviceScript } from './device-files.ts'
import type { Visits } from './visit.ts'

export const asksAsDevice = (context: Context): boolean => context.req.header('accept') === 'application/json'

export const toldToDevice = (status: number, body: object): Response =>
  Response.json(body, { status, headers: { 'cache-control': 'no-store' } })

export const toldToSignIn = (): Response => toldToDevice(401, { is: 'no session' })

export const notTaken = (status: number, why: readonly string[]): Response =>
  toldToDevice(status, { is: 'refused', why })

export function answerToDevice(shown: PageAnswer): Response {
  if ('goTo' in shown) return toldToDevice(200, { is: 'recorded', goTo: shown.goTo, before: false })
  const { status, notTaken: why, stands } = shown
  // a page of its own tells what was done to several: the form leads to it
  if (stands || why.length === 0) return toldToDevice(status, { is: 'recorded', goTo: '', before: true })
  return notTaken(status < 400 ? 409 : status, why)
}

/** A year: whatever changes has another address. */
const keptForLong = 'public, max-age=31536000, immutable'

export function addDevice(app: Hono, visits: Visits, times: (context: Context) => Times): void {
  app.get('/device/now', async (context) => {
    const visit = await visits.of(context)
    return toldToDevice(200, { now: times(context).now, who: visit?.who.ids ?? null })
  })
  app.get('/device/list', async (context) => {
    const visit = await visits.of(context)
    if (visit === null) return toldToSignIn()
    const { listForDevice } = await import('./device-list.ts')
    return toldToDevice(200, await listForDevice(visit))
  })
  app.get('/device/worker.js', (context) => script(context, 'worker'))
  app.get('/device/:build/:file', async (context) => {
    const { build, file } = context.req.param()
    // nothing of another build is there: browsers keep for long what has its address
    if (deviceBuild === null || build !== deviceBuild) return context.notFound()
    if (file === 'page.js' || file === 'bench.js') return script(context, file === 'page.js' ? 'page' : 'bench')
    const { filesOfApp, pageWithoutLink } = await import('./device-app.ts')
    const asked = filesOfApp(deviceBuild).find(({ name }) => name === file)
    if (asked !== undefined) return sent(asked.type, asked.text)
    const language = (['en', 'es'] as const).find((one) => file === `no-link.${one}.html`)
    if (language !== undefined) return webPage(await pageWithoutLink(language))
    const atBench = (['en', 'es'] as const).find((one) => file === `no-link-bench.${one}.html`)
    if (atBench === undefined) return context.notFound()
    return webPage(await (await import('./bench-page.ts')).benchWithoutLink(atBench))
  })
}

function script(context: Context, name: DeviceScript): Response | Promise<Response> {
  const text = deviceScript(name)
  if (text === null) return context.notFound()
  if (name !== 'worker') return sent('text/javascript', text)
  // the address of a worker stays, and it may see every page
  const headers = { 'content-type': 'text/javascript; charset=utf-8', 'cache-control': 'no-cache' }
  return new Response(text, { headers: { ...headers, 'service-worker-allowed': '/' } })
}

function sent(type: string, text: string): Response {
  return new Response(text, {
    headers: { 'content-type': `${type}; charset=utf-8`, 'cache-control': keptForLong },
  })
}
