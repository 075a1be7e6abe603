/**
 * Slips put right: withdrawn, replaced, moved to another stick; by one person or by two; told, and proved afterwards.
 */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { asItStands } from '../../functions/deliver-notices/as-it-stands.ts'
import { noticesPage } from '../../functions/pages/notices-page.ts'
import { stickPage } from '../../functions/pages/stick-page.ts'
import { testPage } from '../../functions/pages/test-page.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { bodyOf, inEnglish, logChoice } from '../support/pages.ts'
import { aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { furnish, type House, openHouse, owedOf, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const post = (path: string, body: object, who: Who = 'bench') => house.done('POST', path, body, who)
const tests = (made: BenchTest, stickId = 'S-1') => post(`/v1/sticks/${stickId}/bench-tests`, made)
const inService = (stickId = 'S-1') => tests(aTest({ factId: randomUUID(), testedOn: day('2026-02-10') }), stickId)
const corrects = (slip: string, more: object = {}, who: Who = 'manager') =>
  house.call(
    'POST',
    '/v1/corrections',
    { factId: randomUUID(), corrects: slip, reason: 'typed on the wrong line', replacement: null, ...more },
    who,
  )
const approves = (id: string, who: Who = 'manager-2') => house.call('POST', `/v1/corrections/${id}/approvals`, {}, who)
const stick = async (id = 'S-1', query = '') => (await house.call('GET', `/v1/sticks/${id}${query}`)).json
const stands = async (id = 'S-1', query = '') => {
  const { status, dueOn, holds } = await stick(id, query)
  return [status, dueOn, ...holds.map(({ code }: { code: string }) => code)]
}
const facts = async (id = 'S-1') => (await house.call('GET', `/v1/sticks/${id}/facts`)).json.items
const codes = (reply: Awaited<ReturnType<typeof corrects>>) => [
  reply.status,
  ...(reply.json.reasons ?? reply.json.errors ?? []).map(
    ({ code, pointer }: { code?: string; pointer?: string }) => code ?? pointer,
  ),
]
const proved = async (...ids: string[]) => {
  for (const id of ids) expect((await proveStick(house.organisation(), id)).faults).toEqual([])
}
const other = (made: BenchTest, more: Partial<BenchTest> = {}): BenchTest => ({
  ...made,
  factId: randomUUID(),
  ...more,
})

describe('a test on the wrong stick', () => {
  test('is moved to the right one in one act: both are right, and both crews are told', async () => {
    await inService('S-1')
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    expect(await stands('S-1')).toEqual(['in service', '2028-03-09'])
    expect(await stands('S-2')).toEqual(['awaiting first test', null])
    const before = owedOf(house)
    const reply = await corrects(made.factId, { stickId: 'S-2' })
    expect([reply.status, reply.json.verdict]).toEqual([201, 'pass'])
    expect(reply.json.stick.stickId).toBe('S-1')
    expect(reply.json.others.map(({ stickId }: { stickId: string }) => stickId)).toEqual(['S-2'])
    expect(await stands('S-1')).toEqual(['in service', '2028-02-10'])
    expect(await stands('S-2')).toEqual(['in service', '2028-03-09'])
    const news = owedOf(house).filter((one) => !before.includes(one))
    expect(news).toContain('date brought forward ana@crew-one.example')
    expect(news).toContain('put right cy@crew-two.example')
    await proved('S-1', 'S-2')
    const [, , slip] = await facts('S-1')
    expect(slip.correctedBy.instead.stickId).toBe('S-2')
  })

  test('is known as it was known then by whoever asks for that day', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    house.at('2026-03-12T15:00:00.000Z')
    await corrects(made.factId, { stickId: 'S-2' })
    expect(await stands('S-1', '?asKnownOn=2026-03-11')).toEqual(['in service', '2028-03-09'])
    expect(await stands('S-1', '?asKnownOn=2026-03-12')).toEqual(['awaiting first test', null])
    expect(await stands('S-2', '?on=2026-03-09')).toEqual(['in service', '2028-03-09'])
    expect(await stands('S-2', '?asKnownOn=2026-03-11')).toEqual(['awaiting first test', null])
  })

  test('does not go where it does not fit: the places are named from the top of the correction', async () => {
    await house.done('PUT', '/v1/sticks/S-3', { ...aStick, workingLengthMetres: 1.2, crewId: 'CR-1' })
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    const reply = await corrects(made.factId, { stickId: 'S-3' })
    expect(reply.status).toBe(422)
    expect(reply.json.errors[0].pointer).toMatch(/^\/replacement\/dry\/readings\/\d+\/toMetres$/)
    expect(await stands('S-1')).toEqual(['in service', '2028-03-09'])
  })

  test('may be recorded again of the stick that it was taken from', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    expect((await corrects(made.factId)).status).toBe(201)
    expect(await stands('S-1')).toEqual(['awaiting first test', null])
    expect((await tests(other(made))).json.verdict).toBe('pass')
    expect(await stands('S-1')).toEqual(['in service', '2028-03-09'])
    await proved('S-1')
  })
})

