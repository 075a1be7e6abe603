/** The sentences of the first pages that anybody opens; those of all others are loaded with the first such page. */
import { device } from '../../shared-domain/catalogue/en/device.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { morning } from '../../shared-domain/catalogue/en/morning.ts'
import { pages } from '../../shared-domain/catalogue/en/pages.ts'
import { places } from '../../shared-domain/catalogue/en/places.ts'
import { signIn } from '../../shared-domain/catalogue/en/sign-in.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

export const firstSentences = { ...places, ...pages, ...morning, ...signIn, ...device } as const

export type FirstSentences = typeof firstSentences
export type FirstWording = Wording<FirstSentences>

const speakers: Speakers<FirstSentences> = {
  en: async () => ({ spoken: english, own: firstSentences }),
  es: async () => {
    const [
      { spanish },
      { deviceInSpanish },
      { morningInSpanish },
      { pagesInSpanish },
      { placesInSpanish },
      { signInInSpanish },
    ] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/device.ts'),
      import('../../shared-domain/catalogue/es/morning.ts'),
      import('../../shared-domain/catalogue/es/pages.ts'),
      import('../../shared-domain/catalogue/es/places.ts'),
      import('../../shared-domain/catalogue/es/sign-in.ts'),
    ])
    return {
      spoken: spanish,
      own: { ...placesInSpanish, ...pagesInSpanish, ...morningInSpanish, ...signInInSpanish, ...deviceInSpanish },
    }
  },
}

export function firstWordingFor(reader: Reader): Promise<FirstWording> {
  return wordingFor(speakers, reader)
}
