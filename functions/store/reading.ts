/**
 * Items are checked as they are read: each is of the kind that its reader asked for, and holds the kinds of values that
 * the reader counts on. What lies deeper is left to its writer, which is this product. An item that does not fit is an
 * error of ours that names it.
 */
import { describe, log } from '../ground/log.ts'
import type { Key } from './table.ts'
import { alarmWords, type Entity } from './table-shape.ts'

type Kind = 'text' | 'number' | 'flag' | 'list' | 'map' | 'null' | 'absent'

/** The kind of a type's values; of a union, the kind of each member. */
type KindOf<Value> = Value extends string
  ? 'text'
  : Value extends number
    ? 'number'
    : Value extends boolean
      ? 'flag'
      : Value extends readonly unknown[]
        ? 'list'
        : Value extends null
          ? 'null'
          : Value extends undefined
            ? 'absent'
            : 'map'

/** The kind or kinds that each attribute may have, or the words that it may be. The type makes every shape total. */
export type Shape<Thing> = {
  readonly [Name in keyof Thing]-?:
    | KindOf<Thing[Name]>
    | readonly KindOf<Thing[Name]>[]
    | (Thing[Name] extends string ? ReadonlySet<Thing[Name]> : never)
}

/** `mayBeUnnamed`: earlier builds wrote such items without saying what they are. */
export function readerOf<Thing extends object>(
  entity: Entity,
  shape: Shape<Thing>,
  { mayBeUnnamed = false } = {},
): (item: unknown) => Thing {
  const checks = Object.entries<string | readonly string[] | ReadonlySet<string>>(shape).map(
    ([name, allowed]) => [name, checkOf(allowed)] as const,
  )
  return (item) => {
    const given = item as Record<string, unknown>
    const isNamed = given.entity === entity || (mayBeUnnamed && given.entity === undefined)
    if (!isNamed) throw unreadable(given, `is no ${entity}`)
    const wrong = checks.find(([name, fits]) => !fits(given[name]))?.[0]
    if (wrong !== undefined) throw unreadable(given, `has no ${wrong} that a ${entity} can have`)
    return item as Thing
  }
}

/**
 * Answers all items of a list that read. An item that does not read is told in the log, and keeps nobody from the
 * others.
 */
export function readEach<Thing>(items: readonly Partial<Key>[], read: (item: unknown) => Thing): Thing[] {
  return items.flatMap((item) => {
    try {
      return [read(item)]
    } catch (error) {
      log('error', alarmWords.doesNotRead, { item: nameOf(item), trouble: describe(error) })
      return []
    }
  })
}

function checkOf(allowed: string | readonly string[] | ReadonlySet<string>): (value: unknown) => boolean {
  if (allowed instanceof Set) return (value) => allowed.has(value)
  const kinds: readonly string[] = typeof allowed === 'string' ? [allowed] : [...allowed]
  return (value) => kinds.includes(kindOf(value))
}

const plainKinds: { readonly [type: string]: Kind } = {
  string: 'text',
  number: 'number',
  boolean: 'flag',
  undefined: 'absent',
}

function kindOf(value: unknown): Kind {
  if (value === null) return 'null'
  return Array.isArray(value) ? 'list' : (plainKinds[typeof value] ?? 'map')
}

/** The log keeps no address, not even one that is a key. */
const nameOf = ({ pk, sk }: Partial<Key>) => `${pk} ${sk?.includes('@') ? '(an address)' : sk}`

function unreadable(item: Record<string, unknown>, what: string): Error {
  return new Error(`the item at ${nameOf(item)} ${what}`)
}
