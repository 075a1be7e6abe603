import { RemovalPolicy } from 'aws-cdk-lib'
import { AttributeType, BillingMode, ProjectionType, StreamViewType, Table } from 'aws-cdk-lib/aws-dynamodb'
import type { Construct } from 'constructs'
import type { Grants } from './constructs/function.ts'

/** All planned for day one: a stack update adds or removes one index at most. */
const indexes = {
  'by-depot-next-tell': ['depotTellKey', 'nextTellOn'],
  'by-depot-standing': ['depotStandingKey', 'standingSort'],
  'by-crew-standing': ['crewKey', 'standingSort'],
  'by-depot-return': ['depotLentKey', 'returnSort'],
  'by-instrument': ['instrumentKey', 'testedSort'],
  'by-lot': ['lotKey', 'stickId'],
  'unsent-notices': ['unsentKey', 'owedAt'],
  'notices-by-stick': ['noticeStickKey', 'owedAt'],
  'notices-by-crew': ['noticeCrewKey', 'owedAt'],
  'notices-by-mailbox': ['noticeMailboxKey', 'owedAt'],
} as const

const text = (name: string) => ({ name, type: AttributeType.STRING })

export function theTable(scope: Construct): Table {
  const table = new Table(scope, 'Table', {
    partitionKey: text('pk'),
    sortKey: text('sk'),
    billingMode: BillingMode.PAY_PER_REQUEST,
    stream: StreamViewType.NEW_AND_OLD_IMAGES,
    pointInTimeRecoverySpecification: { pointInTimeRecoveryEnabled: true },
    deletionProtection: true,
    removalPolicy: RemovalPolicy.RETAIN,
  })
  for (const [indexName, [partition, sort]] of Object.entries(indexes)) {
    table.addGlobalSecondaryIndex({
      indexName,
      partitionKey: text(partition),
      sortKey: text(sort),
      projectionType: ProjectionType.ALL,
    })
  }
  return table
}

export const indexArn = (table: Table, index: keyof typeof indexes) => `${table.tableArn}/index/${index}`
export const everyIndexArn = (table: Table) =>
  Object.keys(indexes).map((index) => indexArn(table, index as keyof typeof indexes))

/** Items by their keys, and those of one partition. */
export const readsTable = ({ tableArn }: Table): Grants => ({
  ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [tableArn]],
})
