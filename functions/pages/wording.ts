/** The sentences of pages, in the language of whoever reads them. */

import { instruments } from '../../shared-domain/catalogue/en/instruments.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { noticeLog } from '../../shared-domain/catalogue/en/notice-log.ts'
import { outlook } from '../../shared-domain/catalogue/en/outlook.ts'
import { pages } from '../../shared-domain/catalogue/en/pages.ts'
import { places } from '../../shared-domain/catalogue/en/places.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

const inEnglish = { ...places, ...pages, ...outlook, ...instruments, ...noticeLog, ...ways } as const

export type PageSentences = typeof inEnglish
export type PageWording = Wording<PageSentences>

const speakers: Speakers<PageSentences> = {
  en: async () => ({ spoken: english, own: inEnglish }),
  es: async () => {
    const [{ spanish }, ...own] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/pages.ts'),
      import('../../shared-domain/catalogue/es/outlook.ts'),
      import('../../shared-domain/catalogue/es/instruments.ts'),
      import('../../shared-domain/catalogue/es/notice-log.ts'),
      import('../../shared-domain/catalogue/es/places.ts'),
      import('../../shared-domain/catalogue/es/ways.ts'),
    ])
    const [{ pagesInSpanish }, { outlookInSpanish }, { instrumentsInSpanish }, { noticeLogInSpanish }, ...shared] = own
    const [{ placesInSpanish }, { waysInSpanish }] = shared
    const lists = { ...outlookInSpanish, ...instrumentsInSpanish, ...noticeLogInSpanish }
    return { spoken: spanish, own: { ...placesInSpanish, ...pagesInSpanish, ...lists, ...waysInSpanish } }
  },
}

export function pageWordingFor(reader: Reader): Promise<PageWording> {
  return wordingFor(speakers, reader)
}
