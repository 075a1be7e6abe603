/**
 * What no form sends and a careless or hostile program does: it is refused in words, in one short answer, and never
 * 5xx.
 */
import { randomUUID } from 'node:crypto'
import { Hono } from 'hono'
import { beforeAll, describe, expect, test } from 'vitest'
import { readBody } from '../../functions/api/body.ts'
import { routes } from '../../functions/requests/routes.ts'
import type { Item } from '../../functions/store/table.ts'
import { vocabulary } from '../../shared-domain/catalogue/es/vocabulary.ts'
import { shownText } from '../../shared-domain/text.ts'
import { aCrew, aDepot, aManager, anInstrument, aProcedure, aStick, aTest } from '../support/trade.ts'
import { furnish, type House, openHouse, type Reply } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  house = openHouse()
  await furnish(house)
  furnished = house.table.items()
  house = openHouse(furnished)
})

const pointers = ({ json }: Reply): string[] => json.errors.map(({ pointer }: { pointer: string }) => pointer)
const fact = (more: object = {}) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })
const put = (text: string | Uint8Array<ArrayBuffer>, path = '/v1/depots/DEP-9') =>
  house.send('PUT', path, text, 'owner')
const nested = (levels: number) => `${'['.repeat(levels)}${']'.repeat(levels)}`

describe('bytes and text', () => {
  const latin1 = (text: string) => Uint8Array.from(Buffer.from(text, 'latin1'))

  test('what is not UTF-8 is 400, and nothing is written', async () => {
    const before = house.table.written()
    const reply = await put(latin1(JSON.stringify({ ...aDepot, name: 'José' })))
    expect([reply.status, reply.json.detail]).toEqual([400, expect.stringContaining('UTF-8')])
    expect(house.table.written()).toBe(before)
  })

  test('what was not UTF-8 before another door mended it is 400 too', async () => {
    expect((await put(JSON.stringify({ ...aDepot, name: 'Jos\uFFFD' }))).status).toBe(400)
  })

  test('of a report of danger the letters that came are kept, and it can be told that some were lost', async () => {
    const door = new Hono().post('/', async (context) => context.json(await readBody(context, true)))
    const body = latin1(JSON.stringify({ kind: 'tingle', note: 'José felt it\u0007' }))
    const answer = (await (await door.request('/', { method: 'POST', body })).json()) as { json: { note: string } }
    expect(answer).toMatchObject({ faults: [], refusal: null })
    expect(shownText(answer.json.note)).toEqual({ text: 'Jos felt it', leftOut: true })
  })

  test('UTF-8 of every length of letter is kept as it is', async () => {
    const name = 'José Ωmega 山田 𐌰 ❤️'
    expect((await put(JSON.stringify({ ...aDepot, name }), '/v1/depots/DEP-8')).json.name).toBe(name)
  })

  test.each([
    ['{"name": "A", "timeZone": "America/Chicago", "sweepHour": 6, "name": "B"}', ['/name']],
    ['{"name": "A", "timeZone": "America/Chicago", "sweepHour": 6, "n\\u0061me": "B"}', ['/name']],
    ['{"name": "A", "sweepHour": 6, "name": "B", "extra": {"x": [1, {"y": 1, "y": 1}]}}', undefined],
    ['{"name": "A}{", "timeZone": "America/Chicago", "sweepHour": 6, "sweepHour": 7}', ['/sweepHour']],
  ])('a name given twice is refused where it stands: %s', async (text, expected) => {
    const reply = await put(text)
    expect(reply.status).toBe(422)
    expect(pointers(reply).sort()).toEqual(expected ?? ['/extra', '/extra/x/1/y', '/name', '/timeZone'])
  })

  test('the same name in two places is no name given twice', async () => {
    const text = JSON.stringify({ ...aCrew, name: 'a\\"b name: {' })
    expect((await put(text, '/v1/crews/CR-8')).status).toBe(201)
  })

  test.each([31, 200, 20_000, 1_000_000])('nesting of %d levels is refused in words', async (levels) => {
    for (const text of [
      nested(levels),
      `{"name": ${nested(levels - 1)}, "sweepHour": 6}`,
      `{"x": ${nested(levels)}}`,
    ]) {
      const reply = await put(text)
      expect(reply.status).toBe(422)
      expect(reply.text.length).toBeLessThan(3000)
      expect(reply.json.errors[0].expected).toContain('at most 30 levels')
    }
  })

  test('a number beyond all numbers is told apart from one that is missing', async () => {
    const reply = await put('{"name": "A", "sweepHour": 1e400}')
    const came = Object.fromEntries(
      reply.json.errors.map((one: { pointer: string; came: unknown }) => [one.pointer, one.came]),
    )
    expect(came).toEqual({ '/sweepHour': 'a number too large to be read', '/timeZone': null })
  })
})

