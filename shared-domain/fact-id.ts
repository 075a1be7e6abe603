import * as z from 'zod'

/** A UUID of the caller's making. Its letters mean the same in either case (RFC 9562, section 4), so one is kept. */
export const factId = z.uuid({ error: 'a UUID' }).toLowerCase()
