/** How fast the rows of a file are recorded, beside an emulated table that only takes the same transactions. */
import { setTimeout as wait } from 'node:timers/promises'
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient, PutCommand, paginateScan, TransactWriteCommand } from '@aws-sdk/lib-dynamodb'
import { goOn } from '../../functions/import/import.ts'
import { importOf, keepImport } from '../../functions/store/imports.ts'
import { organisationTable } from '../../functions/store/keys.ts'
import { type Item, openTable, type Table, type Write } from '../../functions/store/table.ts'
import { addDays, type CalendarDate, type Instant } from '../../shared-domain/calendar.ts'
import { type Import, nothingCounted } from '../../shared-domain/import/import.ts'
import { put } from '../journeys/furnish.ts'
import { aStick } from '../support/trade.ts'
import { sideBySide } from './facts.ts'
import type { Figure } from './figure.ts'
import { tableLike } from './floor-server.ts'
import { inTurn } from './interleaved.ts'
import { theStack } from './stack.ts'

const rounds = 3
const warmUp = 1
const sticks = 16
const usesOfEach = 60
/** As many as an import has under way. */
const atOnce = 16

export const figure: Figure = {
  unit: 'ratio to the rows a second that an emulated table takes in the same transactions, 960 uses of 16 sticks',
  better: 'higher',
  goal: 0.7,
  floorIn: 'rows a second',
  async measure() {
    const applied = await ready()
    return inTurn(applied.floor, applied.import, { rounds, warmUp })
  },
}

/** Sticks that are registered, in a table that nobody else works on. */
async function ready() {
  const stack = await theStack()
  const names = Array.from({ length: (rounds + warmUp + 1) * sticks }, (_, i) => `S-apply-${i}`)
  await sideBySide(atOnce, names, (name) => put(stack, `/v1/sticks/${name}`, aStick))
  await stack.settle()
  const { endpoint, name } = stack.parts.table
  const credentials = { accessKeyId: 'local', secretAccessKey: 'local' }
  const client = new DynamoDBClient({ endpoint, region: 'local', credentials })
  const document = DynamoDBDocumentClient.from(client, { marshallOptions: { removeUndefinedValues: true } })
  const [own, other] = [await tableLike(client, name), await tableLike(client, name)]
  for await (const { Items = [] } of paginateScan({ client: document }, { TableName: name }))
    await sideBySide(
      atOnce,
      Items,
      async (one) => void (await document.send(new PutCommand({ TableName: own, Item: one }))),
    )
  const written: Write[][] = []
  let round = 0

  async function importOnce(): Promise<number> {
    written.length = 0
    const some = names.slice(round * sticks, (round + 1) * sticks)
    round += 1
    return imported(noting(openTable(document, own), written), `apply-${round}`, fileOfUses(some))
  }

  async function floorOnce(): Promise<number> {
    // the first floor has no import before it yet
    if (written.length === 0) await importOnce()
    const again = written.map((writes) => elsewhere(writes, other, `floor-${round}-${Math.random()}`))
    return perSecond(() =>
      sideBySide(atOnce, again, async (TransactItems) => {
        await document.send(new TransactWriteCommand({ TransactItems }))
      }),
    )
  }

  return { import: importOnce, floor: floorOnce }
}

const first = '2024-01-01' as CalendarDate
const organisation = 'demo-utility'

function fileOfUses(names: readonly string[]): Uint8Array {
  const rows = names.flatMap((name) =>
    Array.from({ length: usesOfEach }, (_, i) => `${name},${addDays(first, i * 3)},1`),
  )
  return new TextEncoder().encode(['Stick,Date,Days', ...rows].join('\n'))
}

async function imported(table: Table, id: string, file: Uint8Array): Promise<number> {
  const at = new Date().toISOString() as Instant
  const place = organisationTable(table, organisation)
  const one: Import = {
    ...{ id, kind: 'uses', mode: 'apply', goodOnly: false, by: 'manager', said: {}, at, state: 'applying' },
    ...{ questions: [], looked: null, counts: nothingCounted, page: 0, faults: [], refused: null, rest: [] },
  }
  await keepImport(place, { import: one, revision: 0 })
  const bucket = { get: async () => file, put: async () => undefined }
  const rate = await perSecond(() =>
    goOn({ table, clock: () => at, feedsUrl: 'https://feeds.example', bucket }, { organisation, id }, () => true),
  )
  const found = await importOf(place, id)
  if (found?.counts.added !== sticks * usesOfEach) throw new Error(JSON.stringify(found))
  return rate
}

async function perSecond(work: () => Promise<unknown>): Promise<number> {
  await wait(200)
  const began = performance.now()
  await work()
  return (sticks * usesOfEach) / ((performance.now() - began) / 1000)
}

const noting = (table: Table, written: Write[][]): Table => ({
  ...table,
  transact(writes) {
    written.push([...writes])
    return table.transact(writes)
  },
})

/** The same items, under keys that nobody has used. */
function elsewhere(writes: readonly Write[], TableName: string, name: string): Write[] {
  return writes.map(({ Put, ...others }) => {
    if (Put === undefined) throw new Error(`not a put: ${JSON.stringify(others)}`)
    const item = JSON.parse(JSON.stringify(Put.Item).replaceAll(`ORG#${organisation}`, `ORG#${name}`)) as Item
    return { Put: { TableName, Item: item } }
  })
}
