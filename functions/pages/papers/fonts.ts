/** The font of papers, cut by `npm run fonts`. The files lie beside the source, and beside the bundle too. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'

const file = (name: string) => readFileSync(join(import.meta.dirname, name))

export const regular = file('regular.ttf')
export const bold = file('bold.ttf')
