/** Pages as their readers see them, in English. */
import type { LogChoice } from '../../functions/pages/notices-page.ts'
import { buildPages, type PagesParts } from '../../functions/pages/pages.ts'
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
  return String(await (await page).body())
}

/** A house of tests as the pages see it. */
interface House<Who> {
  readonly organisation: (name?: string) => ReturnType<PagesParts['open']>
  readonly clock: PagesParts['clock']
  readonly uploads?: PagesParts['uploads']
  readonly session: (who: Who) => NonNullable<Awaited<ReturnType<PagesParts['sessionOf']>>>
}

const origin = 'https://pages.example'

/** Pages to somebody who is signed in: a manager of every depot unless another is named. Forms come from the pages. */
export function pagesOf<Who extends string>(
  house: House<Who | 'manager'>,
  who: Who | 'manager' = 'manager',
  more: Partial<PagesParts> = {},
) {
  const { organisation: open, clock, uploads } = house
  const app = buildPages({
    open,
    clock,
    origin,
    ...(uploads === undefined ? {} : { uploads }),
    sessionOf: async () => house.session(who),
    ...more,
  })
  return {
    /** every address there is, as the pages know them */
    routes: app.routes,
    request: (path: string, init: RequestInit = {}) => {
      const headers = new Headers(init.headers)
      if (init.method === 'POST' && !headers.has('origin')) headers.set('origin', origin)
      return app.request(path, { ...init, headers })
    },
  }
}
