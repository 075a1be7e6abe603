/**
 * The local provider in the place of the user pool: its sign-in page, its tokens, its people, and their authenticators.
 */
import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import {
  AdminCreateUserCommand,
  AdminGetUserCommand,
  AssociateSoftwareTokenCommand,
  CognitoIdentityProviderClient,
  GetUserCommand,
  SetUserMFAPreferenceCommand,
  VerifySoftwareTokenCommand,
} from '@aws-sdk/client-cognito-identity-provider'
import { decodeJwt } from 'jose'
import * as oidc from 'openid-client'
import { Secret, TOTP } from 'otpauth'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { poolId } from '../../cdk/local/template/template.ts'
import { openPool } from '../../functions/web/pool.ts'
import { type LocalStack, startStack } from '../local-stack.ts'

let stack: LocalStack
let config: oidc.Configuration
beforeAll(async () => {
  stack = await startStack()
  const { issuer, clientId } = stack.parts.identity
  config = await oidc.discovery(new URL(issuer), clientId, undefined, oidc.None(), {
    execute: [oidc.allowInsecureRequests, oidc.enableNonRepudiationChecks],
  })
})
afterAll(() => stack?.stop())

const scope = 'openid email aws.cognito.signin.user.admin quarterturn/api'

/** A browser that follows the provider as far as its way back to the pages. */
function browser() {
  const cookies = new Map<string, string>()
  async function go(url: string, form?: Record<string, string>): Promise<{ at: URL; text: string; status: number }> {
    const answer = await fetch(url, {
      redirect: 'manual',
      headers: { cookie: [...cookies].map(([name, value]) => `${name}=${value}`).join('; ') },
      ...(form === undefined ? {} : { method: 'POST', body: new URLSearchParams(form) }),
    })
    for (const line of answer.headers.getSetCookie()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? []
      if (value === '') cookies.delete(name)
      else cookies.set(name, value)
    }
    const to = answer.headers.get('location')
    if (to === null) return { at: new URL(url), text: await answer.text(), status: answer.status }
    const next = new URL(to, url)
    if (next.origin === stack.pages) return { at: next, text: '', status: answer.status }
    return go(next.href)
  }
  return { go }
}

async function begun(over: Record<string, string> = {}) {
  const verifier = oidc.randomPKCECodeVerifier()
  const state = oidc.randomState()
  const url = oidc.buildAuthorizationUrl(config, {
    redirect_uri: `${stack.pages}/signed-in`,
    scope,
    state,
    code_challenge: await oidc.calculatePKCECodeChallenge(verifier),
    code_challenge_method: 'S256',
    ...over,
  })
  return { url, verifier, state }
}

async function signsIn(person: string, { go } = browser()) {
  const { url, verifier, state } = await begun()
  const page = await go(url.href)
  const back = await go(page.at.href, { person })
  const grant = () => oidc.authorizationCodeGrant(config, back.at, { pkceCodeVerifier: verifier, expectedState: state })
  return { page, back, grant }
}

