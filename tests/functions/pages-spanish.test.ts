/** Pages and the confirmation page in Spanish: whose language it is, no English left, and nothing of hostile names. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { confirmationPath } from '../../functions/web/confirmation-link.ts'
import { languageAsked } from '../../functions/web/reader.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
const pages = pagesOf(house)
const hostile = '<script>x</script>"&'
const spanish = { 'accept-language': 'es-MX,es;q=0.9,en;q=0.5' }
let failing = ''
let telescoping = ''

const fact = (over: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...over })

beforeAll(async () => {
  await furnish(house)
  const recipients = aCrew.recipients.map((one) => ({ ...one, language: 'es' }))
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, name: hostile, recipients })
  for (const id of ['FAILED', 'HELD', 'SOON', 'NEW', 'GONE']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  const sections = ['tip', 'base'].map((name) => ({ name, lengthMetres: 1.2 }))
  await house.done('PUT', '/v1/sticks/TELE', { ...aStick, workingLengthMetres: 2.4, sections })
  await house.done('POST', '/v1/sticks/SOON/bench-tests', aTest({ testedOn: day('2024-03-10') }))
  const tested = { ...overTheLimit({ testedOn: day('2026-03-02') }), note: hostile }
  failing = tested.factId
  await house.done('POST', '/v1/sticks/FAILED/bench-tests', tested)
  const inSections = (microamps: number) =>
    ['tip', 'base'].flatMap((section) => survey(1.2, microamps, undefined, true).map((one) => ({ ...one, section })))
  const short = aTest({
    testedOn: day('2026-03-02'),
    dry: { readings: inSections(4) },
    wet: { water: 'tap', appearance: 'film', readings: inSections(9) },
  })
  telescoping = short.factId
  await house.done('POST', '/v1/sticks/TELE/bench-tests', short)
  await house.done('POST', '/v1/sticks/HELD/defects', fact({ kind: 'tingle', note: hostile }))
  await house.done(
    'POST',
    '/v1/sticks/HELD/uses',
    fact({ occurredOn: '2026-02-25', days: 2, conditions: ['wet', 'salt'] }),
  )
  await house.done('POST', '/v1/sticks/HELD/moves', fact({ to: { bench: 'DEP-1' } }))
  await house.done('POST', '/v1/sticks/GONE/removals', fact({ reason: hostile }))
  const other = { packs: ['us-mo-200'] }
  expect((await house.call('PUT', '/v1/policies/employer', other, 'manager')).status).toBe(202)
})

/** What the markup says, without what people wrote and what a Spanish reader is told to be quoted from English. */
function wordsOf(markup: string): string {
  return (
    markup
      .replace(/<style.*?<\/style>/gs, '')
      .replace(
        / (?:data-label|class|href|value|name|method|action|datetime|style|d|viewBox|scope|id|content)="[^"]*"/g,
        '',
      )
      // the number of an entry is what somebody typed
      .replace(/<a>[\w-]+<\/a>/g, '')
      .replace(/<[^>]*>/g, ' ')
      .replace(/“[^”]*” \(texto original en inglés\)/g, '')
      .replace(/29 CFR[^<\s]*|MO-200[^<]*?2|sample value|Bench survey|Safety engineer|Quarterturn|demo-utility/g, '')
      .replace(/(?:Ordinance on|Ministry of|Order|UFC)[^<]*|[\w.+-]+@[\w.-]+/g, '')
      .replace(/Crew (?:one|two)|(?:North|South) yard|tip|base/g, '')
  )
}

const words =
  'the|is|was|are|and|not|no such|test|tested|stick|sticks|reading|limit|hold|due|where|crew|by|of|with|from|' +
  'this|page|notice|dry|wet|none|until|days?'
const english = new RegExp(`\\b(${words})\\b`, 'i')

async function page(path: string, headers: Record<string, string> = spanish) {
  const answer = await pages.request(path, { headers })
  return { answer, text: await answer.text() }
}

const paths = () => [
  '/roster',
  '/roster?status=on+hold',
  ...['FAILED', 'HELD', 'SOON', 'NEW', 'GONE', 'TELE', 'nobody'].map((id) => `/sticks/${id}`),
  `/sticks/FAILED/bench-tests/${failing}`,
  `/sticks/TELE/bench-tests/${telescoping}`,
  '/notices',
  '/notices?stick=HELD',
  '/notices?since=never',
  '/notices?stick=S-77',
  '/outlook',
  '/outlook?depot=DEP-1',
  '/roster?dueFrom=2026-03-02&dueTo=2026-12-31',
  '/outlook/year',
  '/instruments',
  '/instruments/INS-1',
  '/proposals',
  '/registers',
  ...['depots', 'crews', 'people', 'instruments', 'procedures', 'policies', 'sticks', 'demonstrations'].map(
    (register) => `/registers/${register}`,
  ),
  ...[
    '/registers/crews/CR-1',
    '/registers/procedures/PRC-1',
    '/registers/policies/employer',
    '/registers/sticks/TELE',
  ].flatMap((entry) => [entry, `${entry}/edition`]),
  '/registers/people/manager/edition',
  ...['depots', 'crews', 'people', 'instruments', 'procedures', 'sticks', 'demonstrations'].map(
    (one) => `/enter/${one}`,
  ),
  '/nothing',
]