describe('41 for 4.1', () => {
  const right = () => aTest({ testedOn: day('2026-03-09'), at: '09:00' })
  const slipped = () => overTheLimit({ testedOn: day('2026-03-09'), at: '09:00', factId: randomUUID() })

  test('is put right by two: the stick is back where it was, and told so', async () => {
    await inService()
    const wrong = slipped()
    await tests(wrong)
    expect(await stands()).toEqual(['on hold', '2028-02-10', 'failed-test'])
    const replacement = other(right())
    const reply = await corrects(wrong.factId, { replacement })
    const { id, effect, by } = reply.json.proposal
    expect([reply.status, by]).toEqual([202, 'manager'])
    expect(effect.loosens.map(({ code }: { code: string }) => code)).toEqual(['takes-back', 'counts-less', 'ends-hold'])
    expect(await stands()).toEqual(['on hold', '2028-02-10', 'failed-test'])
    expect((await approves(id, 'manager')).status).toBe(403)
    expect((await approves(id)).json.proposal.state).toBe('approved')
    expect(await stands()).toEqual(['in service', '2028-03-09'])
    expect(owedOf(house)).toContain('return ana@crew-one.example')
    const [correction] = (await facts()).filter(({ kind }: { kind: string }) => kind === 'corrected')
    expect([correction.recordedBy, correction.approvedBy]).toEqual(['manager', 'manager-2'])
    await proved('S-1')
  })

  test('is not approved by whoever did the test', async () => {
    await inService()
    const wrong = slipped()
    await post('/v1/sticks/S-1/bench-tests', { ...wrong, testedBy: 'Max Holm' })
    const { json } = await corrects(wrong.factId, { replacement: other(right()) })
    expect((await approves(json.proposal.id, 'manager-2')).status).toBe(403)
    expect((await approves(json.proposal.id, 'owner')).status).toBe(200)
  })

  test('that stays a failure when it is put right takes one person', async () => {
    const wrong = slipped()
    await tests(wrong)
    const replacement = other(wrong, { note: 'sheet 12' } as Partial<BenchTest>)
    const readings = survey(2.4, 22)
    const worse = { ...replacement, dry: { readings } }
    const { status, json } = await corrects(wrong.factId, { replacement: { ...worse, note: undefined } })
    expect([status, json.verdict]).toEqual([201, 'fail'])
    expect((await stands())[0]).toBe('on hold')
  })
})

