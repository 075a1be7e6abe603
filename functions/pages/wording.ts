/** The sentences of pages, in the language of whoever reads them. */
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { morning } from '../../shared-domain/catalogue/en/morning.ts'
import { pages } from '../../shared-domain/catalogue/en/pages.ts'
import { places } from '../../shared-domain/catalogue/en/places.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

const inEnglish = { ...places, ...pages, ...morning, ...ways } as const

export type PageSentences = typeof inEnglish
export type PageWording = Wording<PageSentences>

const speakers: Speakers<PageSentences> = {
  en: async () => ({ spoken: english, own: inEnglish }),
  es: async () => {
    const [{ spanish }, { morningInSpanish }, { pagesInSpanish }, { placesInSpanish }, { waysInSpanish }] =
      await Promise.all([
        import('../../shared-domain/catalogue/es/language.ts'),
        import('../../shared-domain/catalogue/es/morning.ts'),
        import('../../shared-domain/catalogue/es/pages.ts'),
        import('../../shared-domain/catalogue/es/places.ts'),
        import('../../shared-domain/catalogue/es/ways.ts'),
      ])
    return { spoken: spanish, own: { ...placesInSpanish, ...pagesInSpanish, ...morningInSpanish, ...waysInSpanish } }
  },
}

export function pageWordingFor(reader: Reader): Promise<PageWording> {
  return wordingFor(speakers, reader)
}
