/** Who may open which page and do which act there: every one there is, by every reader there is, walked. */

import { beforeAll, describe, expect, test } from 'vitest'
import { sealsOf } from '../../functions/pages/seals.ts'
import type { SignInParts } from '../../functions/pages/ways.ts'
import type { Item } from '../../functions/store/table.ts'
import { may, mayAtAll } from '../../shared-domain/rights.ts'
import { pagesOf } from '../support/pages.ts'
import { typedForm, typedOver } from '../support/typed-form.ts'
import {
  everyPage,
  type Furnished,
  furnishEveryPage,
  isOutcome,
  type Line,
  type Outcome,
  type Reader,
  readers,
} from './every-page.ts'
import { demo, type House, openHouse, type Who } from './house.ts'

let furnished: Furnished
/** Where pages are looked at; what is sent goes to a house of its own. */
let looked: House
beforeAll(async () => {
  furnished = await furnishEveryPage()
  looked = openHouse(furnished.items)
})

const signIn: SignInParts = {
  seals: sealsOf(['now', 'before']),
  provider: async () => ({
    begin: async () => ({
      begun: { state: 'state', nonce: 'nonce', verifier: 'verifier' },
      url: new URL('https://provider.example/authorize'),
    }),
    finish: async () => null,
    signOutUrl: async () => new URL('https://provider.example/logout'),
  }),
  authenticator: null,
  whoSignsIn: async () => ({ is: 'not let in', why: 'nobody has the address', email: null }),
  endAllSessions: async () => undefined,
}

/** The ways in and out, which are everybody's: what is answered to nobody, and to whoever is signed in. */
const everybodys: Readonly<Record<string, readonly [nobody: string, signedIn: string]>> = {
  'GET /healthz': ['200', '200'],
  'GET /sign-in': ['303 https://provider.example/authorize', '303 https://provider.example/authorize'],
  // with nothing of a sign-in that was begun
  'GET /signed-in': ['400', '400'],
  'GET /sign-in/authenticator': ['303 /sign-in', '303 /sign-in'],
  'POST /sign-in/authenticator': ['303 /sign-in', '303 /sign-in'],
  'GET /sign-out': ['303 /signed-out', '200'],
  'POST /sign-out': ['303 https://provider.example/logout', '303 https://provider.example/logout'],
  'POST /sign-out/everywhere': ['303 /sign-out', '303 https://provider.example/logout'],
  'GET /signed-out': ['200', '200'],
  // no code is written so
  'GET /s/:code': ['404', '404'],
  'GET /c/:code': ['404', '404'],
  'GET /device/now': ['200', '200'],
  'GET /device/list': ['401', '200'],
  // what runs in a browser is there where it was built; the names of its files are nobody's secret
  'GET /device/worker.js': ['404', '404'],
  'GET /device/:build/:file': ['404', '404'],
}

type Visitor = Who | 'nobody'
const columns = [...Object.keys(readers), 'other manager'] as (Reader | 'other manager')[] // the table's own keys

const siteFor = (house: House, who: Visitor) =>
  who === 'nobody'
    ? pagesOf(house, 'manager', { signIn, sessionOf: async () => null })
    : pagesOf(house, who, { signIn })

/** The first print of such a paper issues its code: the one thing that is written by looking. */
const bearsCode = (route: string) => /^GET .*\/(certificate|label)$/.test(route)

const form = { 'content-type': 'application/x-www-form-urlencoded' }

async function visit(
  { route, at, form: of, typed }: Pick<Line, 'route' | 'at' | 'form' | 'typed'>,
  who: Visitor,
  headers: Readonly<Record<string, string>> = {},
) {
  const isForm = route.startsWith('POST')
  const house = isForm || bearsCode(route) ? openHouse(furnished.items) : looked
  const init = isForm ? { method: 'POST', headers: { ...form, ...headers }, body: await filled(of, typed) } : {}
  const answer = await siteFor(house, who).request(furnished.address(at), init)
  return { house, isForm, status: answer.status, to: answer.headers.get('location') ?? '', text: await answer.text() }
}

/** The form as the owner sees it, typed over, so that nothing else than the reader decides. */
async function filled(of: string, typed: Line['typed']): Promise<string> {
  const page = await pagesOf(looked, 'owner').request(furnished.address(of))
  return new URLSearchParams(typedOver(typedForm(await page.text()), typed)).toString()
}

const isOfCode = ({ entity }: Item) => String(entity).startsWith('paper code')

type Visited = Awaited<ReturnType<typeof visit>>

/** Lists that show each reader what is theirs: as a page, and as a file. */
const isList = ({ route }: Line) => /^GET \/(roster|roster\.csv|notices|outlook)$/.test(route)
const ofFirstCrew = /href="\/sticks\/S-\d|^"S-\d|class="count"><a/m

