/**
 * Cookies of the pages. A browser takes one whose name begins with `__Host-` from this very host alone, over TLS, for
 * all its paths: no neighbour can plant one.
 */
import type { Context } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'

/**
 * A link in a mail leads here from elsewhere and has to find the session; a form of elsewhere is refused by its origin.
 */
const kept = { path: '/', httpOnly: true, secure: true, sameSite: 'Lax', prefix: 'host' } as const

export const cookieOf = (context: Context, name: string): string | undefined => getCookie(context, name, 'host')

export function keep(context: Context, name: string, { value, seconds }: { value: string; seconds: number }): void {
  setCookie(context, name, value, { ...kept, maxAge: seconds })
}

export function forget(context: Context, name: string): void {
  deleteCookie(context, name, kept)
}

/** Names of the cookies that begin so, as the browser sent them: the oldest first (RFC 6265, section 5.4). */
export function cookiesNamed(context: Context, beginning: string): string[] {
  const prefix = `__Host-${beginning}`
  return Object.keys(getCookie(context))
    .filter((name) => name.startsWith(prefix))
    .map((name) => name.slice('__Host-'.length))
}

/** The answer with the cookies that were kept and forgotten on the way to it. */
export function withCookies(context: Context, answer: Response): Response {
  for (const cookie of context.res.headers.getSetCookie()) answer.headers.append('set-cookie', cookie)
  return answer
}
