import { RemovalPolicy } from 'aws-cdk-lib'
import { AttributeType, BillingMode, ProjectionType, StreamViewType, Table } from 'aws-cdk-lib/aws-dynamodb'
import type { Construct } from 'constructs'
import { type IndexName, indexes, tableKey } from '../functions/store/table-shape.ts'
import type { Grants } from './constructs/function.ts'
import type { AnyTable } from './constructs/stream.ts'

const text = (name: string) => ({ name, type: AttributeType.STRING })

/** A table that was brought back from a backup, by the name and the stream that it has since. */
export interface RestoredTable {
  readonly name: string
  readonly streamArn: string
}

/**
 * The table that the functions work on: the stack's own, or one that was brought back from a backup. The stack keeps
 * its own in either case. What it made once is not to vanish from the template because another stands in its place.
 */
export function theTable(scope: Construct, restored?: RestoredTable): AnyTable {
  const own = ownTable(scope)
  if (restored === undefined) return own
  const { name: tableName, streamArn: tableStreamArn } = restored
  return Table.fromTableAttributes(scope, 'RestoredTable', { tableName, tableStreamArn })
}

function ownTable(scope: Construct): Table {
  const table = new Table(scope, 'Table', {
    partitionKey: text(tableKey.partition),
    sortKey: text(tableKey.sort),
    billingMode: BillingMode.PAY_PER_REQUEST,
    stream: StreamViewType.NEW_AND_OLD_IMAGES,
    pointInTimeRecoverySpecification: { pointInTimeRecoveryEnabled: true },
    deletionProtection: true,
    removalPolicy: RemovalPolicy.RETAIN,
  })
  for (const [indexName, { partition, sort, projection }] of Object.entries(indexes)) {
    table.addGlobalSecondaryIndex({
      indexName,
      partitionKey: text(partition),
      sortKey: text(sort),
      projectionType: ProjectionType[projection],
    })
  }
  return table
}

const indexArn = (table: AnyTable, index: IndexName) => `${table.tableArn}/index/${index}`

/** A function is granted the queries of those indexes that it asks, and no other. */
export const readsIndexes = (table: AnyTable, ...names: readonly IndexName[]): Grants => ({
  ReadIndexes: [['dynamodb:Query'], names.map((name) => indexArn(table, name))],
})

/** Indexes of what people ask for, on pages and by programs: all but the queues, which the program works off. */
export const askedByPeople = [
  'by-depot-next-tell',
  'by-depot-standing',
  'by-crew-standing',
  'by-depot-return',
  'by-instrument',
  'by-lot',
  'notices-by-stick',
  'notices-by-crew',
  'notices-by-mailbox',
] as const satisfies readonly IndexName[]

/** Items by their keys, and those of one partition. */
export const readsTable = ({ tableArn }: AnyTable): Grants => ({
  ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [tableArn]],
})
