/** The examples of the document are sent to the API, one after another, as a program would that begins with them. */

import { randomUUID } from 'node:crypto'
import { beforeEach, expect, test } from 'vitest'
import { examples } from '../../functions/api/openapi-examples.ts'
import { subjects } from '../../functions/api/openapi-operations.ts'
import { holdAsRestored } from '../../functions/restore/restore.ts'
import { importOf, keepImport, type StoredImport } from '../../functions/store/imports.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { demo, type House, openHouse, type Reply, restoredFrom, type Who } from './house.ts'

const addresses = Object.assign({}, ...subjects.map(({ operations }) => operations)) as Record<string, string>
const sent = new Set<string>()
let house: House

function send(operationId: string, names: Record<string, string> = {}, who: Who = 'owner'): Promise<Reply> {
  sent.add(operationId)
  const [method = '', path = ''] = (addresses[operationId] ?? '').split(' ')
  const named = { id: 'S-1', ...names }
  return house.call(
    method,
    path.replaceAll(/:(\w+)/g, (_, name: string) => named[name as 'id'] ?? ''),
    examples[operationId],
    who,
  )
}

async function taken(expected: number, ...asked: Parameters<typeof send>): Promise<Reply> {
  const reply = await send(...asked)
  expect([asked[0], reply.status, reply.text]).toEqual([asked[0], expected, reply.text])
  return reply
}

const idOf = (operationId: string) => (examples[operationId] as { factId: string }).factId

beforeEach(async () => {
  house = openHouse()
  await taken(201, 'putOrganisation', { id: demo })
  await taken(201, 'putDepot', { id: 'DEP-1' })
  await taken(201, 'putCrew', { id: 'CR-1' })
  for (const id of ['manager', 'manager-2']) await taken(201, 'putPerson', { id })
  await taken(201, 'putInstrument', { id: 'INS-1' })
  await taken(201, 'putProcedure', { id: 'PRC-1' })
  await taken(201, 'putPolicy', { id: 'employer' })
  await taken(201, 'putStick')
})

test('a stick that was never tested is reminded of', async () => {
  expect((await taken(201, 'remind')).json.stickIds).toEqual(['S-1'])
})

test('a stick is tested, labelled, issued, used and looked at', async () => {
  const { json } = await taken(201, 'recordBenchTest')
  expect([json.verdict, json.stick.status, json.stick.dueOn]).toEqual(['pass', 'in service', '2028-03-02'])
  await taken(201, 'recordLabel')
  await taken(201, 'recordMove')
  await taken(200, 'askWhatWouldFollow')
  await taken(201, 'recordUse')
  await taken(201, 'recordConditionCheck')
  await taken(201, 'recordCertificate')
  await taken(201, 'correct')
  await taken(201, 'judgeBenchTestAgain', { factId: idOf('recordBenchTest') })
  await taken(200, 'previewPolicy', { id: 'employer' })
  const stricter = (await taken(200, 'previewProcedure', { id: 'PRC-1' })).json
  expect([stricter.tests, stricter.items.length]).toEqual([1, 1])
  await taken(201, 'removeStick')
})

test('a test from before is recorded, and two people have it count', async () => {
  expect((await taken(201, 'recordPastTest')).json.stick.status).toBe('awaiting first test')
  await taken(202, 'askThatPastTestsCount', {}, 'manager')
  await house.done('POST', `/v1/proposals/${idOf('askThatPastTestsCount')}/approve`, {}, 'manager-2')
  expect((await house.call('GET', '/v1/sticks/S-1')).json.dueOn).toBe('2027-05-14')
})

test('a stick is called back, and the recall closed', async () => {
  await taken(201, 'recordBenchTest')
  const { json } = await taken(201, 'openRecall')
  expect([json.state, json.settled]).toEqual(['open', 'all'])
  expect((await taken(201, 'closeRecall', { id: json.id })).json.state).toBe('closed')
})

