/** What functions log names nobody, whatever a service said of them. */
import fc from 'fast-check'
import { afterEach, expect, test, vi } from 'vitest'
import { log, describe as told } from '../../functions/ground/log.ts'

afterEach(() => vi.restoreAllMocks())

function logged(details: Record<string, unknown>): string {
  const lines: string[] = []
  vi.spyOn(console, 'error').mockImplementation((line) => void lines.push(String(line)))
  log('error', 'notice not sent', details)
  expect(lines).toHaveLength(1)
  return lines[0] ?? ''
}

test.each([
  'Email address is not verified. The following identities failed the check in region US-EAST-1: ana@crew-one.example',
  'User arn:aws:sts::1:assumed-role/R is not authorized on identity/ana@crew-one.example: <ana@crew-one.example>',
  'ORG#demo#ADDRESS#ana+sticks@crew-one.example#MARK',
])('an address in what a service says is left out, and the rest is told: %s', (message) => {
  const line = logged({ trouble: told(new Error(message)), items: [{ of: message }] })
  expect(line).not.toMatch(/ana|crew-one/i)
  expect(JSON.parse(line)).toMatchObject({ event: 'notice not sent', trouble: expect.stringContaining('(an address)') })
})

test('the path of a package is told as it is', () => {
  const message = '@smithy/node-http-handler - [ERROR] no answer at node_modules/@aws-sdk/core/index.js'
  expect(JSON.parse(logged({ trouble: message })).trouble).toBe(message)
})

test('no address of any kind is left, wherever it stands', () => {
  fc.assert(
    fc.property(fc.emailAddress(), fc.constantFrom('', ' ', '<', '"', ':', ', '), (address, before) => {
      const line = logged({ trouble: `not taken${before}${address}${before}`, deep: [[address]] })
      expect(line).not.toContain(address.split('@')[1])
    }),
    { numRuns: 200 },
  )
})
