/** The sentences of mails and of the dates they carry, in the languages of their readers. */
import { calendar } from '../../shared-domain/catalogue/en/calendar.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { mails } from '../../shared-domain/catalogue/en/mails.ts'
import { telling } from '../../shared-domain/catalogue/en/telling.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

const inEnglish = { ...mails, ...telling, ...calendar, ...ways } as const

export type MailWording = Wording<typeof inEnglish>

const speakers: Speakers<typeof inEnglish> = {
  en: async () => ({ spoken: english, own: inEnglish }),
  es: async () => {
    const [{ spanish }, spanishMails, spanishTelling, spanishCalendar, spanishWays] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/mails.ts'),
      import('../../shared-domain/catalogue/es/telling.ts'),
      import('../../shared-domain/catalogue/es/calendar.ts'),
      import('../../shared-domain/catalogue/es/ways.ts'),
    ])
    const own = {
      ...spanishMails.mailsInSpanish,
      ...spanishTelling.tellingInSpanish,
      ...spanishCalendar.calendarInSpanish,
      ...spanishWays.waysInSpanish,
    }
    return { spoken: spanish, own }
  },
}

export function mailWordingFor(reader: Reader): Promise<MailWording> {
  return wordingFor(speakers, reader)
}
