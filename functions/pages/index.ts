import { handle } from 'hono/aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { pagesEnvironment } from '../platform/environment.ts'
import { openOrganisation } from '../platform/organisation.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { buildPages } from './pages.ts'

const environment = pagesEnvironment()
const table = openTable(documentClient(), environment.TABLE_NAME)

export const handler = handle(
  buildPages({
    open: () => openOrganisation(table, environment.PAGES_ORGANISATION),
    clock: systemClock,
  }),
)
