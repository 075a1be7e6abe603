/** The sentences of a crew's calendar, in the language of whoever made its feed. */
import { calendar } from '../../shared-domain/catalogue/en/calendar.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

const speakers: Speakers<typeof calendar> = {
  en: async () => ({ spoken: english, own: calendar }),
  es: async () => {
    const [{ spanish }, { calendarInSpanish: own }] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/calendar.ts'),
    ])
    return { spoken: spanish, own }
  },
}

export function calendarWordingFor(reader: Reader): Promise<Wording<typeof calendar>> {
  return wordingFor(speakers, reader)
}
