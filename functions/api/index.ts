import { handle, type LambdaEvent } from 'hono/aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { apiEnvironment } from '../platform/environment.ts'
import { documentClient, openTable } from '../platform/table.ts'
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
