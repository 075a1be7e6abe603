/** Choices on a file and its reading: words alone, for whoever needs nothing of the reading. */

export const importKinds = ['sticks', 'bench-tests', 'uses', 'moves', 'people', 'crews', 'instruments'] as const
export type ImportKind = (typeof importKinds)[number]

/** The order of the parts of a date that is written in figures alone. */
export const dateOrders = ['year first', 'day first', 'month first'] as const
export type DateOrder = (typeof dateOrders)[number]

export const decimalMarks = ['.', ','] as const
export type DecimalMark = (typeof decimalMarks)[number]

export const lengthUnits = ['m', 'ft', 'mm', 'in'] as const
export type LengthUnit = (typeof lengthUnits)[number]

export const separators = [',', ';', '\t', '|'] as const
export type Separator = (typeof separators)[number]

/** Encodings of a file, where nothing in it says its own and a person has to. */
export const encodings = ['windows-1252', 'windows-1250', 'windows-1251', 'shift_jis', 'utf-16le', 'utf-16be'] as const
export type EncodingAsked = (typeof encodings)[number]

/** The order of rows about one stick and day that name no hour. */
export const rowOrders = ['as listed', 'last first'] as const
export type RowOrder = (typeof rowOrders)[number]

/** Files that are taken out: those of the first kinds come in again, and the others are to read. */
export const kindsTakenOut = [
  ...([
    'sticks',
    'bench-tests',
    'uses',
    'moves',
    'people',
    'crews',
    'instruments',
  ] as const satisfies readonly ImportKind[]),
  ...(['roster', 'history', 'notices'] as const),
] as const
export type TakenOut = (typeof kindsTakenOut)[number]
