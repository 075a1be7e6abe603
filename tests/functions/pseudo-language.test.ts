/** A language made from English by code: what is still read in Latin letters was said past the catalogue. */
import { randomUUID } from 'node:crypto'
import ICAL from 'ical.js'
import { beforeAll, expect, test } from 'vitest'
import { type AnswersParts, buildAnswers } from '../../functions/answers/answers.ts'
import { messageOf } from '../../functions/deliver-notices/message.ts'
import { buildFeed } from '../../functions/feed/feed.ts'
import { type PageSentences, pageSentences } from '../../functions/pages/wording.ts'
import { organisationTable } from '../../functions/store/keys.ts'
import { type Notice, noticeNumber, noticeWrite } from '../../functions/store/notices.ts'
import { confirmationPath } from '../../functions/web/confirmation-link.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { calendar } from '../../shared-domain/catalogue/en/calendar.ts'
import { confirmation } from '../../shared-domain/catalogue/en/confirmation.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { mails } from '../../shared-domain/catalogue/en/mails.ts'
import { orders } from '../../shared-domain/catalogue/en/orders.ts'
import { telling } from '../../shared-domain/catalogue/en/telling.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import { vocabulary } from '../../shared-domain/catalogue/es/vocabulary.ts'
import type { Spoken } from '../../shared-domain/catalogue/languages.ts'
import type { Messages, Translated } from '../../shared-domain/catalogue/say.ts'
import { calendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import { noticeKinds } from '../../shared-domain/notices/notice.ts'
import { type Wording, wordingIn } from '../../shared-domain/wording.ts'
import { roles } from '../../shared-domain/words.ts'
import { pagesOf } from '../support/pages.ts'
import { aDepot, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { everyNotice } from './every-notice.ts'
import { demo, furnish, openHouse } from './house.ts'

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
const inPages = wordingIn<PageSentences>(spoken, 'metric', { ...each(pageSentences), recorded })

const house = openHouse()
const made = pagesOf(house, 'manager', { wordingFor: async () => inPages })
const failing = overTheLimit({ testedOn: day('2026-03-02') })

beforeAll(async () => {
  await furnish(house)
  for (const id of ['S-2', 'S-3', 'S-4']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  await house.done('POST', '/v1/sticks/S-2/bench-tests', failing)
  await house.done('POST', '/v1/sticks/S-3/bench-tests', aTest({ testedOn: day('2024-03-10') }))
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await house.done('POST', '/v1/sticks/S-4/defects', tingle)
  await house.done('POST', '/v1/reminders', { factId: randomUUID(), stickIds: ['S-1', 'S-3', 'S-4'] }, 'manager')
  for (const role of roles) {
    const who = { name: 'Mia Okafor', email: `${role}@demo.example`, role, depots: ['DEP-1'], crewId: 'CR-1' }
    await house.call('PUT', `/v1/people/new-${role}`, { ...who, until: '2027-03-02' })
  }
  await house.call('PUT', '/v1/policies/employer', { packs: ['us-mo-200'] }, 'manager')
})

const someone = { name: 'Άνα', email: 'ana@crew.example', role: 'crew', depots: [], crewId: 'CR-1' } as const

/** Notices of every kind, as they lie in the table. */
async function sampleNotices(): Promise<Notice[]> {
  const place = organisationTable(house.table, demo)
  const { notices } = house.organisation()
  const numbers = everyNotice.map(({ key }) => noticeNumber({ table: {}, name: demo }, key))
  if ((await notices.one(numbers[0] ?? '')) === undefined)
    for (const one of everyNotice) await house.table.transact([noticeWrite(place, one, house.clock())])
  return Promise.all(numbers.map(async (number) => (await notices.one(number)) as Notice))
}

/** What people typed, sources, units and clocks of the fixture. */
const ownWords = new RegExp(
  [
    /\b[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}\b|[0-9A-F]{8}-[0-9A-F-]+|[\w.+-]+@[\w.-]+|https?:\S+/,
    /Quarterturn|demo-utility|Crew (one|two)|(North|South) yard/,
    /Ana Ferro|Bo Lind|Ines Roth|(Mia|Max|Ivo|Cy|Sol|Olive) \w+/,
    /sample value|Bench survey|Safety engineer|29 CFR[^<;]*|SAMPLE|\btip\b|L-[79]|(S|INS|PRC|CR|DEP)-\d/,
    /MO-200[^<]*|(us|ufc|jp|ru)-[\w-]+|(Ordinance|Ministry of|Order|UFC)[^<;]*/,
    /FRP|UTC|CST|µA|µS\/cm|kV|Hz|mm|(?<=\d )m\b/,
  ]
    .map(({ source }) => source)
    .join('|'),
  'gi',
)
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
    '/notices?stick=S-77',
    '/outlook',
    '/roster?dueFrom=2026-03-02&dueTo=2026-12-31',
    '/outlook/year',
    '/instruments',
    '/instruments/INS-1',
  ]
  const ofRegisters = [
    '/registers',
    ...['depots', 'crews', 'people', 'instruments', 'procedures', 'policies', 'sticks'].map(
      (one) => `/registers/${one}`,
    ),
    ...['crews/CR-1', 'people/manager', 'procedures/PRC-1', 'policies/employer', 'sticks/S-2'].flatMap((one) => [
      `/registers/${one}`,
      `/registers/${one}/edition`,
    ]),
    '/registers/people/new-bench/sign-in/free',
    '/registers/people/new-bench/sign-in/sign-out',
    '/registers/people/new-bench/sign-in/free?done=recorded',
    '/enter/depots',
    '/enter/instruments',
    '/enter/demonstrations',
  ]
  for (const path of [...paths, ...ofRegisters, '/proposals', '/none']) {
    const answer = await made.request(path)
    expect(answer.status, path).toBe(path === '/none' ? 404 : 200)
    const text = await answer.text()
    const typed = [
      'owner',
      'employer',
      'manager',
      'demo',
      'utility',
      'America',
      'Chicago',
      'crew',
      'bench',
      'south',
      'new',
    ]
    expect(
      leftIn(text).filter((word) => !typed.includes(word)),
      path,
    ).toEqual([])
  }
})

