/** Pages as their readers see them, in English. */
import type { LogChoice } from '../../functions/pages/notices-page.ts'
import { atTheBeginning } from '../../functions/pages/trail.ts'
import { pageWordingFor } from '../../functions/pages/wording.ts'
import type { WebDocument } from '../../functions/web/web-page.ts'

export const inEnglish = await pageWordingFor({})

/** The log of notices from its beginning, as somebody narrows it. */
export const logChoice = (choice: Partial<LogChoice> = {}): LogChoice => ({
  stick: undefined,
  crew: undefined,
  person: undefined,
  to: undefined,
  since: undefined,
  trail: atTheBeginning,
  unknown: [],
  ...choice,
})

/** The markup between the marks of its beginning and its end. */
export async function bodyOf(page: Promise<WebDocument>): Promise<string> {
  return String(await (await page).body)
}
