/** `npm run synth`: the template of the whole product, in cdk.out/. Needs no account and no network. */
import { App, Validations } from 'aws-cdk-lib'
import { quarterturnStack } from './stack.ts'

export interface SynthProps {
  readonly bundles?: string
  readonly outdir?: string
  /** the checks take longer than all the rest: the local stack leaves them to `npm run synth` and the tests */
  readonly checked?: boolean
}

export async function quarterturnApp(props: SynthProps = {}): Promise<App> {
  const { bundles = 'dist/functions', outdir = 'cdk.out', checked = true } = props
  const app = new App({
    outdir,
    analyticsReporting: false,
    stackTraces: checked,
    builtinCloudFormationValidation: checked,
    context: { '@aws-cdk/core:validateAgainstDefaultRules': checked },
  })
  quarterturnStack(app, { bundles })
  if (checked) await addChecks(app)
  return app
}

async function addChecks(app: App): Promise<void> {
  const { AwsSolutionsChecks } = await import('cdk-nag')
  Validations.of(app).addPlugins(new AwsSolutionsChecks(app))
}

if (import.meta.main) {
  const app = await quarterturnApp({ checked: !process.argv.includes('--unchecked') })
  app.synth()
}