/** Names of the messages that were said. */
function heard<Own extends Messages>(wording: Wording<Own>) {
  const names = new Set<string>()
  const say: Wording<Own>['say'] = (name, ...values) => {
    names.add(name)
    return wording.say(name, ...values)
  }
  const told: Wording<Own>['told'] = (one) => {
    if (one.says !== undefined) names.add(one.says.is)
    return wording.told(one)
  }
  return { names, wording: { ...wording, say, told } }
}
const unsaid = (names: ReadonlySet<string>, ...parts: readonly Messages[]) =>
  parts.flatMap((own) => Object.keys(own)).filter((name) => !names.has(name))

const inMails = heard(
  wordingIn<typeof mails & typeof telling & typeof calendar & typeof ways>(
    spoken,
    'metric',
    each({ ...mails, ...telling, ...calendar, ...ways }),
  ),
)
const links = { pagesUrl: 'https://pages.example', answersUrl: 'https://answers.example' }

test.each(noticeKinds)('no mail of the kind %s does', async (kind) => {
  const recorded = house.table.items().filter(({ entity }) => entity === 'notice') as unknown as Notice[]
  const samples = (await sampleNotices()).filter((one) => one.kind === kind)
  expect(samples.length).toBeGreaterThan(0)
  for (const notice of [...samples, ...recorded.filter((one) => one.kind === kind)]) {
    const { subject, text, html } = messageOf(notice, inMails.wording, links)
    for (const part of [subject, text, html]) expect(leftIn(part), notice.key).toEqual([])
  }
})

