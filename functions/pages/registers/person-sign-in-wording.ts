/** What is said of how a person signs in, in the language of whoever reads the page. */
import { english } from '../../../shared-domain/catalogue/en/language.ts'
import { personSignIn } from '../../../shared-domain/catalogue/en/person-sign-in.ts'
import type { Wording } from '../../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../../web/wording.ts'
import type { PageWording } from '../wording.ts'

const speakers: Speakers<typeof personSignIn> = {
  en: async () => ({ spoken: english, own: personSignIn }),
  es: async () => {
    const [{ spanish }, { personSignInInSpanish: own }] = await Promise.all([
      import('../../../shared-domain/catalogue/es/language.ts'),
      import('../../../shared-domain/catalogue/es/person-sign-in.ts'),
    ])
    return { spoken: spanish, own }
  },
}

export const signInWordingFor = (reader: PageWording): Promise<Wording<typeof personSignIn>> =>
  wordingFor(speakers, reader)
