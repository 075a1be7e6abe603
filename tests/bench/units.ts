/** What a fact and its notices spend on the table: the request by itself, then the mailer by itself. */
import { buildApi } from '../../functions/api/api.ts'
import { deliverFromQueue } from '../../functions/deliver-notices/from-queue.ts'
import { asNotice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { demo, furnish, openHouse } from '../functions/house.ts'
import { type FakeTable, fakeTable } from '../support/fake-table.ts'
import { queueMessage } from '../support/queue-message.ts'
import { claimsOf, tokenRules } from '../support/sign-in.ts'
import { itemUnits, type Meter, metered, total } from './meter.ts'

const [morning, later] = ['2026-03-02T15:00:00.000Z', '2026-03-02T16:00:00.000Z']

interface Recorded {
  readonly meter: Meter
  readonly table: FakeTable
  readonly written: readonly Item[]
}

type Before = (record: (door: string, body: object) => Promise<unknown>) => Promise<void>

/** One fact about a stick of which only the registration is known, or what was recorded before, an hour later. */
export async function recorded(door: string, body: object, before: Before = async () => undefined): Promise<Recorded> {
  const former = openHouse([], morning)
  await furnish(former)
  await before((earlier, fact) => former.done('POST', `/v1/sticks/S-1/${earlier}`, fact))
  const known = former.table.items()
  const table = fakeTable(known)
  const meter = metered(table)
  const api = buildApi({
    table: meter.table,
    clock: () => later as Instant,
    claimsOf: () => claimsOf([demo, 'bench'], later as Instant),
    tokens: tokenRules,
    openApi: async () => ({}),
    feedsUrl: 'https://api.example',
  })
  const fact = { factId: crypto.randomUUID(), occurredOn: '2026-03-02', ...body }
  const answer = await api.request(`/v1/sticks/S-1/${door}`, { method: 'POST', body: JSON.stringify(fact) })
  if (answer.status !== 201) throw new Error(`${door}: ${answer.status} ${await answer.text()}`)
  return { meter, table, written: table.items().filter((item) => !known.includes(item)) }
}

/** As their queue hands them over: what one fact owes comes in one message. */
export async function delivered(table: FakeTable, notices: readonly Item[]): Promise<number> {
  table.settled()
  const meter = metered(table)
  const pace = { hasRoomForOthers: async () => true, turn: async () => true, backOff: async () => false }
  const mailer = { send: async () => 'taken', quota: async () => ({ mostPerSecond: 1, mostADay: null, sentADay: 0 }) }
  const parts = { table: meter.table, clock: () => later as Instant, pace, mailer }
  await deliverFromQueue(parts, [queueMessage('message', notices.map(asNotice))])
  const sent = table.items().filter(({ entity, sentAt }) => entity === 'notice' && sentAt !== undefined)
  if (sent.length !== notices.length) throw new Error(`${sent.length} of ${notices.length} notices were sent`)
  return meter.units()
}

/** Each item written once, in a transaction, into no list. */
export const floorOf = (items: readonly Item[]) => total(items.map((item) => itemUnits(item) * 2))