describe('an answer stays short', () => {
  const unknownNames = (count: number) =>
    `{${Array.from({ length: count }, (_, i) => `"name that is not known ${i}": ${i}`).join(',')}}`

  test.each([
    ['100,000 unknown names', () => unknownNames(100_000)],
    ['one name of 4.9 MB', () => `{"${'x'.repeat(4_900_000)}": 1}`],
    ['one value of 4.9 MB', () => JSON.stringify({ ...aDepot, name: 'x'.repeat(4_900_000) })],
    ['one value of many lists', () => JSON.stringify({ ...aDepot, name: Array.from({ length: 300_000 }, () => [[]]) })],
  ])('whatever was sent: %s', async (_, text) => {
    const reply = await put(text())
    expect([reply.status, reply.text.length < 100_000]).toEqual([422, true])
    for (const { pointer, came } of reply.json.errors) {
      expect(pointer.length).toBeLessThanOrEqual(301)
      expect(JSON.stringify(came).length).toBeLessThanOrEqual(420)
    }
  })

  test('a hundred faults are told, and how many more there are', async () => {
    const { json } = await put(unknownNames(1000))
    expect(json.errors).toHaveLength(101)
    expect(json.errors.at(-1)).toMatchObject({ pointer: '', came: '903 more faults' })
  })

  test('fifteen thousand rules of an employer that all bear one name are told in as short an answer', async () => {
    const rule = {
      id: 'own',
      words: 'Own rule',
      source: { cited: 'Own', jurisdiction: 'Own', confidence: 'the employer’s own' },
      evidence: ['examination'],
      interval: { months: 12 },
      appliesTo: { primaryProtectionOnly: false, constructions: ['wood'] },
      legalMaximum: false,
    }
    const add = Array.from({ length: 15_000 }, () => rule)
    const reply = await put(JSON.stringify({ packs: ['us-29-cfr-1910-269-j'], add }), '/v1/policies/employer')
    expect([reply.status, reply.json.errors.length]).toEqual([422, 101])
    // all but the first, and that there are so many
    expect(reply.json.errors.at(-1).came).toBe('14900 more faults')
  })

  test('a letter of two halves is not cut in two', async () => {
    const { text } = await put(JSON.stringify({ ...aDepot, sweepHour: `${'x'.repeat(199)}😀` }))
    expect(text).toContain('xxx…')
    expect(text).not.toMatch(/\\ud83d/i)
  })
})

