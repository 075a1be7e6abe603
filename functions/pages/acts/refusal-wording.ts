/** Sentences for what is refused. They are many, and only who sends a form can meet one: no page loads them. */
import { english } from '../../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../../shared-domain/catalogue/en/refusals.ts'
import type { Reader, Wording } from '../../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../../web/wording.ts'

export type RefusalWording = Wording<typeof refusing>

const speakers: Speakers<typeof refusing> = {
  en: async () => ({ spoken: english, own: refusing }),
  es: async () => {
    const [{ spanish }, { refusingInSpanish }] = await Promise.all([
      import('../../../shared-domain/catalogue/es/language.ts'),
      import('../../../shared-domain/catalogue/es/refusals.ts'),
    ])
    return { spoken: spanish, own: refusingInSpanish }
  },
}

export function refusalWordingFor(reader: Required<Reader>): Promise<RefusalWording> {
  return wordingFor(speakers, reader)
}
