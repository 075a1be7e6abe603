import { handle } from 'hono/aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { tableEnvironment } from '../ground/environment.ts'
import { documentClient, openTable } from '../store/table.ts'
import { buildAnswers } from './answers.ts'

export const handler = handle(
  buildAnswers({
    table: openTable(documentClient('somebody waits'), tableEnvironment().TABLE_NAME),
    clock: systemClock,
  }),
)