describe('a page', () => {
  test('is read in Spanish by whoever asks for it, with no English left', async () => {
    for (const path of paths()) {
      const { answer, text } = await page(path)
      expect(answer.headers.get('content-language'), path).toBe('es')
      expect(answer.headers.get('vary')?.toLowerCase(), path).toMatch(/\baccept-language\b/)
      expect(text, path).toContain('<html lang="es">')
      expect(wordsOf(text), path).not.toMatch(english)
    }
  })

  test('has the same marks in both languages, and nothing that people wrote becomes markup', async () => {
    for (const path of paths()) {
      const [inSpanish, inEnglish] = [(await page(path)).text, (await page(path, {})).text]
      expect(inEnglish, path).toContain('<html lang="en">')
      const marksOf = (text: string) => text.match(/<\w+/g)
      expect(marksOf(inSpanish), path).toEqual(marksOf(inEnglish))
      for (const text of [inSpanish, inEnglish]) expect(text, path).not.toContain('<script')
    }
    for (const headers of [spanish, {}])
      expect((await page('/sticks/HELD', headers)).text).toContain('&lt;script&gt;x&lt;/script&gt;')
  })
})

test.each([
  ['', 'en'],
  ['es', 'es'],
  ['ES-mx', 'es'],
  ['fr, es;q=0.2, en;q=0.1', 'es'],
  ['en;q=0.4, es;q=0.8', 'es'],
  ['es;q=0, *', 'en'],
  ['es;q=two', 'en'],
  ['est', 'en'],
  ['de-DE', 'en'],
  [';;,q=1,-', 'en'],
])('%j asks for %s', (header, language) => {
  expect(languageAsked(header)).toBe(language)
})

describe('the confirmation page', () => {
  const answers = buildAnswers({ table: house.table, clock: house.clock })
  const held = (email: string) => {
    const all = house.table.items().filter(({ entity }) => entity === 'notice') as unknown as Notice[]
    const found = all.find(
      ({ kind, to, lines }) => kind === 'hold' && to.email === email && lines[0]?.stickId === 'HELD',
    )
    if (found === undefined) throw new Error(`no hold to ${email}`)
    return found
  }
  const open = async (path: string, method = 'GET', headers: Record<string, string> = {}) => {
    const answer = await answers.request(path, { method, headers })
    return { status: answer.status, text: await answer.text(), language: answer.headers.get('content-language') }
  }

  test('speaks the language of the notice’s reader in every state, whatever the browser asks for', async () => {
    const notice = held('ana@crew-one.example')
    await house.organisation().notices.sent(notice, house.clock(), 'ses-1')
    const path = confirmationPath(held('ana@crew-one.example')) ?? ''
    const asksForEnglish = { 'accept-language': 'en' }
    const states = [
      await open(path, 'GET', asksForEnglish),
      await open(path, 'POST', asksForEnglish),
      await open(path, 'POST', asksForEnglish),
    ]
    expect(states.map(({ status }) => status)).toEqual([200, 200, 409])
    const late = openHouse(house.table.items(), '2026-05-02T15:00:00.000Z')
    const expired = await buildAnswers({ table: late.table, clock: late.clock }).request(path)
    expect(expired.status).toBe(410)
    const texts = [...states.map(({ text }) => text), await expired.text()]
    for (const text of texts) {
      expect(text).toContain('<html lang="es">')
      expect(wordsOf(text)).not.toMatch(english)
    }
    expect(texts[0]).toContain('>Pértiga HELD</a></p><h1 class="order stop"><strong>No la use</strong></h1>')
    expect(texts[0]).toContain('<button>He leído esto</button>')
    for (const text of texts.slice(1, 3)) expect(text).toMatch(/Pértiga HELD<.*<strong>No la use</s)
  })

  test('of a link that leads to no notice speaks the language of the browser', async () => {
    const lost = await open('/answers/demo-utility/none/never/nothing', 'GET', spanish)
    expect([lost.status, lost.language]).toEqual([404, 'es'])
    expect(wordsOf(lost.text)).not.toMatch(english)
    expect(await open('/answers/demo-utility/none/never/nothing')).toMatchObject({ status: 404, language: 'en' })
  })
})
