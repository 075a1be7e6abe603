/** The bucket of the journal: what was written there once is neither changed nor removed for as long as it is kept. */
import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import { BlockPublicAccess, Bucket, BucketEncryption, ObjectLockRetention, ObjectOwnership } from 'aws-cdk-lib/aws-s3'
import type { Construct } from 'constructs'
import { acknowledge } from './constructs/accept.ts'

/** The longest that years can be: a lock of one day less than was asked for would be too short. */
const daysOf = (years: number) => Math.ceil(years * 365.25)

export function journalBucket(scope: Construct, years: number): Bucket {
  const bucket = new Bucket(scope, 'JournalBucket', {
    versioned: true,
    objectLockEnabled: true,
    // nobody has the right to pass over it. A lock that nobody could ever lift would keep people's names for years
    objectLockDefaultRetention: ObjectLockRetention.governance(Duration.days(daysOf(years))),
    enforceSSL: true,
    minimumTLSVersion: 1.2,
    blockPublicAccess: BlockPublicAccess.BLOCK_ALL,
    objectOwnership: ObjectOwnership.BUCKET_OWNER_ENFORCED,
    encryption: BucketEncryption.S3_MANAGED,
    removalPolicy: RemovalPolicy.RETAIN,
  })
  acknowledge(
    bucket,
    'AwsSolutions-S1',
    'one function writes there and nobody reads but after a loss; who did, CloudTrail tells',
  )
  return bucket
}
