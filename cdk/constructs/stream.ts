import { Duration } from 'aws-cdk-lib'
import type { ITable, Table } from 'aws-cdk-lib/aws-dynamodb'
import { EventSourceMapping, FilterCriteria, type IFunction, StartingPosition } from 'aws-cdk-lib/aws-lambda'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import type { Construct } from 'constructs'
import type { Grants } from './function.ts'

/** The stack's own table, or one that it was pointed at. */
export type AnyTable = Table | ITable

export interface StreamProps {
  readonly table: AnyTable
  readonly target: IFunction
  /** the stream tells of every write; only what fits one of them is handed over */
  readonly filters: readonly Parameters<typeof FilterCriteria.filter>[0][]
  /** records that could not be handled end here for good */
  readonly failures: Queue
}

/**
 * Hands a function what is written to the table; AWS advises two readers at most. Its role is granted reading the
 * stream by name, with `streamGrants`.
 */
export function fromStream(scope: Construct, id: string, { table, target, filters, failures }: StreamProps): void {
  new EventSourceMapping(scope, id, {
    target,
    eventSourceArn: table.tableStreamArn ?? '',
    startingPosition: StartingPosition.TRIM_HORIZON,
    batchSize: 10,
    reportBatchItemFailures: true,
    bisectBatchOnError: true,
    retryAttempts: 5,
    maxRecordAge: Duration.hours(6),
    // the role is granted sending by name, so nothing is left to grant here
    onFailure: { bind: () => ({ destination: failures.queueArn }) },
    filters: filters.map((filter) => FilterCriteria.filter(filter)),
  })
}

export function streamGrants({ tableStreamArn }: AnyTable): Grants {
  return {
    ReadStream: [
      ['dynamodb:DescribeStream', 'dynamodb:GetRecords', 'dynamodb:GetShardIterator'],
      [tableStreamArn ?? ''],
    ],
    // streams can only be listed for all tables at once
    FindStream: [['dynamodb:ListStreams'], ['*']],
  }
}
