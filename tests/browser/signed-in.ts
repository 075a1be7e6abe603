/**
 * A context of a real browser in which somebody has signed in: by the provider's own page, with the person's button.
 */
import type { Browser, BrowserContext } from 'playwright-core'
import type { LocalStack } from '../local-stack.ts'

type Settings = NonNullable<Parameters<Browser['newContext']>[0]>

export async function contextFor(
  browser: Browser,
  stack: LocalStack,
  { person = 'manager', ...settings }: Settings & { readonly person?: string } = {},
): Promise<BrowserContext> {
  const context = await browser.newContext(settings)
  const { cookies } = await stack.signedIn(person)
  // of this host alone, as a cookie with this prefix has to be
  const url = stack.pages.replace('http:', 'https:')
  await context.addCookies(
    [...cookies].map(([name, value]) => ({ name, value, url, httpOnly: true, secure: true, sameSite: 'Lax' as const })),
  )
  return context
}
