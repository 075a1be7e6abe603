/** What a failed sending says: about the notice, about the moment, or about the account. */
import { NoMail } from './mail.ts'

export type Trouble = 'its own' | 'refused' | 'passing' | 'too fast' | 'nothing is taken' | 'quota used up'

/**
 * Amazon SES API Reference (2010-12-01), SendRawEmail and "Common Errors"; the texts of `MessageRejected` from memory.
 * What is plainly about the account waits and rings, and what is plainly about this mail is its own; any other refusal
 * is judged by what becomes of the notices beside it.
 */
export function troubleOf(error: unknown): Trouble {
  if (error instanceof NoMail) return 'its own'
  if (!(error instanceof Error)) return 'passing'
  const { name, message } = error
  if (tooFast.includes(name)) return quotaWords.test(message) ? 'quota used up' : 'too fast'
  const status = (error as { $metadata?: { httpStatusCode?: number } }).$metadata?.httpStatusCode
  if (status === 401 || status === 403 || ofTheAccount.includes(name) || accountWords.test(message))
    return 'nothing is taken'
  if (ofTheMessage.includes(name)) return 'its own'
  if (name === 'MessageRejected') return 'refused'
  return status !== undefined && status >= 400 && status < 500 ? 'refused' : 'passing'
}

const ofTheMessage = ['InvalidParameterValue', 'InvalidParameterCombination']
const ofTheAccount = [
  'AccessDenied',
  'AccessDeniedException',
  'AccountSendingPausedException',
  'ConfigurationSetDoesNotExist',
  'ConfigurationSetDoesNotExistException',
  'ConfigurationSetSendingPausedException',
  'ExpiredTokenException',
  'MailFromDomainNotVerifiedException',
  'RequestExpired',
  'UnrecognizedClientException',
]
/**
 * said of our own address, when its domain is no longer verified, and of an account under review: of every mail then
 */
const accountWords = /not verified|suspended|paused/i
/**
 * Amazon SES Developer Guide, "Errors related to the sending quotas for your account": no waiting of a run mends it.
 */
const quotaWords = /daily message quota/i
const tooFast = ['Throttling', 'ThrottlingException', 'LimitExceededException', 'TooManyRequestsException']
