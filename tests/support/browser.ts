/** As much of a browser as signing in takes: it keeps cookies, and sends a form as one of the site's own. */

type Answers = (path: string, init: RequestInit) => Promise<Response> | Response

export interface Visitor {
  readonly get: (path: string) => Promise<Response>
  /** `headers`: what a form of another site would send instead */
  readonly post: (path: string, fields?: Record<string, string>, headers?: Record<string, string>) => Promise<Response>
  readonly cookies: Map<string, string>
}

/** `answers` is the site itself, or what fetches from it. */
export function visitor(answers: Answers, origin: string): Visitor {
  const cookies = new Map<string, string>()

  async function send(path: string, init: RequestInit): Promise<Response> {
    const cookie = [...cookies].map((one) => one.join('=')).join('; ')
    const headers = { ...init.headers, ...(cookie === '' ? {} : { cookie }) }
    const answer = await answers(path, { ...init, headers, redirect: 'manual' })
    for (const set of answer.headers.getSetCookie()) keep(set)
    return answer
  }

  function keep(set: string): void {
    const [pair = '', ...attributes] = set.split('; ')
    const at = pair.indexOf('=')
    const [name, value] = [pair.slice(0, at), pair.slice(at + 1)]
    // a browser takes no such cookie otherwise
    const isTaken = ['HttpOnly', 'Secure', 'Path=/', 'SameSite=Lax'].every((one) => attributes.includes(one))
    if (!name.startsWith('__Host-') || !isTaken) throw new Error(`a browser would not keep ${set}`)
    if (attributes.includes('Max-Age=0')) cookies.delete(name)
    else cookies.set(name, value)
  }

  return {
    cookies,
    get: (path) => send(path, {}),
    post: (path, fields = {}, headers = {}) =>
      send(path, {
        method: 'POST',
        headers: { origin, 'content-type': 'application/x-www-form-urlencoded', ...headers },
        body: new URLSearchParams(fields).toString(),
      }),
  }
}
