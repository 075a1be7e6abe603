/**
 * Another build of the service beside that of this checkout, in the same process: every file of it is loaded once more,
 * and some say something else. So a deployment that corrects a pack is a deployment here, too.
 */
import { registerHooks } from 'node:module'
import type { Deployed } from '../faults/service.ts'

interface Correction {
  readonly file: string
  readonly says: RegExp
  readonly instead: string
}

const corrections = {
  /** the pack says 18 months where it said 2 years, and the fold keeps more than it did */
  corrected: [
    { file: '/policy/us-29-cfr-1910-269-j.ts', says: /months: \d+/, instead: 'months: 18' },
    { file: '/shape-of-state.ts', says: /= (\d+)/, instead: '= 1$1' },
  ],
  // planted: slips that nobody knows of
  'pack-slipped': [{ file: '/policy/us-29-cfr-1910-269-j.ts', says: /months: 24/, instead: 'months: 36' }],
  'release-forgotten': [{ file: '/state/standing.ts', says: /\.\.\.releaseAwaited\(state, rules\),/, instead: '' }],
  'weeks-overdue-forgotten': [
    {
      file: '/notices/ladder.ts',
      says: /return nextOfEvery\(rules.tellOverdueEveryDays, .*\)/,
      instead: 'return null',
    },
  ],
  'slip-still-counts': [{ file: '/state/known-now.ts', says: /return facts\.filter.*/, instead: 'return facts' }],
  'one-takes-back': [{ file: '/loosening/correction.ts', says: /return ways\.length > 0 .*/, instead: 'return []' }],
  'undone-and-not-tested': [
    { file: '/shared-domain/correcting.ts', says: /const undoes = .*/, instead: 'const undoes = undefined' },
  ],
} satisfies Record<string, readonly Correction[]>
export type BuildName = keyof typeof corrections

let hooked = false

/** Of this checkout as it is, with none of them. */
export async function buildOf(...names: BuildName[]): Promise<Deployed> {
  if (!hooked) registerHooks({ resolve, load })
  hooked = true
  return import(`../faults/deployed.ts${names.length === 0 ? '' : `?build=${names.join(',')}`}`)
}

const buildIn = (url: string | undefined) => (url === undefined ? null : new URL(url).searchParams.get('build'))

type Hooks = Parameters<typeof registerHooks>[0]

const resolve: NonNullable<Hooks['resolve']> = (specifier, context, next) => {
  const found = next(specifier, context)
  const build = buildIn(context.parentURL)
  if (build === null || !found.url.startsWith('file:') || found.url.includes('/node_modules/')) return found
  const url = new URL(found.url)
  url.searchParams.set('build', build)
  return { ...found, url: url.href }
}

const load: NonNullable<Hooks['load']> = (url, context, next) => {
  const loaded = next(url, context)
  const build = buildIn(url)
  if (build === null) return loaded
  const corrected = build
    .split(',')
    .flatMap((name) => [...corrections[name as BuildName]])
    .filter(({ file }) => new URL(url).pathname.endsWith(file))
  const source = corrected.reduce(correct, String(loaded.source))
  return { ...loaded, source }
}

function correct(text: string, { file, says, instead }: Correction): string {
  if (!says.test(text)) throw new Error(`${file} no longer says ${says}`)
  return text.replace(says, instead)
}
