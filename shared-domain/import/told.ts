/** Faults of a file as a whole and of its rows, in their reader's words. */
import type { imports } from '../catalogue/en/imports.ts'
import type { refusing } from '../catalogue/en/refusals.ts'
import type { Wording } from '../wording.ts'
import { faultIn, refusalIn } from '../wording.ts'
import type { FileFault } from './file-fault.ts'
import type { RowFault } from './import.ts'

export type ImportSentences = typeof imports & typeof refusing
type Words = Wording<ImportSentences>

export function fileFaultIn({ told }: Words, fault: FileFault): string {
  return told({ code: fault.is, says: fault })
}

/** The field as people call it. */
export function fieldIn({ say }: Words, field: string): string {
  // every field of a column has its name in the catalogue, and a test looks for each
  return say(`column ${field}` as 'column stickId')
}

/** The sentence that says what would be right in the cell, or why the row is not taken. */
export function rowFaultIn(words: Words, { field, came, why }: RowFault): string {
  const { say } = words
  const named = field === null ? '' : `${fieldIn(words, field)}: `
  switch (why.is) {
    case 'cell': {
      if (why.damage !== undefined) return named + say(`damage: ${why.damage}`, { came: came ?? '' })
      const { holds } = why
      const right =
        typeof holds === 'string' ? say(`cell: ${holds}`) : say('cell: one of', { words: holds.words.join(', ') })
      return `${named}${say('came', { came: came ?? '' })} ${right}`
    }
    case 'body': {
      const right = say('would be right', { right: faultIn(words as never, why) })
      return `${named}${came === null ? say('nothing came') : say('came', { came })} ${right}`
    }
    case 'refused':
      return refusalIn(words as never, why.refusal).details.join(' ')
    case 'too many cells':
      return say('too many cells')
    case 'named twice':
      return named + say('named twice', { row: why.first })
  }
}
