/** The journal: what of each write it keeps, in what, and that nothing is lost on the way or harmed by coming twice. */
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord } from 'aws-lambda'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { eraseBeside } from '../../functions/erase-name/beside-journal.ts'
import { hashing } from '../../functions/ground/hashing.ts'
import { handOn, type QueueName } from '../../functions/hand-on/hand-on.ts'
import { keepInJournal } from '../../functions/journal/journal.ts'
import {
  type JournalLine,
  type JournalObject,
  journalLineOf,
  linesIn,
  markJournal,
  messagesOf,
  objectsOf,
} from '../../functions/store/journal.ts'
import { apart, readNames, together } from '../../functions/store/journal-names.ts'
import { journalMark } from '../../functions/store/keys.ts'
import type { Item } from '../../functions/store/table.ts'
import { entities, journalled, notJournalled } from '../../functions/store/table-shape.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { leafHash } from '../../shared-domain/proof/digest.ts'
import { type KeptTexts, leafOf } from '../../shared-domain/proof/record.ts'
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
    const objects = objectsOf(linesIn(message), now)
    expect(objects.map(({ key }) => key.replace(/[0-9a-f]{16}\.ndjson$/, '…'))).toEqual([
      'journal/organisations/demo/2026-03-02/15-00-00-250Z-…',
      'journal/organisations/other/2026-03-02/15-00-00-250Z-…',
      'journal/system/2026-03-02/15-00-00-250Z-…',
    ])
    expect(objects.flatMap(({ text }) => linesIn(text))).toHaveLength(4)
  })

  test('an organisation of whatever name never lies where another does', () => {
    const keyOf = (name: string) =>
      objectsOf(
        [journalLineOf(record(fact('S-1', name)))].flatMap((line) => line ?? []),
        now,
      )[0]?.key
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
    expect(await keepInJournal({ put, putNames: put, clock: () => now }, records)).toEqual({
      batchItemFailures: [{ itemIdentifier: '0' }],
    })
    expect(kept.some(({ text }) => text === demo)).toBe(true)
  })
})

describe('names', () => {
  const named = (kind: string, more: object, leaf?: object) => ({
    ...fact('S-1'),
    fact: { factId: 'f', seq: 1, kind, recordedBy: 'vera', approvedBy: 'vera', ...more },
    ...(leaf === undefined ? {} : { leaf }),
  })
  const test1 = { test: { testedBy: 'Vera', note: 'told by Vera', dry: { readings: [] } } }
  const salts = {
    '/fact/recordedBy': '01'.repeat(32),
    '/fact/approvedBy': '02'.repeat(32),
    '/fact/test/testedBy': '03'.repeat(32),
    '/fact/test/note': '04'.repeat(32),
    '/editions/procedure/body/approvedBy': '05'.repeat(32),
  }
  const lineOf = (item: object) => journalLineOf(record(item)) as JournalLine
  const lines = [
    lineOf(named('tested', test1)),
    lineOf(named('tested', test1, { index: 4, salts })),
    lineOf(named('moved', { move: { to: { lentTo: 'Vera' } } })),
  ]
  const besideOf = ({ beside }: ReturnType<typeof apart>) => (beside === null ? null : readNames(beside.text))

  test('stand in no line that is locked, and neither do their salts; with what lies beside it is whole again', () => {
    for (const line of lines) {
      const kept = apart(line)
      expect(JSON.stringify(kept.line)).not.toMatch(/vera/i)
      for (const salt of Object.values(salts).slice(0, 4)) expect(JSON.stringify(kept.line)).not.toContain(salt)
      expect(kept.beside?.key).toBe('names/demo/f/17.json')
      expect(together(kept.line, besideOf(kept))).toEqual(line)
    }
    const other = lineOf({ pk: 'ORG#demo#X', sk: 'X', entity: 'guard' })
    expect(apart(other)).toEqual({ line: other, beside: null })
  })

  test('of a fact in the tree are the hashes of its leaf, so that it proves without them', () => {
    const item = lines[1]?.item as unknown as { fact: RecordedFact; leaf: { index: number; salts: typeof salts } }
    const record = { organisation: 'demo', stickId: 'S-1', fact: item.fact }
    const leaf = leafOf(hashing, record, item.leaf)
    const { line } = apart(lines[1] as JournalLine)
    expect(leafHash(hashing.sha256, hashing.canonicalBytes({ form: 1, ...record, fact: line.item.fact }))).toBe(leaf)
    const back = together(line, null).item as unknown as { fact: RecordedFact; leaf: KeptTexts }
    expect(JSON.stringify(back)).not.toMatch(/vera/i)
    expect(leafOf(hashing, { ...record, fact: back.fact }, back.leaf)).toBe(leaf)
  })

  test('that were erased in the table are erased in the line that comes of it', () => {
    const erased = { '/fact/test/testedBy': 'aa'.repeat(32) }
    const { '/fact/test/testedBy': _, ...left } = salts
    const line = lineOf(named('tested', { test: { ...test1.test, testedBy: '—' } }, { index: 4, salts: left, erased }))
    expect(together(apart(line).line, besideOf(apart(line)))).toEqual(line)
  })

  test('are erased beside the journal where a text names the person, and in no other text', async () => {
    const kept = new Map(lines.map((line, i) => [`names/demo/f/${i}.json`, apart(line).beside?.text ?? '']))
    kept.set('names/other/f/0.json', kept.get('names/demo/f/0.json') ?? '')
    const bucket = {
      keys: async (folder: string) => [...kept.keys()].filter((key) => key.startsWith(folder)),
      text: async (key: string) => kept.get(key),
      put: async (key: string, text: string) => kept.set(key, text),
    }
    expect(await eraseBeside(bucket, 'demo', { name: 'VERA' })).toBe(11)
    const [demo, other] = ['names/demo/', 'names/other/'].map((folder) =>
      [...kept]
        .filter(([key]) => key.startsWith(folder))
        .map(([, text]) => text)
        .join(''),
    )
    expect([demo, other]).toEqual([expect.not.stringMatching(/vera/i), expect.stringMatching(/Vera/)])
    expect(await eraseBeside(bucket, 'demo', { name: 'Vera' })).toBe(0)
  })

  test('are kept before their line: a line whose names are nowhere would read as if they had been erased', async () => {
    const put = vi.fn(async () => undefined)
    const body = messagesOf(lines).join('')
    const away = { put, putNames: () => Promise.reject(new Error('away')), clock: () => now }
    expect((await keepInJournal(away, [{ messageId: '1', body }] as never[])).batchItemFailures).toHaveLength(1)
    expect(put).not.toHaveBeenCalled()
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
