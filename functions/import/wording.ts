/** The sentences of what is handed back, in the language of whoever sent the file. */
import { imports } from '../../shared-domain/catalogue/en/imports.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import type { ImportSentences } from '../../shared-domain/import/told.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

export type ImportWording = Wording<ImportSentences>

const speakers: Speakers<ImportSentences> = {
  en: async () => ({ spoken: english, own: { ...imports, ...refusing } }),
  es: async () => {
    const [{ spanish }, { importsInSpanish }, { refusingInSpanish }] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/imports.ts'),
      import('../../shared-domain/catalogue/es/refusals.ts'),
    ])
    return { spoken: spanish, own: { ...importsInSpanish, ...refusingInSpanish } }
  },
}

export const importWordingFor = (reader: Reader): Promise<ImportWording> => wordingFor(speakers, reader)