function outcomeOf(line: Line, { house, isForm, status, to, text }: Visited): Outcome | number {
  if (status === 200 && isForm) return house.table.written() === 0 ? 'nothing' : 'yes'
  if (status === 200) return isList(line) && !ofFirstCrew.test(text) ? 'nothing' : 'yes'
  if (status === 303 && isForm)
    return /[?&]done=waits/.test(to) ? 'waits' : /[?&]done=recorded/.test(to) ? 'yes' : status
  if (status === 303 || status === 302)
    return /^\/(roster|crew$|registers\/sticks\/|bench\/[\w-]+$|sticks\/[\w-]+\/say$)/.test(to) ? 'on' : status
  const refused: Readonly<Record<number, Outcome>> = { 403: 'no', 404: 'none', 422: 'wrong' }
  return refused[status] ?? status
}

const plain = pagesOf(openHouse(), 'owner', { signIn })

test('every page and every act has its line, and every line its page', () => {
  const there = plain.routes.filter(({ path }) => !path.includes('*')).map(({ method, path }) => `${method} ${path}`)
  const lines = [...everyPage.map(({ route }) => route), ...Object.keys(everybodys)]
  expect([...new Set(lines)].sort()).toEqual([...new Set(there)].sort())
})

const cellsOf = ({ outcomes }: Line) => outcomes.split(' ')

describe.each(everyPage)('$route at $at', (line) => {
  test('is by the table whose it is by the rule', () => {
    const cells = cellsOf(line)
    expect([cells.length, cells.every(isOutcome)]).toEqual([columns.length, true])
    const { rule, whose } = line
    const byRule = Object.values(readers).map((reader) => {
      if (rule === 'anybody' || rule === 'nobody') return rule === 'anybody'
      return whose === 'a list' ? mayAtAll(reader.role, rule) : may(reader, rule, whose)
    })
    const may_ = ['yes', 'waits', 'on', ...(line.whose === 'a list' ? ['nothing'] : [])]
    expect(cells.slice(0, -1).map((cell) => may_.includes(cell))).toEqual(byRule)
  })

  test('is answered so to each', async () => {
    const answered: (Outcome | number)[] = []
    for (const who of columns) {
      const visited = await visit(line, who)
      answered.push(outcomeOf(line, visited))
      // a code, and the pointer to it
      const written = bearsCode(line.route) && visited.status === 200 ? 2 : 0
      if (visited.status >= 400 || !visited.isForm) expect([who, visited.house.table.written()]).toEqual([who, written])
      if (written > 0) expect(visited.house.table.items().filter(isOfCode)).toHaveLength(written)
      if (who === 'other manager') expectNothingOfOurs(visited)
    }
    expect(answered).toEqual(cellsOf(line))
  })

  test('asks nobody’s name first, and does nothing before', async () => {
    const { house, isForm, status, to } = await visit(line, 'nobody')
    const query = new URLSearchParams({ to: furnished.address(line.at), ...(isForm ? { lost: '' } : {}) })
    expect([status, to, house.table.written()]).toEqual([303, `/sign-in?${query}`, 0])
  })
})

describe.each(everyPage.filter(({ route }) => route.startsWith('POST')))('$route at $at', (line) => {
  test('is done by no form of another site, in whatever browser the owner is', async () => {
    for (const headers of [
      { origin: 'https://evil.example', 'sec-fetch-site': 'cross-site' },
      { origin: 'null' },
      { 'content-type': 'text/plain' },
    ]) {
      const { house, status } = await visit(line, 'owner', headers)
      expect([status, house.table.written()]).toEqual(['content-type' in headers ? 415 : 403, 0])
    }
  })
})

/** Names and figures of the first organisation; numbers that somebody typed may be said again. */
function expectNothingOfOurs({ house, isForm, text }: Visited): void {
  const ours = (items: Furnished['items']) => items.filter(({ pk }) => pk.startsWith(`ORG#${demo}#`))
  expect(ours(house.table.items())).toEqual(ours(furnished.items))
  if (!isForm) expect(text).not.toMatch(/North yard|Crew one|Ana Ferro|Mia Okafor|Ines Roth|Demo utility/)
}

test.each(Object.entries(everybodys))('%s is everybody’s', async (route, [forNobody, forReader]) => {
  const [, at = ''] = route.split(' ')
  const answered = await Promise.all(
    (['nobody', ...columns] as const).map(async (who) => {
      const { status, to, house } = await visit({ route, at, form: '/sign-out', typed: {} }, who)
      return [who, to === '' ? `${status}` : `${status} ${to}`, house.table.written()]
    }),
  )
  const expected = columns.map((who) => [who, forReader, 0])
  expect(answered).toEqual([['nobody', forNobody, 0], ...expected])
})
