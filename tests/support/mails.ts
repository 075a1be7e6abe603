/** Mails as their readers see them. */
import { type Message, messageOf as messageIn } from '../../functions/deliver-notices/message.ts'
import { mailWordingFor } from '../../functions/deliver-notices/wording.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { languages, unitSystems } from '../../shared-domain/words.ts'

const wordings = new Map(
  await Promise.all(
    languages.flatMap((language) =>
      unitSystems.map(async (units) => [`${language} ${units}`, await mailWordingFor({ language, units })] as const),
    ),
  ),
)

export function messageOf(notice: Notice, pagesUrl: string, answersUrl = pagesUrl): Message {
  const { language = 'en', units = 'metric' } = notice.to
  const wording = wordings.get(`${language} ${units}`)
  if (wording === undefined) throw new Error(`no mails in ${language}, ${units}`)
  return messageIn(notice, wording, { pagesUrl, answersUrl })
}