test('a report of danger is told to people, and one on an unknown number is placed', async () => {
  await taken(201, 'reportDefect')
  const { items } = (await house.call('GET', '/v1/notices?stick=S-1')).json
  const asksToTell = items.find(({ tellInPerson }: { tellInPerson: unknown[] }) => tellInPerson.length > 0)
  expect((await taken(201, 'recordToldInPerson', { id: asksToTell.number })).json.tellInPerson[0].told).not.toBeNull()
  const unknown = { ...examples.reportDefect, factId: randomUUID() }
  expect((await house.call('POST', '/v1/sticks/S-99/defects', unknown)).status).toBe(202)
  await taken(201, 'placeReport', { factId: unknown.factId })
})

test('a stick that failed is cleaned, tested again and released by a second person', async () => {
  const passing = examples.recordBenchTest as BenchTest
  const readings = passing.wet?.readings.map((one, i) => (i === 0 ? { ...one, leakageMicroamps: 21 } : one))
  const failing = { ...passing, factId: randomUUID(), wet: { ...passing.wet, readings }, at: '07:00' }
  expect((await house.call('POST', '/v1/sticks/S-1/bench-tests', failing)).json.verdict).toBe('fail')
  await taken(201, 'recordCorrectiveStep')
  const { json } = await house.call('POST', '/v1/sticks/S-1/bench-tests', { ...passing, at: '08:00' })
  expect([json.verdict, json.stick.status]).toEqual(['pass', 'on hold'])
  expect((await taken(201, 'releaseStick', {}, 'manager')).json.stick.status).toBe('in service')
})

test('a stick whose records were brought back from a backup is let go by whoever looked at the paper', async () => {
  await taken(201, 'recordBenchTest')
  await holdAsRestored({ organisation: house.organisation(), now: house.clock() }, 'S-1', restoredFrom)
  house.at('2026-03-02T17:00:00.000Z')
  expect((await taken(201, 'recordPaperLook')).json.stick.status).toBe('in service')
})

test('a person is signed out everywhere, and bound to a new sign-in', async () => {
  expect((await taken(201, 'signPersonOut', { id: 'manager' })).json.sessionsSince).not.toBeNull()
  expect((await taken(201, 'setPersonFree', { id: 'manager' })).json.isBound).toBe(false)
})

test('what loosens waits, and is approved or declined', async () => {
  const first = (await taken(202, 'putDemonstration', { id: 'DEM-1' })).json.proposal
  await taken(200, 'approveProposal', { id: first.id }, 'manager')
  const second = (await send('putDemonstration', { id: 'DEM-2' })).json.proposal
  await taken(200, 'declineProposal', { id: second.id }, 'manager')
})

test('a file that was sent is read as somebody says, and its good rows are taken in', async () => {
  const { id } = (await house.send('POST', '/v1/imports?kind=sticks', new Uint8Array(), 'owner')).json
  const { revision, ...one } = (await importOf(house.organisation(), id)) as StoredImport
  await keepImport(house.organisation(), { import: { ...one, state: 'checked' }, revision })
  expect((await taken(200, 'applyImport', { id })).json.state).toBe('applying')
  await keepImport(house.organisation(), { import: { ...one, state: 'asked' }, revision: revision + 2 })
  expect((await taken(200, 'sayReadingOfImport', { id })).json.said).toEqual(examples.sayReadingOfImport)
})

test('a bench gets its hours, and a plan is asked for', async () => {
  expect((await taken(201, 'putBench', { id: 'DEP-1' })).json).toMatchObject(examples.putBench ?? {})
  expect((await taken(202, 'askForPlan')).json).toMatchObject({ state: 'waiting', depotIds: ['DEP-1'], progress: 0 })
})

test('what cannot be done is refused for what is wanting there, and not for how it is written', async () => {
  expect((await send('approveCorrection', { factId: randomUUID() })).status).toBe(404)
  expect((await send('clearMarkedAddress')).json.detail).toBe('There is no mark on lea.quint@crew-one.example.')
})

test('no example is left out', () => {
  expect(Object.keys(examples).filter((operationId) => !sent.has(operationId))).toEqual([])
})
