/**
 * Checks who imports whom, by the rules in .dependency-cruiser.mjs.
 *
 * A checker that cannot read TypeScript reports no violation among no modules, so every file on disk must be among
 * those it saw.
 */
import { globSync } from 'node:fs'
import { sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { cruise, type ICruiseResult } from 'dependency-cruiser'
import extractDepcruiseConfig from 'dependency-cruiser/config-utl/extract-depcruise-config'

const configuration = fileURLToPath(import.meta.resolve('../../.dependency-cruiser.mjs'))
const rooms = ['shared-domain', 'functions', 'cdk', 'seed', 'tests']

export interface Findings {
  readonly files: number
  readonly unseen: readonly string[]
  readonly violations: readonly string[]
}

export async function checkDependencies(root: string): Promise<Findings> {
  const files = rooms
    .flatMap((room) => globSync(`${room}/**/*.ts`, { cwd: root }))
    .map((file) => file.split(sep).join('/'))
    .filter((file) => !file.includes('node_modules/'))
  const { options, ...ruleSet } = await extractDepcruiseConfig(configuration)
  const { output } = await cruise(
    files,
    { ...options, baseDir: root, ruleSet, validate: true, outputType: 'json' },
    options?.enhancedResolveOptions,
  )
  const result: ICruiseResult = typeof output === 'string' ? JSON.parse(output) : output
  const seen = new Set(result.modules.map((module) => module.source))
  return {
    files: files.length,
    unseen: files.filter((file) => !seen.has(file)),
    violations: result.summary.violations.map((violation) => {
      const circle = violation.cycle?.map((step) => step.name).join(' → ')
      return `${violation.rule.name}: ${violation.from} → ${circle ?? violation.to}`
    }),
  }
}

if (import.meta.main) {
  const { files, unseen, violations } = await checkDependencies(process.cwd())
  for (const violation of violations) console.error(violation)
  for (const file of unseen) console.error(`never looked at: ${file}`)
  if (files === 0) console.error('no file found to look at')
  console.log(`${files} files`)
  process.exitCode = files === 0 || unseen.length > 0 || violations.length > 0 ? 1 : 0
}
