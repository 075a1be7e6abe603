/** The sentences of the page behind the link of a mail, in the language of the notice's reader. */
import { confirmation } from '../../shared-domain/catalogue/en/confirmation.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

export type AnswerWording = Wording<typeof confirmation>

const speakers: Speakers<typeof confirmation> = {
  en: async () => ({ spoken: english, own: confirmation }),
  es: async () => {
    const [{ spanish }, { confirmationInSpanish: own }] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/confirmation.ts'),
    ])
    return { spoken: spanish, own }
  },
}

export function answerWordingFor(reader: Reader): Promise<AnswerWording> {
  return wordingFor(speakers, reader)
}
