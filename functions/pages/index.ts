import { handle } from 'hono/aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { pagesEnvironment } from '../ground/environment.ts'
import { openOrganisation } from '../store/organisation.ts'
import { documentClient, openTable } from '../store/table.ts'
import { buildPages } from './pages.ts'

const environment = pagesEnvironment()
const table = openTable(documentClient(), environment.TABLE_NAME)

export const handler = handle(
  buildPages({
    open: () => openOrganisation(table, environment.PAGES_ORGANISATION),
    clock: systemClock,
    feedsUrl: environment.FEEDS_URL,
  }),
)
