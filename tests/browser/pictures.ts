/**
 * `npm run pictures`: every page and every kind of mail, from the running demo: wide and on a phone, light and dark;
 * pages on paper and in Spanish too.
 */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { uuidOf } from '../../seed/chance.ts'
import { demoCrews } from '../../seed/fleet.ts'
import { loadDemoInto } from '../../seed/into-stack.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { openBrowser } from './browser.ts'
import { partsPages } from './parts.ts'
import { contextFor } from './signed-in.ts'

/** The demo ends on this day in every picture, so that taking them again changes nothing by itself. */
const startAt = '2026-11-24T17:00:00.000Z'
const folder = join(import.meta.dirname, 'pictures')

interface Look {
  readonly name: string
  readonly width: number
  readonly colorScheme?: 'dark'
  readonly media?: 'print'
  readonly locale?: 'es'
}

const looks: readonly Look[] = [
  { name: '1280-light', width: 1280 },
  { name: '1280-dark', width: 1280, colorScheme: 'dark' },
  { name: '390-light', width: 390 },
  { name: '390-dark', width: 390, colorScheme: 'dark' },
]
/** A sheet of A4 that lies across is 1123 pixels wide. */
const looksOfPages: readonly Look[] = [
  ...looks.slice(0, 3),
  { name: 'print', width: 1123, media: 'print' },
  { name: '1280-spanish', width: 1280, locale: 'es' },
]

interface Subject {
  readonly name: string
  readonly show: (page: Page) => Promise<unknown>
  /** to its end, and not only what the window shows */
  readonly whole?: true
  /** whoever opens it, a manager unless another is named */
  readonly person?: string
  /** a mail is as high as what it says, and is not asked for on paper */
  readonly mail?: true
}

const page = (name: string, show: Subject['show']): Subject => ({ name, show })
const whole = (name: string, show: Subject['show']): Subject => ({ name, show, whole: true })
const ofCrew = (name: string, show: Subject['show']): Subject => ({ ...whole(name, show), person: 'crew' })

async function mail(stack: LocalStack, name: string, subject: RegExp, to?: string): Promise<Subject> {
  const found = (await stack.mail(to)).find((one) => subject.test(one.subject))
  if (found === undefined) throw new Error(`the demo has no mail ${subject}`)
  return { name, whole: true, mail: true, show: (one) => one.setContent(found.html) }
}

/** A phone that was here before, and has no link now. */
async function withoutLink(stack: LocalStack, one: Page): Promise<void> {
  await one.goto(stack.pages)
  await one.locator('html[data-device="ready"]').waitFor({ state: 'attached' })
  await one.context().setOffline(true)
  await one.goto(`${stack.pages}/crew`)
}

/** Word of danger from a phone, and the page that says what follows. */
async function saysDanger(stack: LocalStack, stick: string, one: Page): Promise<void> {
  await one.goto(`${stack.pages}/sticks/${stick}/report`)
  await one.locator('label.tile', { has: one.locator('input[value="crack"]') }).click()
  await one.locator('label.part').nth(2).click()
  await one.locator('.send button:not(.unseen)').first().click()
  await one.waitForURL(/done=/)
}

/** The link by which a mail is confirmed: to open it changes nothing. */
async function linkIn(stack: LocalStack, subject: RegExp, to?: string): Promise<string> {
  const asking = (await stack.mail(to)).filter((one) => subject.test(one.subject))
  const [link] = asking.flatMap(({ text }) => /https?:\S+\/answers\/\S+/.exec(text) ?? [])
  if (link === undefined) throw new Error(`no mail ${subject} asks to be confirmed`)
  return link
}

