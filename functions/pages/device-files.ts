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

/** Read when somebody asks for it. */
export const deviceScript = (name: 'page' | 'worker'): string | null => built(`${name}.js`)

export function appIn(language: Language): WebApp | undefined {
  if (deviceBuild === null) return undefined
  const at = `/device/${deviceBuild}`
  return { script: `${at}/page.js`, manifest: `${at}/app.${language}.webmanifest`, icon: `${at}/icon.svg` }
}
