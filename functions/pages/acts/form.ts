/**
 * A form as data; `form-markup.ts` shows it. A field is named by its place in the body of the request that the form
 * becomes (a pointer of RFC 6901, such as `/to/crewId`), so that whatever the request finds wrong there is said beside
 * the field.
 */
import type { Markup } from '../../web/web-page.ts'
import type { Unit } from './measure.ts'

interface Any {
  readonly name: `/${string}`
  readonly label: string
  /** what would be right, in the words of whoever fills it in */
  readonly hint?: Markup | string
  /** what stands in it at first */
  readonly value?: string
  readonly optional?: true
}

/** A value, its text, a word on what it means, and its picture. */
export type Option = readonly [value: string, text: string, meaning?: string | undefined, picture?: Markup]

export type Field = Any &
  (
    | { readonly kind: 'line' | 'text' | 'date' | 'time' | 'number' | 'address' }
    /** a length typed in the reader's own unit; `length` is the one that stands in it at first, as the body holds it */
    | { readonly kind: 'measure'; readonly unit: Unit; readonly length?: number | undefined }
    /** several lines of text, or whole numbers with anything between them */
    | { readonly kind: 'list'; readonly of: 'lines' | 'numbers' }
    /** of a `choice` one is taken, and of a `pick` too, which shows all of them; where `isJson`, values are JSON */
    | { readonly kind: 'choice'; readonly options: readonly Option[]; readonly isJson?: true }
    | {
        readonly kind: 'pick'
        readonly options: readonly Option[]
        readonly isJson?: true
        /** tiles with pictures; or a drawing of a stick: each option is a part of it, its meaning the part in words */
        readonly looks?: 'tiles' | 'stick'
      }
    /** of `choices` any number is taken; `values` are ticked at first */
    | {
        readonly kind: 'choices'
        readonly options: readonly Option[]
        readonly values?: readonly string[]
        readonly looks?: 'tiles'
      }
    /** a box to tick: true, or false, or where it is optional nothing */
    | { readonly kind: 'yes' }
    /** part of the body that nobody is asked for, as JSON: it goes where its row goes */
    | { readonly kind: 'kept' }
  )

/** Fields that belong together, under a heading. */
export interface FieldGroup {
  readonly kind: 'group'
  readonly legend: string
  readonly hint?: Markup | string
  readonly fields: readonly Field[]
  /** few need it: it is opened by whoever does */
  readonly folded?: true
}

/** A list of the body: a row that is left empty is none. */
export interface Rows {
  readonly kind: 'rows'
  readonly name: `/${string}`
  readonly legend: string
  readonly hint?: Markup | string
  /** the words on a row, by its number */
  readonly each: (number: number) => string
  /** the fields of a row; those beyond `filled` are empty */
  readonly row: (at: `/${string}`, place: number) => readonly Field[]
  readonly filled: number
  /** the number of empty rows that are shown with them */
  readonly spare: number
  /** the body does without the list where no row is filled */
  readonly optional?: true
}

export type FormPart = Field | FieldGroup | Rows

export interface Form {
  readonly title: string
  /** what it does and what follows, before anything is asked */
  readonly lead: Markup | string
  /** what it is about, shown between the lead and the fields */
  readonly about?: Markup
  readonly fields: readonly FormPart[]
  /** what stands in the body without being asked for */
  readonly fixed?: Readonly<Record<string, unknown>>
  /** the words on the button; none where there is nothing to send, as the lead or what it is about then says */
  readonly send: string | null
  /** buttons that send a value of their own with the form, in place of the one */
  readonly sends?: readonly Send[]
  /** the name by which a script of ours knows the form */
  readonly act?: string
  /** the words on a button that only shows what would follow */
  readonly preview?: string
  /** the edition that the form was filled from: it is not sent over another that came meanwhile */
  readonly from?: string
  /** the way back without having done anything */
  readonly back: { readonly path: string; readonly text: string }
}

/** A button that sends the value of a field. */
export interface Send {
  readonly name: Field['name']
  readonly value: string
  readonly text: string
  readonly picture?: Markup
}

/** What was typed, by the names of fields. */
export type Typed = Readonly<Record<string, readonly string[]>>

export interface FormFaults {
  /** what is wrong, by the name of the field that it is wrong in */
  readonly byField: ReadonlyMap<string, readonly string[]>
  /** what is wrong in none of them */
  readonly others: readonly string[]
}

export interface Filled {
  /** null where nothing was sent yet */
  readonly typed: Typed | null
  readonly faults: FormFaults | null
  /** the id of the fact to come, so that a form that is sent twice is one fact */
  readonly factId: string
  /** what would follow, where that was asked */
  readonly preview?: Markup
}
