/** Acts on pages: a form becomes the request that the API would take, and what is wrong is said where it was typed. */
import { beforeAll, describe, expect, test } from 'vitest'
import { bodyOf } from '../../functions/pages/acts/body.ts'
import type { Field } from '../../functions/pages/acts/form.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick, aTest } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
const pages = pagesOf(house)

const send = (path: string, fields: Record<string, string>) =>
  pages.request(path, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields).toString(),
  })
/** What a page says is wrong; nothing where it says so of nothing. */
const troubleIn = (page: string) => /<div class="trouble".*?<\/div>/s.exec(page)?.[0] ?? ''
const report = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f0001', '/kind': 'tingle', '/occurredOn': '2026-03-02' }

beforeAll(async () => {
  await furnish(house)
  await house.done('PUT', '/v1/sticks/S-1', aStick)
})

describe('a report of danger', () => {
  test('is asked for with a fact of its own and the day at the depot', async () => {
    const form = await (await pages.request('/sticks/S-1/report')).text()
    expect(form).toMatch(/name="factId" value="[0-9a-f-]{36}"/)
    expect(form).toContain('value="2026-03-02"')
  })

  test('holds the stick, once however often it is sent, and says what follows', async () => {
    for (const _ of ['sent', 'sent again']) {
      const answer = await send('/sticks/S-1/report', report)
      const said = `/sticks/S-1/report?done=recorded&fact=${report.factId}`
      expect([answer.status, answer.headers.get('location')]).toEqual([303, said])
    }
    const { json } = await house.call('GET', '/v1/sticks/S-1/facts')
    expect(json.items.filter(({ kind }: { kind: string }) => kind === 'defect reported')).toHaveLength(1)
    expect((await house.call('GET', '/v1/sticks/S-1')).json.status).toBe('on hold')
    expect(await (await pages.request('/sticks/S-1/report?done=recorded')).text()).toContain('Do not use it')
  })

  test('is told what is wrong at the field, and keeps what was typed', async () => {
    const answer = await send('/sticks/S-1/report', { ...report, '/kind': 'rust', '/note': 'near <b>the</b> hook' })
    const page = await answer.text()
    expect(answer.status).toBe(422)
    expect(page).toMatch(/<a href="#f-kind">/)
    expect(page).toMatch(/id="f-kind"[^>]*aria-invalid="true"/)
    expect(page).toContain('near &lt;b&gt;the&lt;/b&gt; hook')
  })
})

describe('a body made of what was typed', () => {
  const number: Field = { name: '/a/metres', label: '', kind: 'number' }
  const cases = [
    { typed: '4,1', becomes: { a: { metres: 4.1 } } },
    { typed: ' 4.1 ', becomes: { a: { metres: 4.1 } } },
    { typed: '1,234.5', becomes: { a: { metres: '1,234.5' } } },
    { typed: '0x10', becomes: { a: { metres: '0x10' } } },
    { typed: '', becomes: {} },
  ]
  test.each(cases)('a number typed as "$typed"', ({ typed, becomes }) => {
    expect(bodyOf([number], { '/a/metres': [typed] }, {})).toEqual(becomes)
  })

  test('has lists without the rows that were left empty', () => {
    const fields = [0, 1, 2].map((row): Field => ({ name: `/rows/${row}/name`, label: '', kind: 'line' }))
    expect(bodyOf(fields, { '/rows/0/name': ['tip'], '/rows/2/name': ['base'] }, {})).toEqual({
      rows: [{ name: 'tip' }, { name: 'base' }],
    })
  })

  test('holds boxes, choices of several, and values that the form itself wrote', () => {
    const fields: Field[] = [
      { name: '/sound', label: '', kind: 'yes' },
      { name: '/depots', label: '', kind: 'choices', options: [] },
      { name: '/to', label: '', kind: 'choice', options: [], isJson: true },
    ]
    const typed = { '/depots': ['DEP-1', 'DEP-2'], '/to': ['{"crewId":"CR-1"}'] }
    expect(bodyOf(fields, typed, { kind: 'fixed' })).toEqual({
      kind: 'fixed',
      sound: false,
      depots: ['DEP-1', 'DEP-2'],
      to: { crewId: 'CR-1' },
    })
  })
})

