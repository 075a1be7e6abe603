/** A real browser from a package, for tests and pictures. */
import chromiumInPackage from '@sparticuz/chromium'
import { type Browser, chromium } from 'playwright-core'

/** Its own default arguments are made for another host and turn off the sandbox of sites too. */
const flags = [
  '--no-sandbox',
  '--headless=shell',
  '--disable-gpu',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
]

/** Unpacks it from its package where that has not been done; answers where it lies. */
export const unpackBrowser = (): Promise<string> => chromiumInPackage.executablePath()

export async function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: await unpackBrowser(), args: flags })
}
