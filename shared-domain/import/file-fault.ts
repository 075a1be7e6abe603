/** Faults of a file as a whole: a code with its values, which a reader's language makes a sentence of. */
export type FileFault =
  | { readonly is: 'file: empty' }
  | { readonly is: 'file: no text' }
  | { readonly is: 'file: not read' }
  | { readonly is: 'file: old workbook' }
  | { readonly is: 'file: encrypted' }
  | { readonly is: 'file: broken' }
  | { readonly is: 'file: no sheet' }
  | { readonly is: 'file: sender left' }
  | { readonly is: 'file: too large'; readonly megabytes: number }
  | { readonly is: 'file: too many parts'; readonly most: number }
  | { readonly is: 'file: too large unpacked'; readonly megabytes: number }
  | { readonly is: 'file: takes too long'; readonly seconds: number }
  | { readonly is: 'file: too many rows'; readonly most: number }
  | { readonly is: 'file: too many columns'; readonly row: number; readonly most: number }
  | { readonly is: 'file: cell too long'; readonly row: number; readonly most: number }
  | { readonly is: 'file: quote not closed'; readonly row: number }
