/** A file that somebody sent to be taken in, on its way: what is known of it, what is asked, how far it has come. */

import type { Fault } from '../fault.ts'
import type { Refusal } from '../refusal.ts'
import type { Status } from '../words.ts'
import type { ImportQuestion, SaidOfRows } from './asked.ts'
import type { Damage } from './cells.ts'
import type { ImportKind } from './choices.ts'
import type { Column, Mapping } from './columns.ts'
import type { FileFault } from './file-fault.ts'

export const importStates = ['awaiting file', 'checking', 'asked', 'checked', 'applying', 'applied', 'refused'] as const
export type ImportState = (typeof importStates)[number]

/** Imports that somebody waits for: their pages look again. */
export const isUnderWay = (state: ImportState): boolean => state === 'checking' || state === 'applying'

/** A fault of a row, and its place; without a field it is the row as a whole. */
export interface RowFault {
  readonly row: number
  readonly column: number | null
  readonly field: string | null
  readonly came: string | null
  readonly why:
    | { readonly is: 'cell'; readonly holds: Column['holds']; readonly damage?: Damage }
    | { readonly is: 'body'; readonly expected: Fault['expected'] }
    | { readonly is: 'refused'; readonly refusal: Refusal }
    /** cells stand beyond the last heading */
    | { readonly is: 'too many cells' }
    /** an earlier row has an entry of the same name that says something else */
    | { readonly is: 'named twice'; readonly first: number }
}

/** The changes that rows would make, or have made, counted. */
export interface ImportCounts {
  /** rows that were looked at so far, and all of them */
  readonly done: number
  readonly of: number
  readonly added: number
  readonly changed: number
  /** rows that say what is recorded already */
  readonly known: number
  /** rows that loosen, and wait for a second person */
  readonly waiting: number
  readonly faulty: number
  /** notices that people are told by */
  readonly told: number
  /** sticks that the digest of the import tells of: they must not be used any more */
  readonly unsafe: number
  /** sticks of the rows by how they would stand today */
  readonly standing: Readonly<Partial<Record<Status, number>>>
}

export const nothingCounted: ImportCounts = {
  done: 0,
  of: 0,
  added: 0,
  changed: 0,
  known: 0,
  waiting: 0,
  faulty: 0,
  told: 0,
  unsafe: 0,
  standing: {},
}

export type FileQuestion =
  | { readonly about: 'encoding'; readonly beginnings: Readonly<Partial<Record<string, string>>> }
  | { readonly about: 'sheet'; readonly sheets: readonly { readonly name: string; readonly place: number }[] }

/** All that a person may say of how a file is to be read. */
export interface SaidOfImport extends SaidOfRows {
  readonly encoding?: string | undefined
  readonly separator?: string | undefined
  readonly sheet?: number | undefined
}

/** The first rows as they were read, for whoever looks whether the columns are understood. */
export interface Looked {
  readonly headerRow: number
  readonly headings: readonly string[]
  readonly mapping: Mapping
  readonly sample: readonly (readonly string[])[]
}

export interface Import {
  readonly id: string
  readonly kind: ImportKind
  /** the end that is asked for: only to say what it would change, or to change it */
  readonly mode: 'check' | 'apply'
  /** takes the good rows, and hands back the others */
  readonly goodOnly: boolean
  readonly by: string
  readonly at: string
  readonly state: ImportState
  readonly said: SaidOfImport
  readonly questions: readonly (ImportQuestion | FileQuestion)[]
  readonly looked: Looked | null
  readonly counts: ImportCounts
  /** the number of things whose rows are done with */
  readonly page: number
  readonly faults: readonly RowFault[]
  readonly refused: FileFault | null
  /** the numbers of the parts of what is handed back; none where nothing is */
  readonly rest: readonly number[]
}

/** More of one file are told by nobody: the file that is handed back has them all. */
export const mostFaultsTold = 100
