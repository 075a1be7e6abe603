/** Answers of a person on how a file is to be read, as the body of a request. */

import * as z from 'zod'
import { expecting } from '../../shared-domain/fault.ts'
import {
  dateOrders,
  decimalMarks,
  encodings,
  lengthUnits,
  rowOrders,
  separators,
} from '../../shared-domain/import/choices.ts'

/** The names of fields are letters alone; whether the kind of the file has the field is asked where it is read. */
const field = z.string().regex(/^[A-Za-z]{1,60}$/, expecting({ is: 'right: a string' }))

/** The fields of each column by its place. */
const mapping = z.array(field.nullable()).min(1).max(200)

export const saidOfImport = z.lazy(() =>
  z.strictObject({
    encoding: z.enum(encodings).optional(),
    separator: z.enum(separators).optional(),
    sheet: z.int().min(0).max(500).optional(),
    headerRow: z.int().min(1).max(1000).optional(),
    mapping: mapping.optional(),
    dates: z.enum(dateOrders).optional(),
    decimal: z.enum(decimalMarks).optional(),
    units: z
      .strictObject({
        workingLengthMetres: z.enum(lengthUnits).optional(),
        diameterMillimetres: z.enum(lengthUnits).optional(),
        spanMetres: z.enum(lengthUnits).optional(),
      })
      .optional(),
    order: z.enum(rowOrders).optional(),
  }),
)
