/**
 * What loosens takes two: proposed, shown with what hangs on it, approved or declined, told; a slip of the day takes
 * one.
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { buildPages } from '../../functions/pages/pages.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aProcedure, aStick, aTest } from '../support/trade.ts'
import { bring, furnish, lookAt, manager, put } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await put(stack, '/v1/sticks/S-2', aStick)
  await bring(stack, aTest({ at: '08:00' }))
})
afterAll(async () => {
  await stack?.stop()
})

interface Proposed {
  readonly proposal: { readonly id: string; readonly effect: { loosens: { code: string }[]; fleet: object } }
  readonly next: string
}
const propose = async (path: string, body: object, who = 'manager') => {
  const { status, json, text } = await stack.call('PUT', path, body, who)
  if (status !== 202) throw new Error(`PUT ${path}: ${status} ${text}`)
  return json as Proposed
}
const decide = async (id: string, act: 'approve' | 'decline', who: string) =>
  (await stack.call('POST', `/v1/proposals/${id}/${act}`, act === 'approve' ? {} : { reason: 'it binds us' }, who))
    .status
// mails of one moment leave in no order
const mailsTo = async (to: string) => (await stack.mail(to)).map(({ text }) => text).join('\n')
const raised = {
  ...aProcedure,
  limits: aProcedure.limits.map((one) => (one.state === 'dry' ? { ...one, microamps: 40 } : one)),
}

test('every page there is, that of changes too, is reached where its links lead', async () => {
  const nowhere = buildPages({
    open: () => undefined as never,
    clock: () => '' as never,
    origin: stack.pages,
    sessionOf: async () => null,
  })
  const paths = new Set(
    nowhere.routes.filter(({ method, path }) => method === 'GET' && !path.includes('*')).map(({ path }) => path),
  )
  expect(paths).toContain('/proposals')
  for (const path of paths) {
    const { status } = await stack.page(path.replace(':id', 'S-1').replace(':factId', 'none'))
    // a page that is not the reader's refuses in words
    expect([200, 303, 403, 404], path).toContain(status)
  }
  expect((await stack.page('/proposals')).status).toBe(200)
})

test('the law was pinned when the organisation was made', async () => {
  const { json } = await stack.call('GET', '/v1/organisations/demo-utility', undefined, 'manager')
  expect(json).toMatchObject({ packs: ['us-29-cfr-1910-269-j'], recordedBy: 'owner' })
})

test('the law dropped by one is declined by another, and nothing has changed', async () => {
  const before = await lookAt(stack, 'S-1')
  const { proposal } = await propose('/v1/policies/employer', { packs: ['us-mo-200'] })
  await stack.settle()
  expect(await mailsTo('manager-2@demo-utility.example')).toContain('us-29-cfr-1910-269-j is left out')
  expect(await decide(proposal.id, 'decline', 'manager-2')).toBe(200)
  await stack.settle()
  expect(await mailsTo(manager)).toMatch(/declined[\s\S]*it binds us/)
  expect(await lookAt(stack, 'S-1')).toEqual(before)
})

test('a limit raised: what hangs on it is shown before and told after, and what was judged stays', async () => {
  const high = { ...aTest({ at: '09:00' }) }
  const failing = {
    ...high,
    dry: { readings: (high.dry?.readings ?? []).map((one) => ({ ...one, leakageMicroamps: 21 })) },
  }
  expect((await bring(stack, failing, 'S-2')).verdict).toBe('fail')
  const { proposal } = await propose('/v1/procedures/PRC-1', raised)
  expect(proposal.effect).toMatchObject({
    loosens: [{ code: 'limit-raised' }, { code: 'limit-raised' }, { code: 'limit-raised' }],
    fleet: { of: 'tests', sticks: 2, milder: 1, isWhole: true },
  })
  await stack.settle()
  const effect = /sticks last tested by it: 2; judged more mildly by this: 1/
  expect(await mailsTo('manager-2@demo-utility.example')).toMatch(effect)
  expect((await lookAt(stack, 'S-2')).status).toBe('on hold')
  expect(await decide(proposal.id, 'approve', 'manager-2')).toBe(200)
  await stack.settle()
  expect(await mailsTo(manager)).toMatch(effect)
  expect((await lookAt(stack, 'S-2')).status).toBe('on hold')
  expect((await stack.call('GET', '/v1/procedures/PRC-1')).json).toMatchObject({ recordedBy: 'manager' })
})

test('a typing slip is put right by its author the same day without anybody else', async () => {
  const slip = { ...raised, leastOverlapMetres: 0.5 }
  expect((await stack.call('PUT', '/v1/procedures/PRC-1', slip, 'manager')).status).toBe(200)
  expect((await stack.call('PUT', '/v1/procedures/PRC-1', raised, 'manager-2')).status).toBe(202)
  expect((await stack.call('PUT', '/v1/procedures/PRC-1', raised, 'manager')).status).toBe(200)
  expect((await stack.call('GET', '/v1/procedures/PRC-1')).json).toMatchObject({ leastOverlapMetres: 0.05 })
})

describe('an organisation with one manager and its owner', () => {
  beforeAll(async () => {
    const until = '2026-03-01'
    const gone = {
      name: 'Mina Castillo',
      email: 'manager-2@demo-utility.example',
      role: 'manager',
      depots: ['*'],
      until,
    }
    await put(stack, '/v1/people/manager-2', gone)
  })

  test('the owner approves what the manager asks for, and the manager what the owner does', async () => {
    const notRelied = { ...aStick, primaryProtection: false }
    const first = await propose('/v1/sticks/S-1', notRelied)
    expect(await decide(first.proposal.id, 'approve', 'manager')).toBe(403)
    expect(await decide(first.proposal.id, 'approve', 'owner')).toBe(200)
    const second = await propose('/v1/sticks/S-2', notRelied, 'owner')
    expect(await decide(second.proposal.id, 'approve', 'manager')).toBe(200)
  })

  test('alone at last, the owner is told how to enter a second person', async () => {
    const gone = { name: 'Marek Ahlgren', email: manager, role: 'manager', depots: ['*'], until: '2026-03-01' }
    await put(stack, '/v1/people/manager', gone)
    const { next } = await propose('/v1/policies/employer', { packs: ['us-mo-200'] }, 'owner')
    expect(next).toMatch(/enter a second manager or owner with PUT \/v1\/people/)
  })
})
