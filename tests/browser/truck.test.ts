/**
 * A crew beside its truck, on a phone and over the template as it is deployed: a Spanish mail is confirmed with a tap,
 * everything is said with no script at all, and what is another crew's stays theirs.
 */
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { answerWordingFor } from '../../functions/answers/wording.ts'
import { pageWordingFor } from '../../functions/pages/wording.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

const { say, word } = await pageWordingFor({ language: 'en' })
const inSpanish = await answerWordingFor({ language: 'es' })
const phone = { width: 390, height: 844 }
const luz = 'luz@crew-two.example'
const two = {
  name: 'Crew two',
  depotId: 'DEP-1',
  recipients: [{ name: 'Luz Prado', email: luz, role: 'crew', language: 'es' }],
}

let stack: LocalStack
let browser: Browser
let noScript: BrowserContext
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.clock('2026-03-02T15:00:00.000Z')
  browser = await openBrowser()
  const put = (path: string, body: object) => done('PUT', path, body)
  await put('/v1/depots/DEP-1', { ...aDepot, address: '3 Mill Lane, gate 2', hours: 'every day, 7:00 to 17:00' })
  await put('/v1/crews/CR-1', aCrew)
  await put('/v1/crews/CR-2', two)
  await put('/v1/instruments/INS-1', anInstrument)
  await put('/v1/procedures/PRC-1', aProcedure)
  for (const [stick, crewId] of [
    ['S-1', 'CR-1'],
    ['S-2', 'CR-1'],
    ['T-1', 'CR-2'],
    ['T-2', 'CR-2'],
  ] as const) {
    await put(`/v1/sticks/${stick}`, { ...aStick, crewId })
    await done('POST', `/v1/sticks/${stick}/bench-tests`, aTest({ testedOn: day('2026-02-10') }))
  }
  await stack.settle()
  noScript = await contextFor(browser, stack, { person: 'crew', viewport: phone, javaScriptEnabled: false })
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

async function done(method: string, path: string, body: object): Promise<void> {
  const { status, text } = await stack.call(method, path, body)
  if (status > 201) throw new Error(`${path}: ${status} ${text}`)
}

const factsOf = async (stick: string) =>
  ((await stack.call('GET', `/v1/sticks/${stick}/facts`)).json as { items: { kind: string }[] }).items

const orderOn = (page: Page) => page.locator('.order').first().textContent()

test('a Spanish mail is confirmed with one tap on its button and one on the page', async () => {
  const tingle = { factId: crypto.randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await done('POST', '/v1/sticks/T-1/defects', tingle)
  await stack.settle()
  const mail = (await stack.mail(luz)).find(({ subject }) => /T-1 está retenida/.test(subject))
  const context = await browser.newContext({ viewport: phone, locale: 'es-MX' })
  const page = await context.newPage()
  await page.setContent(mail?.html ?? '')
  await page.locator('a.button').click()
  expect(await page.locator('html').getAttribute('lang')).toBe('es')
  expect(await page.locator('h1').textContent()).toBe('No la use')
  expect(await page.locator('.depot').textContent()).toContain('3 Mill Lane, gate 2')
  await page.locator('form button').click()
  expect(await page.locator('h1').textContent()).toBe(inSpanish.say('thank you', { name: 'Luz Prado' }))
  const { items } = (await stack.call('GET', '/v1/notices?stick=T-1')).json as {
    items: { to: { email: string }; answeredAt: string | null }[]
  }
  expect(items.find(({ to }) => to.email === luz)?.answeredAt).toMatch(/^2026-03-02T15:00:/)
  await context.close()
})

test('without a script danger on any stick takes three taps, and what is another crew’s is not shown', async () => {
  const page = await noScript.newPage()
  await page.goto(`${stack.pages}/crew`)
  const list = await page.locator('main').textContent()
  expect(list).toContain('S-1')
  for (const theirs of ['T-1', 'T-2', 'Luz', luz]) expect(list).not.toContain(theirs)
  expect((await page.goto(`${stack.pages}/sticks/T-2`))?.status()).toBe(403)

  await page.goto(`${stack.pages}/crew`)
  await page.getByLabel(say('number on it')).fill('t-2')
  await page.getByRole('button', { name: say('short danger') }).click()
  await page.getByText(word('defect', 'crack'), { exact: true }).click()
  await page.locator('.send').getByRole('button').click()
  expect(await orderOn(page)).toContain(say('do not use'))
  for (const theirs of ['Luz', luz]) expect(await page.locator('main').textContent()).not.toContain(theirs)
  await stack.settle()
  expect((await factsOf('T-2')).filter(({ kind }) => kind === 'defect reported')).toHaveLength(1)
  expect((await stack.mail(luz)).map(({ subject }) => subject)).toContainEqual(expect.stringMatching(/T-2 está reteni/))
  await page.close()
})

test('without a script a use, a look, missing and found are said by tapping', async () => {
  const page = await noScript.newPage()
  await page.goto(`${stack.pages}/sticks/S-1/use`)
  await page.getByRole('button', { name: say('condition wet') }).click()
  await page.getByText(say('use logged', { stick: 'S-1' })).waitFor()
  await page.goto(`${stack.pages}/sticks/S-1/look`)
  await page.locator('.send').getByRole('button').click()
  await page.getByText(say('looked over', { stick: 'S-1' })).waitFor()
  expect(await orderOn(page)).toContain('Use it through')
  for (const [to, what] of [
    ['missing', 'it is missing'],
    ['found', 'it was found'],
  ] as const) {
    await page.goto(`${stack.pages}/sticks/S-2/missing?to=${to}`)
    await page.getByText(say(what), { exact: true }).click()
    await page.locator('.send').getByRole('button').click()
    await page.getByText(say('reported', { stick: 'S-2' })).waitFor()
    expect(await orderOn(page)).toContain(say('do not use'))
  }
  expect((await factsOf('S-1')).map(({ kind }) => kind)).toEqual(expect.arrayContaining(['used', 'condition checked']))
  await page.close()
})