describe('the sign-in page', () => {
  test('has a button for each person of the first start, by the names of their tokens', async () => {
    const { page } = await signsIn('manager')
    const values = [...page.text.matchAll(/name="person" value="([^"]+)"/g)].map(([, value]) => value)
    expect(values).toEqual(expect.arrayContaining(Object.keys(stack.tokens)))
    expect(values).toHaveLength(8)
  })

  test('leads back to the pages, with tokens in the pool’s shape', async () => {
    const { grant } = await signsIn('manager-2')
    const tokens = await grant()
    const sub = stack.parts.pool.userOf('manager-2@demo-utility.example')?.sub
    expect(tokens.claims()).toMatchObject({
      sub,
      aud: stack.parts.identity.clientId,
      token_use: 'id',
      email: 'manager-2@demo-utility.example',
      email_verified: true,
    })
    const access = decodeJwt(tokens.access_token)
    expect(access).toMatchObject({ sub, username: sub, token_use: 'access', client_id: stack.parts.identity.clientId })
    expect(access).not.toHaveProperty('aud')
    expect(String(access.scope).split(' ')).toEqual(scope.split(' '))
    expect(Number(access.exp) - Number(access.iat)).toBe(3600)
  })

  test('whose access token opens the API, and whose ID token does not', async () => {
    const tokens = await (await signsIn('manager')).grant()
    expect((await stack.call('GET', '/v1/people', undefined, tokens.access_token)).status).toBe(200)
    expect((await stack.call('GET', '/v1/people', undefined, tokens.id_token)).status).toBe(403)
  })

  test('asks each time who it is: of one browser, one person after the other', async () => {
    const one = browser()
    const first = await (await signsIn('manager', one)).grant()
    const second = await (await signsIn('bench', one)).grant()
    expect([first.claims()?.email, second.claims()?.email]).toEqual([
      'manager@demo-utility.example',
      'bench@demo-utility.example',
    ])
  })

  test('lets in nobody who is not of the pool, takes a code once, and goes nowhere but to the pages', async () => {
    const stranger = await signsIn('nobody')
    expect(stranger.back.at.searchParams.get('error')).toBe('access_denied')
    const { grant } = await signsIn('crew')
    await grant()
    await expect(grant()).rejects.toThrow()
    const elsewhere = await begun({ redirect_uri: 'http://127.0.0.1:1/signed-in' })
    expect((await browser().go(elsewhere.url.href)).status).toBe(400)
    const withoutProof = new URL((await begun()).url)
    withoutProof.searchParams.delete('code_challenge')
    withoutProof.searchParams.delete('code_challenge_method')
    expect((await browser().go(withoutProof.href)).at.searchParams.get('error')).toBe('invalid_request')
  })

  test('is signed out of as the pool is: back to the pages, and to nowhere else', async () => {
    const { issuer, clientId } = stack.parts.identity
    const leave = (to: string) =>
      fetch(`${issuer}/logout?client_id=${clientId}&logout_uri=${to}`, { redirect: 'manual' })
    const left = await leave(`${stack.pages}/signed-out`)
    expect([left.status, left.headers.get('location')]).toEqual([302, `${stack.pages}/signed-out`])
    expect((await leave('https://elsewhere.example')).status).toBe(400)
  })
})

