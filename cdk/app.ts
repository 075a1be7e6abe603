/**
 * `npm run synth`: the template of the whole product, in cdk.out/; with `-- --stage dev` that of a stage, in
 * cdk.out/dev/. Needs no account and no network.
 */
import { readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { parseArgs } from 'node:util'
import { App, Validations } from 'aws-cdk-lib'
import type { Provider } from './people.ts'
import { quarterturnStack } from './stack.ts'
import { checkedStage, type Stage, type StageName } from './stages.ts'
import type { RestoredTable } from './table.ts'

export interface SynthProps {
  readonly bundles?: string | undefined
  readonly outdir?: string | undefined
  /** an OpenID provider in place of the user pool */
  readonly provider?: Provider | undefined
  /** the stage whose template it is; another than cdk/stages.ts has, in tests */
  readonly stage?: { readonly name: StageName; readonly is: Stage } | undefined
  /** a table brought back from a backup, in place of the stack's own */
  readonly restored?: RestoredTable | undefined
  /** the checks take longer than all the rest: the local stack leaves them to `npm run synth` and the tests */
  readonly checked?: boolean
}

export async function quarterturnApp(props: SynthProps = {}): Promise<App> {
  const {
    bundles = 'dist/functions',
    stage,
    outdir = folderOf(stage?.name),
    checked = true,
    provider,
    restored,
  } = props
  const app = new App({
    outdir,
    analyticsReporting: false,
    stackTraces: checked,
    builtinCloudFormationValidation: checked,
    context: { '@aws-cdk/core:validateAgainstDefaultRules': checked },
  })
  quarterturnStack(app, {
    bundles,
    ...(provider === undefined ? {} : { provider }),
    ...(stage === undefined ? {} : { stage }),
    ...(restored === undefined ? {} : { restored }),
  })
  if (checked) await addChecks(app)
  return app
}

/** The folder of a stage's template. */
export const folderOf = (stage: StageName | undefined): string => (stage === undefined ? 'cdk.out' : `cdk.out/${stage}`)

/** @throws where there is no such stage, or it does not fit */
export function stageNamed(name: string): NonNullable<SynthProps['stage']> {
  // a stage that was found has the name of one
  return { is: checkedStage(name), name: name as StageName }
}

async function addChecks(app: App): Promise<void> {
  const { AwsSolutionsChecks } = await import('cdk-nag')
  Validations.of(app).addPlugins(new AwsSolutionsChecks(app))
}

/** A stage says its restored table itself: a flag would be left out of a later deployment some day. */
function restoredTable(flags: Readonly<Record<string, unknown>>): RestoredTable | undefined {
  const { 'restored-table': name, 'restored-stream': streamArn, stage } = flags
  if (name === undefined && streamArn === undefined) return undefined
  if (stage !== undefined) throw new Error('the restored table of a stage stands in cdk/stages.ts: restoredTable')
  if (typeof name !== 'string' || typeof streamArn !== 'string')
    throw new Error('a restored table has a name and a stream: --restored-table NAME --restored-stream ARN')
  return { name, streamArn }
}

/** The place of the template, and its use. */
const synthesised = (folder: string) => `
The template is written: ${join(relative('', folder), 'Quarterturn.template.json')}
It tells AWS CloudFormation which functions, table, queues, schedules and alarms make up the service.
Nothing was sent to AWS: npm run deploy -- --stage dev does that. npm start runs the template on this machine.`

if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      bundles: { type: 'string' },
      outdir: { type: 'string' },
      provider: { type: 'string' },
      stage: { type: 'string' },
      'restored-table': { type: 'string' },
      'restored-stream': { type: 'string' },
      unchecked: { type: 'boolean', default: false },
    },
  })
  try {
    const { provider: file } = values
    const provider = file === undefined ? undefined : (JSON.parse(readFileSync(file, 'utf8')) as Provider)
    const stage = values.stage === undefined ? undefined : stageNamed(values.stage)
    const restored = restoredTable(values)
    const app = await quarterturnApp({ ...values, provider, stage, restored, checked: !values.unchecked })
    const { directory } = app.synth()
    if (!values.unchecked) console.log(synthesised(directory))
  } catch (error) {
    console.error(error instanceof Error ? error.message : error)
    process.exitCode = 2
  }
}
