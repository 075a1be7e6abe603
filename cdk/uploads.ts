/** The bucket that files of rows come to, straight from whoever sends them, and that they leave again by themselves. */
import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import { BlockPublicAccess, Bucket, BucketEncryption, ObjectOwnership } from 'aws-cdk-lib/aws-s3'
import type { Construct } from 'constructs'
import { acknowledge } from './constructs/accept.ts'

/** Long enough to mend what was handed back; what was taken in is in the table. */
const keptFor = Duration.days(30)

export function uploadsBucket(scope: Construct): Bucket {
  const bucket = new Bucket(scope, 'UploadsBucket', {
    enforceSSL: true,
    minimumTLSVersion: 1.2,
    blockPublicAccess: BlockPublicAccess.BLOCK_ALL,
    objectOwnership: ObjectOwnership.BUCKET_OWNER_ENFORCED,
    encryption: BucketEncryption.S3_MANAGED,
    lifecycleRules: [{ expiration: keptFor, abortIncompleteMultipartUploadAfter: Duration.days(1) }],
    removalPolicy: RemovalPolicy.RETAIN,
  })
  acknowledge(bucket, 'AwsSolutions-S1', 'each file comes by a form that a function signed; who did, CloudTrail tells')
  return bucket
}
