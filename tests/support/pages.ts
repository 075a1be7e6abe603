/** Pages as their readers see them, in English. */
import { pageWordingFor } from '../../functions/pages/wording.ts'
import type { WebDocument } from '../../functions/web/web-page.ts'

export const inEnglish = await pageWordingFor({})

/** The markup between the marks of its beginning and its end. */
export async function bodyOf(page: Promise<WebDocument>): Promise<string> {
  return String(await (await page).body)
}
