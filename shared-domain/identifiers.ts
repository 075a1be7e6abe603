/** Identifiers as fields of a body. */
import * as z from 'zod'

/** Names of one's own making: no control or invisible characters, nothing that needs escaping in a key. */
export const registerId = z.string().regex(/^[A-Za-z0-9](?:[A-Za-z0-9._-]{0,62}[A-Za-z0-9])?$/, {
  error:
    'an identifier of 1 to 64 letters, digits, dots, hyphens or underscores, beginning and ending with a letter or digit',
})

/** A UUID of the caller's making. Its letters mean the same in either case (RFC 9562, section 4), so one is kept. */
export const factId = z.uuid({ error: 'a UUID' }).toLowerCase()
