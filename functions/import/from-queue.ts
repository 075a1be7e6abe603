/** Messages of the queue: the bucket tells of a file that came, the table's stream of an import to be gone on with. */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { describe, log } from '../ground/log.ts'
import { keysIn } from '../store/handed-on.ts'
import { goOn, type ImportParts, type NamedImport } from './import.ts'

export async function takeIn(
  parts: ImportParts,
  records: readonly SQSRecord[],
  hasTime: () => boolean,
): Promise<SQSBatchResponse> {
  const left: SQSRecord[] = []
  for (const record of records) {
    try {
      for (const named of namedIn(record.body)) await goOn(parts, named, hasTime)
    } catch (error) {
      log('error', 'message not handled', { message: record.messageId, trouble: describe(error) })
      left.push(record)
    }
  }
  return { batchItemFailures: left.map(({ messageId }) => ({ itemIdentifier: messageId })) }
}

interface BucketEvent {
  readonly Records?: readonly { readonly s3?: { readonly object?: { readonly key?: string } } }[]
}

/** Messages of a bucket that name no file, such as that it was told of this queue, are passed over. */
function namedIn(body: string): NamedImport[] {
  const said = JSON.parse(body) as BucketEvent | unknown[]
  if (Array.isArray(said)) {
    return keysIn(body).flatMap(({ pk, sk }) => {
      const organisation = /^ORG#([^#]+)#IMPORTS$/.exec(pk)?.[1]
      return organisation === undefined ? [] : [{ organisation, id: sk }]
    })
  }
  return (said.Records ?? []).flatMap(({ s3 }) => {
    // a bucket writes a blank of a name as a plus
    const key = decodeURIComponent((s3?.object?.key ?? '').replaceAll('+', ' '))
    const [, organisation, id] = /^files\/([^/]+)\/([^/]+)$/.exec(key) ?? []
    return organisation === undefined || id === undefined ? [] : [{ organisation, id }]
  })
}
