/** Identifiers as fields of a body. */
import * as z from 'zod'
import { expecting } from './fault.ts'
import { registerIdPattern } from './identifier-pattern.ts'

export const registerId = z.string().regex(registerIdPattern, expecting({ is: 'right: an identifier' }))

/** A UUID of the caller's making. Its letters mean the same in either case (RFC 9562, section 4), so one is kept. */
export const factId = z.uuid(expecting({ is: 'right: a UUID' })).toLowerCase()
