/** The sheet that every page begins with. The file lies beside the source, and beside the bundle too. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'

export const houseStyle = readFileSync(join(import.meta.dirname, 'house.css'), 'utf8')
