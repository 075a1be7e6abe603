import type { Table } from 'aws-cdk-lib/aws-dynamodb'
import type { ITopic } from 'aws-cdk-lib/aws-sns'

/** What every function's construct is given. */
export interface Shared {
  readonly bundles: string
  readonly table: Table
  readonly operators: ITopic
  /** where links in mails lead */
  readonly pagesUrl: string
}
