/** The kind of source that a mapping reads. An unknown kind stops the start: not run, it would look as if it worked. */
import type { Resource } from './template.ts'

export type SourceKind = 'stream' | 'queue'

const kinds: readonly (readonly [SourceKind, RegExp])[] = [
  ['stream', /^arn:aws:dynamodb:[^:]+:\d+:table\/[^/]+\/stream\/.+/],
  ['queue', /^arn:aws:sqs:[^:]+:\d+:[\w-]+$/],
]

export function kindOf({ id, properties }: Resource): SourceKind {
  const { EventSourceArn } = properties
  const found = kinds.find(([, pattern]) => pattern.test(String(EventSourceArn)))
  if (found === undefined) {
    throw new Error(`${id}: the local stack reads streams of tables and queues, and does not know ${EventSourceArn}`)
  }
  return found[0]
}
