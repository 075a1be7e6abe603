/**
 * Whoever signs in: a user pool of our own, or another OpenID provider. Whatever depends on which of the two stands
 * here, and everything else asks for issuer, clients, scope and claims.
 */
import { Duration, Fn, RemovalPolicy, Stack } from 'aws-cdk-lib'
import {
  AccountRecovery,
  type CfnUserPool,
  type CfnUserPoolClient,
  ClientAttributes,
  Mfa,
  OAuthScope,
  ResourceServerScope,
  UserPool,
  type UserPoolClient,
  UserPoolClientIdentityProvider,
} from 'aws-cdk-lib/aws-cognito'
import { Construct } from 'constructs'
import { acknowledge } from './constructs/accept.ts'
import type { Mail } from './mail.ts'
import type { Settings } from './settings.ts'

/** Another OpenID provider in place of the pool. It answers for a second factor by itself. */
export interface Provider {
  /** as it stands in its tokens: https, and reachable when the stack is deployed */
  readonly issuer: string
  /** clients whose tokens are ours; the pages sign in as the first */
  readonly clients: readonly string[]
  /** the scope of this API, as it stands in access tokens */
  readonly scope: string
  readonly claims: ProviderClaims
}

/** How a provider's tokens say what is read of them. */
export interface ProviderClaims {
  /** the claim of a token's use and its value in an access token; null where there is none */
  readonly use: readonly [claim: string, value: string] | null
  readonly client: string
  readonly scope: string
  /** of ID tokens */
  readonly email: string
  readonly emailVerified: string
}

export interface People {
  readonly issuer: string
  readonly clients: readonly string[]
  readonly scope: string
  /** the claims of access tokens */
  readonly claims: Pick<ProviderClaims, 'use' | 'client' | 'scope'>
  /** the sign-in of the pages */
  readonly signIn: {
    readonly issuer: string
    readonly clientId: string
    /** in words between blanks */
    readonly scope: string
    readonly claims: Pick<ProviderClaims, 'email' | 'emailVerified'>
    /** the region of our own pool */
    readonly poolRegion?: string
  }
  /** our own pool, to whoever makes and ends people there */
  readonly pool?: { readonly id: string; readonly arn: string }
}

export function peopleOf({ issuer, clients, scope, claims }: Provider): People {
  const { email, emailVerified, ...ofTokens } = claims
  const [clientId] = clients
  if (clientId === undefined) throw new Error('a provider names at least one client')
  const signIn = { issuer, clientId, scope: `openid email ${scope}`, claims: { email, emailVerified } }
  return { issuer, clients, scope, claims: ofTokens, signIn }
}

const poolClaims: ProviderClaims = {
  use: ['token_use', 'access'],
  client: 'client_id',
  scope: 'scope',
  email: 'email',
  emailVerified: 'email_verified',
}

/** Claims of an access token that a log may have. */
export const loggedClaims = (provider: Provider | undefined) => ({
  client: (provider?.claims ?? poolClaims).client,
  isSubjectNameless: provider === undefined,
})

const poolScope = { server: 'quarterturn', name: 'api' } as const

export interface OwnPoolParts {
  /** the address of the pages, which people sign in from */
  readonly pages: string
  readonly mail: Mail
  readonly senderIsVerified: Settings['senderIsVerified']
}

/** Nobody signs up: whoever may enter people has them made. */
export function ownPool(parent: Construct, parts: OwnPoolParts): People {
  const scope = new Construct(parent, 'People')
  const pool = thePool(scope, parts)
  const [issuer, clientId] = [pool.userPoolProviderUrl, clientOf(pool, parts.pages).userPoolClientId]
  const name = `${poolScope.server}/${poolScope.name}`
  const { email, emailVerified, ...claims } = poolClaims
  return {
    issuer,
    clients: [clientId],
    scope: name,
    claims,
    signIn: {
      issuer,
      clientId,
      scope: `openid email aws.cognito.signin.user.admin ${name}`,
      claims: { email, emailVerified },
      poolRegion: Stack.of(scope).region,
    },
    pool: { id: pool.userPoolId, arn: pool.userPoolArn },
  }
}

function thePool(scope: Construct, { mail, senderIsVerified }: OwnPoolParts): UserPool {
  const pool = new UserPool(scope, 'Pool', {
    selfSignUpEnabled: false,
    signInAliases: { email: true },
    signInCaseSensitive: false,
    // an address is looked at before it is taken, since the first sign-in finds a person by it
    keepOriginal: { email: true },
    passwordPolicy: {
      minLength: 14,
      requireLowercase: true,
      requireUppercase: true,
      requireDigits: true,
      requireSymbols: true,
      tempPasswordValidity: Duration.days(7),
    },
    // asked of owners and managers by the pages: the pool itself can ask all or nobody
    mfa: Mfa.OPTIONAL,
    mfaSecondFactor: { otp: true, sms: false },
    accountRecovery: AccountRecovery.EMAIL_ONLY,
    userInvitation: { emailSubject: invitation.subject, emailBody: inHtml(invitation.lines) },
    userVerification: { emailSubject: verification.subject, emailBody: inHtml(verification.lines) },
    deletionProtection: true,
    removalPolicy: RemovalPolicy.RETAIN,
  })
  sendsByOurMailOnceVerified(pool, mail, senderIsVerified)
  acknowledge(pool, 'AwsSolutions-COG2', 'the pages ask owners and managers for an authenticator, and crews for none')
  const unpaid = 'nobody signs up, and a paid plan for guessed passwords is the employer’s choice'
  for (const id of ['AwsSolutions-COG3', 'AwsSolutions-COG8']) acknowledge(pool, id, unpaid)
  pool.addDomain('Domain', { cognitoDomain: { domainPrefix: `quarterturn-${Stack.of(scope).account}` } })
  return pool
}