describe('a removal by mistake', () => {
  const removedFor = async (): Promise<string> => {
    await tests(overTheLimit({ testedOn: day('2026-03-05'), at: '09:00', factId: randomUUID() }))
    await post('/v1/sticks/S-1/corrective-steps', {
      factId: randomUUID(),
      occurredOn: '2026-03-06',
      at: '09:00',
      kind: 'cleaned',
      by: 'Ines Roth',
    })
    const second = overTheLimit({ testedOn: day('2026-03-07'), at: '09:00', factId: randomUUID() })
    await tests(second)
    expect((await stands())[0]).toBe('removed from service')
    return second.factId
  }

  test('is undone by two, and the stick waits for a full test', async () => {
    await inService()
    const second = await removedFor()
    const replacement = aTest({ testedOn: day('2026-03-07'), at: '09:00', factId: randomUUID() })
    const { json } = await corrects(second, { replacement })
    expect(json.proposal.effect.loosens[0].code).toBe('ends-removal')
    expect((await stands())[0]).toBe('removed from service')
    expect((await approves(json.proposal.id)).status).toBe(200)
    expect(await stands()).toEqual(['on hold', '2028-03-07', 'removal-undone'])
    expect(owedOf(house)).toContain('hold ana@crew-one.example')
    await proved('S-1')
    house.at('2026-03-11T15:00:00.000Z')
    await tests(aTest({ testedOn: day('2026-03-11'), at: '09:00', factId: randomUUID() }))
    expect(await stands()).toEqual(['in service', '2028-03-11'])
    await proved('S-1')
  })

  test('is not undone by the step between alone', async () => {
    await removedFor()
    const step = (await facts()).find(({ kind }: { kind: string }) => kind === 'corrective step')
    const { status, json } = await corrects(step.factId)
    expect([status, json.proposal.effect.loosens[0].code]).toEqual([202, 'ends-removal'])
    await approves(json.proposal.id)
    const [status2, , ...codesNow] = await stands()
    expect([status2, codesNow.includes('removal-undone')]).toEqual(['on hold', true])
  })

  test('scrapped under the wrong number, comes back by two and waits for a test too', async () => {
    await inService()
    const factId = randomUUID()
    await post('/v1/sticks/S-1/moves', { factId, occurredOn: '2026-03-10', to: 'scrapped' }, 'manager')
    const { json } = await corrects(factId, { stickId: 'S-2' })
    expect(json.proposal.effect.loosens.map(({ code }: { code: string }) => code)).toContain('ends-end-of-service')
    await approves(json.proposal.id)
    expect((await stands('S-1')).slice(0, 1)).toEqual(['on hold'])
    expect((await stands('S-2'))[0]).toBe('scrapped')
    await proved('S-1', 'S-2')
  })
})

describe('what needs one person', () => {
  test('is a use of the wrong stick, a minute ago', async () => {
    await inService()
    const factId = randomUUID()
    await post('/v1/sticks/S-1/uses', { factId, occurredOn: '2026-03-10', days: 1 }, 'manager')
    expect((await corrects(factId, { stickId: 'S-2' })).status).toBe(201)
    const uses = (await facts('S-2')).filter(({ kind }: { kind: string }) => kind === 'used')
    expect(uses.map(({ recordedBy }: { recordedBy: string }) => recordedBy)).toEqual(['manager'])
  })

  test('is evidence dated anew', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    expect((await corrects(made.factId, { replacement: other(made, { testedOn: day('2026-02-09') }) })).status).toBe(
      201,
    )
    expect(await stands()).toEqual(['in service', '2028-02-09'])
  })

  test('is a report whose kind was another', async () => {
    await inService()
    const factId = randomUUID()
    await post('/v1/sticks/S-1/defects', { factId, occurredOn: '2026-03-10', kind: 'scratch' }, 'crew')
    const replacement = { factId: randomUUID(), occurredOn: '2026-03-10', kind: 'scratch', note: 'near the tip' }
    expect((await corrects(factId, { replacement })).status).toBe(201)
  })
})

describe('what needs two', () => {
  test.each([
    ['a report', 'defects', { kind: 'tingle' }],
    ['word that it is missing', 'moves', { to: 'missing' }],
    ['an unsound look', 'condition-checks', { by: 'Ana Ferro', sound: false }],
  ])('is %s taken back', async (_, path, body) => {
    await inService()
    const before = await stands()
    const factId = randomUUID()
    await post(`/v1/sticks/S-1/${path}`, { factId, occurredOn: '2026-03-10', ...body }, 'crew')
    const held = await stands()
    expect(held[0]).toBe('on hold')
    const { status, json } = await corrects(factId)
    expect([status, await stands()]).toEqual([202, held])
    await approves(json.proposal.id)
    expect(await stands()).toEqual(before)
    await proved('S-1')
  })

  test('falls where somebody else corrected it meanwhile', async () => {
    await inService()
    const factId = randomUUID()
    await post('/v1/sticks/S-1/defects', { factId, occurredOn: '2026-03-10', kind: 'tingle' }, 'crew')
    const [one, two] = [await corrects(factId), await corrects(factId, {}, 'owner')]
    await approves(two.json.proposal.id)
    const { items } = (await house.call('GET', '/v1/proposals?state=fallen')).json
    expect(items.map(({ id }: { id: string }) => id)).toEqual([one.json.proposal.id])
    expect((await approves(one.json.proposal.id)).status).toBe(409)
    await proved('S-1')
  })

  test('is declined, and nothing has changed', async () => {
    await inService()
    const factId = randomUUID()
    await post('/v1/sticks/S-1/defects', { factId, occurredOn: '2026-03-10', kind: 'tingle' }, 'crew')
    const { json } = await corrects(factId)
    await house.done('POST', `/v1/proposals/${json.proposal.id}/decline`, { reason: 'she felt it' }, 'manager-2')
    expect((await stands())[0]).toBe('on hold')
  })
})

