/** The memory that a check of 100,000 rows takes, in a process that has loaded what an import loads. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type BuildOptions, build } from 'esbuild'
import { root } from '../../cdk/local/template/synthesise.ts'
import { asModules } from '../../cdk/one-file.ts'
import { furnish, openHouse } from '../functions/house.ts'
import { atTheEnd } from './at-the-end.ts'
import type { Figure } from './figure.ts'
import { fileOfSticks } from './import-rows.ts'

const sticks = 100_000

export const figure: Figure = {
  unit: 'megabytes at the peak of a process that checks 100,000 sticks, its table in memory; the floor is that of one',
  better: 'lower',
  goal: 150,
  floorIn: 'megabytes',
  async measure() {
    const folder = mkdtempSync(join(tmpdir(), 'quarterturn-import-'))
    atTheEnd(() => rmSync(folder, { recursive: true, force: true }))
    const check = join(folder, 'check.mjs')
    await build({ entryPoints: [join(root, 'tests/bench/import-check.ts')], outfile: check, ...asBundled() })
    const house = openHouse()
    await furnish(house)
    writeFileSync(join(folder, 'table.json'), JSON.stringify(house.table.items()))
    const peakOf = (rows: number) => {
      writeFileSync(join(folder, 'sticks.csv'), fileOfSticks(rows))
      const said = execFileSync(process.execPath, [check, folder, String(rows)], { encoding: 'utf8' })
      return Number(said)
    }
    return { value: peakOf(sticks), floor: peakOf(1) }
  },
}

const asBundled = (): BuildOptions => ({
  bundle: true,
  minify: true,
  charset: 'utf8',
  ...asModules,
  mainFields: ['module', 'main'],
  conditions: ['module'],
  banner: { js: "import{createRequire}from'node:module';const require=createRequire(import.meta.url);" },
  logLevel: 'silent',
})
