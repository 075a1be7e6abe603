/**
 * DynamoDB refuses to write an item that another transaction is writing; DynamoDB Local takes every write in turn and
 * lets all of them pass. Here the second of two is refused as DynamoDB would.
 */

import type { Properties } from '../template/template.ts'
import { itemTouched, partsOf, writesOneItem } from './dynamodb-calls.ts'

export interface ConflictAnswer {
  readonly type: string
  readonly body: { readonly message: string; readonly [more: string]: unknown }
}

export interface Conflicts {
  /** the refusal of a call, or the step to take once its answer has come */
  readonly enter: (operation: string, body: Properties) => { refusal: ConflictAnswer } | { leave: () => void }
}

export function transactionConflicts(): Conflicts {
  const inTransaction = new Set<string>()

  function transaction(body: Properties) {
    const items = partsOf(body).map(({ given }) => itemTouched(given))
    const reasons = items.map((item) => (inTransaction.has(item) ? conflict : { Code: 'None' }))
    if (reasons.includes(conflict)) return { refusal: cancelled(reasons) }
    for (const item of items) inTransaction.add(item)
    const leave = () => {
      for (const item of items) inTransaction.delete(item)
    }
    return { leave }
  }

  return {
    enter(operation, body) {
      if (operation === 'TransactWriteItems') return transaction(body)
      if (writesOneItem(operation) && inTransaction.has(itemTouched(body))) return { refusal: ongoing }
      return { leave: () => undefined }
    },
  }
}

interface Reason {
  readonly Code: string
  readonly Message?: string
}

const conflict: Reason = { Code: 'TransactionConflict', Message: 'Transaction is ongoing for the item' }

const ongoing: ConflictAnswer = {
  type: 'com.amazonaws.dynamodb.v20120810#TransactionConflictException',
  body: { message: 'Transaction is ongoing for the item' },
}

function cancelled(reasons: readonly Reason[]): ConflictAnswer {
  const codes = reasons.map(({ Code }) => Code).join(', ')
  const message = `Transaction cancelled, please refer cancellation reasons for specific reasons [${codes}]`
  return {
    type: 'com.amazonaws.dynamodb.v20120810#TransactionCanceledException',
    body: { message, Message: message, CancellationReasons: reasons },
  }
}
