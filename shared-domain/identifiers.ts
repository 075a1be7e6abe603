/** Identifiers as fields of a body. */
import * as z from 'zod'
import { registerIdPattern } from './identifier-pattern.ts'

export const registerId = z.string().regex(registerIdPattern, {
  error:
    'an identifier of 1 to 64 letters, digits, dots, hyphens or underscores, beginning and ending with a letter or ' +
    'digit',
})

/** A UUID of the caller's making. Its letters mean the same in either case (RFC 9562, section 4), so one is kept. */
export const factId = z.uuid({ error: 'a UUID' }).toLowerCase()
