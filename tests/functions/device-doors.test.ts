/** What the script of a page asks for: reports that come later, the list of sticks, and who is signed in. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest } from '../support/trade.ts'
import { furnish, openHouse, type Who } from './house.ts'

const house = openHouse()
const accept = 'application/json'

/** Whatever a door answers its script. */
interface SaidToScript {
  readonly is?: string
  readonly why?: readonly string[]
  readonly goTo?: string
  readonly before?: boolean
  readonly asOf?: string
  readonly lastDay?: string | null
  readonly lines?: readonly { readonly stick: string; readonly through: string | null; readonly says: string }[]
}

const saidIn = async (answer: Response) => (await answer.json()) as SaidToScript

const get = async (path: string, who: Who = 'crew') => {
  const answer = await pagesOf(house, who).request(path, { headers: { accept } })
  return { status: answer.status, json: await saidIn(answer), kept: answer.headers.get('cache-control') }
}

type Fields = Readonly<Record<string, string>>

const send = async (path: string, fields: Fields, more: { who?: Who; headers?: Fields } = {}) => {
  const answer = await pagesOf(house, more.who ?? 'crew').request(path, {
    method: 'POST',
    headers: { accept, 'content-type': 'application/x-www-form-urlencoded', ...more.headers },
    body: new URLSearchParams(fields).toString(),
  })
  return { status: answer.status, json: await saidIn(answer) }
}

const tingle = (more: Fields = {}): Record<string, string> => ({
  factId: randomUUID(),
  '/kind': 'tingle',
  '/occurredOn': '2026-03-02',
  ...more,
})

const defectsOf = async (stick: string): Promise<{ occurredOn: string; at?: string }[]> => {
  const { json } = await house.call('GET', `/v1/sticks/${stick}/facts`)
  return json.items.filter(({ kind }: { kind: string }) => kind === 'defect reported')
}

beforeAll(async () => {
  await furnish(house)
  for (const stick of ['S-2', 'S-3', 'S-4']) await house.done('PUT', `/v1/sticks/${stick}`, aStick)
  await house.done('PUT', '/v1/sticks/S-9', { ...aStick, crewId: 'CR-2' })
  await house.done('POST', '/v1/sticks/S-2/bench-tests', aTest())
})

describe('a report that a device sends later', () => {
  test('is recorded once under its own id, at the hour of entering by the clock of the depot', async () => {
    const report = tingle({ enteredAt: '2026-03-02T14:20:31.000Z', '/at': '' })
    for (const _ of ['sent', 'sent again']) {
      const { status, json } = await send('/sticks/S-3/report', report)
      expect([status, json.is, json.before]).toEqual([200, 'recorded', false])
      expect(json.goTo).toMatch(/^\/sticks\/S-3\/report\?done=recorded/)
    }
    // 14:20 UTC in Chicago, in winter
    expect(await defectsOf('S-3')).toMatchObject([{ occurredOn: '2026-03-02', at: '08:20' }])
    expect((await house.call('GET', '/v1/sticks/S-3')).json.status).toBe('on hold')
  })

  test('stands on the day of entering, though the device took another for today', async () => {
    await send('/sticks/S-4/report', tingle({ enteredAt: '2026-03-02T05:30:00.000Z' }))
    expect(await defectsOf('S-4')).toMatchObject([{ occurredOn: '2026-03-01', at: '23:30' }])
  })

  test.each([
    ['an hour that was typed', { '/at': '07:05', enteredAt: '2026-03-02T14:20:00.000Z' }, '07:05'],
    ['what is no moment', { enteredAt: 'soon' }, null],
  ])('%s stands as typed', async (_, more, at) => {
    const before = (await defectsOf('S-2')).length
    expect((await send('/sticks/S-2/report', tingle(more))).status).toBe(200)
    const defects = await defectsOf('S-2')
    expect(defects).toHaveLength(before + 1)
    expect(defects.map((one) => one.at)).toContain(at)
  })

  test('of which the id stands already with another body is told as recorded before', async () => {
    const first = tingle()
    await send('/sticks/S-2/report', first)
    const answer = await send('/sticks/S-2/report', { ...first, '/kind': 'burn' })
    expect(answer).toEqual({ status: 409, json: { is: 'recorded', goTo: '', before: true } })
  })

  test('that is not taken is told why, in sentences with the field', async () => {
    const { status, json } = await send('/sticks/S-2/report', tingle({ '/kind': '' }))
    expect([status, json.is]).toEqual([422, 'refused'])
    expect(json.why).toEqual(['What is wrong: This has to be filled in.'])
  })

  test('of a stick of another crew is taken too', async () => {
    expect((await send('/sticks/S-9/report', tingle())).status).toBe(200)
    expect(await defectsOf('S-9')).toHaveLength(1)
  })

  test('from another site, or for what is not theirs, is refused in words', async () => {
    const elsewhere = await send('/sticks/S-2/report', tingle(), { headers: { origin: 'https://other.example' } })
    expect(elsewhere).toMatchObject({ status: 403, json: { is: 'refused', why: [expect.stringMatching(/\w+/)] } })
    const notTheirs = await send('/sticks/S-2/remove', { factId: randomUUID(), '/reason': 'old' })
    expect(notTheirs).toMatchObject({ status: 403, json: { is: 'refused', why: [expect.stringMatching(/\w+/)] } })
  })
})

