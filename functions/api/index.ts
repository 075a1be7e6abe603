import { handle, type LambdaEvent } from 'hono/aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { apiEnvironment, uploadsEnvironment } from '../ground/environment.ts'
import type { TokenRules } from '../questions/identity.ts'
import { fairShares } from '../requests/fair-shares.ts'
import { documentClient, openTable } from '../store/table.ts'
import { buildApi } from './api.ts'

const environment = apiEnvironment()

const api = buildApi({
  table: openTable(documentClient('somebody waits'), environment.TABLE_NAME),
  feedsUrl: environment.FEEDS_URL,
  clock: systemClock,
  shares: fairShares(Number(environment.REQUESTS_PER_SECOND), () => performance.now()),
  tokens: {
    clients: environment.TOKEN_CLIENTS.split(' '),
    scope: environment.TOKEN_SCOPE,
    claims: JSON.parse(environment.TOKEN_CLAIMS) as TokenRules['claims'], // as the stack wrote it
  },
  claimsOf: (context) => {
    const event = context.env.event as LambdaEvent & { requestContext: { authorizer?: { jwt?: { claims?: unknown } } } }
    return event.requestContext.authorizer?.jwt?.claims
  },
  // the pages draw the page in it; they are loaded for nobody else
  proofFile: async (...asked) => (await import('../pages/proof-file.ts')).proofFileInEnglish(...asked),
  paperFile: async (...asked) =>
    (await import('../pages/papers/paper-file.ts')).paperFileInEnglish(environment.ORIGIN_URL)(...asked),
  // few send files
  uploads: async () => (await import('../store/uploads.ts')).uploadsTo(uploadsEnvironment(), systemClock),
  // the document is as large as all the rest, and seldom asked for
  openApi: async () => (await import('./openapi.generated.json', { with: { type: 'json' } })).default,
})

export const handler = handle(api)
