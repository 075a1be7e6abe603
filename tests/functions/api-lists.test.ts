/** Roster and notice log: nothing missed, nothing doubled, the oldest due first, the newest told first. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { aCrew, aDepot, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

/** Sticks by number: tested last on this day, by this crew, and what happened since. */
const fleet: [
  stickId: string,
  crewId: string | null,
  testedOn: string | null,
  since?: 'fails' | 'scrapped' | 'removed',
][] = [
  ['A-1', 'CR-1', '2024-02-01'],
  ['A-2', 'CR-2', '2024-02-01'],
  ['A-3', 'CR-1', '2024-01-15'],
  ['A-4', 'CR-1', '2024-03-09'],
  ['B-1', 'CR-1', '2024-03-10'],
  ['B-10', 'CR-1', '2024-03-10'],
  ['B-2', 'CR-2', '2024-05-09'],
  ['B-3', 'CR-1', '2024-03-10'],
  ['C-1', 'CR-2', '2024-05-10'],
  ['C-2', 'CR-1', '2026-03-01'],
  ['C-3', null, '2026-03-01'],
  ['D-1', 'CR-1', '2025-03-01', 'fails'],
  ['D-2', 'CR-2', null, 'fails'],
  ['E-1', 'CR-1', null],
  ['E-2', null, null],
  ['F-1', 'CR-1', '2025-03-01', 'scrapped'],
  ['G-1', 'CR-2', '2025-03-01', 'removed'],
]

const expected: Partial<Record<Status, string[]>> = {
  overdue: ['A-3', 'A-1', 'A-2', 'A-4'],
  'due soon': ['B-1', 'B-10', 'B-3', 'B-2'],
  'in service': ['C-1', 'C-2', 'C-3'],
  'on hold': ['D-1', 'D-2'],
  'awaiting first test': ['E-1', 'E-2'],
  scrapped: ['F-1'],
  'removed from service': ['G-1'],
}

let filled: readonly Item[]
beforeAll(async () => {
  const house = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(house)
  const kept = house.table.items().filter((item) => !item.pk.includes('STICK#S-1'))
  const filling = openHouse(kept, '2026-03-10T15:00:00.000Z')
  for (const [stickId, crewId, testedOn, since] of fleet) await enter(filling, stickId, crewId, testedOn, since)
  filled = filling.table.items()
})

async function enter(house: House, stickId: string, crewId: string | null, testedOn: string | null, since?: string) {
  const { crewId: _, ...ofNoCrew } = aStick
  await house.done('PUT', `/v1/sticks/${stickId}`, crewId === null ? ofNoCrew : { ...aStick, crewId })
  const post = (door: string, body: object) => house.done('POST', `/v1/sticks/${stickId}/${door}`, body)
  const fact = (more: object) => ({ factId: randomUUID(), occurredOn: '2026-03-08', ...more })
  if (testedOn !== null) await post('bench-tests', aTest({ testedOn: day(testedOn) }))
  if (since === 'scrapped') await post('moves', fact({ to: 'scrapped' }))
  if (since === 'fails' || since === 'removed') await post('bench-tests', overTheLimit({ testedOn: day('2026-03-07') }))
  if (since !== 'removed') return
  await post('corrective-steps', fact({ kind: 'cleaned', by: 'Ines Roth' }))
  await post('bench-tests', overTheLimit({ testedOn: day('2026-03-09') }))
}

const open = () => openHouse(filled, '2026-03-10T15:00:00.000Z')

interface Row {
  stickId: string
  status: Status
  dueOn: string | null
}

/** The whole roster read so many rows at a time. */
async function roster(house: House, query: string, limit: number, who: Who = 'manager'): Promise<Row[]> {
  const rows: Row[] = []
  let cursor: string | null = null
  for (let pages = 0; pages < 100; pages++) {
    const next: string = cursor === null ? '' : `&cursor=${cursor}`
    const { json } = await house.done('GET', `/v1/roster?limit=${limit}${query}${next}`, undefined, who)
    expect(json.items.length).toBeLessThanOrEqual(limit)
    rows.push(...json.items)
    cursor = json.next
    if (cursor === null) return rows
  }
  throw new Error('a roster without an end')
}

const ids = (rows: readonly { stickId: string }[]) => rows.map(({ stickId }) => stickId)

