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
    for (const set of answer.headers.getSetCookie()) keep(cookies, set)
    return answer
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

function keep(cookies: Map<string, string>, set: string): void {
  const [pair = '', ...attributes] = set.split(/; ?/)
  const at = pair.indexOf('=')
  const [name, value] = [pair.slice(0, at), pair.slice(at + 1)]
  const isSafe = ['HttpOnly', 'Secure', 'Path=/', 'SameSite=Lax'].every((one) => attributes.includes(one))
  // ours are named so that a browser takes them in no other way
  if (name.startsWith('__Host-') && !isSafe) throw new Error(`a browser would not keep ${set}`)
  if (attributes.some((one) => /^(max-age=0|expires=Thu, 01 Jan 1970.*)$/i.test(one))) cookies.delete(name)
  else cookies.set(name, value)
}

/**
 * A browser that has signed in to the pages of a stack: by the provider's own page, with the button of a person, as it
 * stands in the names of the tokens.
 */
export async function signedInAs(pages: string, person: string, has = '__Host-session'): Promise<Visitor> {
  const one = visitor((path, init) => fetch(pages + path, init), pages)
  const there = await one.get('/sign-in')
  const provider = new URL(there.headers.get('location') ?? '')
  const other = visitor((path, init) => fetch(provider.origin + path, init), provider.origin)
  let at = provider
  let answer = await other.get(pathOf(at))
  for (let hops = 0; hops < 10; hops++) {
    const location = answer.headers.get('location')
    if (location === null && answer.status === 200) answer = await other.post(pathOf(at), { person })
    else if (location === null) throw new Error(`${person} is not let in: ${answer.status} ${await answer.text()}`)
    else {
      at = new URL(location, at)
      if (at.origin === pages) break
      answer = await other.get(pathOf(at))
    }
  }
  const back = await one.get(pathOf(at))
  if (!one.cookies.has(has)) throw new Error(`${person} has no session: ${back.status} ${await back.text()}`)
  return one
}

const pathOf = ({ pathname, search }: URL) => pathname + search
