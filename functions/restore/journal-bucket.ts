/** Reads the journal's bucket, with the credentials of whoever restores. */
import { GetObjectCommand, paginateListObjectsV2, S3Client } from '@aws-sdk/client-s3'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { folderOfOrganisations, folderOfSystem, type JournalLine, linesIn, placeInTime } from '../store/journal.ts'

export interface JournalBucket {
  readonly name: string
  /** where it is, if elsewhere than AWS */
  readonly endpoint?: string | undefined
}

/** The clocks of functions differ by less. */
const skewSeconds = 60
const objectsAtOnce = 16

/** Every line that came to the journal since the backup, in no order. An object is named by when it was written. */
export async function journalSince({ name, endpoint }: JournalBucket, backupAt: Instant): Promise<JournalLine[]> {
  const local = { region: 'us-east-1', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
  const s3 = new S3Client(endpoint === undefined ? {} : { endpoint, forcePathStyle: true, ...local })
  const from = placeInTime(addSeconds(backupAt, -skewSeconds))
  const lines: JournalLine[] = []
  for (const folder of [folderOfSystem, ...(await foldersIn(s3, name))]) {
    const keys = await keysAfter(s3, name, { folder, from })
    for (let i = 0; i < keys.length; i += objectsAtOnce) {
      const texts = keys.slice(i, i + objectsAtOnce).map((key) => textOf(s3, name, key))
      lines.push(...(await Promise.all(texts)).flatMap(linesIn))
    }
  }
  return lines
}

async function foldersIn(s3: S3Client, Bucket: string): Promise<string[]> {
  const pages = paginateListObjectsV2({ client: s3 }, { Bucket, Prefix: folderOfOrganisations, Delimiter: '/' })
  const folders: string[] = []
  for await (const { CommonPrefixes = [] } of pages)
    folders.push(...CommonPrefixes.flatMap(({ Prefix }) => Prefix ?? []))
  return folders
}

async function keysAfter(
  s3: S3Client,
  Bucket: string,
  { folder, from }: { readonly folder: string; readonly from: string },
): Promise<string[]> {
  const pages = paginateListObjectsV2({ client: s3 }, { Bucket, Prefix: folder, StartAfter: `${folder}${from}` })
  const keys: string[] = []
  for await (const { Contents = [] } of pages) keys.push(...Contents.flatMap(({ Key }) => Key ?? []))
  return keys
}

async function textOf(s3: S3Client, Bucket: string, Key: string): Promise<string> {
  const { Body } = await s3.send(new GetObjectCommand({ Bucket, Key }))
  return (await Body?.transformToString()) ?? ''
}