test('nobody is told that they are to sign in, and nothing is recorded', async () => {
  const written = house.table.written()
  const pages = pagesOf(house, 'crew', { sessionOf: async () => null })
  const init = { method: 'POST', headers: { accept, 'content-type': 'application/x-www-form-urlencoded' } }
  const answer = await pages.request('/sticks/S-2/report', { ...init, body: new URLSearchParams(tingle()).toString() })
  expect([answer.status, await answer.json()]).toEqual([401, { is: 'no session' }])
  const list = await pages.request('/device/list', { headers: { accept } })
  expect([list.status, await list.json()]).toEqual([401, { is: 'no session' }])
  const now = await pages.request('/device/now', { headers: { accept } })
  expect([now.status, await now.json()]).toEqual([200, { now: '2026-03-02T15:00:00.000Z', who: null }])
  expect(house.table.written()).toBe(written)
})

describe('what a device keeps', () => {
  test('is asked for with the time of the service and who is signed in', async () => {
    const { json, kept } = await get('/device/now')
    expect(json).toEqual({ now: '2026-03-02T15:00:00.000Z', who: { organisation: 'demo-utility', person: 'crew' } })
    expect(kept).toBe('no-store')
  })

  test('is the list of one’s own crew: a day to use it through, or that it must not be used and why', async () => {
    const { json, kept } = await get('/device/list')
    expect(kept).toBe('no-store')
    expect(json).toMatchObject({ shape: 1, by: { person: 'crew' }, zone: 'America/Chicago', crew: 'Crew one' })
    expect(json.asOf).toBe('2026-03-02T15:00:00.000Z')
    const { lines = [] } = json
    expect(lines.map(({ stick }) => stick)).not.toContain('S-9')
    expect(lines.find(({ stick }) => stick === 'S-3')).toMatchObject({ through: null })
    expect(lines.find(({ stick }) => stick === 'S-3')?.says).toMatch(/^DO NOT USE IT\. .*tingle.* Stop using it now/)
    for (const { stick } of lines) {
      const { status, dueOn } = (await house.call('GET', `/v1/sticks/${stick}`)).json
      const mayUse = status === 'in service' || status === 'due soon'
      expect([stick, lines.find((line) => line.stick === stick)?.through]).toEqual([stick, mayUse ? dueOn : null])
    }
  })

  test('is no list for whoever has no crew', async () => {
    expect((await get('/device/list', 'manager')).json.lines).toEqual([])
  })

  test('says the last day of whoever leaves', async () => {
    expect((await get('/device/list')).json.lastDay).toBe(null)
    const leaves = { name: 'Cy Dahl', email: 'cy@crew-two.example', role: 'crew', depots: [], crewId: 'CR-2' }
    await house.done('PUT', '/v1/people/crew-2', { ...leaves, until: '2026-03-20' })
    expect((await get('/device/list', 'other crew')).json.lastDay).toBe('2026-03-20')
  })
})
