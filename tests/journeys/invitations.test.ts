/** People who are entered hear by mail what they may do and where to sign in; whoever begins later, on that day. */
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { furnish, put } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(async () => {
  await stack?.stop()
})

const nora = { name: 'Nora Quist', email: 'nora@demo-utility.example', role: 'manager', depots: ['DEP-1'] }
const luz = {
  name: 'Luz Prado',
  email: 'luz@crew-one.example',
  role: 'crew',
  depots: [],
  crewId: 'CR-1',
  language: 'es',
}
/** Notices alone: the first password is a mail of the pool's own. */
const notices = async (to: string) => (await stack.mail(to)).filter(({ subject }) => !subject.includes('Su acceso'))
const firstLine = (text = '') => text.split('\n\n')[1]

test('a manager and a lineworker, each in their own language; the links open', async () => {
  await put(stack, '/v1/people/nora', nora)
  await put(stack, '/v1/people/nora', nora)
  await put(stack, '/v1/people/luz', luz)
  await stack.settle()
  const [mail, ...others] = await notices(nora.email)
  expect(others).toEqual([])
  expect(mail?.subject).toContain('You can sign in and see to the sticks of Demo utility')
  for (const part of [mail?.text, mail?.html]) {
    expect(part).toContain('Entered by Olive Tran.')
    expect(part).toContain('As a manager you may:')
    expect(part).toContain('have a crew reminded of a stick')
    expect(part).toContain('This is for the sticks of these depots: North yard.')
    expect(part).toContain('owner@demo-utility.example, and do not sign in')
  }
  const links = [...(mail?.html ?? '').matchAll(/href="([^"]+)"/g)].map(([, link]) => link ?? '')
  for (const link of links) expect([link, (await fetch(link)).status]).toEqual([link, 200])
  const [toLuz] = await notices(luz.email)
  expect(firstLine(toLuz?.text)).toContain('Usted figura en el registro de personas de Demo utility')
  expect(toLuz?.text).toContain('Esto vale para las pértigas de su cuadrilla: Crew one.')
  expect(toLuz?.text).not.toContain('pruebas en banco, certificados')
})

test('more, and a new address, each once; less, and who is gone, nothing', async () => {
  const moved = { ...nora, email: 'nora.quist@demo-utility.example' }
  await put(stack, '/v1/people/nora', moved)
  await put(stack, '/v1/people/nora', { ...moved, depots: ['*'] })
  await put(stack, '/v1/people/nora', moved)
  await put(stack, '/v1/people/gone', { ...nora, email: 'gone@demo-utility.example', until: '2026-03-01' })
  await stack.settle()
  expect((await notices(moved.email)).map(({ subject }) => subject.replace(/ \[.*/, '')).sort()).toEqual([
    'You may do more about the sticks of Demo utility',
    'Your mail about the sticks of Demo utility comes here now',
  ])
  expect(await notices(nora.email)).toHaveLength(1)
  expect(await notices('gone@demo-utility.example')).toEqual([])
})

test('whoever begins later hears on that day and not before', async () => {
  const later = { ...nora, email: 'later@demo-utility.example', effectiveFrom: '2026-03-10' }
  await put(stack, '/v1/people/later', later)
  await stack.day('2026-03-09')
  expect(await notices(later.email)).toEqual([])
  for (const date of ['2026-03-10', '2026-03-11']) await stack.day(date)
  expect(await notices(later.email)).toHaveLength(1)
})

test('the people of the first start were told too, and no crew’s mailbox was', async () => {
  const subjects = async (to: string) => (await notices(to)).map(({ subject }) => subject)
  expect((await subjects('manager@demo-utility.example')).at(-1)).toContain('You can sign in')
  expect(await subjects('ana@crew-one.example')).toEqual([])
})
