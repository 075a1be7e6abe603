/**
 * The people of the user pool: made so that they can sign in, and ended so that they can no more. The client is loaded
 * with the first who needs it.
 */

export interface Pool {
  /** `known`: somebody with this address is there already, and nothing is sent to them */
  readonly make: (email: string) => Promise<'made' | 'known'>
  /** Sends another first password to whoever never used theirs; nothing to whoever did, or is not there. */
  readonly inviteAgain: (email: string) => Promise<void>
  /** In place of the account of somebody else, whose password opens the new one no more. */
  readonly makeAnew: (email: string) => Promise<void>
  /** Opens an account that was ended; who they are and their password are those from before. */
  readonly letInAgain: (email: string) => Promise<void>
  /** Lets nobody in by this address, and takes back what they could renew their tokens by. */
  readonly end: (email: string) => Promise<void>
}

/** The number of a pool begins with its region. */
const regionOf = (poolId: string) => poolId.split('_')[0] ?? ''

export async function openPool(poolId: string): Promise<Pool> {
  const sdk = await import('@aws-sdk/client-cognito-identity-provider')
  const client = new sdk.CognitoIdentityProviderClient({
    region: regionOf(poolId),
    requestHandler: { connectionTimeout: 1_000, requestTimeout: 5_000, throwOnRequestTimeout: true },
  })
  const at = { UserPoolId: poolId }

  const create = (email: string) =>
    client.send(
      new sdk.AdminCreateUserCommand({
        ...at,
        Username: email,
        // whoever may enter people answers for the address; the pool asks for no proof of it besides
        UserAttributes: [
          { Name: 'email', Value: email },
          { Name: 'email_verified', Value: 'true' },
        ],
        DesiredDeliveryMediums: ['EMAIL'],
      }),
    )

  return {
    async make(email) {
      try {
        await create(email)
        return 'made'
      } catch (error) {
        if (error instanceof sdk.UsernameExistsException) return 'known'
        throw error
      }
    },
    async makeAnew(email) {
      try {
        await client.send(new sdk.AdminDeleteUserCommand({ ...at, Username: email }))
      } catch (error) {
        if (!(error instanceof sdk.UserNotFoundException)) throw error
      }
      await create(email)
    },
    async inviteAgain(email) {
      try {
        await client.send(new sdk.AdminCreateUserCommand({ ...at, Username: email, MessageAction: 'RESEND' }))
      } catch (error) {
        const hasNone = error instanceof sdk.UnsupportedUserStateException || error instanceof sdk.UserNotFoundException
        if (!hasNone) throw error
      }
    },
    async letInAgain(email) {
      await client.send(new sdk.AdminEnableUserCommand({ ...at, Username: email }))
    },
    async end(email) {
      const who = { ...at, Username: email }
      try {
        await client.send(new sdk.AdminDisableUserCommand(who))
        await client.send(new sdk.AdminUserGlobalSignOutCommand(who))
      } catch (error) {
        // nobody who is not there can sign in
        if (!(error instanceof sdk.UserNotFoundException)) throw error
      }
    },
  }
}
