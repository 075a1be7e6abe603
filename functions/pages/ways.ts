/** Parts that the ways in and out share. */
import type { Context } from 'hono'
import type { Instant } from '../../shared-domain/calendar.ts'
import type { LetIn, NotLetIn, Session, Times, Told } from '../questions/signed-in.ts'
import type { SignInProvider } from './provider.ts'
import type { Seals } from './seals.ts'
import type { Visits } from './visit.ts'

export interface SignInParts {
  readonly seals: Seals
  /** what speaks with the provider is loaded with the first sign-in */
  readonly provider: () => Promise<SignInProvider>
  /** null where the provider itself answers for a second factor */
  readonly authenticator: (() => Promise<Authenticator>) | null
  /** finds the person, and binds the provider's subject to them at the first time */
  readonly whoSignsIn: (told: Told, times: Times) => Promise<LetIn | NotLetIn>
  readonly endAllSessions: (session: Session, at: Instant) => Promise<void>
}

/** The app on a phone whose codes the provider asks for, besides the password. */
export interface Authenticator {
  readonly isSetUp: (accessToken: string) => Promise<boolean>
  /** Answers the secret that the app is to be told. */
  readonly begin: (accessToken: string) => Promise<string>
  /** Answers whether the code fitted; from then on the provider asks for one at each sign-in. */
  readonly finish: (accessToken: string, code: string) => Promise<boolean>
}

/** The parts, and what they share with the pages. */
export interface Ways extends SignInParts {
  readonly visits: Visits
  readonly times: (context: Context) => Times
}

/** What these pages say is loaded with the first of them. */
export const pagesOfSignIn = () => import('./sign-in-pages.ts')
