/**
 * The one writer of conditional writes. Changes and conditions have names here, and come out as expressions of the
 * table.
 */

/** The change of an item's attributes. An attribute whose new value is undefined is left as it is. */
export interface ItemChange {
  readonly set?: Readonly<Record<string, unknown>>
  /** attributes that take the value of another one, each by its own name and then the other's */
  readonly take?: Readonly<Record<string, string>>
  readonly add?: Readonly<Record<string, number>>
  readonly remove?: readonly string[]
}

interface Said {
  readonly name: (attribute: string) => string
  readonly value: (value: unknown) => string
}
/** A condition on the item as it is at the write. An absent attribute is neither equal to a value nor less than one. */
export type Condition = (said: Said) => string

export const isThere =
  (attribute: string): Condition =>
  ({ name }) =>
    `attribute_exists(${name(attribute)})`

export const isAbsent =
  (attribute: string): Condition =>
  ({ name }) =>
    `attribute_not_exists(${name(attribute)})`

export const isLessThan =
  (attribute: string, most: string | number): Condition =>
  ({ name, value }) =>
    `${name(attribute)} < ${value(most)}`

export const isOneOf =
  (attribute: string, values: readonly (string | number | null)[]): Condition =>
  ({ name, value }) =>
    `(${values.map((one) => `${name(attribute)} = ${value(one)}`).join(' OR ')})`

export const is = (attribute: string, value: string | number | null) => isOneOf(attribute, [value])

export const eitherOf =
  (...conditions: readonly Condition[]): Condition =>
  (said) =>
    `(${conditions.map((condition) => condition(said)).join(' OR ')})`

/** The key was never used. */
export const isNew = isAbsent('pk')

interface Conditional {
  readonly ConditionExpression: string
  readonly ExpressionAttributeNames: Record<string, string>
  readonly ExpressionAttributeValues?: Record<string, unknown>
}

/** Conditions of a write that replaces the whole item. */
export function onlyIf(first: Condition, ...others: readonly Condition[]): Conditional {
  const { said, expression } = begun()
  return expression({ ConditionExpression: allOf([first, ...others], said) })
}

/** The change and the conditions of a write that changes an item in place. */
export function changeIf(
  { set = {}, take = {}, add = {}, remove = [] }: ItemChange,
  first: Condition,
  ...others: readonly Condition[]
): Conditional & { readonly UpdateExpression: string } {
  const { said, expression } = begun()
  const { name, value } = said
  const given = Object.entries(set).filter(([, one]) => one !== undefined)
  const clauses = [
    clause('SET', [
      ...given.map(([attribute, one]) => `${name(attribute)} = ${value(one)}`),
      ...Object.entries(take).map(([attribute, other]) => `${name(attribute)} = ${name(other)}`),
    ]),
    clause(
      'ADD',
      Object.entries(add).map(([attribute, one]) => `${name(attribute)} ${value(one)}`),
    ),
    clause('REMOVE', remove.map(name)),
  ]
  return expression({
    UpdateExpression: clauses.join('').trimEnd(),
    ConditionExpression: allOf([first, ...others], said),
  })
}

const clause = (verb: string, parts: readonly string[]) => (parts.length === 0 ? '' : `${verb} ${parts.join(', ')} `)

function allOf(conditions: readonly Condition[], said: Said): string {
  return conditions.map((condition) => condition(said)).join(' AND ')
}

/** Every attribute goes by a # name, since the table keeps many words for itself. */
function begun() {
  const names = new Map<string, string>()
  const values: unknown[] = []
  const said: Said = {
    name(attribute) {
      names.set(`#${attribute}`, attribute)
      return `#${attribute}`
    },
    value: (one) => `:v${values.push(one)}`,
  }
  const expression = <Expressions extends object>(expressions: Expressions) => ({
    ...expressions,
    ExpressionAttributeNames: Object.fromEntries(names),
    ...(values.length === 0
      ? {}
      : { ExpressionAttributeValues: Object.fromEntries(values.map((one, i) => [`:v${i + 1}`, one])) }),
  })
  return { said, expression }
}
