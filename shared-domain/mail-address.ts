import * as z from 'zod'
import { expecting } from './fault.ts'

const atom = "[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
const restOfLabel = '(?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])'

/**
 * Addresses that the mail service can send to.
 * - The service cannot serve a non-ASCII local part (RFC 6531 mail), so such an address is refused when it is entered
 *   and not found out at the first recall.
 * - A domain whose last part begins with a digit would be read as the number of a machine, and mail would go elsewhere.
 * - Lengths are those of RFC 5321, sections 4.5.3.1.1 and 4.5.3.1.2.
 */
export const mailAddress = z
  .email({
    pattern: new RegExp(`^${atom}(?:\\.${atom})*@(?:[A-Za-z0-9]${restOfLabel}?\\.)+[A-Za-z]${restOfLabel}$`),
    ...expecting({ is: 'right: a mail address' }),
  })
  .max(254)
  .refine((address) => address.lastIndexOf('@') <= 64, expecting({ is: 'right: a mail address of fewer letters' }))