describe('acts of a manager', () => {
  const of = async (path: string) => (await pages.request(path)).text()
  const id = () => crypto.randomUUID()
  const statusOf = async (stick: string) => (await house.call('GET', `/v1/sticks/${stick}`)).json.status

  beforeAll(async () => {
    for (const stick of ['A', 'B', 'C', 'D']) {
      await house.done('PUT', `/v1/sticks/${stick}`, aStick)
      await house.done('POST', `/v1/sticks/${stick}/bench-tests`, aTest())
    }
  })

  test('move a selection: each stick that may go goes, and of the others it is said why not', async () => {
    await house.done('POST', '/v1/sticks/B/defects', { factId: id(), occurredOn: '2026-03-02', kind: 'drop' })
    const form = await of('/move?stick=A&stick=B')
    expect(form).toContain('Move or issue 2 sticks')
    const fields = { factId: id(), '/to': '{"crewId":"CR-2"}', '/occurredOn': '2026-03-02' }
    const answer = await send('/move?stick=A&stick=B', fields)
    const text = await answer.text()
    expect(answer.status).toBe(200)
    expect(text).toContain('1 stick was moved')
    expect(text).toMatch(/B<\/a>: <strong>Not recorded:<\/strong> [^<]+on hold/)
    expect((await house.call('GET', '/v1/sticks/A')).json.custody).toEqual({ crewId: 'CR-2' })
    expect((await house.call('GET', '/v1/sticks/B')).json.custody).not.toEqual({ crewId: 'CR-2' })
  })

  test('take a stick out of service, with the reason', async () => {
    const wrong = await send('/sticks/C/remove', { factId: id(), '/occurredOn': '2026-03-02' })
    expect([wrong.status, await statusOf('C')]).toEqual([422, 'in service'])
    const fields = { factId: id(), '/reason': 'thirty years old', '/occurredOn': '2026-03-02' }
    expect((await send('/sticks/C/remove', fields)).status).toBe(303)
    expect(await statusOf('C')).toBe('removed from service')
  })

  test('put a slip of one value right: all else stays as it was', async () => {
    const slip = aTest({ factId: id() })
    const first = slip.dry?.readings[0]?.leakageMicroamps ?? 0
    const typed = {
      ...slip,
      dry: { readings: slip.dry?.readings.map((one, i) => (i === 0 ? { ...one, leakageMicroamps: 500 } : one)) ?? [] },
    }
    await house.done('PUT', '/v1/sticks/SLIP', aStick)
    await house.done('POST', '/v1/sticks/SLIP/bench-tests', typed)
    expect(await statusOf('SLIP')).toBe('on hold')
    const at = `/sticks/SLIP/facts/${slip.factId}/replace`
    const form = await of(at)
    const names = [...form.matchAll(/name="(\/replacement[^"]*)" value="([^"]*)"/g)].map(
      ([, name = '', value = '']) => [name, value],
    )
    const chosen = [...form.matchAll(/<select[^>]*name="([^"]*)"[^>]*>.*?<option value="([^"]*)" selected/gs)].map(
      ([, name = '', value = '']) => [name, value],
    )
    const boxes = [...form.matchAll(/type="checkbox"[^>]*name="([^"]*)" value="yes" checked/g)].map(([, name = '']) => [
      name,
      'yes',
    ])
    const values = Object.fromEntries([
      ...names.filter(([name]) => !/cleaned|waxed/.test(name ?? '')),
      ...chosen,
      ...boxes,
    ])
    const answer = await send(at, {
      ...values,
      factId: id(),
      '/reason': '500 for another figure',
      '/replacement/dry/readings/0/leakageMicroamps': String(first).replace('.', ','),
    })
    expect([answer.status, troubleIn(await answer.text())]).toEqual([303, ''])
    expect(answer.headers.get('location')).toMatch(/done=(recorded|waits)/)
  })

  test('say that a test was of another stick', async () => {
    const slip = aTest({ factId: id() })
    await house.done('PUT', '/v1/sticks/WRONG', aStick)
    await house.done('POST', '/v1/sticks/WRONG/bench-tests', slip)
    await house.done('PUT', '/v1/sticks/RIGHT', aStick)
    const at = `/sticks/WRONG/facts/${slip.factId}/other-stick`
    expect((await send(at, { factId: id(), '/stickId': 'NOBODY', '/reason': 'a slip' })).status).toBe(422)
    const answer = await send(at, { factId: id(), '/stickId': 'RIGHT', '/reason': 'wrong number' })
    expect([answer.status, troubleIn(await answer.text())]).toEqual([303, ''])
    expect([await statusOf('WRONG'), await statusOf('RIGHT')]).toEqual(['awaiting first test', 'in service'])
  })

  test('are offered where they fit', async () => {
    const page = await of('/sticks/D')
    for (const path of ['/sticks/D/report', '/sticks/D/missing', '/move?stick=D', '/sticks/D/remove', '/withdraw'])
      expect(page).toContain(path)
    expect(page).not.toContain('/sticks/D/release')
    expect(await of('/sticks/C')).not.toContain('/sticks/C/remove')
  })
})
