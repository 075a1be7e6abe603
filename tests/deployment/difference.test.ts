/** The difference of two templates in plain words, and what of it no deployment may do. */
import { describe, expect, test } from 'vitest'
import { asReleased } from '../../cdk/deploy.ts'
import { differenceOf, keptIn, type Template } from '../../cdk/difference.ts'

const retained = { DeletionPolicy: 'Retain', UpdateReplacePolicy: 'Retain' }
const index = (IndexName: string, ProjectionType = 'ALL') => ({
  IndexName,
  KeySchema: [{ AttributeName: `${IndexName}Key`, KeyType: 'HASH' }],
  Projection: { ProjectionType },
})
const base: Template = {
  Resources: {
    Table: {
      Type: 'AWS::DynamoDB::Table',
      ...retained,
      Metadata: { 'aws:cdk:path': 'Quarterturn/Table/Resource' },
      Properties: {
        KeySchema: [{ AttributeName: 'pk', KeyType: 'HASH' }],
        AttributeDefinitions: [{ AttributeName: 'pk', AttributeType: 'S' }],
        GlobalSecondaryIndexes: [index('a'), index('b')],
      },
    },
    Pool: { Type: 'AWS::Cognito::UserPool', ...retained, Properties: { UsernameAttributes: ['email'] } },
    Topic: { Type: 'AWS::SNS::Topic', ...retained },
    Door: {
      Type: 'AWS::Lambda::Function',
      Metadata: { 'aws:cdk:path': 'Quarterturn/Rest/Door/Function/Resource' },
      Properties: { Code: { S3Key: 'one.zip' }, Timeout: 20, Environment: { Variables: { FEEDS_URL: 'https://a' } } },
    },
    VersionOne: { Type: 'AWS::Lambda::Version' },
    Live: { Type: 'AWS::Lambda::Alias', Properties: { Name: 'live', FunctionVersion: { Ref: 'VersionOne' } } },
    Queue: { Type: 'AWS::SQS::Queue' },
  },
  Outputs: { ApiUrl: { Value: 'https://a' } },
}

type Parts = Record<string, { Type: string; Properties?: Record<string, unknown>; DeletionPolicy?: string }>

/** A template like the first, with something changed. */
function changed(change: (parts: Parts) => void): Template {
  const copy = structuredClone(base) as { Resources: Parts }
  change(copy.Resources)
  return copy as Template
}
const properties = (parts: Parts, id: string) => parts[id]?.Properties ?? {}
const refusedBy = (change: (parts: Parts) => void) => differenceOf(base, changed(change)).refused
const changesBy = (change: (parts: Parts) => void) => differenceOf(base, changed(change)).changes

test('nothing changes where nothing does', () => {
  expect(differenceOf(base, structuredClone(base))).toEqual({ changes: [], refused: [] })
})

describe('is told in plain words', () => {
  const door = 'Lambda::Function Rest/Door/Function (Door)'

  test('by the place of a part in the code, down to the value', () => {
    const changes = changesBy((parts) => {
      Object.assign(properties(parts, 'Door'), { Timeout: 30, Environment: { Variables: { FEEDS_URL: 'https://b' } } })
      delete parts.Queue
      parts.Other = { Type: 'AWS::SQS::Queue' }
    })
    expect(changes).toEqual([
      `changed: ${door}: Timeout from 20 to 30`,
      `changed: ${door}: Environment.Variables.FEEDS_URL from "https://a" to "https://b"`,
      'gone: SQS::Queue Queue',
      'new: SQS::Queue Other',
    ])
  })

  test('other code is told once, and not its version and alias too', () => {
    const changes = changesBy((parts) => {
      properties(parts, 'Door').Code = { S3Key: 'two.zip' }
      delete parts.VersionOne
      parts.VersionTwo = { Type: 'AWS::Lambda::Version' }
      properties(parts, 'Live').FunctionVersion = { Ref: 'VersionTwo' }
    })
    expect(changes).toEqual([`other code: ${door}`])
  })

  test('a first deployment makes everything', () => {
    expect(differenceOf(null, base)).toEqual({ changes: ['nothing is there yet: 7 parts are made'], refused: [] })
  })
})

describe('is refused where what holds data would be replaced', () => {
  test.each<[what: string, why: RegExp, change: (parts: Parts) => void]>([
    ['its id is gone', /^DynamoDB::Table Table .*its id is gone.*every fact/, (parts) => delete parts.Table],
    [
      'under another id',
      /its id is gone/,
      (parts) => {
        parts.Records = structuredClone(parts.Table) as Parts[string]
        delete parts.Table
      },
    ],
    [
      'another key schema',
      /would be replaced: KeySchema differs/,
      (parts) => {
        properties(parts, 'Table').KeySchema = [{ AttributeName: 'id', KeyType: 'HASH' }]
      },
    ],
    [
      'a key of another type',
      /the attribute pk has another type/,
      (parts) => {
        properties(parts, 'Table').AttributeDefinitions = [{ AttributeName: 'pk', AttributeType: 'N' }]
      },
    ],
    [
      'a name of its own',
      /TableName differs/,
      (parts) => {
        properties(parts, 'Table').TableName = 'sticks'
      },
    ],
    [
      'another schema of the pool',
      /Pool would be replaced: UsernameAttributes differs.*accounts/,
      (parts) => {
        properties(parts, 'Pool').UsernameAttributes = ['phone_number']
      },
    ],
    [
      'another type under its id',
      /Topic would be replaced/,
      (parts) => {
        parts.Topic = { Type: 'AWS::SQS::Queue' }
      },
    ],
    [
      'kept no longer',
      /Pool would be deleted with the stack/,
      (parts) => {
        parts.Pool = { ...parts.Pool, DeletionPolicy: 'Delete' } as Parts[string]
      },
    ],
    [
      'a new bucket that is not kept',
      /Files would be deleted with the stack/,
      (parts) => {
        parts.Files = { Type: 'AWS::S3::Bucket' }
      },
    ],
  ])('%s', (_, why, change) => {
    expect(refusedBy(change)).toEqual([expect.stringMatching(why)])
  })

  test('and by none of what can be made again', () => {
    expect(refusedBy((parts) => delete parts.Queue)).toEqual([])
  })
})

describe('of indexes', () => {
  const indexed = (...indexes: object[]) =>
    refusedBy((parts) => {
      properties(parts, 'Table').GlobalSecondaryIndexes = indexes
    })

  test('one may be made, or ended', () => {
    expect(indexed(index('a'), index('b'), index('c'))).toEqual([])
    expect(indexed(index('a'))).toEqual([])
  })

  test.each([
    ['two made', [index('a'), index('b'), index('c'), index('d')]],
    ['two ended', []],
    ['one in place of another', [index('a'), index('c')]],
  ])('two are refused: %s', (_, indexes) => {
    expect(indexed(...indexes)).toEqual([expect.stringContaining('one deployment changes one index at most')])
  })

  test('none is changed under its name', () => {
    expect(indexed(index('a', 'KEYS_ONLY'), index('b'))).toEqual([expect.stringContaining('the index a cannot be')])
  })
})

test('what is released is kept as it was', () => {
  expect(JSON.parse(asReleased(base))).toEqual({ ...base, Parameters: {} })
  expect(differenceOf(JSON.parse(asReleased(base)) as Template, base)).toEqual({ changes: [], refused: [] })
})

test('what holds data or addresses is found by its type', () => {
  expect(Object.keys(keptIn(base))).toEqual(['Table', 'Pool', 'Topic'])
})
