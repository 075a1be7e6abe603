import { handle, type LambdaEvent } from 'hono/aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { apiEnvironment } from '../ground/environment.ts'
import { documentClient, openTable } from '../store/table.ts'
import { buildApi } from './api.ts'
import openApi from './openapi.generated.json' with { type: 'json' }

const environment = apiEnvironment()

const api = buildApi({
  table: openTable(documentClient(), environment.TABLE_NAME),
  feedsUrl: environment.FEEDS_URL,
  clock: systemClock,
  claimsOf: (context) => {
    const event = context.env.event as LambdaEvent & { requestContext: { authorizer?: { jwt?: { claims?: unknown } } } }
    return event.requestContext.authorizer?.jwt?.claims
  },
  openApi,
})

export const handler = handle(api)
