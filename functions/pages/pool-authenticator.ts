/**
 * The authenticator of a person of the user pool. It is set up with the person's own token, which opens nobody else's:
 * the pages need no right at the pool for it.
 */
import {
  AssociateSoftwareTokenCommand,
  CodeMismatchException,
  CognitoIdentityProviderClient,
  EnableSoftwareTokenMFAException,
  GetUserCommand,
  SetUserMFAPreferenceCommand,
  VerifySoftwareTokenCommand,
} from '@aws-sdk/client-cognito-identity-provider'
import type { Authenticator } from './ways.ts'

export function authenticatorOfPool(region: string): Authenticator {
  const pool = new CognitoIdentityProviderClient({
    region,
    maxAttempts: 2,
    requestHandler: { connectionTimeout: 400, requestTimeout: 3_000, throwOnRequestTimeout: true },
  })
  return {
    async isSetUp(AccessToken) {
      const { UserMFASettingList = [] } = await pool.send(new GetUserCommand({ AccessToken }))
      return UserMFASettingList.includes('SOFTWARE_TOKEN_MFA')
    },
    async begin(AccessToken) {
      const { SecretCode } = await pool.send(new AssociateSoftwareTokenCommand({ AccessToken }))
      if (SecretCode === undefined) throw new Error('the pool made no secret for an authenticator')
      return SecretCode
    },
    async finish(AccessToken, UserCode) {
      try {
        const { Status } = await pool.send(new VerifySoftwareTokenCommand({ AccessToken, UserCode }))
        if (Status !== 'SUCCESS') return false
      } catch (error) {
        if (error instanceof CodeMismatchException || error instanceof EnableSoftwareTokenMFAException) return false
        throw error
      }
      const SoftwareTokenMfaSettings = { Enabled: true, PreferredMfa: true }
      await pool.send(new SetUserMFAPreferenceCommand({ AccessToken, SoftwareTokenMfaSettings }))
      return true
    },
  }
}
