/**
 * A manager calls a lot back in a real browser: sees beforehand whom it reaches, opens it, watches its bar, finds the
 * two sticks that nobody confirmed, and closes it with the report. On a phone's width too.
 */
import type { Browser, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { bring, furnish, lookAt, put } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

const cy = 'cy@crew-two.example'
const lot = 'LOT-9'
const [withAna, withCy] = [
  ['L-1', 'L-2'],
  ['L-3', 'L-4'],
] as const

let stack: LocalStack
let browser: Browser
let page: Page
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await stack.day('2026-02-02')
  await furnish(stack)
  const recipients = [{ name: 'Cy Dahl', email: cy, role: 'foreman' }]
  await put(stack, '/v1/crews/CR-2', { name: 'Crew two', depotId: 'DEP-1', recipients })
  for (const id of withAna) await enter(id, 'CR-1')
  for (const id of withCy) await enter(id, 'CR-2')
  await stack.day('2026-03-02')
  page = await (await contextFor(browser, stack, { locale: 'en-GB', viewport: { width: 1280, height: 900 } })).newPage()
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

async function enter(id: string, crewId: string): Promise<void> {
  await put(stack, `/v1/sticks/${id}`, { ...aStick, crewId, lot })
  await bring(stack, aTest({ testedOn: day('2026-02-02') }), id)
}

const bars = async () => (await page.locator('.bars .bar').allInnerTexts()).map((text) => text.trim())
/** The sticks of the table below a heading, in its order. */
const below = (heading: string): Locator =>
  page.locator(`h2:text-is("${heading}") + table tbody th, h2:text-is("${heading}") + * table tbody th`)
const sticksBelow = async (heading: string) => (await below(heading).allInnerTexts()).map((text) => text.trim())

test('what would follow is shown before anything does, and nothing follows from looking', async () => {
  await page.goto(`${stack.pages}/recalls`)
  await page.getByRole('link', { name: 'Recall a lot' }).click()
  await page.getByLabel('Lot', { exact: true }).fill(lot)
  await page.getByLabel('Reason').fill('two of this lot failed beneath the ferrule')
  await page.getByRole('button', { name: 'What would follow' }).click()
  const shown = (await page.locator('main').textContent())?.replaceAll(/\s+/g, ' ')
  expect(shown).toContain('Sticks on hold: 4. Cleared by their readings: 0.')
  for (const id of [...withAna, ...withCy]) expect(shown).toContain(id)
  expect((await lookAt(stack, 'L-1')).status).toBe('in service')
})

test('opened, it holds all four at once, and its bars begin at nought', async () => {
  await page.getByRole('button', { name: 'Open the recall' }).click()
  await page.getByRole('heading', { level: 1, name: `Recall of lot ${lot}` }).waitFor()
  expect((await lookAt(stack, 'L-3')).status).toBe('on hold')
  expect(await bars()).toEqual(['Done with 0 of 4 sticks', 'Known to whoever has them: 0 of 4 that are held'])
  expect(await sticksBelow('Nobody confirmed these')).toEqual([...withAna, ...withCy])
})

test('one crew confirms by the button of its mail: the two of the other stand out', async () => {
  await stack.settle()
  const [mail, ...others] = (await stack.mail('ana@crew-one.example')).filter(({ subject }) => /^Recall/.test(subject))
  expect([mail?.subject.replace(/ \[.*/, ''), others]).toEqual([`Recall: do not use 2 sticks of lot ${lot}`, []])
  const [link = ''] = /[^"]+\/answers\/[^"]+/.exec(mail?.html ?? '') ?? []
  const phone = await (await browser.newContext({ viewport: { width: 390, height: 800 } })).newPage()
  await phone.goto(link.replaceAll('&amp;', '&'))
  await phone.getByRole('button').first().click()
  await phone.getByText('Thank you, Ana Ferro').waitFor()
  await phone.context().close()
  await stack.settle()
  await page.reload()
  expect(await bars()).toEqual(['Done with 0 of 4 sticks', 'Known to whoever has them: 2 of 4 that are held'])
  expect(await sticksBelow('Nobody confirmed these')).toEqual([...withCy])
})

test('over their heads it is not closed; once two are tested and two not found it is', async () => {
  await stack.day('2026-03-03')
  for (const id of withAna) await bring(stack, aTest({ testedOn: day('2026-03-03'), at: '08:30' }), id)
  await page.setViewportSize({ width: 390, height: 800 })
  await page.reload()
  expect((await bars())[0]).toBe('Done with 2 of 4 sticks')
  expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(390)
  await page.getByRole('link', { name: 'Close this recall' }).click()
  await page.getByRole('button', { name: 'Close it' }).click()
  expect(await page.locator('main').textContent()).toContain('Stick L-3 is still held by this recall')
  for (const id of withCy) await page.getByLabel(id, { exact: true }).check()
  await page.getByLabel('Remark for the report').fill('looked for at both depots')
  await page.getByRole('button', { name: 'Close it' }).click()
  await page.getByRole('link', { name: 'To the recall' }).click()
  const shown = (await page.locator('main').textContent())?.replaceAll(/\s+/g, ' ')
  expect(shown).toContain('looked for at both depots')
  const path = await page.getByRole('link', { name: 'The report as a file' }).getAttribute('href')
  const report = await (await (await stack.signedIn()).get(path ?? '')).text()
  const rows = report.split('\r\n').slice(1, -1)
  const told = rows.map((line) => line.replaceAll('"', ''))
  expect(told).toEqual([
    expect.stringMatching(/^L-1,tested again and passed,in service,,/),
    expect.stringMatching(/^L-2,tested again and passed,in service,,/),
    expect.stringMatching(/^L-3,held, named as not found,on hold,not confirmed,/),
    expect.stringMatching(/^L-4,held, named as not found,on hold,not confirmed,/),
  ])
  // closing frees nothing that was not found
  for (const id of withCy) expect((await lookAt(stack, id)).status).toBe('on hold')
})