describe('what the schema takes, the table takes', () => {
  test.each([
    ['PUT', '/v1/instruments/INS-9', { ...anInstrument, spanMetres: 1e-300 }, '/spanMetres'],
    [
      'PUT',
      '/v1/instruments/INS-9',
      { ...anInstrument, expandedUncertaintyPercent: 1e-300 },
      '/expandedUncertaintyPercent',
    ],
    ['PUT', '/v1/procedures/PRC-9', { ...aProcedure, leastOverlapMetres: 1e-140 }, '/leastOverlapMetres'],
    [
      'PUT',
      '/v1/procedures/PRC-9',
      { ...aProcedure, checks: [{ ...aProcedure.checks[0], expectedMicroamps: 1e17 }] },
      '/checks/0/expectedMicroamps',
    ],
    [
      'PUT',
      '/v1/procedures/PRC-9',
      { ...aProcedure, limits: [{ ...aProcedure.limits[0], hertz: 1e300 }] },
      '/limits/0/hertz',
    ],
    ['PUT', '/v1/procedures/PRC-9', { ...aProcedure, ambient: { celsius: [-1e300, 1e300] } }, '/ambient/celsius/0'],
    [
      'POST',
      '/v1/sticks/S-1/bench-tests',
      aTest({ instrumentChecks: [{ state: 'dry', when: 'before', openMicroamps: 5e-324, checkMicroamps: 98 }] }),
      '/instrumentChecks/0/openMicroamps',
    ],
  ])('%s %s: a figure out of all measure is refused at %4$s', async (method, path, body, pointer) => {
    const reply = await house.call(method, path, body)
    expect([reply.status, pointers(reply)]).toEqual([422, expect.arrayContaining([pointer])])
  })

  test('nought itself is measured and kept', async () => {
    const body = { ...aProcedure, leastOverlapMetres: 0, checks: [{ ...aProcedure.checks[0], openAtMostMicroamps: 0 }] }
    await house.done('PUT', '/v1/procedures/PRC-8', body)
    expect((await house.call('GET', '/v1/procedures/PRC-8')).json.leastOverlapMetres).toBe(0)
  })

  test('an entry too large to be kept is 413, and nothing of it is written', async () => {
    const limits = Array.from({ length: 500 }, () => ({ ...aProcedure.limits[0], source: '山'.repeat(400) }))
    const before = house.table.written()
    const reply = await house.call('PUT', '/v1/procedures/PRC-9', { ...aProcedure, limits })
    expect([reply.status, reply.json.detail]).toEqual([413, expect.stringContaining('at most 390000')])
    expect(house.table.written()).toBe(before)
  })

  test('a list of evidence, constructions or stops ends', async () => {
    const rule = {
      id: 'own',
      words: 'Own rule',
      source: { cited: 'Own', jurisdiction: 'Own', confidence: 'the employer’s own' },
      evidence: Array.from({ length: 100_000 }, () => 'examination'),
      interval: { months: 12 },
      stops: Array.from({ length: 9 }, () => 'cleaned'),
      appliesTo: { primaryProtectionOnly: false, constructions: Array.from({ length: 5 }, () => 'wood') },
      legalMaximum: false,
    }
    const reply = await house.call('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], add: [rule] })
    expect([reply.status, pointers(reply).sort()]).toEqual([
      422,
      ['/add/0/appliesTo/constructions', '/add/0/evidence', '/add/0/stops'],
    ])
  })

  test('an entry edited until nothing more fits is refused with the reason; danger is taken all the same', async () => {
    const own = openHouse(furnished)
    const sections = Array.from({ length: 20 }, (_, i) => ({ name: `${'山'.repeat(37)}${i}`, lengthMetres: 1 }))
    const edit = (i: number) =>
      own.call('PUT', '/v1/sticks/S-1', { ...aStick, sections, lot: `lot ${i}`, effectiveFrom: '2026-03-02' })
    let refused: Reply | undefined
    for (let i = 0; i < 200 && refused === undefined; i++) {
      const reply = await edit(i)
      // the first gives it other sections, which two people decide
      if (reply.status === 202) await own.done('POST', `/v1/proposals/${reply.json.proposal.id}/approve`, {}, 'manager')
      else if (reply.status !== 200) refused = reply
    }
    expect([refused?.status, refused?.json.reasons[0].code]).toEqual([409, 'no-room'])
    expect((await own.call('POST', '/v1/sticks/S-1/defects', fact({ kind: 'tingle' }))).status).toBe(201)
  })

  test.each([
    ['POST', `/v1/crews/CR-1/feeds/${'x'.repeat(1100)}/revoke`],
    ['GET', `/v1/sticks/S-1/bench-tests/${'x'.repeat(3000)}`],
    ['POST', `/v1/notices/${'x'.repeat(3000)}/told`],
    ['GET', `/v1/depots/${'%F0%9F%98%80'.repeat(300)}`],
    ['GET', '/v1/sticks/%00'],
    ['GET', '/v1/sticks/%ff'],
  ])('a name too long to be a key is the name of nothing: %s', async (method, path) => {
    expect((await house.call(method, path, method === 'POST' ? {} : undefined)).status).toBe(404)
  })

  test.each([
    `/v1/roster?cursor=${Buffer.from(`2026-03-02#${'x'.repeat(280)}`).toString('base64url')}`,
    `/v1/roster?cursor=${'x'.repeat(5000)}`,
    // of the form of a place in the log, at no instant
    `/v1/notices?cursor=${Buffer.from('2026-13-02T09:40:00.000Z#1').toString('base64url')}`,
    `/v1/notices?cursor=${Buffer.from('2026-03-02T09:40:00.000Z#1#1').toString('base64url')}`,
    `/v1/notices?to=${'x'.repeat(5000)}@crew.example`,
    `/v1/notices?crew=${'x'.repeat(5000)}`,
    `/v1/notices?${'x'.repeat(5000)}=1`,
  ])('a question of any length is answered in words', async (path) => {
    const reply = await house.call('GET', path)
    expect([reply.status, reply.text.length < 2000]).toEqual([422, true])
  })
})

describe('every fault in one answer', () => {
  test.each([
    ['PUT', '/v1/crews/CR-9', { ...aCrew, name: '', depotId: 'DEP-0' }, ['/depotId', '/name']],
    ['PUT', '/v1/sticks/S-9', { ...aStick, construction: 'glass', crewId: 'CR-0' }, ['/construction', '/crewId']],
    [
      'POST',
      '/v1/sticks/S-1/bench-tests',
      { ...aTest({ instrumentId: 'INS-0', procedureId: 'PRC-0' }), cleaned: 1 },
      ['/cleaned', '/instrumentId', '/procedureId'],
    ],
    ['POST', '/v1/sticks/S-1/moves', fact({ to: { store: 'DEP-0' }, extra: 1 }), ['/extra', '/to/store']],
    ['POST', '/v1/sticks/S-1/moves', fact({ to: { crewId: 'CR-0' }, note: 7 }), ['/note', '/to/crewId']],
    [
      'POST',
      '/v1/sticks/S-1/what-if',
      { kind: 'moves', fact: fact({ to: { bench: 'DEP-0' }, note: 7 }) },
      ['/fact/note', '/fact/to/bench'],
    ],
    ['PUT', '/v1/depots/a%20b', { ...aDepot, name: '' }, ['/id', '/name']],
    ['POST', '/v1/policies/employer/preview?cursr=x', { packs: [] }, ['/cursr', '/packs']],
    ['POST', '/v1/procedures/PRC-1/preview', { ...aProcedure, title: 7 }, ['/title']],
  ])('of the schema, the register and the address: %s %s', async (method, path, body, expected) => {
    const before = house.table.written()
    const reply = await house.call(method, path, body)
    expect([reply.status, pointers(reply).sort()]).toEqual([422, expected])
    expect(house.table.written()).toBe(before)
  })

  test('a test by an instrument nobody knows, of a place beyond the stick’s end', async () => {
    const beyond = { quarterTurn: 0, fromMetres: 2.3, toMetres: 2.5, leakageMicroamps: 4 } as const
    const body = aTest({ instrumentId: 'INS-0', dry: { readings: [beyond] } })
    const reply = await house.call('POST', '/v1/sticks/S-1/bench-tests', body)
    expect(pointers(reply)).toEqual(['/instrumentId', '/dry/readings/0/toMetres'])
  })
})

describe('rights come before faults', () => {
  const faulty = [{}, { occurredOn: 7 }, fact({ to: { store: 'DEP-0' } })]
  // a defect is danger whatever is wrong with what was sent: its faults are told, and nothing of the stick
  const doors = routes.filter(({ method, path }) => method === 'POST' && /^.v1.sticks.:id.(?!defects)/.test(path))
  const onStick = (path: string, id: string) => path.replace(':id', id).replace(':factId', randomUUID())

  test.each(doors.map(({ path }) => [path]))('%s of a stick that is not there, or of another depot', async (path) => {
    for (const body of faulty) {
      expect((await house.call('POST', onStick(path, 'S-0'), body)).status).toBe(404)
      expect((await house.call('POST', onStick(path, 'S-1'), body, 'south manager')).status).toBe(403)
      expect((await house.call('POST', onStick(path, 'S-1'), body, 'other owner')).status).toBe(404)
    }
    expect((await house.send('POST', onStick(path, 'S-0'), '{', 'owner')).status).toBe(404)
  })

  test('an entry that is not the caller’s to change is 403, whatever is wrong with it', async () => {
    const own = openHouse(furnished)
    await own.done('PUT', '/v1/people/founder', { ...aManager, role: 'owner' })
    expect((await own.call('PUT', '/v1/people/founder', { role: 'crew' }, 'manager')).status).toBe(403)
    expect((await own.call('PUT', '/v1/people/new', { role: 'owner' }, 'manager')).status).toBe(403)
    expect((await own.call('PUT', '/v1/sticks/S-1', { lot: 7 }, 'south manager')).status).toBe(403)
    expect((await own.call('PUT', '/v1/sticks/S-9', { lot: 7, crewId: 'CR-1' }, 'south manager')).status).toBe(403)
    expect((await own.call('PUT', '/v1/policies/other', {})).status).toBe(404)
    expect((await own.call('POST', '/v1/policies/other/preview', {})).status).toBe(404)
    expect((await own.call('POST', '/v1/notices/N-0/told', {})).status).toBe(404)
  })
})

describe('addresses and methods', () => {
  test.each([
    ['DELETE', '/v1/sticks/S-1', 'PUT, GET, HEAD, OPTIONS'],
    ['PATCH', '/v1/people/manager', 'PUT, GET, HEAD, OPTIONS'],
    ['POST', '/v1/roster', 'GET, HEAD, OPTIONS'],
    ['GET', '/v1/sticks/S-1/bench-tests', 'POST, OPTIONS'],
    ['HEAD', '/v1/sticks/S-1/bench-tests', 'POST, OPTIONS'],
    ['PUT', '/v1/openapi.json', 'GET, HEAD, OPTIONS'],
  ])('%s %s is not done there: 405 and what is', async (method, path, allow) => {
    const { status, headers } = await house.call(method, path)
    expect([status, headers.get('allow')]).toEqual([405, allow])
  })

  test.each([
    ['/v1/sticks/S-1', 'PUT, GET, HEAD, OPTIONS'],
    ['/v1/sticks/S-1/uses', 'POST, OPTIONS'],
    ['/v1/openapi.json', 'GET, HEAD, OPTIONS'],
  ])('OPTIONS %s tells what is done there, and allows no other origin', async (path, allow) => {
    const { status, text, headers } = await house.call('OPTIONS', path)
    expect([status, text, headers.get('allow')]).toEqual([204, '', allow])
    expect([...headers.keys()].filter((name) => name.startsWith('access-control'))).toEqual([])
  })

  test('HEAD is answered as GET is, without the body', async () => {
    for (const path of ['/v1/sticks/S-1', '/v1/roster', '/v1/openapi.json', '/v1/sticks/S-0', '/v1/roster?limit=0']) {
      const [head, get] = [await house.call('HEAD', path), await house.call('GET', path)]
      expect([head.status, head.text]).toEqual([get.status, ''])
      expect(head.headers.get('content-type')).toBe(get.headers.get('content-type'))
    }
  })

  test.each([
    ['GET', '/v1/nothing', 'No route has this path: /v1/openapi.json lists them all.'],
    ['OPTIONS', '/v1/nothing', 'No route has this path: /v1/openapi.json lists them all.'],
    ['GET', '/v1/sticks/S-0', 'There is no stick S-0.'],
    ['POST', '/v1/sticks/S-0/uses', 'There is no stick S-0.'],
    ['GET', '/v1/sticks/a%20b', 'There is no "a b" among the sticks.'],
    ['GET', '/v1/sticks/S-1/bench-tests/x', 'There is no bench test x of stick S-1.'],
    ['GET', '/v1/sticks/S-1/bench-tests/%20', 'There is no " " among the bench tests.'],
    ['GET', '/v1/sticks/S-1?asKnownOn=2020-01-01', 'There is no stick S-1 that was known on 2020-01-01.'],
    ['GET', '/v1/depots/DEP-0?on=2026-02-01', 'There is no depot DEP-0 on 2026-02-01.'],
    ['GET', '/v1/roster?crew=CR-0', 'There is no crew CR-0.'],
    ['GET', '/v1/roster?depot=DEP-0', 'There is no depot DEP-0 that is yours to read.'],
    ['GET', '/v1/notices?person=nobody', 'There is no person nobody.'],
    ['POST', '/v1/notices/N-0/told', 'There is no notice N-0.'],
    ['POST', '/v1/proposals/P-0/approve', 'There is no proposal P-0.'],
    ['POST', '/v1/crews/CR-1/feeds/F-0/revoke', 'There is no calendar feed F-0 of crew CR-1.'],
    ['PUT', '/v1/policies/other', 'There is no policy other: an organisation has one, and it is named employer.'],
  ])('%s %s is not found, and the answer says what', async (method, path, detail) => {
    const hasBody = method === 'PUT' || (method === 'POST' && !path.includes('feeds'))
    const { status, json } = await house.call(method, path, hasBody ? {} : undefined)
    expect([status, json.detail]).toEqual([404, detail])
  })

  test('what a path calls the things that it names one of has a Spanish word, and nothing else has', () => {
    const named = routes.flatMap(({ path }) => [...path.matchAll(/([\w-]+)\/:\w+/g)].map(([, things = '']) => things))
    expect(Object.keys(vocabulary.things).sort()).toEqual(
      [...new Set(named)].map((things) => things.replaceAll('-', ' ')).sort(),
    )
  })

  test.each([
    ['GET', '/v1/roster?limit=500', undefined, 'The query has faults', ['query /limit']],
    ['GET', '/v1/roster?cursor=banana', undefined, 'The query has faults', ['query /cursor']],
    ['PUT', '/v1/depots/DEP-9', { ...aDepot, name: '' }, 'The body has faults', ['body /name']],
    ['PUT', '/v1/depots/a%20b', aDepot, 'The address has faults', ['path /id']],
    [
      'PUT',
      '/v1/depots/a%20b?x=1',
      { ...aDepot, name: '' },
      'What was sent has faults',
      ['path /id', 'query /x', 'body /name'],
    ],
  ])(
    '%s %s: the title names the part of the request, and each fault its own',
    async (method, path, body, title, at) => {
      const { status, json } = await house.call(method, path, body)
      const places = json.errors.map((one: { in: string; pointer: string }) => `${one.in} ${one.pointer}`)
      expect([status, json.title, places]).toEqual([422, title, at])
    },
  )

  test('every route refuses a question it does not know, by its name', async () => {
    for (const { method, path } of routes.filter(({ body }) => body === undefined)) {
      const known = { '/v1/policies/:id': 'employer', '/v1/people/:id': 'manager', '/v1/crews/:id': 'CR-1' }
      const id = Object.entries(known).find(([start]) => path.startsWith(start))?.[1] ?? 'S-1'
      const full = path.replace(':id', id).replace(':factId', randomUUID()).replace(':feedId', randomUUID())
      // a file is sent, and asked for, as something
      const isFile = path === '/v1/exports' || (method === 'POST' && path === '/v1/imports')
      const needed = isFile ? '&kind=uses' : ''
      const reply = await house.call(method, `${full}?nonsense=1${needed}`)
      expect([path, reply.status, pointers(reply)]).toEqual([path, 422, ['/nonsense']])
    }
  })

  test('no answer is guessed at by a browser', async () => {
    for (const path of ['/v1/sticks/S-1', '/v1/nothing', '/v1/openapi.json'])
      expect((await house.call('GET', path)).headers.get('x-content-type-options')).toBe('nosniff')
  })
})
