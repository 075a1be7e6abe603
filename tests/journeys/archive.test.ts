/** An organisation taken out as one file, wiped, and filled in again by the commands of whoever runs the service. */
import { execFile } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DeleteCommand, DynamoDBDocumentClient, PutCommand, paginateScan } from '@aws-sdk/lib-dynamodb'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { isOf } from '../../functions/restore/archive.ts'
import type { Item } from '../../functions/store/table.ts'
import { loadDemoInto } from '../../seed/into-stack.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { cases } from '../support/tier.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish } from './furnish.ts'

const organisation = 'demo-utility'
const folder = mkdtempSync(join(tmpdir(), 'quarterturn-archive-'))
let stack: LocalStack
/** `npm run test:all` takes the whole demo; each commit some sticks, one of each kind. */
const isDemo = cases(1, 0) === 1
const startAt = '2026-11-24T17:00:00.000Z'

beforeAll(async () => {
  stack = await startStack({ memory: true, ...(isDemo ? { now: startAt } : {}) })
  if (isDemo) await loadDemoInto(stack, startAt)
  else await furnished()
  await stack.settle()
}, 300_000)

async function furnished(): Promise<void> {
  await stack.day('2026-03-02')
  await furnish(stack)
  for (const id of ['S-61', 'S-62', 'S-63', 'S-64']) await stack.call('PUT', `/v1/sticks/${id}`, aStick)
  const post = (path: string, body: object) => stack.call('POST', `/v1/sticks/${path}`, body, 'bench')
  await post('S-61/bench-tests', aTest({ testedOn: day('2026-03-01') }))
  await post('S-62/bench-tests', overTheLimit({ testedOn: day('2026-03-01') }))
  await post('S-63/past-tests', { factId: randomUUID(), testedOn: '2025-05-14', passed: true })
  await post('S-64/uses', { factId: randomUUID(), occurredOn: '2026-03-01', days: 1 })
}
afterAll(async () => {
  rmSync(folder, { recursive: true, force: true })
  await stack?.stop()
})

async function command(name: string, ...flags: readonly string[]) {
  const { name: table, endpoint } = stack.parts.table
  const file = new URL(`../../functions/restore/${name}.ts`, import.meta.url).pathname
  const args = [file, '--table', table, '--endpoint', endpoint, '--organisation', organisation, ...flags]
  return promisify(execFile)(process.execPath, args).then(
    ({ stdout }) => ({ code: 0, said: stdout }),
    (error: { code: number; stdout: string; stderr: string }) => ({
      code: error.code,
      said: `${error.stdout}${error.stderr}`,
    }),
  )
}

const told = async () => {
  const { items, counts } = (await stack.call('GET', '/v1/roster?limit=100')).json as {
    items: readonly { stickId: string }[]
    counts: unknown
  }
  const sticks = await Promise.all(
    items.map(async ({ stickId }) => (await stack.call('GET', `/v1/sticks/${stickId}/facts`)).json),
  )
  return { items, counts, sticks }
}

function tableOfStack() {
  const { name: TableName, endpoint } = stack.parts.table
  const local = { endpoint, region: 'local', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
  return { TableName, client: DynamoDBDocumentClient.from(new DynamoDBClient(local)) }
}

/** Who signs in as whom is in no archive. Everything is gone; what binds the people of the test is answered. */
async function wiped(): Promise<readonly Item[]> {
  const { TableName, client } = tableOfStack()
  const bindings: Item[] = []
  for await (const { Items = [] } of paginateScan({ client }, { TableName }))
    for (const item of Items as Item[]) {
      const isBinding = item.entity === 'sign-in' || (item.entity === 'subject' && item.organisation === organisation)
      if (!isOf(item, organisation) && !isBinding) continue
      if (isBinding) bindings.push(item)
      await client.send(new DeleteCommand({ TableName, Key: { pk: item.pk, sk: item.sk } }))
    }
  client.destroy()
  return bindings
}

/** As if they had signed in again. */
async function bind(bindings: readonly Item[]): Promise<void> {
  const { TableName, client } = tableOfStack()
  for (const Item of bindings) await client.send(new PutCommand({ TableName, Item }))
  client.destroy()
}

test('taken out, wiped and filled in, it reads as it did, and every state is the replay of its facts', async () => {
  const before = await told()
  const proved = await stack.prove()
  expect(proved).toMatch(/every state is the replay of its facts$/m)
  const file = join(folder, 'demo.ndjson.gz')
  const out = await command('archive-command', '--to', file)
  expect(out).toMatchObject({ code: 0 })
  const seal = /Its seal: ([0-9a-f]{64})/.exec(out.said)?.[1] ?? ''
  // a file that is there is not written over, and an organisation that has something is not filled
  expect((await command('archive-command', '--to', file)).code).not.toBe(0)
  expect(await command('fill-archive-command', '--from', file, '--seal', seal)).toMatchObject({ code: 1 })
  const bindings = await wiped()
  const other = seal.replace(/^./, (first) => (first === '0' ? '1' : '0'))
  const altered = await command('fill-archive-command', '--from', file, '--seal', other)
  expect([altered.code, altered.said]).toEqual([1, expect.stringContaining('not the one that was named')])
  const filled = await command('fill-archive-command', '--from', file, '--seal', seal)
  expect(filled).toMatchObject({ code: 0, said: expect.stringContaining('sticks folded anew') })
  await bind(bindings)
  await stack.settle()
  expect(await told()).toEqual(before)
  expect(await stack.prove()).toBe(proved)
})
