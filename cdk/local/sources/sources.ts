/** The event source mappings of the template: each is polled by its kind and hands on to its function. */
import { kindOf } from '../template/event-source.ts'
import type { Deployed } from '../template/template.ts'
import type { Poller } from './poller.ts'
import { queuePoller } from './queue.ts'
import { type StreamParts, streamPollers } from './stream.ts'

export function eventSources(deployed: Deployed, parts: StreamParts): Poller {
  const mappings = deployed
    .all('AWS::Lambda::EventSourceMapping')
    .filter(({ properties }) => properties.Enabled !== false)
  const byKind = Map.groupBy(mappings, kindOf)
  const propertiesOf = (kind: 'stream' | 'queue') => (byKind.get(kind) ?? []).map(({ properties }) => properties)
  const streams = streamPollers(parts, propertiesOf('stream'))
  const queues = propertiesOf('queue').map((one) => queuePoller({ ...parts, region: deployed.region }, one))
  const all = [...streams, ...queues]
  const drain = async (pollers: readonly Poller[]) => {
    await Promise.all(pollers.map(({ drained }) => drained()))
  }

  return {
    wake: () => {
      for (const { wake } of streams) wake()
    },
    /**
     * Readers of queues write to the table, and readers of its stream to queues: each is seen empty after the other.
     */
    drained: async () => {
      await drain(queues)
      await drain(streams)
      await drain(queues)
    },
    handedOn: () => all.reduce((sum, { handedOn }) => sum + handedOn(), 0),
    stop: async () => {
      await Promise.all(all.map(({ stop }) => stop()))
    },
  }
}
