/**
 * The user pool's people, in the place of the pool: who can sign in, and the calls by which the service makes and ends
 * them and they set up an authenticator.
 */
import { createHash, createHmac, randomBytes, randomUUID } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'

export interface PoolUser {
  readonly email: string
  /** made from the address, so that it is the same at each start */
  readonly sub: string
  /** what the person's button on the sign-in page sends */
  readonly button: string
  readonly enabled: boolean
  /** whether an authenticator is asked for at a sign-in with a password */
  readonly mfa: boolean
  /** the first password was never used: it can be sent again */
  readonly isNew?: boolean
  /** the secret of an authenticator, in base32, once one is begun */
  readonly secret?: string
}

export interface PoolAnswer {
  readonly status: number
  readonly body: Readonly<Record<string, unknown>>
}

export interface LocalPool {
  readonly users: () => readonly PoolUser[]
  readonly userOf: (emailOrSub: string) => PoolUser | undefined
  /** Notes that the person signed in, and with that used their first password. */
  readonly signedIn: (user: PoolUser) => void
  /** `subject`: whose access token came with the call, where one did */
  readonly call: (operation: string, asked: Asked, subject: string | undefined) => PoolAnswer
}

/** What calls send; each names less. */
interface Asked {
  readonly Username?: string
  readonly UserAttributes?: readonly { readonly Name: string; readonly Value: string }[]
  readonly UserCode?: string
  readonly MessageAction?: string
  readonly SoftwareTokenMfaSettings?: { readonly Enabled?: boolean }
}

export interface PoolParts {
  /** the people of the first start, each with the value of their button */
  readonly first: readonly { readonly email: string; readonly button: string }[]
  /** the file in which the pool is kept; without one nothing is */
  readonly file?: string | undefined
  /** sends the first password, or what stands for one here */
  readonly invite: (email: string) => void
}

export function localPool({ first, file, invite }: PoolParts): LocalPool {
  // the people of the first start have an authenticator already
  const begun = first.map(({ email, button }) => userBy(email, { button, mfa: true }))
  const users = new Map([...begun, ...keptIn(file)].map((user) => [user.email, user]))
  const userOf = (name: string) => users.get(name.toLowerCase()) ?? [...users.values()].find(({ sub }) => sub === name)

  /** addresses whose account was deleted: the next one of theirs is another subject */
  const removed = new Set<string>()

  function remove({ email }: PoolUser): PoolAnswer {
    users.delete(email)
    removed.add(email)
    keep()
    return done()
  }

  function keep(): void {
    if (file !== undefined) writeFileSync(file, JSON.stringify([...users.values()]))
  }

  function change(user: PoolUser, over: Partial<PoolUser> = {}): void {
    users.set(user.email, { ...user, ...over })
    keep()
  }

  function make({ Username = '', MessageAction }: Asked): PoolAnswer {
    const known = userOf(Username)
    if (MessageAction === 'RESEND') return inviteAgain(known)
    if (known !== undefined) return refusal('UsernameExistsException', 'An account with the email already exists.')
    const email = Username.toLowerCase()
    const user = { ...userBy(email), ...(removed.has(email) ? { sub: randomUUID() } : {}), isNew: true }
    change(user)
    invite(user.email)
    return done({ User: { Username: user.sub, Enabled: true, UserStatus: 'FORCE_CHANGE_PASSWORD' } })
  }

  function inviteAgain(user: PoolUser | undefined): PoolAnswer {
    if (user === undefined) return refusal('UserNotFoundException', 'User does not exist.')
    if (user.isNew !== true) return refusal('UnsupportedUserStateException', 'Resend not possible.')
    invite(user.email)
    return done({ User: { Username: user.sub, Enabled: user.enabled, UserStatus: 'FORCE_CHANGE_PASSWORD' } })
  }

  function call(operation: string, asked: Asked, subject: string | undefined): PoolAnswer {
    if (operation === 'AdminCreateUser') return make(asked)
    const isAdmin = operation.startsWith('Admin')
    const user = isAdmin ? userOf(asked.Username ?? '') : userOf(subject ?? '')
    if (isAdmin)
      return user === undefined
        ? refusal('UserNotFoundException', 'User does not exist.')
        : operation === 'AdminDeleteUser'
          ? remove(user)
          : byAdmin(operation, user, change)
    if (user === undefined || !user.enabled) return refusal('NotAuthorizedException', 'Invalid Access Token')
    return byThemselves(operation, user, { asked, change })
  }

  function signedIn(user: PoolUser): void {
    if (user.isNew === true) change(user, { isNew: false })
  }

  return { users: () => [...users.values()], userOf, signedIn, call }
}

