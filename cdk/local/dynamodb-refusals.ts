/** What DynamoDB refuses and DynamoDB Local lets pass. Each is listed in README.md beside this file. */
import { itemTouched, partsOf, writesOneItem } from './dynamodb-calls.ts'
import type { Properties } from './template.ts'

export interface Refusal {
  readonly type: string
  readonly body: { readonly message: string; readonly [more: string]: unknown }
}

const transactionLimit = 4 * 1024 * 1024

export interface Refusals {
  /** Why the call is refused, or what to do when its answer has come. */
  readonly enter: (operation: string, body: Properties, bytes: number) => { refusal: Refusal } | { leave: () => void }
}

/** Remembers which items are being written by a transaction: another write of theirs meanwhile is a conflict. */
export function dynamoDbRefusals(): Refusals {
  const inTransaction = new Set<string>()

  function transaction(body: Properties, bytes: number) {
    if (bytes > transactionLimit) return { refusal: validation('Transaction request cannot exceed 4 MB') }
    const items = partsOf(body).map(({ given }) => itemTouched(given))
    const reasons = items.map((item) => (inTransaction.has(item) ? conflict : { Code: 'None' }))
    if (reasons.some((reason) => reason === conflict)) return { refusal: cancelled(reasons) }
    for (const item of items) inTransaction.add(item)
    const leave = () => {
      for (const item of items) inTransaction.delete(item)
    }
    return { leave }
  }

  return {
    enter(operation, body, bytes) {
      if (operation === 'TransactWriteItems') return transaction(body, bytes)
      if (writesOneItem(operation) && inTransaction.has(itemTouched(body))) return { refusal: ongoing }
      return { leave: () => undefined }
    },
  }
}

const conflict = { Code: 'TransactionConflict', Message: 'Transaction is ongoing for the item' }

const ongoing: Refusal = {
  type: 'com.amazonaws.dynamodb.v20120810#TransactionConflictException',
  body: { message: 'Transaction is ongoing for the item' },
}

const validation = (message: string): Refusal => ({
  type: 'com.amazon.coral.validate#ValidationException',
  body: { message },
})

function cancelled(reasons: readonly { Code: string }[]): Refusal {
  const codes = reasons.map(({ Code }) => Code).join(', ')
  const message = `Transaction cancelled, please refer cancellation reasons for specific reasons [${codes}]`
  return {
    type: 'com.amazonaws.dynamodb.v20120810#TransactionCanceledException',
    body: { message, Message: message, CancellationReasons: reasons },
  }
}
