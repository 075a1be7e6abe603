/** New notices as their queue hands them over. */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { takeEach } from '../store/handed-on.ts'
import { asNotice, type Notice } from '../store/notices.ts'
import { readEach } from '../store/reading.ts'
import { isMailPaused } from '../store/restored-mark.ts'
import type { Key } from '../store/table.ts'
import { deliverAll, type Parts } from './deliver-notices.ts'

/** A message of which a notice is not done comes again, and what was sent of it is known as sent. */
export const deliverFromQueue = (parts: Parts, records: readonly SQSRecord[]): Promise<SQSBatchResponse> =>
  takeEach(records, (keys) => isDone(parts, keys))

async function isDone(parts: Parts, keys: readonly Key[]): Promise<boolean> {
  // the table keeps what is owed, and the run every few minutes takes it up once a person lets mail go on
  if (await isMailPaused(parts.table)) return true
  const found = readEach(await parts.table.getAll(keys), asNotice)
  const notices = found.filter(isToLeave).sort((a, b) => rank(a) - rank(b))
  const done = await deliverAll(parts, notices)
  return notices.every((notice) => !['stop here', 'try again', undefined].includes(done.get(notice)))
}

const isToLeave = ({ state }: Notice) => state === 'owed' || state === 'claimed'

/** To the hands a stick is in before their managers. */
const rank = ({ to }: Notice) => inHand.indexOf(to.role)

const inHand: readonly string[] = ['crew', 'foreman', 'bench', 'manager']
