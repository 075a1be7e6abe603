/** Forms of a file for spreadsheets: words alone, for whoever needs nothing of how they are made. */
export const sheetFormats = ['csv', 'xlsx'] as const
export type SheetFormat = (typeof sheetFormats)[number]
