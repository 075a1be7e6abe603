/** `npm run synth`: the template of the whole product, in cdk.out/. Needs no account and no network. */
import { readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { parseArgs } from 'node:util'
import { App, Validations } from 'aws-cdk-lib'
import type { Provider } from './people.ts'
import { quarterturnStack } from './stack.ts'
import type { RestoredTable } from './table.ts'

export interface SynthProps {
  readonly bundles?: string | undefined
  readonly outdir?: string | undefined
  /** an OpenID provider in place of the user pool */
  readonly provider?: Provider | undefined
  /** a table brought back from a backup, in place of the stack's own */
  readonly restored?: RestoredTable | undefined
  /** the checks take longer than all the rest: the local stack leaves them to `npm run synth` and the tests */
  readonly checked?: boolean
}

export async function quarterturnApp(props: SynthProps = {}): Promise<App> {
  const { bundles = 'dist/functions', outdir = 'cdk.out', checked = true, provider, restored } = props
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
    ...(restored === undefined ? {} : { restored }),
  })
  if (checked) await addChecks(app)
  return app
}

async function addChecks(app: App): Promise<void> {
  const { AwsSolutionsChecks } = await import('cdk-nag')
  Validations.of(app).addPlugins(new AwsSolutionsChecks(app))
}

/** The place of the template, and its use. */
const synthesised = (folder: string) => `
The template is written: ${join(relative('', folder), 'Quarterturn.template.json')}
It tells AWS CloudFormation which functions, table, queues, schedules and alarms make up the service.
Nothing was sent to AWS, and there is no deploy command yet. npm start runs the same template on this machine.`

if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      bundles: { type: 'string' },
      outdir: { type: 'string' },
      provider: { type: 'string' },
      'restored-table': { type: 'string' },
      'restored-stream': { type: 'string' },
      unchecked: { type: 'boolean', default: false },
    },
  })
  const { provider: file, 'restored-table': name, 'restored-stream': streamArn } = values
  if ((name === undefined) !== (streamArn === undefined))
    throw new Error('a restored table has a name and a stream: --restored-table NAME --restored-stream ARN')
  const restored = name === undefined || streamArn === undefined ? undefined : { name, streamArn }
  const provider = file === undefined ? undefined : (JSON.parse(readFileSync(file, 'utf8')) as Provider)
  const app = await quarterturnApp({ ...values, provider, restored, checked: !values.unchecked })
  const { directory } = app.synth()
  if (!values.unchecked) console.log(synthesised(directory))
}
