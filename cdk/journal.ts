/**
 * The buckets of the journal. What was written to the one is neither changed nor removed for as long as it is kept. In
 * the other lie the names that stand in it as hashes, and each can be erased.
 */
import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import { BlockPublicAccess, Bucket, BucketEncryption, ObjectLockRetention, ObjectOwnership } from 'aws-cdk-lib/aws-s3'
import type { Construct } from 'constructs'
import { acknowledge } from './constructs/accept.ts'

/** The longest that years can be: a lock of one day less than was asked for would be too short. */
const daysOf = (years: number) => Math.ceil(years * 365.25)

const closed = {
  enforceSSL: true,
  minimumTLSVersion: 1.2,
  blockPublicAccess: BlockPublicAccess.BLOCK_ALL,
  objectOwnership: ObjectOwnership.BUCKET_OWNER_ENFORCED,
  encryption: BucketEncryption.S3_MANAGED,
  removalPolicy: RemovalPolicy.RETAIN,
} as const

const whoReads = 'one function writes there and nobody reads but after a loss; who did, CloudTrail tells'

export function journalBucket(scope: Construct, years: number): Bucket {
  const bucket = new Bucket(scope, 'JournalBucket', {
    versioned: true,
    objectLockEnabled: true,
    // nobody has the right to pass over it. A lock that nobody could ever lift would keep people's names for years
    objectLockDefaultRetention: ObjectLockRetention.governance(Duration.days(daysOf(years))),
    ...closed,
  })
  acknowledge(bucket, 'AwsSolutions-S1', whoReads)
  return bucket
}

/** It keeps no versions: a name that is written over is gone. */
export function namesBucket(scope: Construct): Bucket {
  const bucket = new Bucket(scope, 'NamesBucket', closed)
  acknowledge(bucket, 'AwsSolutions-S1', whoReads)
  return bucket
}
