/**
 * A slip put right, on the local stack: by one, by two, between sticks, of a calibration; and what each person hears of
 * it.
 */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { ana, bring, furnish, lookAt, put } from './furnish.ts'

const cy = 'cy@crew-two.example'
let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-10')
  await furnish(stack)
  const recipients = [{ name: 'Cy Dahl', email: cy, role: 'foreman' }]
  await put(stack, '/v1/crews/CR-2', { name: 'Crew two', depotId: 'DEP-1', recipients })
  for (const id of ['S-2', 'S-4']) await put(stack, `/v1/sticks/${id}`, { ...aStick, crewId: 'CR-2' })
  await put(stack, '/v1/sticks/S-3', aStick)
})
afterAll(async () => {
  await stack?.stop()
})

const corrects = (slip: unknown, more: object = {}) =>
  stack.call(
    'POST',
    '/v1/corrections',
    {
      factId: randomUUID(),
      corrects: slip,
      reason: 'Typed on the wrong line of the sheet',
      replacement: null,
      ...more,
    },
    'manager',
  )
const approves = (id: string, who = 'manager-2') => stack.call('POST', `/v1/corrections/${id}/approvals`, {}, who)
const proposalIn = (json: unknown) => (json as { proposal: { id: string } }).proposal.id
const newest = async (to: string) => (await stack.mail(to))[0]
const stands = async (id: string) => {
  const { status, dueOn, holds } = await lookAt(stack, id)
  return [status, dueOn, ...holds.map(({ code }) => code)]
}
const page = async (path: string) => (await stack.page(path)).text

test('a test on the wrong stick is moved by one: both sticks are right, and both crews hear of it', async () => {
  await bring(stack, aTest({ factId: randomUUID(), testedOn: day('2026-02-10') }))
  const made = aTest({ factId: randomUUID(), testedOn: day('2026-03-09') })
  await bring(stack, made)
  await stack.settle()
  const { status } = await corrects(made.factId, { stickId: 'S-2' })
  expect(status).toBe(201)
  await stack.settle()
  expect(await stands('S-1')).toEqual(['in service', '2028-02-10'])
  expect(await stands('S-2')).toEqual(['in service', '2028-03-09'])
  const [toAna, toCy] = [await newest(ana), await newest(cy)]
  expect(toAna?.subject).toMatch(/^Stick S-1 is due earlier than its label says/)
  expect(toAna?.text).toContain('A slip was put right: the bench test recorded of 9 March 2026 was wrong.')
  expect(toAna?.text).toContain('It belongs to stick S-2.')
  expect(toAna?.text).toContain('Typed on the wrong line of the sheet')
  expect(toCy?.subject).toMatch(/^Stick S-2 had a slip in its record, which is put right/)
  expect(toCy?.text).toContain('It had been recorded of stick S-1 and belongs to this one.')
  expect(toCy?.text).toContain('9 March 2028')
  const history = await page('/sticks/S-1')
  expect(history).toMatch(/<s>.*Bench test: pass.*<\/s>/s)
  expect(history).toContain('<a href="/sticks/S-2">It belongs to stick S-2.</a>')
})

test('41 for 4.1: put right by one it does not come back, by two it is where it was', async () => {
  const wrong = overTheLimit({ factId: randomUUID(), testedOn: day('2026-03-10'), at: '08:00' })
  await bring(stack, wrong)
  // word of the hold is out before the word that a correction waits
  await stack.settle()
  const replacement = aTest({ factId: randomUUID(), testedOn: day('2026-03-10'), at: '08:00' })
  const { status, json } = await corrects(wrong.factId, { replacement, reason: '41 was typed for 4.1' })
  expect(status).toBe(202)
  await stack.settle()
  expect(await stands('S-1')).toEqual(['on hold', '2028-02-10', 'failed-test'])
  expect((await newest('manager-2@demo-utility.example'))?.text).toContain(
    'What spoke against it would no longer stand as it did: the bench test of',
  )
  expect((await approves(proposalIn(json), 'manager')).status).toBe(403)
  expect(await page('/proposals')).toContain('Record of stick S-1: waits for a second person')
  expect((await approves(proposalIn(json))).status).toBe(200)
  await stack.settle()
  expect(await stands('S-1')).toEqual(['in service', '2028-03-10'])
  const mail = await newest(ana)
  expect(mail?.subject).toMatch(/^Stick S-1 is back in service/)
  expect(mail?.text).toContain('What stopped this stick was a slip in its record.')
  expect(mail?.text).toContain('41 was typed for 4.1')
})