async function subjectsOf(stack: LocalStack): Promise<Subject[]> {
  const stick = await heldStick(stack)
  return [
    page('roster', (one) => one.goto(`${stack.pages}/roster`)),
    page('notices', (one) => one.goto(`${stack.pages}/notices?crew=CR-9`)),
    page('stick', (one) => one.goto(`${stack.pages}/sticks/${stick}`)),
    ...Object.entries(paths(stick)).map(([name, path]) => whole(name, (one) => one.goto(stack.pages + path))),
    whole('policy-preview', async (one) => {
      await one.goto(`${stack.pages}/registers/policies/employer/edition`)
      await one.getByRole('button', { name: /Show what would follow|Mostrar qué/ }).click()
    }),
    whole('confirmation', async (one) => one.goto(await linkIn(stack, /^Stick S-0009 is on hold: do not use it/))),
    whole('confirmation-spanish', async (one) =>
      one.goto(await linkIn(stack, /^La pértiga S-0221 está retenida/, spanishReader)),
    ),
    ofCrew('crew', (one) => one.goto(`${stack.pages}/crew`)),
    ofCrew('no-link', (one) => withoutLink(stack, one)),
    ofCrew('kept', async (one) => {
      await withoutLink(stack, one)
      await one.locator('input[name="/stick"]').fill(stick)
      await one.locator('select[name="/what"]').selectOption({ index: 2 })
      await one.locator('.send button:not(.unseen)').first().click()
      await one.locator('#device-banner').waitFor()
    }),
    ...benchSteps(stack, stick),
    await mail(stack, 'due-soon-digest', /^\d+ sticks due for the bench/),
    await mail(stack, 'overdue-digest-mail-spanish', /^1 pértiga vencida/, spanishReader),
    await mail(stack, 'hold-mail', /^Stick S-0009 is on hold: do not use it/),
    await mail(stack, 'hold-mail-feet', /^Stick S-0170 is on hold: do not use it/, readerInFeet),
    await mail(stack, 'hold-mail-spanish', /^La pértiga S-0221 está retenida/, spanishReader),
    await mail(stack, 'removal-mail', /^Stick S-0042 is removed from service for good/),
    await mail(stack, 'unanswered-mail', /must not be used, and (not all have|nobody has) confirmed it/),
    await mail(stack, 'return-mail', /is back in service/),
    await mail(stack, 'used-while-unfit-mail', /was used while it was not fit/),
    ...Object.entries(await partsPages()).map(([name, text]) => whole(name, (one) => one.setContent(text))),
    ...(await Promise.all(Object.entries(tests).map(([name, stickId]) => testOf(stack, name, stickId)))),
  ]
}

/** A test as it is taken down, part by part: each picture goes on as far as the part that it shows. */
function benchSteps(stack: LocalStack, stick: string): Subject[] {
  const parts = ['examination', 'check', 'dry', 'mist', 'wet', 'send']
  const ofBench = (name: string, show: Subject['show']): Subject => ({ ...whole(name, show), person: 'bench' })
  return [
    ofBench('bench-queue', (one) => one.goto(`${stack.pages}/bench`)),
    ...parts.map((name, part) => ofBench(`bench-${name}`, (one) => atTheBench(stack, one, { stick, part }))),
  ]
}

interface AtPart {
  readonly stick: string
  readonly part: number
}

async function atTheBench(stack: LocalStack, one: Page, { stick, part }: AtPart): Promise<void> {
  await one.context().clock.setFixedTime(Date.parse(startAt))
  await one.goto(`${stack.pages}/bench/${encodeURIComponent(stick)}`)
  await one.locator('html[data-bench="ready"]').waitFor({ state: 'attached' })
  for (const i of [0, 1]) await one.locator('.bench select').nth(i).selectOption({ index: 1 })
  await one.locator('.bench input[value="sound"]').check()
  const tab = (i: number) => one.locator('.stages button').nth(i)
  await tab(1).click()
  const figures = one.locator('.bench input')
  await figures.nth(0).fill('0')
  if (part === 2 || part === 5) {
    await tab(2).click()
    for (const figure of ['4.1', '4,2', '4.0', '4.1', '41', '4.2', '4.1', '4.3', '4.0', '4.2', '4.4']) {
      await one.keyboard.type(figure)
      await one.keyboard.press('Enter')
    }
    await one.keyboard.type('4.')
  }
  await tab(part).click()
  if (part === 2) await one.keyboard.type('4.')
}

