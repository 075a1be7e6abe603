/** Acts on pages: a form becomes the request that the API would take, and what is wrong is said where it was typed. */
import { beforeAll, describe, expect, test } from 'vitest'
import { bodyOf } from '../../functions/pages/acts/body.ts'
import type { Field } from '../../functions/pages/acts/form.ts'
import { pagesOf } from '../support/pages.ts'
import { aStick } from '../support/trade.ts'
import { furnish, openHouse } from './house.ts'

const house = openHouse()
const pages = pagesOf(house)

const send = (path: string, fields: Record<string, string>) =>
  pages.request(path, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields).toString(),
  })
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
      expect([answer.status, answer.headers.get('location')]).toEqual([303, '/sticks/S-1/report?done=recorded'])
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
