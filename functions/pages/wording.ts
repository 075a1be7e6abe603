/** The sentences of pages, in the language of whoever reads them. */
import { forms } from '../../shared-domain/catalogue/en/forms.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { pages } from '../../shared-domain/catalogue/en/pages.ts'
import { places } from '../../shared-domain/catalogue/en/places.ts'
import { signIn } from '../../shared-domain/catalogue/en/sign-in.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

const inEnglish = { ...places, ...pages, ...ways, ...forms, ...signIn } as const

export type PageSentences = typeof inEnglish
export type PageWording = Wording<PageSentences>

const speakers: Speakers<PageSentences> = {
  en: async () => ({ spoken: english, own: inEnglish }),
  es: async () => {
    const [
      { spanish },
      { formsInSpanish },
      { pagesInSpanish },
      { placesInSpanish },
      { signInInSpanish },
      { waysInSpanish },
    ] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/forms.ts'),
      import('../../shared-domain/catalogue/es/pages.ts'),
      import('../../shared-domain/catalogue/es/places.ts'),
      import('../../shared-domain/catalogue/es/sign-in.ts'),
      import('../../shared-domain/catalogue/es/ways.ts'),
    ])
    const own = { ...placesInSpanish, ...pagesInSpanish, ...waysInSpanish, ...formsInSpanish, ...signInInSpanish }
    return { spoken: spanish, own }
  },
}

export function pageWordingFor(reader: Reader): Promise<PageWording> {
  return wordingFor(speakers, reader)
}
