/** The files of the house, read once for what measures them. */
import { globSync, readFileSync } from 'node:fs'
import { join, sep } from 'node:path'
import type { Source } from './measures.ts'

export interface House {
  /** the sources of the product */
  readonly product: readonly Source[]
  /** the sources that try it, and the settings of tools */
  readonly tests: readonly Source[]
  /** the pages for developers; what the changelog speaks of may be gone */
  readonly pages: readonly Source[]
  /** every page for people and every style sheet, whose lines have an end too */
  readonly texts: readonly Source[]
  /** every file and folder */
  readonly paths: readonly string[]
}

const rooms = ['shared-domain/', 'functions/', 'cdk/', 'seed/']
/** The folders that commands write. */
export const built = ['node_modules', '.git', 'dist', 'cdk.out', '.local', 'coverage', 'reports', '.vitest']

/** The files that a command writes beside the sources: their lines are as long as what they are made from. */
const isGenerated = (path: string) =>
  path.includes('.generated.') || path === 'cdk/RUNBOOK.md' || path === 'tests/house/drawings.md'

export function houseAt(root: string): House {
  const paths = globSync(['**', '.*', '.*/**'], {
    cwd: root,
    exclude: (path) => built.some((one) => path.split(sep).includes(one)),
  })
    .map((path) => path.split(sep).join('/'))
    .filter((path) => path !== '.')
  const read = (wanted: (path: string) => boolean) =>
    paths.filter(wanted).map((path) => ({ path, text: readFileSync(join(root, path), 'utf8') }))
  const isSource = (path: string) => /\.(ts|mjs|js)$/.test(path) && !isGenerated(path)
  const isProduct = (path: string) => rooms.some((room) => path.startsWith(room))
  return {
    product: read((path) => isSource(path) && isProduct(path)),
    tests: read((path) => isSource(path) && !isProduct(path)),
    pages: read((path) => /(^|\/)(README|DEVELOPERS)\.md$/.test(path)),
    texts: read((path) => /\.(md|css)$/.test(path) && !isGenerated(path)),
    paths,
  }
}
