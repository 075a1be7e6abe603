/** The journal: what of each write it keeps, in what, and that nothing is lost on the way or harmed by coming twice. */
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord } from 'aws-lambda'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { handOn, type QueueName } from '../../functions/hand-on/hand-on.ts'
import { keepInJournal } from '../../functions/journal/journal.ts'
import {
  type JournalObject,
  journalLineOf,
  linesIn,
  markJournal,
  messagesOf,
  objectsOf,
} from '../../functions/store/journal.ts'
import { journalMark } from '../../functions/store/keys.ts'
import type { Item } from '../../functions/store/table.ts'
import { entities, journalled, notJournalled } from '../../functions/store/table-shape.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { fakeTable } from '../support/fake-table.ts'

const now = '2026-03-02T15:00:00.250Z' as Instant

const record = (item: object, eventName: DynamoDBRecord['eventName'] = 'INSERT'): DynamoDBRecord => ({
  ...(eventName === undefined ? {} : { eventName }),
  dynamodb: {
    SequenceNumber: '17',
    ApproximateCreationDateTime: 1_772_463_600,
    NewImage: marshall(item) as unknown as Record<string, never>,
  },
})

const fact = (stickId: string, organisation = 'demo') => ({
  pk: `ORG#${organisation}#STICK#${stickId}`,
  sk: 'FACT#00000001',
  entity: 'fact',
  fact: { factId: 'f', seq: 1, note: 'at “the grip”\n, Œ' },
})

beforeEach(() => {
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
})
afterEach(() => vi.restoreAllMocks())

describe('a line', () => {
  test('holds the item as it is stored, when it was written and of whom it is, and is JSON by itself', () => {
    const [line, ...more] = messagesOf([journalLineOf(record(fact('S-1')))].flatMap((one) => one ?? []))
    expect(more).toEqual([])
    expect(JSON.parse(line?.trimEnd() ?? '')).toEqual({
      at: '2026-03-02T15:00:00.000Z',
      sequence: '17',
      entity: 'fact',
      organisation: 'demo',
      item: fact('S-1'),
    })
    expect(line?.split('\n')).toHaveLength(2)
  })

  test('of a stick leaves out its state, which its facts tell', () => {
    const stick = { pk: 'ORG#demo#STICK#S-1', sk: 'STATE', entity: 'stick', told: null, state: { facts: 1 } }
    expect(journalLineOf(record(stick))?.item).toEqual({ pk: stick.pk, sk: stick.sk, entity: 'stick', told: null })
  })

  test('of no one organisation says so', () => {
    const item = { ...journalMark, entity: 'journal mark', heardAt: now }
    expect(journalLineOf(record(item))?.organisation).toBe('SYSTEM')
  })

  test.each(entities.map((entity) => [entity]))('%s: kept, or left out with a reason', (entity) => {
    const kept = journalLineOf(record({ pk: 'ORG#demo#X', sk: 'X', entity }, 'MODIFY')) !== undefined
    expect(kept).toBe(!(entity in notJournalled))
    expect(journalled.includes(entity)).toBe(kept)
  })

  test('is none of what no kind of item is, or what is gone', () => {
    expect(journalLineOf(record({ pk: 'a', sk: 'b' }))).toBeUndefined()
    expect(journalLineOf(record(fact('S-1'), 'REMOVE'))).toBeUndefined()
  })
})

describe('messages', () => {
  test('hold every line once and in its order, however long the lines are', () => {
    const lengths = fc.array(fc.integer({ min: 1, max: 300_000 }), { maxLength: 8 })
    fc.assert(
      fc.property(lengths, (all) => {
        const lines = all.flatMap((length, i) => {
          const item = { ...fact(`S-${i}`), fact: { note: 'ü'.repeat(length / 2) } } as unknown as Item
          return { ...(journalLineOf(record(fact(`S-${i}`))) as NonNullable<ReturnType<typeof journalLineOf>>), item }
        })
        const messages = messagesOf(lines)
        expect(messages.flatMap(linesIn)).toEqual(lines)
        for (const message of messages) {
          const isOne = linesIn(message).length === 1
          expect(isOne || Buffer.byteLength(message) <= 200_000).toBe(true)
          expect(Buffer.byteLength(message)).toBeLessThan(1_048_576)
        }
      }),
      { numRuns: 60 },
    )
  })
})

describe('objects', () => {
  const message = messagesOf(
    [fact('S-1'), fact('S-2', 'other'), fact('S-3'), { ...journalMark, entity: 'journal mark' }].flatMap(
      (item) => journalLineOf(record(item)) ?? [],
    ),
  ).join('')

  test('are one an organisation, named by it and by the time', () => {
    const objects = objectsOf(message, now)
    expect(objects.map(({ key }) => key.replace(/[0-9a-f]{16}\.ndjson$/, '…'))).toEqual([
      'journal/organisations/demo/2026-03-02/15-00-00-250Z-…',
      'journal/organisations/other/2026-03-02/15-00-00-250Z-…',
      'journal/system/2026-03-02/15-00-00-250Z-…',
    ])
    expect(objects.flatMap(({ text }) => linesIn(text))).toHaveLength(4)
  })

  test('of the same message at the same moment are the same ones', () => {
    expect(objectsOf(message, now)).toEqual(objectsOf(message, now))
  })

  test('an organisation of whatever name never lies where another does', () => {
    const keyOf = (name: string) =>
      objectsOf(messagesOf([journalLineOf(record(fact('S-1', name)))].flatMap((l) => l ?? []))[0] ?? '', now)[0]?.key
    expect(keyOf('system')).toMatch(/^journal\/organisations\/system\//)
    expect(keyOf('demo')).not.toBe(keyOf('demo2'))
  })

  test('are written; a message whose object is not taken comes again, and keeps no other', async () => {
    const kept: JournalObject[] = []
    const put = async (object: JournalObject) => {
      if (object.key.includes('/other/')) throw new Error('away')
      kept.push(object)
    }
    const [demo, other] = [messagesOf([journalLineOf(record(fact('S-1')))].flatMap((l) => l ?? []))[0], message]
    const records = [other, demo].map((body, i) => ({ messageId: String(i), body })) as never[]
    expect(await keepInJournal({ put, clock: () => now }, records)).toEqual({
      batchItemFailures: [{ itemIdentifier: '0' }],
    })
    expect(kept.some(({ text }) => text === demo)).toBe(true)
  })
})

describe('the reader of the stream', () => {
  const items = [fact('S-1'), { pk: 'ORG#demo#REINDEXED', sk: 'x', entity: 'reindexed' }, fact('S-2')]

  test('hands the journal what was written, in its order', async () => {
    const sent: [QueueName, string][] = []
    await handOn(
      async (queue, body) => sent.push([queue, body]),
      items.map((item) => record(item)),
    )
    expect(sent.map(([queue]) => queue)).toEqual(['journal'])
    expect(linesIn(sent[0]?.[1] ?? '').map(({ item }) => item.pk)).toEqual([items[0]?.pk, items[2]?.pk])
  })

  test('has everything again that the journal’s queue did not take', async () => {
    const { batchItemFailures } = await handOn(() => Promise.reject(new Error('away')), [record(fact('S-1'))])
    expect(batchItemFailures).toEqual([{ itemIdentifier: '17' }])
  })
})

test('the mark moves on with the clock and never back', async () => {
  const table = fakeTable()
  await markJournal(table, now)
  await markJournal(table, '2026-03-02T14:00:00.000Z' as Instant)
  expect(await table.get(journalMark)).toMatchObject({ entity: 'journal mark', heardAt: now })
})
