/** Event filter patterns: which records an event source mapping hands on. */
export type Matches = (record: unknown) => boolean

/** One matching pattern is enough. A mapping without a pattern lets everything through. */
export function filterOf(patterns: readonly string[]): Matches {
  const all = patterns.map((pattern) => matcher(JSON.parse(pattern), pattern))
  return (record) => all.length === 0 || all.some((matches) => matches(record))
}

function matcher(pattern: unknown, whole: string): Matches {
  if (Array.isArray(pattern)) {
    const rules = pattern.map(valueRule)
    return (value) => rules.some((matches) => matches(value))
  }
  if (pattern === null || typeof pattern !== 'object')
    throw new Error(`values stand in lists in a filter pattern: ${whole}`)
  const fields = Object.entries(pattern).map(([name, inner]) => [name, matcher(inner, whole)] as const)
  return (value) => fields.every(([name, matches]) => matches(isObject(value) ? value[name] : undefined))
}

function valueRule(rule: unknown): Matches {
  if (!isObject(rule)) return (value) => value === rule
  const [[name, argument] = [], ...more] = Object.entries(rule)
  if (more.length === 0 && name === 'exists') return (value) => (value !== undefined) === argument
  if (more.length === 0 && name === 'prefix')
    return (value) => typeof value === 'string' && value.startsWith(String(argument))
  if (more.length === 0 && name === 'anything-but')
    return (value) => value !== undefined && ![argument].flat().includes(value)
  throw new Error(`the local stack does not know this rule of a filter pattern: ${JSON.stringify(rule)}`)
}

function isObject(value: unknown): value is Record<string, unknown> {
  return value !== null && typeof value === 'object' && !Array.isArray(value)
}
