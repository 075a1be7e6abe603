/** The worker that opens a page without a link: that it is there, and of which build it is. */
import type { DeviceSentences } from '../../../shared-domain/catalogue/en/device.ts'
import type { PageTold } from './told.ts'

/** The page without a link names nobody: whoever was signed in stands in the list. */
export const isPageWithoutLink = (): boolean => document.getElementById('device-list') !== null

/** Answers what is to be told, if anything: that pages do not open without a link, or those of an older build do. */
export async function keepPages({ build, language, who }: PageTold): Promise<keyof DeviceSentences | null> {
  if (who === null || isPageWithoutLink()) return null
  if (navigator.serviceWorker === undefined) return 'device no pages'
  try {
    const address = `/device/worker.js?${new URLSearchParams({ build, language })}`
    const { active, waiting, installing } = await navigator.serviceWorker.register(address, { scope: '/' })
    const isAtWork = await comesToWork(installing ?? waiting ?? active)
    return isAtWork ? null : active === null ? 'device no pages' : 'device older pages'
  } catch {
    return navigator.serviceWorker.controller === null ? 'device no pages' : 'device older pages'
  }
}

/** A worker that cannot fetch its page never comes to work, and the one before stays. */
async function comesToWork(worker: ServiceWorker | null): Promise<boolean> {
  while (worker !== null && worker.state !== 'activated' && worker.state !== 'redundant')
    await new Promise((resolve) => worker.addEventListener('statechange', resolve, { once: true }))
  return worker?.state === 'activated'
}