describe('the roster', () => {
  test.each([...statuses])('of the status %s holds those sticks and no others, the worst first', async (status) => {
    const rows = await roster(open(), `&status=${encodeURIComponent(status)}`, 200)
    expect(ids(rows)).toEqual(expected[status])
    for (const row of rows) expect(row.status).toBe(status)
  })

  test('without a status it goes status by status, the worst first', async () => {
    const order: Status[] = ['overdue', 'on hold', 'due soon', 'awaiting first test', 'in service']
    expect(ids(await roster(open(), '', 200))).toEqual(order.flatMap((status) => expected[status] ?? []))
  })

  test('shows a due date only where the date is what counts', async () => {
    const dated: Status[] = ['overdue', 'due soon', 'in service']
    for (const { status, dueOn } of await roster(open(), '', 200)) expect(dueOn !== null).toBe(dated.includes(status))
    const gone = [
      ...(await roster(open(), '&status=scrapped', 9)),
      ...(await roster(open(), '&status=removed%20from%20service', 9)),
    ]
    expect(gone.map(({ dueOn }) => dueOn)).toEqual([null, null])
  })

  test('counts each status on its first page, of the depot or crew that is asked for', async () => {
    const house = open()
    const count = async (query: string) => (await house.done('GET', `/v1/roster?limit=2${query}`)).json.counts
    const whole = Object.fromEntries(statuses.map((status) => [status, expected[status]?.length ?? 0]))
    expect(await count('')).toEqual(whole)
    expect(await count('&status=overdue')).toEqual(whole)
    for (const where of ['&depot=DEP-2', '&crew=CR-1', '&crew=CR-2']) {
      const rows = await Promise.all(
        statuses.map(async (status) => [status, (await roster(house, `${where}&status=${status}`, 200)).length]),
      )
      expect(await count(where)).toEqual(Object.fromEntries(rows))
    }
    const { json } = await house.done('GET', '/v1/roster?limit=2')
    expect((await house.done('GET', `/v1/roster?limit=2&cursor=${json.next}`)).json).not.toHaveProperty('counts')
  })

  test('a cursor of one question is refused by another', async () => {
    const house = open()
    const { json } = await house.done('GET', '/v1/roster?limit=1&status=overdue')
    for (const query of ['&status=on%20hold', '&lent=true']) {
      const answer = await house.call('GET', `/v1/roster?limit=1${query}&cursor=${json.next}`)
      expect([answer.status, answer.json.errors[0].pointer]).toEqual([422, '/cursor'])
    }
  })

  test('without a status holds all but what was scrapped or removed', async () => {
    const all = fleet.map(([stickId]) => stickId).filter((id) => id !== 'F-1' && id !== 'G-1')
    expect(ids(await roster(open(), '', 200)).sort()).toEqual(all)
    const ofCrew = fleet.filter(([, crewId]) => crewId === 'CR-1').map(([stickId]) => stickId)
    expect(ids(await roster(open(), '&crew=CR-1', 200)).sort()).toEqual(ofCrew.filter((id) => id !== 'F-1'))
  })

  const questions = [
    '',
    '&status=overdue',
    '&status=due%20soon',
    '&status=in%20service',
    '&status=on%20hold',
    '&crew=CR-1',
    '&crew=CR-2&status=overdue',
    '&depot=DEP-1',
    '&depot=DEP-2&status=due%20soon',
    '&depot=DEP-1&crew=CR-1',
  ]

  // tywalch/electrodb 574, brendanhay/amazonka 340
  test.each(questions)('read one, two or three at a time is the same as at once: %s', async (query) => {
    const house = open()
    const atOnce = await roster(house, query, 200)
    expect(atOnce.length).toBeGreaterThan(0)
    for (const limit of [1, 2, 3]) expect(await roster(house, query, limit)).toEqual(atOnce)
    house.table.trouble({ pageOf: 1 })
    expect(await roster(house, query, 200)).toEqual(atOnce)
  })

  test('of a depot holds what lies there or is with its crews', async () => {
    const south = ids(await roster(open(), '&depot=DEP-2', 200))
    expect(south).toEqual(['A-2', 'D-2', 'B-2', 'C-1'])
  })

  test('a stick due today is due soon, and overdue tomorrow by the depot’s own clock', async () => {
    const house = open()
    house.at('2026-03-11T04:59:00.000Z')
    expect(ids(await roster(house, '&status=overdue', 200))).toEqual(expected.overdue)
    house.at('2026-03-11T05:00:00.000Z')
    expect(ids(await roster(house, '&status=overdue', 200))).toEqual([
      ...(expected.overdue ?? []),
      'B-1',
      'B-10',
      'B-3',
    ])
  })

  test('a crew’s stick at a bench in another zone stands by the day there, on each list and on its page', async () => {
    const house = open()
    await house.done('PUT', '/v1/depots/DEP-3', { ...aDepot, timeZone: 'Pacific/Apia' })
    await enter(house, 'H-1', 'CR-1', '2024-03-10')
    // it is the 11th already in Apia, where the day on which it was due is over
    const move = { factId: randomUUID(), occurredOn: '2026-03-10', to: { bench: 'DEP-3' } }
    await house.done('POST', '/v1/sticks/H-1/moves', move)
    expect((await house.done('GET', '/v1/sticks/H-1')).json).toMatchObject({ status: 'overdue', on: '2026-03-11' })
    for (const where of ['&crew=CR-1', '&depot=DEP-3', '']) {
      for (const limit of [1, 200]) {
        expect(ids(await roster(house, `${where}&status=overdue`, limit))).toContain('H-1')
        expect(ids(await roster(house, `${where}&status=due%20soon`, limit))).not.toContain('H-1')
      }
      const all = await roster(house, where, 200)
      expect(all.filter(({ stickId }) => stickId === 'H-1')).toMatchObject([{ status: 'overdue' }])
      const { counts } = (await house.done('GET', `/v1/roster?limit=1${where}`)).json
      expect(counts.overdue).toBe((await roster(house, `${where}&status=overdue`, 200)).length)
      expect(counts['due soon']).toBe((await roster(house, `${where}&status=due%20soon`, 200)).length)
    }
    expect(ids(await roster(house, '&crew=CR-1&status=due%20soon', 200))).toEqual(['B-1', 'B-10', 'B-3'])
  })

  test('where two depots have two dates each stick is counted by its own', async () => {
    const house = open()
    const apia = { ...aDepot, timeZone: 'Pacific/Apia', effectiveFrom: '2026-03-01' }
    await house.done('PUT', '/v1/depots/DEP-2', apia)
    await enter(house, 'H-1', 'CR-1', '2024-03-10')
    await enter(house, 'H-2', 'CR-2', '2024-03-10')
    expect(ids(await roster(house, '&status=overdue', 200))).toContain('H-2')
    expect(ids(await roster(house, '&status=overdue', 200))).not.toContain('H-1')
  })

  test('reads about as much as it answers, whatever the fleet holds', async () => {
    const house = open()
    let read = 0
    const page: typeof house.table.page = async (range) => {
      const answer = await house.table.page(range)
      read += answer.items.length
      return answer
    }
    const { rosterFor } = await import('../../functions/questions/roster.ts')
    const { openOrganisation } = await import('../../functions/store/organisation.ts')
    const organisation = openOrganisation({ ...house.table, page }, 'demo-utility')
    const caller = { personId: 'm', role: 'manager', depots: ['*'], crewId: null } as const
    const query = { status: 'overdue', after: '', limit: 2 } as const
    const { rows } = await rosterFor({ organisation, caller, now: house.clock() }, query)
    expect(ids(rows.map(({ stored }) => stored))).toEqual(['A-3', 'A-1'])
    // three rows of each depot at the most, to know whether there is more
    expect(read).toBeLessThanOrEqual(6)
  })
})