type Sent = Awaited<ReturnType<typeof corrects>>
describe.each([
  ['one after the other', async (send: () => Promise<Sent>) => [await send(), await send()] as const],
  ['at one moment', async (send: () => Promise<Sent>) => Promise.all([send(), send()] as const)],
])('sent twice, %s,', (_, twice) => {
  const byStatus = (both: readonly [Sent, Sent]) => [...both].sort((a, b) => b.status - a.status) as [Sent, Sent]
  test('is done once, and answered by what stands', async () => {
    await inService()
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    const body = { factId: randomUUID(), stickId: 'S-2' }
    const [first, again] = byStatus(await twice(() => corrects(made.factId, body)))
    expect([first.status, again.status]).toEqual([201, 200])
    expect(again.json).toEqual(first.json)
    expect(codes(await corrects(made.factId, { ...body, stickId: 'S-1' }))).toEqual([409, 'fact-id-used'])
  })

  test('waits once', async () => {
    await inService()
    const factId = randomUUID()
    await post('/v1/sticks/S-1/defects', { factId, occurredOn: '2026-03-10', kind: 'tingle' }, 'crew')
    const body = { factId: randomUUID() }
    const [first, again] = await twice(() => corrects(factId, body))
    expect([first.status, again.status]).toEqual([202, 202])
    expect((await house.call('GET', '/v1/proposals')).json.items).toHaveLength(1)
    expect(codes(await corrects(factId, { ...body, reason: 'another' }))).toEqual([409, 'fact-id-used'])
  })
})

describe('what cannot be corrected is refused in words', () => {
  test('a fact that nobody recorded, one corrected already, and a correction', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    expect((await corrects(randomUUID())).status).toBe(404)
    const { json } = await corrects(made.factId)
    expect(codes(await corrects(made.factId))).toEqual([409, 'no-longer-stands'])
    expect(codes(await corrects(json.factId))).toEqual([409, 'is-a-correction'])
  })

  test('a body of another kind, with every fault, from the top of the correction', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    const replacement = { factId: 'no id', occurredOn: '2026-03-10', kind: 'tingle' }
    const reply = await corrects(made.factId, { replacement })
    expect(reply.status).toBe(422)
    expect(codes(reply)).toContain('/replacement/factId')
    expect(codes(reply)).toContain('/replacement/testedOn')
  })

  test('an id that stands for something else, and the copy of a test that stands there', async () => {
    const [one, two] = [
      aTest({ testedOn: day('2026-03-09'), at: '09:00' }),
      aTest({ testedOn: day('2026-03-08'), at: '09:00', factId: randomUUID() }),
    ]
    await tests(one)
    await tests(two)
    const later = { ...one, at: '09:10', factId: two.factId }
    expect(codes(await corrects(one.factId, { replacement: later }))).toEqual([409, 'fact-id-used'])
    expect(codes(await corrects(one.factId, { replacement: other(one) }))).toEqual([422, '/replacement'])
    expect(codes(await corrects(one.factId, { replacement: other(two) }))).toEqual([409, 'same-test'])
  })

  test('a stick that nobody entered', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    expect(codes(await corrects(made.factId, { stickId: 'S-99' }))).toEqual([422, '/stickId'])
  })
})