/** A public client: a browser keeps no secret, and the proof of the code flow stands for one. */
function clientOf(pool: UserPool, pages: string): UserPoolClient {
  const apiScope = new ResourceServerScope({ scopeName: poolScope.name, scopeDescription: 'The API of Quarterturn' })
  const server = pool.addResourceServer('Api', { identifier: poolScope.server, scopes: [apiScope] })
  // the third lets somebody set up their own authenticator
  const scopes = [OAuthScope.OPENID, OAuthScope.EMAIL, OAuthScope.COGNITO_ADMIN]
  const client = pool.addClient('Pages', {
    generateSecret: false,
    oAuth: {
      flows: { authorizationCodeGrant: true },
      scopes: [...scopes, OAuthScope.resourceServer(server, apiScope)],
      callbackUrls: [`${pages}/signed-in`],
      logoutUrls: [`${pages}/signed-out`],
    },
    supportedIdentityProviders: [UserPoolClientIdentityProvider.COGNITO],
    preventUserExistenceErrors: true,
    enableTokenRevocation: true,
    accessTokenValidity: Duration.hours(1),
    idTokenValidity: Duration.hours(1),
    refreshTokenValidity: Duration.hours(8),
    // nobody changes their own address past those who enter people
    readAttributes: new ClientAttributes().withStandardAttributes({ email: true, emailVerified: true, locale: true }),
    writeAttributes: new ClientAttributes().withStandardAttributes({ locale: true }),
  })
  // a client that names no flow would take passwords past the pool's own page
  const made = client.node.defaultChild as CfnUserPoolClient
  made.explicitAuthFlows = ['ALLOW_REFRESH_TOKEN_AUTH']
  return client
}

/**
 * A pool is not made that names a domain which SES has not verified yet, and verifying takes the records that the first
 * deployment tells. Until then the pool sends by its own address, in the same words.
 */
function sendsByOurMailOnceVerified(
  pool: UserPool,
  { from, replyTo, identityArn, configurationSet }: Mail,
  isVerified: OwnPoolParts['senderIsVerified'],
): void {
  const ours: CfnUserPool.EmailConfigurationProperty = {
    emailSendingAccount: 'DEVELOPER',
    from: `Quarterturn <${from}>`,
    replyToEmailAddress: replyTo,
    sourceArn: identityArn,
    configurationSet,
  }
  const made = pool.node.defaultChild as CfnUserPool
  if (typeof isVerified === 'boolean') {
    if (isVerified) made.emailConfiguration = ours
    return
  }
  made.emailConfiguration = Fn.conditionIf(isVerified.logicalId, inTemplate(ours), { Ref: 'AWS::NoValue' })
}

/** What stands in a condition is written as it is: names are those of the template. */
const inTemplate = (properties: object) =>
  Object.fromEntries(Object.entries(properties).map(([name, value]) => [name[0]?.toUpperCase() + name.slice(1), value]))

const safety = [
  'This service supports and never replaces your employer’s procedures, local rules and qualified people.',
  'Este servicio apoya los procedimientos de su empresa, las reglas locales y a las personas cualificadas, y nunca ' +
    'los sustituye.',
]

/** Nobody knows yet which language the reader has, and the pool has one text: both stand in it. */
const invitation = {
  subject: 'Your sign-in to Quarterturn · Su acceso a Quarterturn',
  lines: [
    'You can sign in to Quarterturn now, which keeps the sticks of your organisation.',
    'Sign in as {username} with this password, and choose your own: {####}',
    'The password is good for seven days. After that, ask whoever entered you to have you invited again.',
    '',
    'Ya puede entrar en Quarterturn, que lleva las pértigas de su organización.',
    'Entre como {username} con esta contraseña y elija la suya: {####}',
    'La contraseña vale siete días. Después, pida a quien le dio de alta que le invite de nuevo.',
    '',
    ...safety,
  ],
} as const

const verification = {
  subject: 'Your code for Quarterturn · Su código para Quarterturn',
  lines: [
    'Your code is {####}. If you did not ask for it, tell whoever runs Quarterturn for you.',
    'Su código es {####}. Si no lo ha pedido, avise a quien lleva Quarterturn en su organización.',
    '',
    ...safety,
  ],
} as const

const inHtml = (lines: readonly string[]) => lines.join('<br>\n')
