/** A language made from English by code: what is still read in Latin letters was said past the catalogue. */
import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { messageOf } from '../../functions/deliver-notices/message.ts'
import type { PageSentences } from '../../functions/pages/wording.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { confirmationPath } from '../../functions/web/confirmation-link.ts'
import { calendar } from '../../shared-domain/catalogue/en/calendar.ts'
import { confirmation } from '../../shared-domain/catalogue/en/confirmation.ts'
import { forms } from '../../shared-domain/catalogue/en/forms.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { mails } from '../../shared-domain/catalogue/en/mails.ts'
import { pages } from '../../shared-domain/catalogue/en/pages.ts'
import { places } from '../../shared-domain/catalogue/en/places.ts'
import { signIn } from '../../shared-domain/catalogue/en/sign-in.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import { vocabulary } from '../../shared-domain/catalogue/es/vocabulary.ts'
import type { Spoken } from '../../shared-domain/catalogue/languages.ts'
import type { Messages, Translated } from '../../shared-domain/catalogue/say.ts'
import { calendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import { wordingIn } from '../../shared-domain/wording.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'

/** Every Latin letter becomes a Greek one. */
const inGreek = (text: string) =>
  text.replace(/[a-z]/gi, (letter) => String.fromCodePoint(0x3b1 + ((letter.toLowerCase().charCodeAt(0) - 97) % 24)))

/** Within braces stand values; in a message with variants, what is said stands within two. */
function pseudo(text: string): string {
  const said = text.startsWith('.') ? 2 : 0
  let depth = 0
  return [...text]
    .map((letter) => {
      if (letter === '{') depth += 1
      if (letter === '}') depth -= 1
      return depth === said ? inGreek(letter) : letter
    })
    .join('')
}

const each = <Own extends Messages>(own: Own) =>
  Object.fromEntries(Object.entries(own).map(([name, text]) => [name, pseudo(text)])) as Translated<Own>
const words = Object.entries(vocabulary).map(([kind, own]) => [
  kind,
  Object.fromEntries(Object.keys(own).map((one) => [one, inGreek(one)])),
])
/** What records keep in English alone is quoted, as Spanish does. */
const recorded = '“{$text}” (*)'
const spoken: Spoken = {
  ...english,
  locale: 'el',
  vocabulary: Object.fromEntries(words),
  core: { ...each(english.core), recorded },
}
const inPages = wordingIn<PageSentences>(spoken, 'metric', {
  ...each({ ...places, ...pages, ...ways, ...forms, ...signIn }),
  recorded,
})
const inAnswers = wordingIn<typeof confirmation>(spoken, 'metric', each(confirmation))
const inMails = wordingIn<typeof mails & typeof calendar & typeof ways>(
  spoken,
  'metric',
  each({ ...mails, ...calendar, ...ways }),
)

const house = openHouse()
const made = pagesOf(house, 'manager', { wordingFor: async () => inPages })
const answers = buildAnswers({ table: house.table, clock: house.clock, wordingFor: async () => inAnswers })
const failing = overTheLimit({ testedOn: day('2026-03-02') })

beforeAll(async () => {
  await furnish(house)
  for (const id of ['S-2', 'S-3', 'S-4']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  await house.done('POST', '/v1/sticks/S-2/bench-tests', failing)
  await house.done('POST', '/v1/sticks/S-3/bench-tests', aTest({ testedOn: day('2024-03-10') }))
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await house.done('POST', '/v1/sticks/S-4/defects', tingle)
  await house.call('PUT', '/v1/policies/employer', { packs: ['us-mo-200'] }, 'manager')
})

/** What people typed, sources, units and clocks of the fixture. */
const ownWords =
  /\b[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}\b|Quarterturn|Crew (one|two)|(North|South) yard|Ana Ferro|Bo Lind|Ines Roth|(Mia|Max|Ivo|Cy|Sol|Olive) \w+|sample value|Bench survey|Safety engineer|29 CFR[^<;]*|MO-200[^<]*|FRP|CST|µA|µS\/cm|kV|Hz|mm|(?<=\d )m\b|us-[\w-]+|(S|INS|PRC|CR|DEP)-\d|[\w.+-]+@[\w.-]+|https?:\S+|[0-9A-F]{8}-[0-9A-F-]+/gi
const leftIn = (markup: string) =>
  markup
    .replace(/<style.*?<\/style>/gs, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&\w+;|&#\d+;/g, ' ')
    .replace(/“[^”]*” \(\*\)/g, ' ')
    .replace(ownWords, ' ')
    .match(/[A-Za-z]{3,}/g) ?? []

test('no page says a word past the catalogue', async () => {
  const tested = `/sticks/S-2/bench-tests/${failing.factId}`
  const paths = [
    '/roster',
    '/sticks/S-1',
    '/sticks/S-2',
    '/sticks/S-3',
    '/sticks/S-4',
    tested,
    '/notices',
    '/notices?to=x',
  ]
  for (const path of [...paths, '/proposals', '/none']) {
    const answer = await made.request(path)
    expect(answer.status, path).toBe(path === '/none' || path.endsWith('=x') ? 404 : 200)
    const text = await answer.text()
    const typed = ['owner', 'employer', 'manager', 'demo', 'utility']
    expect(
      leftIn(text).filter((word) => !typed.includes(word)),
      path,
    ).toEqual([])
  }
})

test('neither does the confirmation page, nor any mail, nor a calendar', async () => {
  const notices = house.table.items().filter(({ entity }) => entity === 'notice') as unknown as Notice[]
  expect(notices.length).toBeGreaterThan(4)
  const links = { pagesUrl: 'https://pages.example', answersUrl: 'https://answers.example' }
  for (const notice of notices) {
    const { subject, text, html } = messageOf(notice, inMails, links)
    for (const part of [subject, text, html]) expect(leftIn(part), notice.kind).toEqual([])
    for (const line of notice.lines) {
      const entry = calendarEntry(line, notice.day, inMails)
      expect(leftIn([entry?.summary ?? '', entry?.description ?? ''].join(' '))).toEqual([])
    }
  }
  const path = confirmationPath(notices.find(({ answer }) => answer !== undefined) as Notice) ?? ''
  for (const method of ['GET', 'POST', 'POST']) {
    const answer = await answers.request(path, { method })
    expect(leftIn(await answer.text())).toEqual([])
  }
  expect(leftIn(await (await answers.request('/answers/a/b/c/d')).text())).toEqual([])
})