describe('the notice log', () => {
  interface Entry {
    number: string
    kind: string
    state: string
    to: { email: string; role: string }
    owedAt: string
    sticks: string[]
  }
  const log = async (house: House, query: string, who: Who = 'manager'): Promise<Entry[]> =>
    (await house.done('GET', `/v1/notices${query}`, undefined, who)).json.items
  /** To the crews' own people; what is overdue goes to managers too. */
  const digestsOf = (entries: Entry[]) =>
    entries
      .filter(({ kind, to }) => kind === 'digest' && to.role !== 'manager')
      .map(({ to }) => to.email)
      .sort()

  /** The morning's digests written; Bo Lind is foreman of both crews. */
  async function swept() {
    const house = open()
    const bo = { name: 'Bo Lind', email: 'bo@crew-one.example', role: 'foreman' }
    const cy = { name: 'Cy Dahl', email: 'cy@crew-two.example', role: 'crew' }
    await house.done('PUT', '/v1/crews/CR-2', { ...aCrew, name: 'Crew two', depotId: 'DEP-2', recipients: [bo, cy] })
    await sweep(house.table, house.clock)
    return house
  }

  test('of a stick holds its own notices and the digests that name it, the newest first', async () => {
    const house = open()
    await sweep(house.table, house.clock)
    const post = (body: object) => house.done('POST', '/v1/sticks/A-1/defects', body)
    house.at('2026-03-10T16:00:00.000Z')
    await post({ factId: randomUUID(), occurredOn: '2026-03-10', kind: 'drop' })
    const entries = await log(house, '?stick=A-1')
    const kinds = entries.map(({ kind, to }) => `${kind} ${to.email}`)
    expect(kinds.slice(0, 4).sort()).toEqual(
      [
        'ana@crew-one.example',
        'bo@crew-one.example',
        'manager-2@demo-utility.example',
        'manager@demo-utility.example',
      ].map((email) => `hold ${email}`),
    )
    expect(kinds.slice(4).sort()).toEqual(
      [
        'ana@crew-one.example',
        'bo@crew-one.example',
        'manager-2@demo-utility.example',
        'manager@demo-utility.example',
        'owner@demo-utility.example',
      ].map((email) => `digest ${email}`),
    )
    for (const { sticks } of entries) expect(sticks).toContain('A-1')
    expect(await log(house, '?stick=C-2')).toEqual([])
  })

  test('of a crew holds every digest with a stick of it, also one that begins with another crew’s', async () => {
    const house = await swept()
    expect(digestsOf(await log(house, '?crew=CR-1'))).toEqual(['ana@crew-one.example', 'bo@crew-one.example'])
    expect(digestsOf(await log(house, '?crew=CR-2'))).toEqual(['bo@crew-one.example', 'cy@crew-two.example'])
    expect(digestsOf(await log(house, '?stick=A-2'))).toEqual(['bo@crew-one.example', 'cy@crew-two.example'])
    expect(digestsOf(await log(house, '?stick=A-1&crew=CR-2'))).toEqual(['bo@crew-one.example'])
    expect(digestsOf(await log(house, '?stick=A-1&crew=CR-1'))).toEqual(['ana@crew-one.example', 'bo@crew-one.example'])
  })

  test('also where the run that wrote the digest broke off before the crew’s sticks moved on', async () => {
    const house = open()
    const bo = { name: 'Bo Lind', email: 'bo@crew-one.example', role: 'foreman' }
    await house.done('PUT', '/v1/crews/CR-2', { ...aCrew, name: 'Crew two', depotId: 'DEP-2', recipients: [bo] })
    // the digests are one transaction, and the first fifty sticks the next: crew one's, and of crew two's some
    for (let i = 0; i < 44; i++) await enter(house, `A-9${i}`, 'CR-1', '2024-02-01')
    house.table.settled()
    house.table.trouble({ crashAfter: 2 })
    await sweep(house.table, house.clock)
    const { stored } = house.organisation().sticks
    expect([(await stored('A-940'))?.told?.through, (await stored('A-2'))?.told]).toEqual(['2026-03-10', null])
    expect((await stored('B-3'))?.told?.through).toBe('2026-03-10')
    house.table.trouble({})
    await sweep(house.table, house.clock)
    expect(digestsOf(await log(house, '?crew=CR-2'))).toEqual(['bo@crew-one.example'])
  })

  test('of everything holds each notice once', async () => {
    const house = await swept()
    const numbers = (await log(house, '')).map(({ number }) => number)
    const written = house.table.items().filter((item) => item.entity === 'notice')
    expect(numbers.toSorted()).toEqual(written.map((item) => item.number).toSorted())
    const owedAt = (await log(house, '')).map((entry) => entry.owedAt)
    expect(owedAt).toEqual(owedAt.toSorted().reverse())
  })

  async function paged(house: House, query: string, limit: number, who: Who = 'manager'): Promise<Entry[]> {
    const found: Entry[] = []
    for (let next = ''; ; ) {
      const { json } = await house.done('GET', `/v1/notices?limit=${limit}${query}${next}`, undefined, who)
      expect(json.items.length).toBeLessThanOrEqual(limit)
      found.push(...json.items)
      if (json.next === null) return found
      next = `&cursor=${json.next}`
    }
  }

  test.each(['', '&crew=CR-1', '&crew=CR-2', '&stick=A-1', '&to=bo@crew-one.example', '&state=owed', '&state=sent'])(
    'read one, two or seven at a time is the same as at once: %s',
    async (query) => {
      const house = await swept()
      house.at('2026-03-11T15:00:00.000Z')
      await house.done('POST', '/v1/sticks/A-1/defects', {
        factId: randomUUID(),
        occurredOn: '2026-03-11',
        kind: 'drop',
      })
      const atOnce = await paged(house, query, 200)
      expect(atOnce.length > 0).toBe(query !== '&state=sent')
      for (const limit of [1, 2, 7]) expect(await paged(house, query, limit)).toEqual(atOnce)
      house.table.trouble({ pageOf: 1 })
      expect(await paged(house, query, 200)).toEqual(atOnce)
    },
  )

  test('a page of a long log reads about as much as it answers', async () => {
    const house = await swept()
    const [some] = house.table.items().filter((item) => item.entity === 'notice')
    if (some === undefined) throw new Error('nobody was told of anything')
    const year = Array.from({ length: 2000 }, (_, i) => ({
      ...some,
      pk: `${some.pk}-${i}`,
      number: `N-${String(i).padStart(4, '0')}`,
      owedAt: new Date(Date.parse('2025-03-01T00:00:00Z') + i * 3600_000 * 4).toISOString(),
    }))
    const long = openHouse([...house.table.items(), ...year], '2026-03-10T15:00:00.000Z')
    let read = 0
    const { page } = long.table
    long.table.page = async (range) => {
      const answer = await page(range)
      read += answer.items.length
      return answer
    }
    const { json } = await long.done('GET', '/v1/notices?limit=20')
    expect(json.items).toHaveLength(20)
    expect(read).toBeLessThan(300)
  })

  test('can be asked from a day on, and by what became of a notice', async () => {
    const house = await swept()
    expect(digestsOf(await log(house, '?crew=CR-1&since=2026-03-10'))).toHaveLength(2)
    expect(await log(house, '?crew=CR-1&since=2026-03-11')).toEqual([])
    expect(await log(house, '?state=owed')).toEqual(await log(house, ''))
    expect(await log(house, '?state=sent')).toEqual([])
  })

  test('of a crew’s own people shows their crew alone', async () => {
    const house = await swept()
    const mine = await log(house, '', 'other crew')
    expect(digestsOf(mine)).toEqual(['bo@crew-one.example', 'cy@crew-two.example'])
    expect(await log(house, '?crew=CR-2', 'other crew')).toEqual(mine)
  })
})

