/** What a failed sending says: about the notice, about the moment, or about the account. */
import { NoMail } from './mail.ts'

export type Trouble = 'its own' | 'passing' | 'too fast' | 'nothing is taken'

/**
 * Amazon SES API Reference (2010-12-01), SendRawEmail and "Common Errors". A code nobody knows is taken for the account's:
 * it waits and rings, and loses nothing.
 */
export function troubleOf(error: unknown): Trouble {
  if (error instanceof NoMail) return 'its own'
  if (!(error instanceof Error)) return 'passing'
  const { name, message } = error
  // said of our own address, when its domain is no longer verified, and then of every mail
  if (ofTheMessage.includes(name)) return /not verified/i.test(message) ? 'nothing is taken' : 'its own'
  if (tooFast.includes(name)) return 'too fast'
  const status = (error as { $metadata?: { httpStatusCode?: number } }).$metadata?.httpStatusCode
  return status !== undefined && status >= 400 && status < 500 ? 'nothing is taken' : 'passing'
}

const ofTheMessage = ['MessageRejected', 'InvalidParameterValue', 'InvalidParameterCombination']
const tooFast = ['Throttling', 'ThrottlingException', 'LimitExceededException', 'TooManyRequestsException']
