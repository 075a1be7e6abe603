/**
 * The first week of a utility in a real browser, over the template as it is deployed: its owner is made by the command,
 * enters a manager, and the manager gets a morning done. Then the essential path by the keyboard alone, with scripts
 * switched off, and in Spanish.
 */
import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { Secret, TOTP } from 'otpauth'
import type { Browser, BrowserContext, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { poolId } from '../../cdk/local/template/template.ts'
import { pageWordingFor } from '../../functions/pages/wording.ts'
import type { Language } from '../../shared-domain/words.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { openBrowser } from './browser.ts'

const organisation = 'valley-utility'
const mailbox = (name: string) => `${name}@valley-utility.example`
const [owner, nora, max, luz] = ['olga', 'nora', 'max', 'luz'].map(mailbox) as [string, string, string, string]
const foreman = 'bo@north-line.example'
const packs = ['us-29-cfr-1910-269-j']
/** Sooner than the law asks. */
const eachYear = { requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'Safety manual 4.2' }
const eighteen = { ...eachYear, interval: { months: 18 } }

let stack: LocalStack
let browser: Browser
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await stack.day('2026-03-02')
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

const contextIn = (language: Language, more: Parameters<Browser['newContext']>[0] = {}) =>
  browser.newContext({ locale: language === 'es' ? 'es-MX' : 'en-GB', viewport: { width: 1280, height: 900 }, ...more })

/** What the owner's command line answers. */
async function firstOwner(): Promise<string> {
  const { name, endpoint } = stack.parts.table
  const who = ['--organisation', organisation, '--name', 'Olga Berg', '--email', owner, '--pool', poolId]
  const command = [join('functions', 'first-owner', 'command.ts'), '--table', name, '--endpoint', endpoint, ...who]
  const env = {
    ...process.env,
    AWS_ENDPOINT_URL_COGNITO_IDENTITY_PROVIDER: stack.parts.aws,
    AWS_ACCESS_KEY_ID: 'local',
    AWS_SECRET_ACCESS_KEY: 'local',
  }
  return (await promisify(execFile)(process.execPath, command, { env })).stdout
}

/** Opens an address as whoever sits there, by the sign-in’s own page, and by an authenticator where one is asked. */
async function signsIn(context: BrowserContext, email: string, address: string): Promise<Page> {
  const page = await context.newPage()
  await page.goto(address)
  await page.getByRole('button', { name: email, exact: true }).click()
  if (page.url().includes('/sign-in/authenticator')) {
    const fours = (await page.locator('.secret').textContent()) ?? ''
    const code = new TOTP({ secret: Secret.fromBase32(fours.replaceAll(' ', '')) }).generate()
    await page.getByLabel('Code from the app').fill(code)
    await page.getByRole('button', { name: 'Finish and go on' }).click()
  }
  return page
}

const headingOf = (page: Page) => page.getByRole('heading', { level: 1 }).textContent()
/** A page whose script sends what was pressed goes on a moment later. */
const goesOnTo = (page: Page, name: string) => page.getByRole('heading', { level: 1, name, exact: true }).waitFor()
const tokenOf = (email: string) => stack.parts.identity.accessToken(email)

async function done(method: string, path: string, body: object): Promise<void> {
  const { status, text } = await stack.call(method, path, body, await tokenOf(owner))
  if (status !== 200 && status !== 201) throw new Error(`${method} ${path}: ${status} ${text}`)
}

const newestTo = async (to: string, subject: RegExp) => (await stack.mail(to)).find((one) => subject.test(one.subject))

/** The links of a mail, as its reader follows them. */
async function linksTo(to: string, subject: RegExp): Promise<string[]> {
  const html = (await newestTo(to, subject))?.html ?? ''
  return [...html.matchAll(/href="([^"]+)"/g)].map(([, link = '']) => link.replaceAll('&amp;', '&'))
}

/** Yard, crew, bench and sticks: one overdue, one with a test that was of another, one never tested. */
async function furnishValley(): Promise<void> {
  await done('PUT', `/v1/organisations/${organisation}`, { name: 'Valley utility', packs, effectiveFrom: '2020-01-01' })
  await done('PUT', '/v1/policies/employer', { packs, shorten: [eachYear], effectiveFrom: '2020-01-01' })
  await done('PUT', '/v1/depots/YARD', { ...aDepot, name: 'River yard' })
  const recipients = [{ name: 'Bo Lind', email: foreman, role: 'foreman' }]
  await done('PUT', '/v1/crews/NORTH', { ...aCrew, name: 'North line crew', depotId: 'YARD', recipients })
  await done('PUT', '/v1/crews/SOUTH', { ...aCrew, name: 'South line crew', depotId: 'YARD', recipients })
  await done('PUT', '/v1/instruments/INS-1', anInstrument)
  await done('PUT', '/v1/procedures/PRC-1', aProcedure)
  for (const [stick, crewId] of [
    ['V-1', 'NORTH'],
    ['V-2', 'NORTH'],
    ['V-3', 'SOUTH'],
    ['V-4', 'SOUTH'],
  ])
    await done('PUT', `/v1/sticks/${stick}`, { ...aStick, crewId })
  await done('POST', '/v1/sticks/V-1/bench-tests', aTest({ testedOn: day('2024-02-20') }))
  await done('POST', '/v1/sticks/V-2/bench-tests', aTest({ testedOn: day('2026-02-10') }))
  await done('POST', '/v1/sticks/V-4/bench-tests', aTest({ testedOn: day('2024-02-20') }))
  await done('PUT', '/v1/people/max', { name: 'Max Holm', email: max, role: 'manager', depots: ['*'] })
  const reads = { language: 'es', units: 'US customary' }
  await done('PUT', '/v1/people/luz', { name: 'Luz Prado', email: luz, role: 'bench', depots: ['*'], ...reads })
}

describe('a utility begins', () => {
  test('its owner, made by the command, signs in, sets an authenticator up, and enters a manager', async () => {
    expect(await firstOwner()).toContain('Olga Berg owns valley-utility now')
    const page = await signsIn(await contextIn('en'), owner, stack.pages)
    expect(await headingOf(page)).toBe('Roster')
    await furnishValley()
    await page.goto(`${stack.pages}/registers/people`)
    await page.getByRole('link', { name: 'Enter a new person' }).click()
    await page.getByLabel('Name for signing records').fill('nora')
    await page.getByLabel('Name', { exact: true }).fill('Nora Quist')
    await page.getByLabel('E-mail address').fill(nora)
    await page.getByRole('radio', { name: /^Manager/ }).check()
    await page.getByLabel('Every depot, those to come too').check()
    await page.getByRole('button', { name: 'Record it' }).click()
    expect(await headingOf(page)).toMatch(/^Recorded: /)
    await stack.settle()
    expect((await newestTo(nora, /You can sign in/))?.text).toContain('Entered by Olga Berg.')
    await page.context().close()
  })
})

describe('a manager’s morning', () => {
  let page: Page
  afterAll(async () => page?.context().close())
  const row = (of: Page, stick: string) => of.locator('tbody tr', { has: of.getByRole('link', { name: stick }) })

  test('begins with a link in a mail, which leads by the sign-in to what it named', async () => {
    const [link = ''] = await linksTo(nora, /You can sign in/)
    page = await signsIn(await contextIn('en'), nora, link)
    expect(page.url()).toBe(link)
    expect(await headingOf(page)).toBe('Roster')
    expect(await page.locator('.who').textContent()).toContain('Nora Quist, Valley utility')
  })

  test('finds the overdue stick of a crew, and has the crew reminded by mail', async () => {
    await page.getByLabel('Status').selectOption('overdue')
    await page.getByLabel(/^Crew/).selectOption({ label: 'North line crew' })
    await page.getByRole('button', { name: 'Show' }).click()
    expect(await page.locator('tbody th').allInnerTexts()).toEqual(['V-1'])
    expect(await row(page, 'V-1').textContent()).toContain('Do not use it')
    await remind('V-1')
    await stack.settle()
    const mail = await newestTo(foreman, /reminds you/)
    expect(mail?.subject).toContain('Nora Quist reminds you: 1 stick overdue')
    expect(mail?.text).toContain('/sticks/V-1')
    expect(mail?.text).not.toMatch(/\bV-4\b/)
    await page.goto(`${stack.pages}/notices?stick=V-1`)
    expect(await page.locator('tbody').first().textContent()).toMatch(/remind/i)
  })

  async function remind(stick: string): Promise<void> {
    await page.getByLabel(`Stick ${stick}`).check()
    await page.getByRole('button', { name: 'Remind their crews' }).click()
    await page.locator('form.act .send button:not([name])').click()
    expect(await headingOf(page)).toMatch(/is written to$/)
  }

  test('asks for a change of the rules, which a second manager sees by the link of a mail, and approves', async () => {
    await page.goto(`${stack.pages}/registers/policies/employer/edition`)
    const interval = page.getByRole('group', { name: 'Interval 1' })
    await interval.getByLabel('How long').fill('18')
    await page.getByRole('button', { name: 'Show what would follow, record nothing' }).click()
    expect(await page.locator('main').textContent()).toContain('Nothing was recorded')
    expect(await row(page, 'V-2').first().textContent()).toMatch(/10 February 2027[\s\S]*10 August 2027/)
    await page.getByRole('button', { name: 'Record it' }).click()
    expect(await headingOf(page)).toBe('It waits for a second person: Policy of this employer')
    await stack.settle()
    const [link = ''] = (await linksTo(max, /A change waits for your approval/)).filter((one) =>
      one.includes('/proposals'),
    )
    const second = await signsIn(await contextIn('en'), max, link)
    expect(second.url()).toBe(link)
    expect(await second.locator('main').textContent()).toContain('Nora Quist')
    await second.getByRole('link', { name: 'Approve it' }).click()
    await second.getByRole('button', { name: 'Approve it' }).click()
    expect(await headingOf(second)).toBe('Approved')
    await second.context().close()
    const { json } = await stack.call('GET', '/v1/policies', undefined, await tokenOf(nora))
    expect((json as { items: object[] }).items[0]).toMatchObject({ shorten: [eighteen], recordedBy: 'nora' })
  })

  test('puts a slip right: the test of one stick was typed on another', async () => {
    await page.goto(`${stack.pages}/sticks/V-2`)
    const tested = page.locator('tr', { hasText: 'Bench test' }).first()
    await tested.getByText('Recorded wrongly?').click()
    await tested.getByRole('link', { name: 'It was another stick' }).click()
    await page.getByLabel('Number of the right stick').fill('V-3')
    await page.getByLabel('What the slip was').fill('wrong line of the sheet')
    await page.getByRole('button', { name: 'Put it right' }).click()
    expect(await headingOf(page)).toBe('Put right: stick V-2')
    await page.goto(`${stack.pages}/sticks/V-3`)
    expect(await page.locator('.status').first().textContent()).toContain('in service')
    await page.goto(`${stack.pages}/sticks/V-2`)
    expect(await page.locator('.status').first().textContent()).toContain('awaiting first test')
  })

  test('ends everywhere: the cookie and the token from before open nothing', async () => {
    const [cookies, token] = [await page.context().cookies(), await tokenOf(nora)]
    expect((await stack.call('GET', '/v1/roster', undefined, token)).status).toBe(200)
    await page.getByRole('link', { name: 'Sign out' }).click()
    await page.getByRole('button', { name: 'Sign out everywhere' }).click()
    await goesOnTo(page, 'You are signed out')
    const old = await contextIn('en')
    await old.addCookies(cookies)
    const again = await old.newPage()
    await again.goto(`${stack.pages}/roster`)
    expect([new URL(again.url()).origin, await headingOf(again)]).toEqual([stack.parts.identity.issuer, 'Who are you?'])
    await old.close()
    const refused = await stack.call('GET', '/v1/roster', undefined, token)
    expect([refused.status, refused.headers.get('content-type')]).toEqual([401, 'application/problem+json'])
  })
})

type Press = (page: Page, name: string) => Promise<void>

/** Of a browser's own things, what is used below. */
interface Focus {
  readonly document: {
    readonly activeElement: {
      readonly textContent: string | null
      readonly labels?: readonly { readonly textContent: string | null }[]
    }
  }
}

/** Goes on by the Tab key to what has this name, and no further than a page has things to go to. */
async function reach(page: Page, name: string): Promise<void> {
  for (let presses = 0; presses < 80; presses++) {
    await page.keyboard.press('Tab')
    const at = await page.evaluate(() => {
      const { activeElement: one } = (globalThis as unknown as Focus).document
      return (one.labels?.[0]?.textContent ?? one.textContent ?? '').trim()
    })
    if (at === name || at.startsWith(`${name}\n`)) return
  }
  throw new Error(`no key leads to ${name} at ${page.url()}`)
}

const byKeys: Press = async (page, name) => {
  await reach(page, name)
  const before = page.url()
  await page.keyboard.press('Enter')
  await page.waitForURL((url) => url.href !== before)
}

const byMouse: Press = async (page, name) => {
  const what = { name, exact: true }
  await page.getByRole('link', what).or(page.getByRole('button', what)).first().click()
}

interface Way {
  readonly stick: string
  readonly email: string
  readonly language: Language
  readonly press: Press
  readonly choose: (page: Page, label: string, option: string) => Promise<unknown>
}

/** From the sign-in to a stick that nobody may use any more, and out again. */
async function essentialPath(context: BrowserContext, { stick, email, language, press, choose }: Way): Promise<void> {
  const { say, word } = await pageWordingFor({ language })
  const page = await context.newPage()
  await page.goto(stack.pages)
  await press(page, email)
  expect(await headingOf(page)).toBe(say('roster'))
  expect(await page.locator('html').getAttribute('lang')).toBe(language)
  // people of the bench begin with what lies there
  if (page.url().includes('bench=true')) await press(page, say('roster'))
  await press(page, stick)
  await press(page, say('offer report'))
  await choose(page, say('what is wrong'), word('defect', 'tingle'))
  await press(page, say('report it'))
  await goesOnTo(page, say('reported', { stick }))
  expect(await page.locator('.order').textContent()).toBe(say('do not use'))
  await press(page, say('sign out'))
  await press(page, say('out here'))
  await goesOnTo(page, say('signed out'))
  await context.close()
}

/** Whoever has come to the first tile goes on from tile to tile by the arrows. */
const byArrows: Way['choose'] = async (page, label, option) => {
  const tiles = page.getByRole('group', { name: label }).getByRole('radio')
  await reach(page, await nameOf(tiles.first()))
  for (let tile = 0; (await nameOf(page.locator(':focus'))) !== option; tile++) {
    if (tile > (await tiles.count())) throw new Error(`no arrow leads to ${option}`)
    await page.keyboard.press('ArrowDown')
  }
}
const nameOf = async (tile: Locator) => ((await tile.locator('..').textContent()) ?? '').trim()
const tapped: Way['choose'] = (page, label, option) =>
  page.getByRole('group', { name: label }).getByText(option, { exact: true }).click()

describe('word of danger', () => {
  test('is brought by the keyboard alone', async () => {
    const way = { stick: 'V-1', email: owner, language: 'en', press: byKeys, choose: byArrows } as const
    await essentialPath(await contextIn('en'), way)
  })

  test('is brought without any script', async () => {
    const way = { stick: 'V-2', email: owner, language: 'en', press: byMouse, choose: tapped } as const
    await essentialPath(await contextIn('en', { javaScriptEnabled: false }), way)
  })

  test('is brought in Spanish, and reaches the crew', async () => {
    const way = { stick: 'V-3', email: luz, language: 'es', press: byMouse, choose: tapped } as const
    await essentialPath(await contextIn('es'), way)
    await stack.settle()
    const { items } = (await stack.call('GET', '/v1/roster?status=on%20hold', undefined, await tokenOf(max))).json as {
      items: { stickId: string }[]
    }
    expect(items.map(({ stickId }) => stickId).sort()).toEqual(['V-1', 'V-2', 'V-3'])
    expect((await newestTo(foreman, /^Stick V-3 is on hold/))?.text).toContain('/sticks/V-3')
  })
})
