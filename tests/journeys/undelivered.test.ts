/** The foreman's address does not take mail: the manager hears of it at once, and the hold reaches the next person. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aStick, aTest } from '../support/trade.ts'
import { ana, bring, furnish, manager, put } from './furnish.ts'

const foreman = 'bounce@simulator.amazonses.com'
const crewWith = (email: string) => ({
  ...aCrew,
  recipients: aCrew.recipients.map((one) => (one.role === 'foreman' ? { ...one, email } : one)),
})

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await put(stack, '/v1/crews/CR-1', crewWith(foreman))
  await bring(stack, aTest())
  await report()
})
afterAll(async () => {
  await stack?.stop()
})

async function report(): Promise<void> {
  const defect = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  const { status, text } = await stack.call('POST', '/v1/sticks/S-1/defects', defect, 'bench')
  if (status !== 201) throw new Error(text)
  await stack.settle()
}

interface Told {
  readonly kind: string
  readonly to: { readonly email: string }
  readonly state: string
  readonly deliveredAt: string | null
  readonly undeliveredWhy: string | null
  readonly passedOnFor: string[]
}
const log = async () => ((await stack.call('GET', '/v1/notices?stick=S-1')).json as { items: Told[] }).items
const mailsTo = async (to: string, subject: string) =>
  (await stack.mail(to)).filter((mail) => mail.subject.includes(subject))

describe('a permanent bounce of the foreman’s address during a hold', () => {
  test('is known to the manager after one settle: who, which address, which stick', async () => {
    const [mail, ...more] = await mailsTo(manager, 'was not delivered')
    expect(more).toEqual([])
    expect(mail?.subject).toContain('Stick S-1')
    expect(mail?.text).toContain(`Bo Lind, ${foreman}: mail to this address came back`)
  })

  test('and the hold reached the next person, said as passed on and to be confirmed', async () => {
    const holds = await mailsTo(manager, 'Stick S-1 is on hold')
    const passedOn = holds.filter(({ text }) => text.includes('could not be delivered to Bo Lind'))
    expect(holds).toHaveLength(2)
    expect(passedOn).toHaveLength(1)
    expect(passedOn[0]?.text).toContain('/answers/')
    expect(passedOn[0]?.text).toContain('nobody can opt out')
  })

  test('stands in the notice log, beside what was delivered', async () => {
    const entries = await log()
    const seen = entries.map(({ kind, to, state, undeliveredWhy, passedOnFor, deliveredAt }) =>
      [kind, to.email, state, undeliveredWhy, passedOnFor.join(), deliveredAt === null].join('|'),
    )
    expect(seen.sort()).toEqual(
      [
        `hold|${ana}|sent|||false`,
        `hold|${foreman}|not delivered|bounced||true`,
        ...[manager, 'manager-2@demo-utility.example'].flatMap((to) => [
          `hold|${to}|sent|||false`,
          `hold|${to}|sent||Bo Lind|false`,
          `not delivered|${to}|sent|||false`,
        ]),
      ].sort(),
    )
    expect((await stack.page('/notices')).text).toContain('passed on for Bo Lind')
  })

  test('marks the address: nothing more is sent there, and what is owed to it goes to the next person', async () => {
    const before = (await stack.mail(foreman)).length
    const marks = (await stack.call('GET', '/v1/marked-addresses', undefined, 'manager')).json
    expect(marks).toMatchObject({ items: [{ email: foreman, why: 'bounced' }] })
    const page = (await stack.page('/notices')).text
    expect(page).toContain('Nothing is sent to 1 address')
    expect(page).toContain(`>${foreman}</a>: mail came back, notice `)
    await stack.clock('2026-03-02T15:20:00Z')
    await bring(stack, aTest({ at: '09:15' }))
    await stack.settle()
    expect(await stack.mail(foreman)).toHaveLength(before)
    expect((await log()).filter(({ to }) => to.email === foreman)).toMatchObject([
      { kind: 'return', state: 'not delivered', undeliveredWhy: 'marked' },
      { kind: 'hold', undeliveredWhy: 'bounced' },
    ])
    expect(await mailsTo(manager, 'was not delivered')).toHaveLength(2)
  })

  test('until a manager clears it', async () => {
    const body = { email: foreman, reason: 'the mailbox was full and is not any more' }
    const { status, json } = await stack.call('POST', '/v1/marked-addresses/clear', body, 'manager')
    expect([status, json]).toEqual([200, expect.objectContaining({ clearedFor: body.reason })])
    expect((await stack.call('GET', '/v1/marked-addresses')).json).toMatchObject({ items: [] })
    expect((await stack.page('/notices')).text).not.toContain('Nothing is sent to')
    const before = (await stack.mail(foreman)).length
    await report()
    expect(await stack.mail(foreman)).toHaveLength(before + 1)
  })
})

test('a complaint is treated alike', async () => {
  const complains = 'complaint+bo@simulator.amazonses.com'
  await put(stack, '/v1/crews/CR-1', crewWith(complains))
  await put(stack, '/v1/sticks/S-2', aStick)
  const drop = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'drop' }
  await stack.call('POST', '/v1/sticks/S-2/defects', drop, 'bench')
  await stack.settle()
  const [mail] = await mailsTo(manager, 'Stick S-2 is in a notice that was not delivered')
  expect(mail?.text).toContain(`Bo Lind, ${complains}: the mail was reported as unwanted`)
  expect((await stack.call('GET', '/v1/marked-addresses')).text).toContain(complains)
})
