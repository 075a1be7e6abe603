/**
 * What can go wrong at a step: the errors of each operation, which a test compares with the SDK's documentation of it,
 * those common to all (Amazon DynamoDB Developer Guide, "Error handling with DynamoDB", where a 500 may come after the
 * write; "Common Errors" of both API references; named from memory), no answer at all, and a function that ends at any
 * step without a word, by its timeout or its memory. Each stands for what is left once the SDK has tried again by
 * itself.
 */
import { TransactionCanceledException } from '@aws-sdk/client-dynamodb'

export interface Fault {
  readonly name: string
  /** before what was asked is done, or after it, before the answer comes */
  readonly when: 'before' | 'after'
  /** null: the function ends there */
  readonly error: ((parts: number) => Error) | null
}

/**
 * Where a notice can be struck: written, handed on to a queue, lent to a sender, handed to the mail service, marked,
 * given back or set aside; what became of its mail kept; that the managers heard of it; confirmed as read.
 */
export const steps = ['record', 'hand on', 'claim', 'send', 'mark', 'settle', 'feedback', 'tell', 'answer'] as const
/** and what is about no notice: a read, and a transaction that writes states, lists or registers only */
export type Step = (typeof steps)[number] | 'read' | 'lists'

const said = (name: string, httpStatusCode: number | undefined, when: Fault['when'] = 'before'): Fault => ({
  name,
  when,
  error: () =>
    Object.assign(new Error(`${name}, ${when} it was done`), {
      name,
      ...(httpStatusCode === undefined ? {} : { $metadata: { httpStatusCode } }),
    }),
})

const ended: readonly Fault[] = (['before', 'after'] as const).map((when) => ({ name: 'killed', when, error: null }))

/** Of a network: nobody answered, and nobody knows whether it was done. */
const noAnswer = [
  said('TimeoutError', undefined),
  said('TimeoutError', undefined, 'after'),
  said('ECONNRESET', undefined),
]

const ofAnyService = [
  said('AccessDeniedException', 400),
  said('ExpiredTokenException', 403),
  said('IncompleteSignature', 400),
  said('UnrecognizedClientException', 400),
]

const ofTheTable = [
  said('InvalidEndpointException', 421),
  said('InternalServerError', 500),
  said('ProvisionedThroughputExceededException', 400),
  said('RequestLimitExceeded', 400),
  said('ThrottlingException', 400),
  said('ResourceNotFoundException', 400),
  said('ServiceUnavailable', 503),
]

const canceled = (code: string): Fault => ({
  name: `TransactionCanceledException (${code})`,
  when: 'before',
  error: (parts) =>
    new TransactionCanceledException({
      message: 'Transaction cancelled, please refer cancellation reasons for specific reasons',
      $metadata: { httpStatusCode: 400 },
      CancellationReasons: Array.from({ length: parts }, (_, i) => ({ Code: i === parts - 1 ? code : 'None' })),
    }),
})

const write = [...ended, ...noAnswer, ...ofAnyService, ...ofTheTable, said('InternalServerError', 500, 'after')]
const update = [
  ...write,
  said('TransactionConflictException', 400),
  said('ReplicatedWriteConflictException', 400),
  said('ItemCollectionSizeLimitExceededException', 400),
]
const transaction = [
  ...write,
  said('TransactionInProgressException', 400),
  said('IdempotentParameterMismatchException', 400),
  ...['TransactionConflict', 'ThrottlingError', 'ProvisionedThroughputExceeded'].map(canceled),
  ...['ItemCollectionSizeLimitExceeded', 'ValidationError'].map(canceled),
]

const mail = [
  ...ended,
  ...noAnswer,
  said('MessageRejected', 400),
  said('InvalidParameterValue', 400),
  said('MailFromDomainNotVerifiedException', 400),
  said('ConfigurationSetDoesNotExist', 400),
  // as the SDK names it
  said('ConfigurationSetDoesNotExistException', 400),
  said('ConfigurationSetSendingPausedException', 400),
  said('AccountSendingPausedException', 400),
  said('Throttling', 400),
  said('RequestExpired', 400),
  said('InternalFailure', 500),
  said('InternalFailure', 500, 'after'),
  said('ServiceUnavailable', 503),
]

const queue = [
  ...ended,
  ...noAnswer,
  ...ofAnyService,
  said('InvalidAddress', 404),
  said('InvalidMessageContents', 400),
  said('InvalidSecurity', 403),
  ...['KmsAccessDenied', 'KmsDisabled', 'KmsInvalidKeyUsage', 'KmsInvalidState', 'KmsNotFound'].map((name) =>
    said(name, 400),
  ),
  ...['KmsOptInRequired', 'KmsThrottled'].map((name) => said(name, 400)),
  said('QueueDoesNotExist', 400),
  said('RequestThrottled', 403),
  said('UnsupportedOperation', 400),
  said('InternalError', 500),
  said('InternalError', 500, 'after'),
]

/** Where what is written is one item in one case and several in another. */
const either = [...transaction, ...update.filter((one) => !transaction.includes(one))]

export const faultsAt: Readonly<Record<Step, readonly Fault[]>> = {
  record: transaction,
  'hand on': queue,
  claim: update,
  send: mail,
  mark: update,
  settle: update,
  feedback: either,
  tell: transaction,
  answer: either,
  lists: transaction,
  read: [...ended, ...noAnswer, ...ofAnyService, ...ofTheTable],
}

/** Where SES has the mail and the table does not know it: nothing else may send a notice twice. */
export const inTheWindow = ({ step, fault: { when } }: { step: Step; fault: Fault }) =>
  (step === 'send' && when === 'after') || (step === 'mark' && when === 'before')
