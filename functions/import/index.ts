import { GetObjectCommand, PutObjectCommand, S3Client } from '@aws-sdk/client-s3'
import type { Context, SQSBatchResponse, SQSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { importEnvironment } from '../ground/environment.ts'
import { documentClient, openTable } from '../store/table.ts'
import { takeIn } from './from-queue.ts'

const { TABLE_NAME, UPLOADS_BUCKET: Bucket, FEEDS_URL } = importEnvironment()
const s3 = new S3Client({})
const parts = {
  table: openTable(documentClient(), TABLE_NAME),
  clock: systemClock,
  feedsUrl: FEEDS_URL,
  bucket: {
    async get(Key: string): Promise<Uint8Array> {
      const { Body } = await s3.send(new GetObjectCommand({ Bucket, Key }))
      return (await Body?.transformToByteArray()) ?? new Uint8Array()
    },
    put: (Key: string, Body: Uint8Array) =>
      s3.send(new PutObjectCommand({ Bucket, Key, Body, ContentType: 'text/csv; charset=utf-8' })),
  },
}

/** The longest time of a page, with a margin. */
const leastMillisForAPage = 30_000

/** Files that came, and imports that are to be gone on with. */
export const handler = ({ Records }: SQSEvent, context: Context): Promise<SQSBatchResponse> =>
  takeIn(parts, Records, () => context.getRemainingTimeInMillis() > leastMillisForAPage)