/** Pages that need nothing but their address; forms are shown as they open. */
const paths = (stick: string) => ({
  'roster-by-crew': '/roster?status=on+hold&group=crew',
  outlook: '/outlook',
  'fleet-year': '/outlook/year',
  plan: '/plan?depot=DEP-1',
  imports: '/imports',
  instruments: '/instruments',
  instrument: '/instruments/INS-1',
  proposals: '/proposals',
  registers: '/registers',
  'register-of-people': '/registers/people',
  'policy-entry': '/registers/policies/employer',
  'person-entry': '/registers/people/bench',
  'policy-form': '/registers/policies/employer/edition',
  feeds: '/crews/CR-9/feeds',
  say: `/sticks/${stick}/say`,
  use: `/sticks/${stick}/use`,
  look: `/sticks/${stick}/look`,
  missing: `/sticks/${stick}/missing`,
  report: `/sticks/${stick}/report`,
  move: `/move?stick=${stick}`,
  remind: `/remind?stick=${stick}`,
  remove: `/sticks/${stick}/remove`,
  'not-found': '/sticks/none',
})

const spanishReader = 'p.anez@demo-utility.example'
const readerInFeet = 'j.corrow@demo-utility.example'

/** Bench tests that tell something, by the stick of the demo whose newest one it is. */
const tests = {
  'test-pass': 'S-0001',
  'test-one-turn': 'S-0033',
  'test-joint': 'S-0009',
  'test-incomplete': 'S-0170',
}

async function testOf(stack: LocalStack, name: string, stickId: string): Promise<Subject> {
  const { items } = (await stack.call('GET', `/v1/sticks/${stickId}/facts`)).json as {
    items: { kind: string; factId: string }[]
  }
  const newest = items.findLast(({ kind }) => kind === 'tested')
  if (newest === undefined) throw new Error(`${stickId} of the demo has no bench test`)
  const path = `/sticks/${stickId}/bench-tests/${newest.factId}`
  return { name, whole: true, show: (page) => page.goto(stack.pages + path) }
}

/** Of a few pictures only those whose name has the word behind `npm run pictures --`. */
const [, , word = ''] = process.argv

/**
 * The rules of the demo bring no date forward: here the employer begins to count days of use, and a season's work is
 * logged.
 */
