/** A way in which an edit loosens, and what every table of such ways is made of. */
import type { CalendarDate } from '../calendar.ts'
import type { ways } from '../catalogue/en/ways.ts'
import type { SaidOf } from '../catalogue/say.ts'
import { contentOf } from '../said.ts'
import { contentOfHold, type Hold } from '../state/hold.ts'

export interface Way {
  /** kebab-case, stable */
  readonly code: string
  /** the sentence and its values: what would be milder, from what to what */
  readonly says?: SaidOf<typeof ways>
  readonly text?: string
  /** of a hold that would end */
  readonly hold?: Pick<Hold, 'code' | 'detail'>
  /** where in the new edition */
  readonly pointer?: string
}

/** A way in a few words of its own: whoever approved one was told the same. */
export function contentOfWay({ code, hold, ...said }: Way): string {
  return [code, contentOf(said), ...(hold === undefined ? [] : [contentOfHold(hold)])].join(' ')
}

/** An edition and the day from which it counts. */
export interface Dated<Body> {
  readonly effectiveFrom: CalendarDate
  readonly body: Body
}

/** What stood there, and what is to stand there. */
export interface Pair<Thing> {
  readonly before: Thing
  readonly after: Thing
}

/** One row of a table: a field, and how an edit of it can loosen. */
export type Row<Thing> = (edit: Pair<Thing>) => readonly Way[]

/** Of a field that no verdict, due date or status hangs on. */
export const never = () => []

/** A row with one way: where it is milder, what to say of it. */
export const row =
  <Thing>(code: string, isMilder: (edit: Pair<Thing>) => boolean, says: (edit: Pair<Thing>) => string): Row<Thing> =>
  (edit) =>
    isMilder(edit) ? [{ code, text: says(edit) }] : []

/** All rows of a table that is total by the fields of what it is about; each way points to its field. */
export function waysBy<Thing>(table: { readonly [field in keyof Thing]-?: Row<Thing> }, edit: Pair<Thing>): Way[] {
  return (Object.keys(table) as (keyof Thing & string)[]).flatMap((field) =>
    table[field](edit).map((way) => ({ ...way, pointer: way.pointer ?? `/${field}` })),
  )
}