type Change = (user: PoolUser, over: Partial<PoolUser>) => void

/** What a person asks of their own account. */
function byThemselves(
  operation: string,
  user: PoolUser,
  { asked, change }: { readonly asked: Asked; readonly change: Change },
): PoolAnswer {
  switch (operation) {
    case 'GetUser':
      return done(told(user))
    case 'AssociateSoftwareToken': {
      const secret = base32(randomBytes(20))
      change(user, { secret })
      return done({ SecretCode: secret })
    }
    case 'VerifySoftwareToken':
      if (user.secret === undefined || !codesNow(user.secret).includes(asked.UserCode ?? ''))
        return refusal('EnableSoftwareTokenMFAException', 'Code mismatch')
      return done({ Status: 'SUCCESS' })
    case 'SetUserMFAPreference':
      change(user, { mfa: asked.SoftwareTokenMfaSettings?.Enabled === true })
      return done()
    default:
      return unknown(operation)
  }
}

function byAdmin(operation: string, user: PoolUser, change: Change): PoolAnswer {
  switch (operation) {
    case 'AdminDisableUser':
    case 'AdminEnableUser':
      change(user, { enabled: operation === 'AdminEnableUser' })
      return done()
    case 'AdminUserGlobalSignOut':
      return done()
    case 'AdminGetUser':
      return done({ ...told(user), Enabled: user.enabled, UserStatus: 'CONFIRMED' })
    default:
      return unknown(operation)
  }
}

const keptIn = (file: string | undefined): readonly PoolUser[] =>
  file !== undefined && existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : []

function userBy(email: string, { button = email, mfa = false } = {}): PoolUser {
  return { email, sub: uuidOf(email), button, enabled: true, mfa }
}

const told = ({ sub, email, mfa }: PoolUser) => ({
  Username: sub,
  UserAttributes: [
    { Name: 'sub', Value: sub },
    { Name: 'email', Value: email },
    { Name: 'email_verified', Value: 'true' },
  ],
  ...(mfa ? { UserMFASettingList: ['SOFTWARE_TOKEN_MFA'], PreferredMfaSetting: 'SOFTWARE_TOKEN_MFA' } : {}),
})

const done = (body: PoolAnswer['body'] = {}): PoolAnswer => ({ status: 200, body })
const refusal = (type: string, message: string): PoolAnswer => ({ status: 400, body: { __type: type, message } })
const unknown = (operation: string) => refusal('UnknownOperationException', `the local pool does not know ${operation}`)

/** A UUID made of the address (RFC 9562, version 8). */
function uuidOf(email: string): string {
  const hash = createHash('sha256').update(email).digest('hex')
  return [
    hash.slice(0, 8),
    hash.slice(8, 12),
    `8${hash.slice(13, 16)}`,
    `8${hash.slice(17, 20)}`,
    hash.slice(20, 32),
  ].join('-')
}

const letters = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ234567'

/** RFC 4648, section 6. Twenty bytes make thirty-two letters and leave no bits over. */
function base32(bytes: Buffer): string {
  const bits = [...bytes].map((byte) => byte.toString(2).padStart(8, '0')).join('')
  return (bits.match(/.{5}/g) ?? []).map((five) => letters[Number.parseInt(five, 2)]).join('')
}

function bytesOf(text: string): Buffer {
  const bits = [...text].map((letter) => letters.indexOf(letter).toString(2).padStart(5, '0')).join('')
  return Buffer.from((bits.match(/.{8}/g) ?? []).map((eight) => Number.parseInt(eight, 2)))
}

/** The codes of this half minute and of those beside it (RFC 6238). */
function codesNow(secret: string): string[] {
  const step = Math.floor(Date.now() / 30_000)
  return [step - 1, step, step + 1].map((counter) => {
    const moving = Buffer.alloc(8)
    moving.writeBigUInt64BE(BigInt(counter))
    const hash = createHmac('sha1', bytesOf(secret)).update(moving).digest()
    const at = (hash.at(-1) ?? 0) & 15
    return String((hash.readUInt32BE(at) & 0x7fffffff) % 1_000_000).padStart(6, '0')
  })
}