async function bringForward(stack: LocalStack): Promise<void> {
  const { items } = (await stack.call('GET', '/v1/policies')).json as { items: { id: string }[] }
  const rule = {
    id: 'demonstration-days-of-use',
    words: 'tested again after 20 days of use',
    source: {
      cited: 'Demonstration rule 1, of no standard',
      jurisdiction: 'the demo',
      confidence: 'the employer’s own',
    },
    evidence: ['dry test'],
    interval: { useDays: 20 },
    appliesTo: { primaryProtectionOnly: true, constructions: ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube'] },
    legalMaximum: false,
  }
  await accepted(stack.call('PUT', `/v1/policies/${items[0]?.id}`, { packs: ['us-29-cfr-1910-269-j'], add: [rule] }))
  await stack.settle()
  const days = 24
  const began = new Date(Date.parse(startAt) - days * 86_400_000).toISOString().slice(0, 10)
  const use = { factId: uuidOf('brought forward'), occurredOn: began, days, conditions: ['wet'] }
  await accepted(stack.call('POST', '/v1/sticks/S-0001/uses', use))
  await stack.settle()
}

/** The crew's person is named its foreman, and hands over a stick that is fit. */
async function handOver(stack: LocalStack): Promise<Subject> {
  const crew = demoCrews['CR-1']
  const foreman = { name: 'The foreman', email: 'crew@demo-utility.example', role: 'foreman' }
  const recipients = [...(crew?.recipients ?? []), foreman]
  await accepted(stack.call('PUT', '/v1/crews/CR-1', { ...crew, recipients }))
  const { items } = (await stack.call('GET', '/v1/roster?status=in%20service&crew=CR-1')).json as {
    items: { stickId: string }[]
  }
  return ofCrew('hand-over', (one) => one.goto(`${stack.pages}/sticks/${items[0]?.stickId}/hand-over`))
}

/** The foreman's mailbox is gone, and a stick of his crew is reported. */
async function loseMailbox(stack: LocalStack): Promise<void> {
  const crew = demoCrews['CR-9']
  const recipients = crew?.recipients.map((one) =>
    one.role === 'foreman' ? { ...one, email: 'bounce@simulator.amazonses.com' } : one,
  )
  await accepted(stack.call('PUT', '/v1/crews/CR-9', { ...crew, recipients }))
  const { items } = (await stack.call('GET', '/v1/roster?status=in%20service&crew=CR-9')).json as {
    items: { stickId: string }[]
  }
  const tingle = { factId: uuidOf('mailbox lost'), occurredOn: startAt.slice(0, 10), kind: 'tingle' }
  await accepted(stack.call('POST', `/v1/sticks/${items[0]?.stickId}/defects`, tingle))
  await stack.settle()
}

/** The lot of most sticks is called back. */
async function recalledLot(stack: LocalStack): Promise<Subject> {
  const { lot = '' } = (await stack.call('GET', '/v1/sticks/S-0001')).json as { lot?: string }
  const cause = { lot }
  const factId = uuidOf('lot called back')
  await accepted(stack.call('POST', '/v1/recalls', { factId, cause, reason: 'Fittings came loose on two of them' }))
  await stack.settle()
  return whole('recall', (one) => one.goto(`${stack.pages}/recalls/${factId}`))
}

async function accepted(call: ReturnType<LocalStack['call']>): Promise<void> {
  const { status, text } = await call
  if (status >= 300) throw new Error(`${status}: ${text}`)
}

/** A stick that failed its test has the most to show. */
async function heldStick(stack: LocalStack): Promise<string> {
  const { items } = (await stack.call('GET', '/v1/roster?status=on%20hold')).json as {
    items: { stickId: string; holds: { code: string }[] }[]
  }
  const held = items.find(({ holds }) => holds.some(({ code }) => code === 'failed-test')) ?? items[0]
  if (held === undefined) throw new Error('the demo has no stick on hold')
  return held.stickId
}

async function take(browser: Browser, subject: Subject, look: Look): Promise<void> {
  const { name, width, colorScheme = 'light', locale = 'en-GB', media } = look
  const context = await contextFor(browser, stack, {
    ...(subject.person === undefined ? {} : { person: subject.person }),
    viewport: { width, height: subject.mail ? 100 : width === 390 ? 844 : 900 },
    colorScheme,
    locale,
  })
  const page = await context.newPage()
  await subject.show(page)
  // what is pressed to come there is not on paper
  await page.emulateMedia(media === undefined ? {} : { media })
  const path = join(folder, `${subject.name}-${name}.png`)
  if (subject.whole || media === 'print')
    await page.screenshot({ path, fullPage: true, clip: await wholeOf(page, width) })
  else await page.screenshot({ path })
  await context.close()
}

/** A long list goes on as it begins. */
async function wholeOf(page: Page, width: number) {
  const height = await page.evaluate<number>('document.documentElement.scrollHeight')
  return { x: 0, y: 0, width, height: Math.min(height, 1200) }
}

async function takeAll(browser: Browser, subject: Subject): Promise<void> {
  if (!subject.name.includes(word)) return
  for (const look of subject.mail ? looks : looksOfPages) await take(browser, subject, look)
}

mkdirSync(folder, { recursive: true })
const stack = await startStack({ memory: true, now: startAt })
const browser = await openBrowser()
try {
  const { requests } = await loadDemoInto(stack, startAt)
  for (const subject of await subjectsOf(stack)) await takeAll(browser, subject)
  await takeAll(
    browser,
    whole('danger-said', (one) => saysDanger(stack, 'S-0021', one)),
  )
  await takeAll(browser, await handOver(stack))
  await loseMailbox(stack)
  await takeAll(browser, await mail(stack, 'not-delivered-mail', /is in a notice that was not delivered/))
  await takeAll(
    browser,
    page('notices-not-delivered', (one) => one.goto(`${stack.pages}/notices?crew=CR-9`)),
  )
  await bringForward(stack)
  await takeAll(browser, await mail(stack, 'brought-forward-mail', /is due earlier than its label says/))
  await takeAll(browser, await recalledLot(stack))
  console.log(`${requests} requests of demo history; pictures in tests/browser/pictures`)
} finally {
  await browser.close()
  await stack.stop()
}
