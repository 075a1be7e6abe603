/** A record is proved to a stranger: by the mail that the owners keep, and by a folder that needs nothing of ours. */
import { randomUUID } from 'node:crypto'
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient, GetCommand, PutCommand } from '@aws-sdk/lib-dynamodb'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { filesOf, saidOf } from '../support/proof-folder.ts'
import { aTest } from '../support/trade.ts'
import { bring, furnish } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await bring(stack, aTest())
  await stack.settle()
})
afterAll(() => stack?.stop())

const tingle = () =>
  stack.call(
    'POST',
    '/v1/sticks/S-1/defects',
    { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' },
    'crew',
  )

async function checked(...fingerprint: string[]): Promise<string> {
  const answer = await (await stack.signedIn('manager')).get('/sticks/S-1/proof')
  expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'application/zip'])
  return saidOf(await filesOf(answer), ...fingerprint)
}

test('each fact gets its place as it is written, and the stick’s page hands out the proof', async () => {
  expect(await stack.prove()).toMatch(/^2 facts in 1 trees: none was altered, and no head either$/m)
  expect((await stack.page('/sticks/S-1')).text).toContain('href="/sticks/S-1/proof"')
  const said = await checked()
  expect(said).toContain('2 records.')
  expect(said).toContain('All of it holds.')
})

let mailed = ''
test('the owners are mailed the fingerprint of a day, which later proofs go on from', async () => {
  await stack.day('2026-03-03')
  await stack.settle()
  const [mail, ...others] = (await stack.mail()).filter(({ subject }) =>
    subject.startsWith('Fingerprint of the records'),
  )
  expect(others).toEqual([])
  mailed = /Fingerprint: ((?:[0-9a-f]{8}\s?){8})/.exec(mail?.text ?? '')?.[1]?.trim() ?? ''
  expect(mailed).toHaveLength(71)
  expect((await tingle()).status).toBe(201)
  await stack.settle()
  const said = await checked(mailed)
  expect(said).toContain('3 records.')
  expect(said).toMatch(/The fingerprint that you gave is that of 2026-03-0\d\./)
  expect(await checked('0'.repeat(64))).toContain('FAULT: the fingerprint that you gave is not among those')
})

test('whoever alters a byte of a fact past everything that guards it is found by both', async () => {
  const { endpoint, name } = stack.parts.table
  const credentials = { accessKeyId: 'local', secretAccessKey: 'local' }
  const table = DynamoDBDocumentClient.from(new DynamoDBClient({ endpoint, region: 'us-east-1', credentials }))
  const Key = { pk: 'ORG#demo-utility#STICK#S-1', sk: 'FACT#00000002' }
  const { Item } = await table.send(new GetCommand({ TableName: name, Key }))
  const { fact } = Item as { fact: { test: { dry: { readings: { leakageMicroamps: number }[] } } } }
  const readings = fact.test.dry.readings.map((one, i) => (i === 0 ? { ...one, leakageMicroamps: 3 } : one))
  const altered = { ...fact, test: { ...fact.test, dry: { readings } } }
  await table.send(new PutCommand({ TableName: name, Item: { ...Item, fact: altered } }))
  expect(await stack.prove()).toMatch(
    /^demo-utility: fact [0-9a-f-]{36}, number 2 of stick S-1, is not what was recorded$/m,
  )
  expect(await checked(mailed)).toMatch(/FAULT: record 2 \(fact [0-9a-f-]{36}\) is not in the tree as it reads here/)
  await table.send(new PutCommand({ TableName: name, Item: Item ?? Key }))
  expect(await stack.prove()).toMatch(/^3 facts in 1 trees: none was altered, and no head either$/m)
  expect(await checked(mailed)).toContain('All of it holds.')
})