describe('the pool', () => {
  const client = () =>
    new CognitoIdentityProviderClient({
      region: 'us-east-1',
      endpoint: stack.parts.aws,
      credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
    })

  /** As whoever runs the service has it. */
  async function asOperator<T>(work: () => Promise<T>): Promise<T> {
    const given = { AWS_ENDPOINT_URL_COGNITO_IDENTITY_PROVIDER: stack.parts.aws, AWS_ACCESS_KEY_ID: 'local' }
    Object.assign(process.env, given, { AWS_SECRET_ACCESS_KEY: 'local' })
    try {
      return await work()
    } finally {
      for (const name of [...Object.keys(given), 'AWS_SECRET_ACCESS_KEY']) delete process.env[name]
    }
  }

  test('somebody who is made there is invited in our words, and has a button; once ended they have none', async () => {
    const email = 'nell@demo-utility.example'
    const pool = await asOperator(() => openPool(poolId))
    await asOperator(async () => {
      expect(await pool.make(email)).toBe('made')
      expect(await pool.make(email)).toBe('known')
    })
    const [invitation] = await stack.mail(email)
    expect(invitation?.subject).toBe('Your sign-in to Quarterturn · Su acceso a Quarterturn')
    expect(invitation?.text).toContain(`Sign in as ${email}`)
    const tokens = await (await signsIn(email)).grant()
    expect(tokens.claims()?.email).toBe(email)
    // nobody entered them: they are known to the pool and not to us
    const unknown = await stack.call('GET', '/v1/people', undefined, tokens.access_token)
    expect([unknown.status, unknown.headers.get('content-type')]).toEqual([403, 'application/problem+json'])
    expect(unknown.text).toContain('Sign in once on a page of this service')
    await asOperator(() => pool.end(email))
    const after = await signsIn(email)
    expect(after.page.text).not.toContain(email)
    expect(after.back.at.searchParams.get('error')).toBe('access_denied')
    await asOperator(() => pool.end('nobody@demo-utility.example'))
  })

  test('an authenticator is set up with the person’s own token and a code that it shows', async () => {
    const email = 'nora@demo-utility.example'
    const aws = client()
    await aws.send(new AdminCreateUserCommand({ UserPoolId: poolId, Username: email }))
    const AccessToken = (await (await signsIn(email)).grant()).access_token
    const isSetUp = async () =>
      ((await aws.send(new GetUserCommand({ AccessToken }))).UserMFASettingList ?? []).includes('SOFTWARE_TOKEN_MFA')
    expect(await isSetUp()).toBe(false)
    const { SecretCode = '' } = await aws.send(new AssociateSoftwareTokenCommand({ AccessToken }))
    const shown = new TOTP({ secret: Secret.fromBase32(SecretCode) }).generate()
    const wrong = shown === '000000' ? '000001' : '000000'
    await expect(aws.send(new VerifySoftwareTokenCommand({ AccessToken, UserCode: wrong }))).rejects.toThrow(
      'Code mismatch',
    )
    const verified = await aws.send(new VerifySoftwareTokenCommand({ AccessToken, UserCode: shown }))
    expect(verified.Status).toBe('SUCCESS')
    const SoftwareTokenMfaSettings = { Enabled: true, PreferredMfa: true }
    await aws.send(new SetUserMFAPreferenceCommand({ AccessToken, SoftwareTokenMfaSettings }))
    expect(await isSetUp()).toBe(true)
    await expect(aws.send(new GetUserCommand({ AccessToken: stack.tokens.owner?.slice(0, -4) }))).rejects.toThrow()
  })

  test('people of the first start have one already', async () => {
    const { UserMFASettingList } = await client().send(
      new AdminGetUserCommand({ UserPoolId: poolId, Username: 'manager@demo-utility.example' }),
    )
    expect(UserMFASettingList).toEqual(['SOFTWARE_TOKEN_MFA'])
  })

  test('a function without the right is denied, as AWS denies it', async () => {
    const feed = new CognitoIdentityProviderClient({
      region: 'us-east-1',
      endpoint: stack.parts.aws,
      credentials: { accessKeyId: 'LOCALFUNCTION0', secretAccessKey: 'local' },
    })
    const made = feed.send(new AdminCreateUserCommand({ UserPoolId: poolId, Username: 'x@y.example' }))
    await expect(made).rejects.toThrow('is not authorized to perform: cognito-idp:AdminCreateUser')
  })
})

describe('npm run first-owner', () => {
  const run = (...flags: string[]) => {
    const { name, endpoint } = stack.parts.table
    const command = ['functions/first-owner/command.ts', '--table', name, '--endpoint', endpoint, ...flags]
    const env = {
      ...process.env,
      AWS_ENDPOINT_URL_COGNITO_IDENTITY_PROVIDER: stack.parts.aws,
      AWS_ACCESS_KEY_ID: 'local',
      AWS_SECRET_ACCESS_KEY: 'local',
    }
    return promisify(execFile)(process.execPath, command, { env }).then(
      ({ stdout }) => ({ code: 0, said: stdout }),
      ({ code, stderr }: { code: number; stderr: string }) => ({ code, said: stderr }),
    )
  }
  const email = 'nils@new-utility.example'
  const asked = ['--organisation', 'new-utility', '--name', 'Nils Orr', '--email', email, '--pool', poolId]

  test('enters the owner, once, and makes them at the pool', async () => {
    expect(await run(...asked)).toEqual({
      code: 0,
      said: `Nils Orr owns new-utility now, and signs in as ${email}.\nThe first password is on its way by mail.\n`,
    })
    expect(await stack.mail(email)).toHaveLength(1)
    const again = await run(...asked)
    expect(again.code).toBe(1)
    expect(again.said).toContain('has people already')
    expect(await stack.mail(email)).toHaveLength(1)
  })

  test('tells every fault at once, and gives away no address of another organisation', async () => {
    const faulty = await run('--organisation', 'a b', '--email', 'nowhere', '--moon')
    expect(faulty.code).toBe(2)
    for (const word of ['--moon', '--name is missing', '--organisation: an identifier', '--email: a mail address'])
      expect(faulty.said).toContain(word)
    const taken = await run('--organisation', 'third-utility', '--name', 'N', '--email', 'manager@demo-utility.example')
    expect([taken.code, taken.said.includes('belongs to another organisation')]).toEqual([1, true])
  })
})
