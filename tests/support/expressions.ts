/**
 * Condition and update expressions as far as the product uses them; any other is an error, so that no test passes on a
 * guess.
 */

export type Attributes = Record<string, unknown>

export interface Expression {
  readonly ConditionExpression?: string | undefined
  readonly UpdateExpression?: string | undefined
  readonly ExpressionAttributeNames?: Record<string, string> | undefined
  readonly ExpressionAttributeValues?: Attributes | undefined
}

interface Reader {
  /** the next token, without taking it */
  peek(): string | undefined
  take(expected?: string): string
}

export function holds(expression: Expression, item: Attributes | undefined): boolean {
  const text = expression.ConditionExpression
  if (text === undefined) return true
  const reader = readerOf(text)
  const answer = either(reader, expression, item ?? {})
  if (reader.peek() !== undefined) throw unknown(text)
  return answer
}

/** The item as the update leaves it. */
export function updated(expression: Expression, before: Attributes): Attributes {
  const reader = readerOf(expression.UpdateExpression ?? '')
  const after = { ...before }
  while (reader.peek() !== undefined) clause(reader, expression, before, after)
  return after
}

function either(reader: Reader, expression: Expression, item: Attributes): boolean {
  let answer = both(reader, expression, item)
  while (reader.peek() === 'OR') {
    reader.take()
    answer = both(reader, expression, item) || answer
  }
  return answer
}

function both(reader: Reader, expression: Expression, item: Attributes): boolean {
  let answer = single(reader, expression, item)
  while (reader.peek() === 'AND') {
    reader.take()
    answer = single(reader, expression, item) && answer
  }
  return answer
}

function single(reader: Reader, expression: Expression, item: Attributes): boolean {
  if (reader.peek() === '(') return inBrackets(reader, () => either(reader, expression, item))
  const first = reader.take()
  if (first === 'attribute_not_exists' || first === 'attribute_exists') {
    const present = inBrackets(reader, () => nameOf(reader.take(), expression)) in item
    return present === (first === 'attribute_exists')
  }
  const operator = reader.take()
  return compare(item[nameOf(first, expression)], operator, given(reader.take(), expression))
}

function inBrackets<T>(reader: Reader, inner: () => T): T {
  reader.take('(')
  const answer = inner()
  reader.take(')')
  return answer
}

/** The service compares so: values of two types are never in order, and an absent one compares with nothing. */
function compare(left: unknown, operator: string, right: unknown): boolean {
  if (operator !== '=' && operator !== '<') throw unknown(operator)
  if (left === undefined || typeof left !== typeof right) return false
  return operator === '=' ? left === right : (left as string) < (right as string)
}

/** A value, or what another attribute held before the update: it has to be there. */
function givenOrKept(token: string, expression: Expression, before: Attributes): unknown {
  if (token.startsWith(':')) return given(token, expression)
  const name = nameOf(token, expression)
  if (!(name in before)) throw unknown(token)
  return before[name]
}

function clause(reader: Reader, expression: Expression, before: Attributes, after: Attributes): void {
  const verb = reader.take()
  do {
    if (reader.peek() === ',') reader.take()
    const name = nameOf(reader.take(), expression)
    if (verb === 'REMOVE') {
      delete after[name]
      continue
    }
    if (verb === 'SET') reader.take('=')
    else if (verb !== 'ADD') throw unknown(verb)
    const value = verb === 'SET' ? givenOrKept(reader.take(), expression, before) : given(reader.take(), expression)
    after[name] = verb === 'SET' ? value : Number(after[name] ?? 0) + Number(value)
  } while (reader.peek() === ',')
}

function nameOf(token: string, { ExpressionAttributeNames: names }: Expression): string {
  if (!token.startsWith('#')) return plainName(token)
  const name = names?.[token]
  if (name === undefined) throw unknown(token)
  return name
}

/** Words the service keeps for itself have to go by a # name; these are the ones this product has reason to use. */
const reserved = ['state', 'version', 'count', 'number', 'name', 'kind', 'status', 'day', 'role', 'date', 'timestamp']

function plainName(token: string): string {
  if (!/^[A-Za-z]\w*$/.test(token) || reserved.includes(token.toLowerCase())) throw unknown(token)
  return token
}

function given(token: string, { ExpressionAttributeValues: values }: Expression): unknown {
  if (values === undefined || !token.startsWith(':') || !(token in values)) throw unknown(token)
  return values[token]
}

function readerOf(text: string): Reader {
  const tokens = text.match(/[#:]?\w+|[^\s\w]/g) ?? []
  let at = 0
  return {
    peek: () => tokens[at],
    take(expected) {
      const token = tokens[at++]
      if (token === undefined || (expected !== undefined && token !== expected)) throw unknown(text)
      return token
    },
  }
}

function unknown(what: string): Error {
  return new Error(`ValidationException: this fake does not know the expression ${what}`)
}
