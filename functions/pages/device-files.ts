/**
 * Scripts that run on a reader's device, as they were built: `cdk/bundle.ts` puts them beside the bundle. None is there
 * where pages run from their source, and such pages have no script.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Language } from '../../shared-domain/words.ts'
import type { WebApp } from '../web/web-page.ts'

const folder = join(import.meta.dirname, 'device')

function built(name: string): string | null {
  const file = join(folder, name)
  return existsSync(file) ? readFileSync(file, 'utf8') : null
}

/** The name of the build, which changes with anything in it; null where nothing was built. */
export const deviceBuild = built('build')

/** The script of all pages, that of the bench beside it, and the worker. */
export type DeviceScript = 'page' | 'bench' | 'worker'

/** Read when somebody asks for it. */
export const deviceScript = (name: DeviceScript): string | null => built(`${name}.js`)

export function appIn(language: Language, more?: 'bench'): WebApp | undefined {
  if (deviceBuild === null) return undefined
  const at = `/device/${deviceBuild}`
  const further = more === undefined ? {} : { furtherScript: `${at}/${more}.js` }
  return { script: `${at}/page.js`, ...further, manifest: `${at}/app.${language}.webmanifest`, icon: `${at}/icon.svg` }
}