test('nor does a date of any of them in a calendar, nor the calendar of a crew', async () => {
  for (const { lines, day: knownOn } of await sampleNotices())
    for (const line of lines) {
      const entry = calendarEntry(line, knownOn, inMails.wording)
      expect(leftIn([entry?.summary ?? '', entry?.description ?? ''].join(' '))).toEqual([])
    }
  const { url } = (await house.done('POST', '/v1/crews/CR-1/feeds', undefined, 'manager')).json
  const feed = buildFeed({
    table: house.table,
    clock: house.clock,
    from: 'a@b.example',
    wordingFor: async () => inMails.wording,
  })
  const answer = await feed.request(new URL(url).pathname)
  const file = new ICAL.Component(ICAL.parse(await answer.text()))
  const events = file.getAllSubcomponents('vevent').map((one) => new ICAL.Event(one))
  expect(events.length).toBeGreaterThan(0)
  const said = [
    ...['name', 'x-wr-calname', 'description', 'x-wr-caldesc'].flatMap(
      (name) => file.getFirstPropertyValue(name) ?? [],
    ),
    ...events.flatMap(({ summary, description }) => [summary, description]),
  ]
  expect(said.length).toBeGreaterThan(events.length * 2)
  expect(leftIn(said.join(' '))).toEqual([])
})

test('all that mails and calendars can say was said by then', () => {
  // the name of the file that a mail carries is asked for where it is sent
  expect(unsaid(inMails.names, mails, calendar)).toEqual(['calendar name'])
})

/** Links to two holds of one reader, at a depot that says when somebody is there. */
async function twoThatWait(): Promise<string[]> {
  await house.done('PUT', '/v1/depots/DEP-1', { ...aDepot, address: 'Οδός 3', hours: 'κάθε μέρα' })
  for (const id of ['S-5', 'S-6']) {
    await house.done('PUT', `/v1/sticks/${id}`, aStick)
    const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
    await house.done('POST', `/v1/sticks/${id}/defects`, tingle)
  }
  const notices = house.table.items().filter(({ entity }) => entity === 'notice') as unknown as Notice[]
  return notices
    .filter(({ lines }) => /^S-[56]$/.test(lines[0]?.stickId ?? ''))
    .flatMap((one) => confirmationPath(one) ?? [])
}

test('nor does the page behind the link of any of them, whatever became of it', async () => {
  const inAnswers = heard(wordingIn<typeof confirmation>(spoken, 'metric', each(confirmation)))
  const parts = { table: house.table, clock: house.clock, wordingFor: async () => inAnswers.wording }
  async function saysNoEnglish(path: string, method: string, of: AnswersParts = parts) {
    const text = await (await buildAnswers(of).request(path, { method })).text()
    expect(leftIn(text), `${method} ${path}`).toEqual([])
  }
  const samples = await sampleNotices()
  const [path = '', ...others] = samples.map((one) => confirmationPath(one) ?? '')
  for (const other of others) for (const method of ['GET', 'POST', 'POST']) await saysNoEnglish(other, method)
  // somebody else confirms it each time between reading and writing
  const lost = { transact: async () => ({ done: false, failed: [0] }) as const, update: async () => false }
  await saysNoEnglish(path, 'POST', { ...parts, table: { ...house.table, ...lost } })
  await saysNoEnglish('/answers/a/b/c/d', 'GET')
  await saysNoEnglish(path, 'GET', { ...parts, clock: () => '2027-03-02T15:00:00.000Z' as Instant })
  await saysNoEnglish(path, 'GET', {
    ...parts,
    table: { ...house.table, get: () => Promise.reject(new Error('out of reach')) },
  })
  for (const link of await twoThatWait()) await saysNoEnglish(link, 'GET')
  await house.done('PUT', '/v1/people/ana', { ...someone, until: '2026-03-02' })
  house.at('2026-03-04T15:00:00.000Z')
  await saysNoEnglish(path, 'GET')
  // the table of orders is held to its sentences by a test of its own
  const ofOrders = Object.keys(orders)
  expect(unsaid(inAnswers.names, confirmation).filter((name) => !ofOrders.includes(name))).toEqual([])
}, 300_000)