describe('a list of the API', () => {
  const lists = {
    '/v1/depots': ['DEP-1', 'DEP-2'],
    '/v1/crews': ['CR-1', 'CR-2'],
    '/v1/people': ['bench', 'bench-2', 'crew', 'crew-2', 'manager', 'manager-2', 'owner', 'south-manager'],
    '/v1/instruments': ['INS-1'],
    '/v1/procedures': ['PRC-1'],
    '/v1/policies': ['employer'],
  }

  async function read(house: House, path: string, limit: number): Promise<Record<string, string>[]> {
    const found: Record<string, string>[] = []
    for (let next = ''; ; ) {
      const { json } = await house.done('GET', `${path}?limit=${limit}${next}`)
      expect(json.items.length).toBeLessThanOrEqual(limit)
      found.push(...json.items)
      if (json.next === null) return found
      next = `&cursor=${json.next}`
    }
  }

  test.each(Object.entries(lists))('%s is read by any number', async (path, numbers) => {
    const house = open()
    for (const limit of [1, 2, 200]) expect((await read(house, path, limit)).map(({ id }) => id)).toEqual(numbers)
  })

  test('of facts, feeds and unplaced reports is read by any number too', async () => {
    const house = open()
    for (let i = 0; i < 3; i++) {
      await house.done('POST', '/v1/crews/CR-1/feeds')
      const report = { factId: randomUUID(), occurredOn: '2026-03-10', kind: 'tingle' }
      await house.done('POST', '/v1/sticks/NOT-THERE/defects', report)
    }
    for (const path of ['/v1/sticks/G-1/facts', '/v1/crews/CR-1/feeds', '/v1/unplaced-reports']) {
      const atOnce = await read(house, path, 200)
      expect(atOnce.length).toBeGreaterThanOrEqual(3)
      for (const limit of [1, 2]) expect(await read(house, path, limit)).toEqual(atOnce)
    }
  })

  test.each([...Object.keys(lists), '/v1/notices', '/v1/roster', '/v1/marked-addresses', '/v1/sticks/G-1/facts'])(
    '%s takes no limit and no cursor that it never gave',
    async (path) => {
      const house = open()
      for (const query of [
        'limit=0',
        'limit=201',
        'limit=all',
        `cursor=${Buffer.from('a b\u0000').toString('base64url')}`,
      ]) {
        const { status, json } = await house.call('GET', `${path}?${query}`)
        expect([status, json.errors[0].pointer]).toEqual([422, `/${query.split('=')[0]}`])
      }
    },
  )
})
