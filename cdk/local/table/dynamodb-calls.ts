/** Calls to the table: the permissions that each needs, and the items that it touches. */

import type { Properties } from '../template/template.ts'
import type { Permission } from './permissions.ts'

export interface AccountRegion {
  readonly region: string
  readonly account: string
}

const transactionParts = {
  Put: 'PutItem',
  Update: 'UpdateItem',
  Delete: 'DeleteItem',
  ConditionCheck: 'ConditionCheckItem',
  Get: 'GetItem',
} as const
type PartName = keyof typeof transactionParts

interface Part {
  readonly action: (typeof transactionParts)[PartName]
  readonly given: Properties
}

/** The parts of a transaction, each a call of its own to IAM. */
export function partsOf(body: Properties): Part[] {
  return (body.TransactItems ?? []).flatMap((item: Properties) =>
    Object.entries(item).map(([name, given]) => ({ action: transactionParts[name as PartName] ?? name, given })),
  )
}

export function permissionsNeeded(operation: string, body: Properties, place: AccountRegion): Permission[] {
  const on = (action: string, table: unknown, index?: string): Permission => ({
    action: `dynamodb:${action}`,
    resource: tableArn(String(table), place) + (index === undefined ? '' : `/index/${index}`),
  })
  switch (operation) {
    case 'TransactWriteItems':
    case 'TransactGetItems':
      return partsOf(body).map(({ action, given }) => on(action, given.TableName))
    case 'BatchGetItem':
    case 'BatchWriteItem':
      return Object.keys(body.RequestItems ?? {}).map((table) => on(operation, table))
    case 'Query':
    case 'Scan':
      return [on(operation, body.TableName, body.IndexName)]
    default:
      return [
        body.TableName === undefined
          ? { action: `dynamodb:${operation}`, resource: '*' }
          : on(operation, body.TableName),
      ]
  }
}

function tableArn(table: string, { region, account }: AccountRegion): string {
  return table.startsWith('arn:') ? table : `arn:aws:dynamodb:${region}:${account}:table/${table}`
}

export const writesOneItem = (operation: string) => ['PutItem', 'UpdateItem', 'DeleteItem'].includes(operation)
export const writes = (operation: string) =>
  writesOneItem(operation) || operation === 'TransactWriteItems' || operation === 'BatchWriteItem'

/** The name of the item that a write or a part of a transaction touches. */
export function itemTouched(given: Properties): string {
  const { pk, sk } = given.Key ?? given.Item ?? {}
  return JSON.stringify([given.TableName, pk, sk])
}