test('a slip of a minute ago costs its author one act', async () => {
  const factId = randomUUID()
  const use = { factId, occurredOn: '2026-03-10', conditions: ['wet'] }
  await stack.call('POST', '/v1/sticks/S-1/uses', use, 'manager')
  expect((await corrects(factId, { stickId: 'S-2' })).status).toBe(201)
})

test('a removal by mistake is undone by two, and the stick waits for a full test', async () => {
  await bring(stack, aTest({ factId: randomUUID(), testedOn: day('2026-03-01') }), 'S-3')
  const factId = randomUUID()
  const removal = { factId, occurredOn: '2026-03-10', at: '08:30', reason: 'Recalled by its maker' }
  expect((await stack.call('POST', '/v1/sticks/S-3/removals', removal, 'manager')).status).toBe(201)
  expect((await stands('S-3'))[0]).toBe('removed from service')
  const { json } = await corrects(factId, { reason: 'S-8 was meant' })
  // who recorded it, and who asks for it, approve nothing of it
  expect((await approves(proposalIn(json), 'manager')).status).toBe(403)
  expect((await approves(proposalIn(json))).status).toBe(200)
  await stack.settle()
  expect(await stands('S-3')).toEqual(['on hold', '2028-03-01', 'removal-undone'])
  expect((await newest(ana))?.text).toContain('Its removal from service was a slip and is undone')
  await stack.day('2026-03-11')
  await bring(stack, aTest({ factId: randomUUID(), testedOn: day('2026-03-11'), at: '07:00' }), 'S-3')
  expect(await stands('S-3')).toEqual(['in service', '2028-03-11'])
})

describe('a year mistyped in a calibration', () => {
  const mistyped = { spanMetres: 0.3, calibratedOn: '2025-02-10', calibrationDueOn: '2027-02-10' }

  test('put right makes the tests since invalid, holds their sticks and tells their people, a mail each', async () => {
    await put(stack, '/v1/instruments/INS-2', mistyped)
    const { edition } = (await stack.call('GET', '/v1/instruments/INS-2')).json as { edition: string }
    for (const id of ['S-2', 'S-4']) {
      const made = aTest({ factId: randomUUID(), testedOn: day('2026-03-11'), at: '07:00', instrumentId: 'INS-2' })
      expect((await bring(stack, made, id)).verdict).toBe('pass')
    }
    await stack.settle()
    const before = (await stack.mail(cy)).length
    const { status, json } = await corrects(
      { register: 'instrument', id: 'INS-2', edition },
      { replacement: { ...mistyped, calibrationDueOn: '2026-02-10' }, reason: 'The year was mistyped' },
    )
    expect([status, json]).toMatchObject([201, { judgedAnew: 'all' }])
    await stack.settle()
    for (const id of ['S-2', 'S-4']) expect((await stands(id)).slice(2)).toEqual(['test-invalid'])
    const mails = await stack.mail(cy)
    expect(mails).toHaveLength(before + 1)
    expect(mails[0]?.subject).toMatch(/^2 sticks are on hold, since what they were tested by was wrong/)
    expect(mails[0]?.text).toContain('the calibration of an instrument')
    expect(mails[0]?.text).toContain('The year was mistyped')
  })

  test('where the request is broken off, the clock goes on with it', async () => {
    await put(stack, '/v1/instruments/INS-3', mistyped)
    const { edition } = (await stack.call('GET', '/v1/instruments/INS-3')).json as { edition: string }
    const made = aTest({ factId: randomUUID(), testedOn: day('2026-03-11'), at: '07:30', instrumentId: 'INS-3' })
    await bring(stack, made, 'S-3')
    stack.parts.trouble.refuses = ({ functionName, body }) =>
      functionName.includes('Rest') && body.includes('judged again')
        ? { error: 'InternalServerError', status: 500 }
        : undefined
    const { status, json } = await corrects(
      { register: 'instrument', id: 'INS-3', edition },
      { replacement: { ...mistyped, calibrationDueOn: '2026-02-10' } },
    )
    stack.parts.trouble.refuses = () => undefined
    expect([status, json]).toMatchObject([201, { judgedAnew: 'goes on' }])
    await stack.clock('2026-03-11T15:06:00Z')
    await stack.settle()
    expect((await stands('S-3')).slice(2)).toEqual(['test-invalid'])
    expect((await newest(ana))?.subject).toMatch(/^Stick S-3 is on hold/)
    expect(await stack.prove()).toMatch(/^\d+ sticks, \d+ facts: every state is the replay of its facts$/m)
  })
})