describe('an entry of the stick', () => {
  const entry = async () => (await facts()).find(({ kind }: { kind: string }) => kind === 'registered').factId

  test('that said a greater length than it has makes its tests invalid where they do not fit', async () => {
    await inService()
    const short = { ...aStick, workingLengthMetres: 1.2 }
    const reply = await corrects(await entry(), { replacement: short })
    expect(reply.json.proposal.effect.loosens.map(({ code }: { code: string }) => code)).toContain(
      'working-length-shortened',
    )
    await approves(reply.json.proposal.id)
    expect(await stands()).toEqual(['on hold', null, 'test-invalid'])
    expect(owedOf(house)).toContain('hold ana@crew-one.example')
    await proved('S-1')
  })

  test('by which its tests stay what they were changes nothing else', async () => {
    await inService()
    const before = await stands()
    expect((await corrects(await entry(), { replacement: { ...aStick, lot: 'L-8' } })).status).toBe(201)
    expect(await stands()).toEqual(before)
    expect((await stick()).lot).toBe('L-8')
    await proved('S-1')
  })

  test('that would be milder waits for a second person', async () => {
    await inService()
    const { status, json } = await corrects(await entry(), { replacement: { ...aStick, primaryProtection: false } })
    expect(status).toBe(202)
    expect((await approves(json.proposal.id)).status).toBe(200)
    expect((await stick()).primaryProtection).toBe(false)
  })

  test('that is the only one is not withdrawn', async () => {
    expect(codes(await corrects(await entry()))).toEqual([409, 'only-entry'])
  })
})

describe('what was to be told of a slip', () => {
  const holds = () =>
    house.table.items().filter((item) => item.entity === 'notice' && item.kind === 'hold') as unknown as Notice[]
  const leaves = (notice: Notice) => asItStands(house.organisation(), notice, house.clock())
  const reports = async (kind: string, at: string) => {
    const factId = randomUUID()
    await post('/v1/sticks/S-1/defects', { factId, occurredOn: '2026-03-10', at, kind }, 'crew')
    return factId
  }

  test('is told no more, and the log shows it struck', async () => {
    await inService()
    const factId = await reports('tingle', '09:00')
    const [hold] = holds()
    if (hold === undefined) throw new Error('nobody was to be told')
    expect(await leaves(hold)).toEqual(hold)
    const { json } = await corrects(factId)
    expect(await leaves(hold)).toEqual(hold)
    await approves(json.proposal.id)
    expect(await leaves(hold)).toBeNull()
    const { items } = (await house.call('GET', '/v1/notices?stick=S-1')).json
    expect(
      new Set(items.map(({ kind, isOfSlip }: { kind: string; isOfSlip: boolean }) => `${kind} ${isOfSlip}`)),
    ).toEqual(new Set(['hold true', 'return false']))
    expect(await bodyOf(noticesPage(house.asker(), logChoice({ stick: 'S-1' }), inEnglish))).toContain('<s>On hold</s>')
  })

  test('is told as it stands by now where the stick must not be used all the same', async () => {
    await inService()
    const factId = await reports('tingle', '08:00')
    const [hold] = holds()
    await reports('drop', '08:30')
    const { json } = await corrects(factId)
    await approves(json.proposal.id)
    const told = hold === undefined ? null : await leaves(hold)
    expect(told?.lines[0]?.holds.map(({ detail }) => detail?.defect)).toEqual(['drop'])
  })
})

test('a history read in parts leaves out neither the slip nor what stands in its place', async () => {
  await inService()
  const made = aTest({ testedOn: day('2026-03-09'), at: '09:00' })
  await tests(made)
  await corrects(made.factId, { replacement: other(made, { testedBy: 'Ivo Marsh' }) })
  const read: string[] = []
  for (let cursor: string | null = ''; cursor !== null; ) {
    const path: string = `/v1/sticks/S-1/facts?limit=1${cursor === '' ? '' : `&cursor=${encodeURIComponent(cursor)}`}`
    const { items, next } = (await house.call('GET', path)).json
    read.push(...items.map(({ factId }: { factId: string }) => factId))
    cursor = next
  }
  expect(read).toHaveLength(5)
  expect(new Set(read).size).toBe(5)
})

describe('what people read', () => {
  test('is the slip struck, with who, why and what stands instead', async () => {
    const made = aTest({ testedOn: day('2026-03-09') })
    await tests(made)
    await corrects(made.factId, { stickId: 'S-2' })
    const page = await bodyOf(stickPage(house.asker(), { stickId: 'S-1', past: 0 }, inEnglish))
    expect(page).toMatch(/<s>.*Bench test: pass.*<\/s>/s)
    expect(page).toContain('typed on the wrong line')
    expect(page).toContain('<a href="/sticks/S-2">It belongs to stick S-2.</a>')
    const test = await bodyOf(testPage(house.asker(), { stickId: 'S-1', factId: made.factId }, inEnglish))
    expect(test).toContain('This test was a slip, and stands no more')
  })
})
