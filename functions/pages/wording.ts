/** The sentences of pages on a stick. */
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { wordingIn } from '../../shared-domain/wording.ts'

export const wording = wordingIn(english, 'metric', {})
