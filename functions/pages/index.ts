import { handle } from 'hono/aws-lambda'
import { systemClock } from '../ground/clock.ts'
import { pagesEnvironment, uploadsEnvironment } from '../ground/environment.ts'
import { endAllSessions, whoSignsIn } from '../questions/signed-in.ts'
import type { Shares } from '../requests/fair-shares.ts'
import { openOrganisation } from '../store/organisation.ts'
import { documentClient, openTable } from '../store/table.ts'
import { buildPages } from './pages.ts'
import type { ProviderSettings, SignInProvider } from './provider.ts'
import { sealsOf } from './seals.ts'
import { sessionsIn } from './session.ts'

const environment = pagesEnvironment()
const { ORIGIN_URL: origin, POOL_REGION: poolRegion } = environment
const table = openTable(documentClient('somebody waits'), environment.TABLE_NAME)
const seals = sealsOf([environment.SEAL_NOW, environment.SEAL_BEFORE])

const settings: ProviderSettings = {
  origin,
  issuer: environment.ISSUER_URL,
  clientId: environment.SIGN_IN_CLIENT,
  scope: environment.SIGN_IN_SCOPE,
  claims: JSON.parse(environment.SIGN_IN_CLAIMS) as ProviderSettings['claims'], // as the stack wrote it
}
let provider: Promise<SignInProvider> | undefined
let shares: Promise<Shares> | undefined

async function ownShares(): Promise<Shares> {
  const { fairShares } = await import('../requests/fair-shares.ts')
  return fairShares(Number(environment.REQUESTS_PER_SECOND), () => performance.now())
}

export const handler = handle(
  buildPages({
    open: (organisation) => openOrganisation(table, organisation),
    clock: systemClock,
    origin,
    feedsUrl: environment.FEEDS_URL,
    uploads: async () => (await import('../store/uploads.ts')).uploadsTo(uploadsEnvironment(), systemClock),
    looks: async () => {
      const { certificateLook, labelLook } = await import('../questions/public-looks.ts')
      return {
        label: (asked) => labelLook(table, asked),
        certificate: (asked) => certificateLook(table, asked),
      }
    },
    shares: () => (shares ??= ownShares()),
    sessionOf: sessionsIn(seals, systemClock),
    signIn: {
      seals,
      provider: () => (provider ??= import('./provider.ts').then(({ openProvider }) => openProvider(settings))),
      authenticator:
        poolRegion === undefined
          ? null
          : async () => (await import('./pool-authenticator.ts')).authenticatorOfPool(poolRegion),
      whoSignsIn: (told, times) => whoSignsIn(table, told, times),
      endAllSessions: (session, at) => endAllSessions(table, session, at),
    },
  }),
)
