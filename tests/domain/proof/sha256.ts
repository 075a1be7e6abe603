/** The hash that trees of tests are made with. */
import { createHash } from 'node:crypto'
import type { Sha256 } from '../../../shared-domain/proof/digest.ts'

export const sha256: Sha256 = (bytes) => createHash('sha256').update(bytes).digest('hex')
