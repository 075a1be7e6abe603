/** The local stack, started once for all figures that ask it, with crews, rules and a procedure. */
import { furnish, put } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { atTheEnd } from './at-the-end.ts'

let started: Promise<LocalStack> | undefined

export function theStack(): Promise<LocalStack> {
  started ??= start()
  return started
}

async function start(): Promise<LocalStack> {
  const stack = await startStack()
  atTheEnd(stack.stop)
  await put(stack, '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' })
  await furnish(stack)
  return stack
}
