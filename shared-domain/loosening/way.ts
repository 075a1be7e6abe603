/** A way in which an edit loosens, and what every table of such ways is made of. */
import type { CalendarDate } from '../calendar.ts'
import type { loosenings, phrases } from '../catalogue/en/ways.ts'
import type { SaidOf } from '../catalogue/say.ts'
import { contentOf } from '../said.ts'
import { contentOfHold, type Hold } from '../state/hold.ts'

/** What would be milder, from what to what. */
export type Milder = SaidOf<typeof loosenings>
/** A part of such a sentence. */
export type Part = SaidOf<typeof phrases>

export interface Way {
  /** kebab-case name, stable */
  readonly code: string
  readonly says?: Milder
  /** the English sentence that an earlier build stored in place of `says` */
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

/** A thing as it stood, and as it is to stand. */
export interface Pair<Thing> {
  readonly before: Thing
  readonly after: Thing
}

/** A row of a table: the ways in which an edit of one field can loosen. */
export type FieldRow<Thing> = (edit: Pair<Thing>) => readonly Way[]

/** The row of a field that no verdict, due date or status hangs on. */
export const never = () => []

/** A row with one way: the test for milder, and the sentence for it. */
export const row =
  <Thing>(
    code: string,
    isMilder: (edit: Pair<Thing>) => boolean,
    says: (edit: Pair<Thing>) => Milder,
  ): FieldRow<Thing> =>
  (edit) =>
    isMilder(edit) ? [{ code, says: says(edit) }] : []

/** The ways of all rows. The table is total by the fields of its subject, and each way points to its field. */
export function waysBy<Thing>(table: { readonly [field in keyof Thing]-?: FieldRow<Thing> }, edit: Pair<Thing>): Way[] {
  return (Object.keys(table) as (keyof Thing & string)[]).flatMap((field) =>
    table[field](edit).map((way) => ({ ...way, pointer: way.pointer ?? `/${field}` })),
  )
}
