import { handle, type LambdaEvent } from 'hono/aws-lambda'
import { systemClock } from '../platform/clock.ts'
import { tableEnvironment } from '../platform/environment.ts'
import { documentClient, openTable } from '../platform/table.ts'
import { buildApi } from './api.ts'
import openApi from './openapi.generated.json' with { type: 'json' }

const api = buildApi({
  table: openTable(documentClient(), tableEnvironment().TABLE_NAME),
  clock: systemClock,
  claimsOf: (context) => {
    const event = context.env.event as LambdaEvent & { requestContext: { authorizer?: { jwt?: { claims?: unknown } } } }
    return event.requestContext.authorizer?.jwt?.claims
  },
  openApi,
})

export const handler = handle(api)
