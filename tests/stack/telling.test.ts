/** What `npm start` says to the person at the terminal. */

import { createServer } from 'node:http'
import { expect, test } from 'vitest'
import { listen, portIsFree } from '../../cdk/local/free-port.ts'
import { javaFault } from '../../cdk/local/table/java.ts'
import { explained, openFirst, teller, whatIsKept } from '../../cdk/local/telling.ts'

function told(isTTY: boolean) {
  const written: string[] = []
  const { line, progress } = teller({ isTTY, write: (text) => written.push(text) })
  for (const to of [6, 12]) {
    for (let done = to - 6; done < to; done++) progress({ from: to - 5, to, months: 30, done, requests: 463 })
  }
  line('The demo is in.')
  return written
}

test('a pipe gets one line for each step of the demo', () => {
  expect(told(false)).toEqual(['demo: months 1 to 6 of 30 …\n', 'demo: months 7 to 12 of 30 …\n', 'The demo is in.\n'])
})

test('a terminal gets one line in place, which the next sentence writes over', () => {
  const written = told(true)
  expect(written).toHaveLength(13)
  expect(written[8]).toBe('\r\u001b[Kdemo: months 7 to 12 of 30, 8 of 463 entries')
  expect(written.at(-1)).toBe('\r\u001b[KThe demo is in.\n')
})

test.each([
  [{ memory: true, fresh: false }, true, /Nothing is kept/],
  [{ memory: false, fresh: false }, false, /are kept in \.local\//],
  [{ memory: false, fresh: true }, true, /thrown away/],
  [{ memory: false, fresh: true }, false, /are kept in \.local\//],
  [{ memory: false, fresh: false }, true, /used again.*--fresh.*mails are not kept/],
])('%j, with data there: %s', (flags, isThere, sentence) => {
  expect(whatIsKept(flags, isThere)).toMatch(sentence)
})

test('the end says what to open first, how to check the table, and how to stop', () => {
  const table = { name: 'T', endpoint: 'http://127.0.0.1:3' }
  const text = openFirst({ api: 'http://127.0.0.1:1', mailbox: 'http://127.0.0.1:2', table })
  for (const part of [
    'http://127.0.0.1:1/roster',
    'http://127.0.0.1:2',
    'npm run prove -- --table T --endpoint http://127.0.0.1:3',
    'Ctrl-C',
  ])
    expect(text).toContain(part)
})

test('a taken port is named', async () => {
  const server = createServer()
  const port = await listen(server)
  const error = await portIsFree(port).then(
    () => undefined,
    (error: unknown) => error,
  )
  server.close()
  expect(explained(error)).toBe(`Port ${port} is in use. Choose another with --port, or leave --port out.`)
  await expect(portIsFree(undefined)).resolves.toBeUndefined()
})

test.each([
  ['java version "1.8.0_392"', /^Java 8 found\. .*Java 17 or newer/],
  ['openjdk version "11.0.21" 2023-10-17', /^Java 11 found\. /],
  ['', /^No Java found\. /],
  ['The operation couldn’t be completed. Unable to locate a Java Runtime.', /^No Java found\. /],
])('%j: the start says what to do', (said, sentence) => {
  expect(javaFault(said)).toMatch(sentence)
})

test.each(['openjdk version "17.0.15" 2025-04-15', 'openjdk version "25-ea" 2025-09-16'])('%j will do', (said) => {
  expect(javaFault(said)).toBeUndefined()
})
