/** A stack whose functions do what a test asks them to: the template is the product's, the code behind it is not. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Synthesised } from '../../cdk/local/template/synthesise.ts'
import { type LocalStack, startStack } from '../local-stack.ts'

export interface FixtureStack extends LocalStack {
  /** invokes the function whose part of the template begins so */
  readonly invoke: (part: string, event: object) => Promise<unknown>
  /** the lines of JSON that functions logged, with this name in them */
  readonly logged: <T>(name: string) => T[]
  /** what lies in the queue whose part of the template begins so */
  readonly queue: (part: string) => Promise<unknown[]>
}

export type Resources = Record<string, { Type: string; Properties: Record<string, unknown> }>

export interface FixtureOptions {
  readonly now?: string
  /** changes the synthesised template before it is run */
  readonly change?: (resources: Resources) => void
}

export async function startFixtureStack({ now, change }: FixtureOptions = {}): Promise<FixtureStack> {
  const { folder, remove } = fixtureTemplate()
  if (change !== undefined) changeTemplate(join(folder, 'Quarterturn.template.json'), change)
  const stack = await startStack({ template: folder, furnished: false, ...(now === undefined ? {} : { now }) }).catch(
    (error) => {
      remove()
      throw error
    },
  )
  const { deployed, functionOf, queues } = stack.parts
  const named = (type: string, part: string) => {
    const found = deployed.all(type).find(({ id }) => id.startsWith(part))
    if (found === undefined) throw new Error(`the template has no ${type} ${part}`)
    return found
  }
  return {
    ...stack,
    invoke: async (part, event) => {
      const outcome = await functionOf(named('AWS::Lambda::Function', part).name).invoke(event)
      return outcome.ok ? JSON.parse(outcome.payload) : outcome
    },
    logged: (name) =>
      stack
        .logs()
        .filter(({ text }) => text.startsWith(`{"${name}"`))
        .map(({ text }) => JSON.parse(text)),
    queue: (part) => queues.messages(deployed.arn(named('AWS::SQS::Queue', part).id)),
    stop: async () => {
      await stack.stop()
      remove()
    },
  }
}

/** A copy to be changed at will of what is synthesised once for all suites of a run. */
export function fixtureTemplate(): Pick<Synthesised, 'folder' | 'remove'> {
  const folder = mkdtempSync(join(tmpdir(), 'quarterturn-fixtures-'))
  cpSync(process.env.QUARTERTURN_FIXTURES ?? '', folder, { recursive: true })
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) }
}

function changeTemplate(file: string, change: (resources: Resources) => void): void {
  const template = JSON.parse(readFileSync(file, 'utf8')) as { Resources: Resources }
  change(template.Resources)
  writeFileSync(file, JSON.stringify(template))
}
