/**
 * Items as they are read: what an item is, and that it holds what whoever reads it counts on, as kinds of values. What lies deeper
 * is its writer's, who is this product. An item that is not so is an error of ours that names it.
 */
import { describe, log } from '../ground/log.ts'
import type { Key } from './table.ts'
import { alarmWords, type Entity } from './table-shape.ts'

type Kind = 'text' | 'number' | 'flag' | 'list' | 'map' | 'null' | 'absent'

/** Those of the values of this type, each of a union. */
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

/** Total by its type: a kind or kinds for each attribute, or the words that it may be. */
export type Shape<Thing> = {
  readonly [Name in keyof Thing]-?:
    | KindOf<Thing[Name]>
    | readonly KindOf<Thing[Name]>[]
    | (Thing[Name] extends string ? ReadonlySet<Thing[Name]> : never)
}

/** `mayBeUnnamed`: earlier builds wrote it without saying what it is. */
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

/** Of a list all that read. One that does not is told in the log, and keeps nobody from the others. */
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
