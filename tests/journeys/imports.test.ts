/** A spreadsheet on its whole way: to the bucket by request or by form, checked, taken in, handed back, sent again. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aDepot, anInstrument } from '../support/trade.ts'
import { typedForm } from '../support/typed-form.ts'
import { furnish, lookAt } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(async () => {
  await stack?.stop()
})

const csv = { 'content-type': 'text/csv' }
const sticks = (...rows: readonly string[]) => ['Stick;Type;Length (m);Diameter (mm);Primary;Crew', ...rows].join('\n')
const good = sticks('0012;FRP rod;2,4;32;yes;CR-1', 'S-50;foam-filled FRP tube;2,4;32;yes;')

interface Told {
  readonly id: string
  readonly state: string
  readonly counts: Readonly<Record<string, number>>
  readonly faults: readonly object[]
  readonly upload: { readonly url: string; readonly fields: Readonly<Record<string, string>> } | null
  readonly rest: string | null
}

const send = async (query: string, body: string, role = 'manager') =>
  (await stack.call('POST', `/v1/imports?${query}`, body, role, csv)).json as Told

async function told(id: string): Promise<Told> {
  await stack.settle()
  return (await stack.call('GET', `/v1/imports/${id}`, undefined, 'manager')).json as Told
}

const factsOf = async () =>
  /^(\d+) sticks, (\d+) facts/m
    .exec(await stack.prove())
    ?.slice(1)
    .map(Number)

test('a file is checked and changes nothing, then taken in, and changes nothing when it comes again', async () => {
  const { id, state } = await send('kind=sticks&mode=check', good)
  expect(state).toBe('awaiting file')
  expect(await told(id)).toMatchObject({ state: 'checked', counts: { of: 2, added: 2, faulty: 0 } })
  expect((await stack.call('GET', '/v1/sticks/0012')).status).toBe(404)
  const { status } = await stack.call('POST', `/v1/imports/${id}/apply`, {}, 'manager')
  expect(status).toBe(200)
  expect(await told(id)).toMatchObject({ state: 'applied', counts: { done: 2, added: 2 } })
  expect(await lookAt(stack, '0012')).toMatchObject({ status: 'awaiting first test' })
  const before = await factsOf()
  const again = await send('kind=sticks&mode=apply', good)
  expect(await told(again.id)).toMatchObject({ state: 'applied', counts: { known: 2, added: 0, changed: 0 } })
  expect(await factsOf()).toEqual(before)
})

describe('by the form', () => {
  async function post({ url, fields }: NonNullable<Told['upload']>, file: Blob): Promise<Response> {
    const body = new FormData()
    for (const [name, value] of Object.entries(fields)) body.append(name, value)
    body.append('file', file)
    return fetch(url, { method: 'POST', body, redirect: 'manual' })
  }

  test('a larger file comes straight to the bucket; what was not signed is refused there', async () => {
    const { id, upload } = await send('kind=uses&mode=apply', '')
    if (upload === null) throw new Error('there is no form')
    const file = new Blob(['Stick,Date,Days\n0012,2026-03-01,2\nS-99,2026-03-01,1\n'])
    const wrong = { ...upload, fields: { ...upload.fields, 'Content-Type': 'text/html' } }
    const refused = await post(wrong, file)
    expect([refused.status, await refused.text()]).toEqual([403, expect.stringContaining('AccessDenied')])
    expect((await post(upload, file)).status).toBe(204)
    expect(await told(id)).toMatchObject({ state: 'checked', counts: { added: 1, faulty: 1 }, faults: [{ row: 3 }] })
    await stack.call('POST', `/v1/imports/${id}/apply`, { goodOnly: true }, 'manager')
    const { state, rest } = await told(id)
    expect(state).toBe('applied')
    const handedBack = await (await fetch(rest ?? '')).text()
    expect(handedBack).toMatch(/^Stick,Date,Days,Row,What is wrong\r\nS-99,2026-03-01,1,3,/)
    expect((await fetch((rest ?? '').replace(id, 'another'))).status).toBe(403)
    // by the link of the page too, which another function has signed
    const page = await (await (await stack.signedIn()).get(`/imports/${id}`)).text()
    const link = /href="([^"]*\/rest\/[^"]+)" download/.exec(page)?.[1]?.replaceAll('&amp;', '&') ?? ''
    expect(await (await fetch(link)).text()).toBe(handedBack)
  })

  test('an hour later the form is refused', async () => {
    const { upload } = await send('kind=uses', '')
    if (upload === null) throw new Error('there is no form')
    await stack.clock('2026-03-02T16:30:00Z')
    const late = await post(upload, new Blob(['a']))
    expect([late.status, await late.text()]).toEqual([403, expect.stringContaining('Policy expired')])
  })

  test('a page leads there and back, asks what it has to, and tells what would change', async () => {
    const manager = await stack.signedIn()
    const page = (await manager.post('/imports', { kind: 'uses' })).headers.get('location') ?? ''
    const markup = await (await manager.get(page)).text()
    const fields = Object.fromEntries(typedForm(markup).filter(([name]) => name !== 'file'))
    const url = /<form class="act" method="post" action="([^"]+)"/.exec(markup)?.[1] ?? ''
    const sent = await post({ url, fields }, new Blob(['Stick,Date,Days\nS-50,02/03/2026,1\n'], { type: 'text/csv' }))
    expect(sent.status).toBe(303)
    const back = new URL(sent.headers.get('location') ?? '')
    expect(back.origin + back.pathname).toBe(`${stack.pages}${page.split('?')[0]}`)
    expect((await manager.get(back.pathname + back.search)).status).toBe(200)
    await stack.settle()
    expect(await (await manager.get(back.pathname)).text()).toContain('How are dates such as 02/03/2026 written?')
    await manager.post(`${back.pathname}/reading`, { dates: 'month first' })
    await stack.settle()
    expect(await (await manager.get(back.pathname)).text()).toContain('Take in this 1 row')
  })
})

test('what is taken out, by the API or on a page, is known when it comes in again', async () => {
  const text = (await stack.call('GET', '/v1/exports?kind=sticks', undefined, 'manager')).text
  const again = await send('kind=sticks&mode=apply', text)
  const { state, counts } = await told(again.id)
  expect([state, counts]).toMatchObject(['applied', { known: counts.of, added: 0, changed: 0, waiting: 0, faulty: 0 }])
  expect(counts.of).toBeGreaterThan(2)
  const manager = await stack.signedIn()
  expect(await (await manager.get('/imports')).text()).toContain('href="/exports/sticks?format=xlsx"')
  const workbook = await manager.get('/exports/sticks?format=xlsx')
  expect(workbook.headers.get('content-type')).toMatch(/spreadsheetml\.sheet$/)
  expect(new TextDecoder().decode((await workbook.arrayBuffer()).slice(0, 2))).toBe('PK')
})

test('a row that loosens waits for a second person; somebody who is entered gets a sign-in', async () => {
  const out = async (kind: string) =>
    (await stack.call('GET', `/v1/exports?kind=${kind}`, undefined, 'manager')).text.replace(/^\uFEFF/, '')
  const put = (path: string, body: object) => stack.call('PUT', path, body)
  await put('/v1/depots/DEP-2', { ...aDepot, timeZone: 'America/Los_Angeles' })
  const edited = {
    crews: (await out('crews')).replaceAll('DEP-1', 'DEP-2'),
    instruments: (await out('instruments')).replace(anInstrument.calibrationDueOn, '2026-12-31'),
  }
  for (const [kind, text] of Object.entries(edited)) {
    const { state, counts, faults } = await told((await send(`kind=${kind}&mode=apply`, text)).id)
    expect(faults).toEqual([])
    // a crew has a row for each of its people
    expect([kind, state, counts]).toMatchObject([kind, 'applied', { waiting: counts.of, changed: 0, faulty: 0 }])
  }
  const open = (await stack.call('GET', '/v1/proposals?state=open', undefined, 'manager-2')).json as { items: object[] }
  expect(open.items).toHaveLength(2)
  const people = 'Person,Name,Email,Role,Depots\nnoor,Noor Haas,noor@demo-utility.example,bench,DEP-1\n'
  const entered = await told((await send('kind=people&mode=apply', people)).id)
  expect(entered).toMatchObject({ state: 'applied', counts: { of: 1, added: 1 }, faults: [] })
  expect(stack.parts.pool.userOf('noor@demo-utility.example')?.enabled).toBe(true)
})

test('every state is the replay of its facts', async () => {
  expect(await stack.prove()).toMatch(/^\d+ sticks, \d+ facts: every state is the replay of its facts$/m)
})
