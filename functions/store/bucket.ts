/** A bucket that a command reads, with the credentials of whoever runs it. */
import { GetObjectCommand, PutObjectCommand, paginateListObjectsV2, S3Client } from '@aws-sdk/client-s3'

export interface NamedBucket {
  readonly name: string
  /** where it is, if elsewhere than AWS */
  readonly endpoint?: string | undefined
}

export type OpenBucket = ReturnType<typeof openBucket>

export function openBucket({ name: Bucket, endpoint }: NamedBucket) {
  const local = { region: 'us-east-1', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
  const client = new S3Client(endpoint === undefined ? {} : { endpoint, forcePathStyle: true, ...local })
  return {
    /** the folders right below one */
    async folders(Prefix: string): Promise<string[]> {
      const folders: string[] = []
      for await (const { CommonPrefixes = [] } of paginateListObjectsV2({ client }, { Bucket, Prefix, Delimiter: '/' }))
        folders.push(...CommonPrefixes.flatMap((one) => one.Prefix ?? []))
      return folders
    },
    async keys(Prefix: string, after = Prefix): Promise<string[]> {
      const keys: string[] = []
      for await (const { Contents = [] } of paginateListObjectsV2({ client }, { Bucket, Prefix, StartAfter: after }))
        keys.push(...Contents.flatMap(({ Key }) => Key ?? []))
      return keys
    },
    /** undefined where there is no such object */
    async text(Key: string): Promise<string | undefined> {
      try {
        const { Body } = await client.send(new GetObjectCommand({ Bucket, Key }))
        return (await Body?.transformToString()) ?? ''
      } catch (error) {
        if ((error as Error).name === 'NoSuchKey') return undefined
        throw error
      }
    },
    put: (Key: string, Body: string): Promise<unknown> =>
      client.send(new PutObjectCommand({ Bucket, Key, Body, ContentType: 'application/json' })),
  }
}
