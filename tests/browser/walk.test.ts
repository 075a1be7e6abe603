/** The README's walk through the demo, with the commands as they stand there, in a real browser. */
import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { loadDemoInto } from '../../seed/into-stack.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { filesOf, saidOf } from '../support/proof-folder.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

const root = join(import.meta.dirname, '../..')
const folder = mkdtempSync(join(tmpdir(), 'quarterturn-walk-'))
const readyFile = join(folder, 'ready.json')

let stack: LocalStack
let browser: Browser
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  const began = new Date().toISOString()
  await loadDemoInto(stack, began)
  await stack.clock(began)
  const { api, mailbox, tokens } = stack
  const { table } = stack.parts
  writeFileSync(readyFile, JSON.stringify({ api, pages: api, mailbox, table, tokens }))
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
  rmSync(folder, { recursive: true, force: true })
})

/** The numbered steps of the walk, each with its command if it has one. */
function walk(): string[] {
  const [, section = ''] = readFileSync(join(root, 'README.md'), 'utf8').split('## A walk of two minutes')
  const [steps = ''] = section.split('\n## ')
  return steps.split(/^\d\. /m).slice(1)
}

const commandsOf = (step: string) =>
  [...step.matchAll(/```\n(.*?)```/gs)].map((block) => (block[1] ?? '').replaceAll(/^ +/gm, '')).join('\n')

/** In the second terminal, at the root of the project, with the file that the start wrote. */
async function run(commands: string): Promise<string> {
  const script = commands.replaceAll('./ready.json', readyFile)
  return (await promisify(execFile)('bash', ['-euc', script], { cwd: root, timeout: 20_000 })).stdout
}

/** As the reader sees it who opens what a step says. */
const firstRow = async (page: Page) => (await page.locator('tbody tr').allInnerTexts())[0]?.trim()

const pageOf = async (path: string) => {
  const wide = { locale: 'en-GB', viewport: { width: 1280, height: 900 } }
  const page = await (await contextFor(browser, stack, wide)).newPage()
  await page.goto(stack.pages + path)
  return page
}

test('the roster; two months on; the mail; a tingle; a failing test; the hold; the proof', {
  timeout: 240_000,
}, async () => {
  const [looking = '', twoMonthsOn = '', tingle = '', failing = '', proving = ''] = walk()
  expect(looking).toContain('overdue, on hold, due soon')
  const page = await pageOf('/')
  expect(await page.title()).toBe('Roster – Quarterturn')
  const statuses = await page.locator('tbody td.how').allInnerTexts()
  expect(statuses[0]).toContain('overdue')

  const [apiLine = '', dayLine = ''] = commandsOf(twoMonthsOn).split('\n')
  const mailsBefore = (await stack.mail()).length
  await run(commandsOf(twoMonthsOn))
  await stack.settle()
  const since = (await stack.mail()).slice(0, -mailsBefore).map(({ subject }) => subject)
  const isDigest = (subject: string) => /sticks? (due|overdue)|pértigas? (debe|vencida)/.test(subject)
  expect(since.filter(isDigest).length).toBeGreaterThan(10)
  // and what nobody of the demo has confirmed, and the fingerprint of the records
  const isUnconfirmed = (subject: string) =>
    /not all have confirmed|nobody has confirmed|no todos lo han confirmado|nadie lo ha confirmado/.test(subject)
  const isFingerprint = (subject: string) => subject.startsWith('Fingerprint of the records')
  const troubles = stack.logs().filter(({ text, error }) => error || text.includes('"trouble"'))
  const others = since.filter((one) => !isDigest(one) && !isUnconfirmed(one) && !isFingerprint(one))
  expect(others, troubles.map(({ functionName, text }) => `${functionName}: ${text}`).join('\n')).toEqual([])

  const answer = JSON.parse(await run(`${apiLine}\n${dayLine}\n${commandsOf(tingle)}`))
  expect(answer.stick.status).toBe('on hold')
  await stack.settle()
  expect(tingle).toContain('S-0001 stands in the first row')
  const [list = ''] = /(?<=`)\/roster\?[^`]+/.exec(tingle) ?? []
  await page.goto(stack.pages + list)
  expect(await firstRow(page)).toMatch(
    /^S-0001\s+on hold\s+Do not use it[\s\S]*Reported from use: tingle[\s\S]*Not confirmed by/,
  )
  // the other way that the step names
  await page.goto(`${stack.pages}/`)
  await page.getByLabel('Status').selectOption('on hold')
  await page.getByRole('button', { name: 'Show' }).click()
  expect(await firstRow(page)).toMatch(/^S-0001\s/)
  expect((await stack.mail())[0]?.subject).toMatch(/^Stick S-0001 is on hold/)

  const command = /`(npm run failing-test -- S-0002)`/.exec(failing)?.[1] ?? ''
  const said = await run(`${command} ./ready.json`)
  const failed = JSON.parse(said.slice(said.indexOf('{')))
  expect(failed).toMatchObject({ verdict: 'fail' })
  expect(failed.reasons[0]).toMatchObject({ code: 'reading-over-limit', state: 'wet', quarterTurn: 90 })
  await stack.settle()
  expect(failing.replaceAll(/\s+/g, ' ')).toContain('S-0002 stands in its first row now')
  await page.goto(stack.pages + list)
  expect(await firstRow(page)).toMatch(/^S-0002\s+on hold\s+Do not use it[\s\S]*µA/)
  const told = (await stack.mail()).filter(({ subject }) => /^Stick S-0002 is on hold/.test(subject))
  expect(told.length).toBeGreaterThan(2)
  expect(await run(commandsOf(proving))).toContain('every state is the replay of its facts')
})

test('the folder of a stick of the demo holds by itself, and a changed byte of it does not', async () => {
  const files = await filesOf(await (await stack.signedIn('manager')).get('/sticks/S-0002/proof'))
  const said = await saidOf(files)
  expect(said).toContain('All of it holds.')
  const records = Number(/(\d+) records\./.exec(said)?.[1])
  expect(records).toBeGreaterThan(2)
  const altered = Buffer.from(files['proof.json'] ?? [])
  altered.write('M', altered.lastIndexOf('leakageMicroamps'))
  expect(await saidOf({ ...files, 'proof.json': altered })).toContain('FAULT: proof.json is not as it was handed out')
  // whoever alters it may alter the list of files too
  const listed = JSON.parse(Buffer.from(files['files.json'] ?? []).toString())
  const list = { ...listed, 'proof.json': createHash('sha256').update(altered).digest('hex') }
  const forged = { ...files, 'proof.json': altered, 'files.json': Buffer.from(JSON.stringify(list)) }
  expect(await saidOf(forged)).toMatch(/FAULT: record \d+ \(fact [0-9a-f-]{36}\) is not in the tree as it reads here/)
})
