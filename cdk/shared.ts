import type { HttpApi } from 'aws-cdk-lib/aws-apigatewayv2'
import type { Bucket } from 'aws-cdk-lib/aws-s3'
import type { ITopic } from 'aws-cdk-lib/aws-sns'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import type { PublicAddresses } from './addresses.ts'
import type { Releases } from './constructs/release.ts'
import type { AnyTable } from './constructs/stream.ts'
import type { Settings } from './settings.ts'

/** Parts of the stack that every function's construct is given. */
export interface Shared {
  readonly bundles: string
  readonly table: AnyTable
  readonly api: HttpApi
  readonly addresses: PublicAddresses
  readonly settings: Settings
  /** the days for which logs are kept */
  readonly logDays: number
  readonly releases: Releases
  readonly operators: ITopic
  /** files that people send */
  readonly uploads: Bucket
  /** keeps what the clock could not start, and its runs that failed */
  readonly missedRuns: Queue
}
