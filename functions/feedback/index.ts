import type { SNSEvent } from 'aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { documentClient, openTable } from '../store/table.ts'
import { takeAll } from './feedback.ts'

const parts = { table: openTable(documentClient(), tableEnvironment().TABLE_NAME), clock: systemClock }

export const handler = ({ Records }: SNSEvent) =>
  takeAll(
    parts,
    Records.map(({ Sns }) => ({ id: Sns.MessageId, message: Sns.Message })),
  )
