/** A message as a queue hands it over: what one batch of the table's stream had for it. */
import type { SQSRecord } from 'aws-lambda'
import { handedOn } from '../../functions/store/handed-on.ts'
import { keysOf } from '../../functions/store/keys.ts'
import type { Notice } from '../../functions/store/notices.ts'

type Named = Pick<Notice, 'organisation' | 'number'>

export function queueMessage(messageId: string, notices: readonly Named[]): SQSRecord {
  const keys = notices.map(({ organisation, number }) => keysOf(organisation).notice(number))
  return { messageId, body: handedOn(keys) } as SQSRecord
}
