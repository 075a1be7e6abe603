/**
 * `npm run deploy -- --stage S [--check]`: shows what a deployment would change, refuses what must not be changed, and
 * asks before it changes anything. The change itself is made by the AWS CDK's own command.
 *
 * AWS is asked what is there now, where credentials are at hand. Else it is the template that was released last, which
 * lies in cdk/released/.
 */
import { execFileSync, spawnSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline/promises'
import { parseArgs } from 'node:util'
import { quarterturnApp, stageNamed } from './app.ts'
import { differenceOf, type Template } from './difference.ts'
import { type StageName, stageNames } from './stages.ts'

const usage = `npm run deploy -- --stage ${stageNames.join('|')} [--check | --as-released]

--check        shows the difference and ends; 1 where something of it is refused
--as-released  writes the template as the one released last, for who deployed it by other means`

type NamedStage = ReturnType<typeof stageNamed>

export const releasedFile = (stage: StageName): string =>
  join(import.meta.dirname, 'released', `${stage}.template.generated.json`)

/** The template as it is kept: a line for each part, so that a difference can be read. */
export function asReleased({ Resources, Outputs = {}, Parameters = {} }: Template): string {
  const section = (parts: object) =>
    `{\n${Object.entries(parts)
      .map(([id, part]) => `${JSON.stringify(id)}: ${JSON.stringify(part)}`)
      .join(',\n')}\n}`
  const sections = Object.entries({ Parameters, Resources, Outputs })
  return `{\n${sections.map(([name, parts]) => `${JSON.stringify(name)}: ${section(parts)}`).join(',\n')}\n}\n`
}

/** The template released last; null where there is none. */
export function lastReleased(stage: StageName): Template | null {
  const file = releasedFile(stage)
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as Template) : null
}

const stackName = (stage: StageName) => `Quarterturn-${stage}`

interface There {
  readonly template: Template | null
  readonly from: string
}

function whatIsThere({ name, is }: NamedStage): There {
  const released = { template: lastReleased(name), from: 'the template released last' }
  const hasCredentials = ['AWS_PROFILE', 'AWS_ACCESS_KEY_ID', 'AWS_WEB_IDENTITY_TOKEN_FILE'].some(
    (variable) => (process.env[variable] ?? '') !== '',
  )
  if (!hasCredentials) return released
  const words = ['cloudformation', 'get-template', '--stack-name', stackName(name), '--region', is.region]
  const asked = spawnSync('aws', [...words, '--output', 'json'], { encoding: 'utf8' })
  if (asked.status === 0) {
    const { TemplateBody } = JSON.parse(asked.stdout) as { TemplateBody: Template | string }
    const template = typeof TemplateBody === 'string' ? (JSON.parse(TemplateBody) as Template) : TemplateBody
    return { template, from: `what is deployed as ${stackName(name)}` }
  }
  if (/does not exist/.test(asked.stderr ?? '')) return { template: null, from: 'AWS, where nothing is deployed yet' }
  const why = asked.error?.message ?? asked.stderr.trim()
  console.log(`What is deployed could not be asked (${why}).`)
  return released
}

function tell({ name }: NamedStage, there: There, next: Template): { readonly isRefused: boolean } {
  const { changes, refused } = differenceOf(there.template, next)
  console.log(`Stage ${name}, compared with ${there.from}:\n`)
  console.log(changes.length === 0 ? 'Nothing changes.' : changes.map((line) => `  ${line}`).join('\n'))
  if (refused.length > 0)
    console.log(`\nRefused:\n${refused.map((line) => `  ${line}`).join('\n')}\nNothing was changed.`)
  return { isRefused: refused.length > 0 }
}

/** True where whoever deploys typed the stage's name. An end of the input is no answer. */
async function mayGoOn({ name, is }: NamedStage): Promise<boolean> {
  const asking = createInterface({ input: process.stdin, output: process.stdout })
  const ended = new Promise<string>((resolve) => asking.once('close', () => resolve('')))
  const question = `\nType ${name} to change ${stackName(name)} in account ${is.account}, ${is.region}: `
  const answer = await Promise.race([asking.question(question), ended])
  asking.close()
  return answer.trim() === name
}

function deployed({ name }: NamedStage, folder: string): boolean {
  // the question was asked above, with more than this command shows
  const words = ['deploy', stackName(name), '--app', folder, '--require-approval', 'never']
  return spawnSync('cdk', words, { stdio: 'inherit' }).status === 0
}

function hasCdk(): boolean {
  try {
    execFileSync('cdk', ['--version'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}

interface Asked {
  readonly stage: NamedStage
  /** where the functions were built, if not where `npm run build` does it */
  readonly bundles: string | undefined
  /** a folder that `npm run synth` has filled already; without it the template is made and checked here */
  readonly made: string | undefined
  readonly check: boolean
  readonly keep: boolean
}

/** Answers the code that the process ends with. */
async function deploy({ stage, bundles, made, check, keep }: Asked): Promise<number> {
  const folder = made ?? (await quarterturnApp({ stage, ...(bundles && { bundles }) })).synth().directory
  const next = JSON.parse(readFileSync(join(folder, 'Quarterturn.template.json'), 'utf8')) as Template
  if (keep) {
    writeFileSync(releasedFile(stage.name), asReleased(next))
    console.log(`Written: ${releasedFile(stage.name)}`)
    return 0
  }
  const { isRefused } = tell(stage, whatIsThere(stage), next)
  if (isRefused) return 1
  if (check) return 0
  if (!hasCdk()) {
    console.log('\nThe command cdk is not there: npm ci brings it, and npm run finds it. Nothing was changed.')
    return 1
  }
  if (!(await mayGoOn(stage))) {
    console.log('\nNothing was changed.')
    return 1
  }
  if (!deployed(stage, folder)) return 1
  writeFileSync(releasedFile(stage.name), asReleased(next))
  console.log(`Deployed. Commit ${releasedFile(stage.name)}: the next deployment is compared with it.`)
  return 0
}

if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      stage: { type: 'string' },
      check: { type: 'boolean', default: false },
      'as-released': { type: 'boolean', default: false },
      bundles: { type: 'string' },
      made: { type: 'string' },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help || values.stage === undefined) {
    console.log(usage)
    process.exit(values.help ? 0 : 2)
  }
  try {
    const { bundles, made, check } = values
    const asked = { stage: stageNamed(values.stage), bundles, made, check, keep: values['as-released'] }
    process.exitCode = await deploy(asked)
  } catch (error) {
    console.error(error instanceof Error ? error.message : error)
    process.exitCode = 2
  }
}
