import { handle } from 'hono/aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { tableEnvironment } from '../platform/environment.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { buildAnswers } from './answers.ts'

export const handler = handle(
  buildAnswers({ table: openTable(documentClient(), tableEnvironment().TABLE_NAME), clock: systemClock }),
)
