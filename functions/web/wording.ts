/** The wording for a reader: a language other than English is loaded when its first reader comes. */
import type { Messages } from '../../shared-domain/catalogue/say.ts'
import { type Reader, type Speaker, type Wording, wordingIn } from '../../shared-domain/wording.ts'
import type { Language } from '../../shared-domain/words.ts'

export type Speakers<Own extends Messages> = { readonly [language in Language]: () => Promise<Speaker<Own>> }

/** English and metres, unless the reader asked for something else. */
export async function wordingFor<Own extends Messages>(
  speakers: Speakers<Own>,
  { language = 'en', units = 'metric' }: Reader,
): Promise<Wording<Own>> {
  const { spoken, own } = await speakers[language]()
  return wordingIn(spoken, units, own)
}
