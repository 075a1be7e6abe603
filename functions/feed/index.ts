import { handle } from 'hono/aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { feedEnvironment } from '../ground/environment.ts'
import { documentClient, openTable } from '../store/table.ts'
import { buildFeed } from './feed.ts'

const environment = feedEnvironment()

export const handler = handle(
  buildFeed({
    table: openTable(documentClient('somebody waits'), environment.TABLE_NAME),
    clock: systemClock,
    from: environment.MAIL_FROM,
  }),
)
