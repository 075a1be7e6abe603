import { RemovalPolicy } from 'aws-cdk-lib'
import { AttributeType, BillingMode, ProjectionType, StreamViewType, Table } from 'aws-cdk-lib/aws-dynamodb'
import type { Construct } from 'constructs'
import { type IndexName, indexes, tableKey } from '../functions/store/table-shape.ts'
import type { Grants } from './constructs/function.ts'

const text = (name: string) => ({ name, type: AttributeType.STRING })

export function theTable(scope: Construct): Table {
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

export const indexArn = (table: Table, index: IndexName) => `${table.tableArn}/index/${index}`
export const everyIndexArn = (table: Table) => Object.keys(indexes).map((index) => indexArn(table, index as IndexName))

/** Items by their keys, and those of one partition. */
export const readsTable = ({ tableArn }: Table): Grants => ({
  ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [tableArn]],
})
