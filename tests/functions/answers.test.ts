/** A hold is confirmed as read by the button behind its link; where nobody does, the next person up is told. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { followUp } from '../../functions/follow-up/follow-up.ts'
import { keysOf } from '../../functions/store/keys.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { dueIn } from '../../functions/store/queues.ts'
import type { Item, Write } from '../../functions/store/table.ts'
import { confirmationPath } from '../../functions/web/confirmation-link.ts'
import type { UndeliveredWhy } from '../../shared-domain/notices/notice.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { aStick, aTest, day, happened, history } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const ana = 'ana@crew-one.example'
const bo = 'bo@crew-one.example'
const managers = ['manager-2@demo-utility.example', 'manager@demo-utility.example']

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-03-06T20:00:00.000Z')
  await furnish(first)
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06') }), 'bench')
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'tingle' }
  await first.done('POST', '/v1/sticks/S-1/defects', tingle, 'crew')
  for (const notice of noticesIn(first)) await first.organisation().notices.sent(notice, first.clock(), 'ses-1')
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-06T20:30:00.000Z')
})

const noticesIn = (one: House): Notice[] =>
  one.table.items().filter((item) => item.entity === 'notice') as unknown as Notice[]
const hold = (email: string) => {
  const found = noticesIn(house).find(({ kind, to }) => kind === 'hold' && to.email === email)
  if (found === undefined) throw new Error(`no hold to ${email}`)
  return found
}
const silence = () =>
  noticesIn(house)
    .filter(({ kind }) => kind === 'unanswered')
    .map(({ to, unanswered }) => `${to.email}: ${unanswered?.join(', ')}`)
    .sort()

function cameBack(notice: Notice, why: UndeliveredWhy, trouble: string): Write {
  const write = house.organisation().notices.notReachedWrite(notice, 'ses-1', { why, trouble })
  if (write === null) throw new Error('it came back before')
  return write
}

const linkOf = (email: string) => confirmationPath(hold(email)) ?? ''
const open = (path: string, method = 'GET') =>
  buildAnswers({ table: house.table, clock: house.clock }).request(path, { method })
const kept = () => JSON.stringify(house.table.items())

describe('the link', () => {
  test('opened, and opened again, by whoever looks through mail: a page with a button, nothing changes', async () => {
    const before = kept()
    for (const method of ['HEAD', 'GET', 'HEAD', 'GET']) {
      const { status } = await open(linkOf(ana), method)
      expect(status).toBe(200)
    }
    expect(kept()).toBe(before)
    const text = await (await open(linkOf(ana))).text()
    expect(text).toContain('<button>I have read this</button>')
    expect(text).toContain('>Stick S-1</a></p><h1 class="order stop"><strong>Do not use it</strong></h1>')
    expect(text).toMatch(/<h2>Why<.*Reported from use: tingle.*bring it to North yard.*<button>.*for Ana Ferro\./s)
    expect(text).toContain('never replaces')
  })

  test('its button confirms, for that person alone, and clears nothing', async () => {
    const answer = await open(linkOf(ana), 'POST')
    expect([answer.status, await answer.text()]).toEqual([
      200,
      expect.stringContaining('<h1>Thank you, Ana Ferro</h1>'),
    ])
    expect(hold(ana).answeredAt).toBe('2026-03-06T20:30:00.000Z')
    expect(hold(bo).answeredAt).toBeUndefined()
    expect((await house.done('GET', '/v1/sticks/S-1')).json.status).toBe('on hold')
    const { items } = (await house.done('GET', '/v1/notices?stick=S-1')).json
    const told = items.map(({ to, answeredAt }: { to: { email: string }; answeredAt: string | null }) => [
      to.email,
      answeredAt,
    ])
    expect(Object.fromEntries(told)).toMatchObject({ [ana]: '2026-03-06T20:30:00.000Z', [bo]: null })
  })

  test('used before, it is refused and says since when', async () => {
    await open(linkOf(ana), 'POST')
    const before = kept()
    house.at('2026-03-07T08:00:00.000Z')
    for (const method of ['GET', 'POST']) {
      const again = await open(linkOf(ana), method)
      expect([again.status, await again.text()]).toEqual([
        409,
        expect.stringContaining('since 6 March 2026, 14:30 CST'),
      ])
    }
    expect(kept()).toBe(before)
  })

  test('pressed while word comes that the mail came back: both stand', async () => {
    const before = house.table
    const meanwhile = () => before.transact([cameBack(hold(ana), 'complained', 'unwanted')])
    let told = false
    const table = {
      ...before,
      transact: async (...args: Parameters<typeof before.transact>) => {
        if (!told) await meanwhile()
        told = true
        return before.transact(...args)
      },
    }
    const { status } = await buildAnswers({ table, clock: house.clock }).request(linkOf(ana), { method: 'POST' })
    expect(status).toBe(200)
    expect(hold(ana)).toMatchObject({
      answeredAt: house.clock(),
      undeliveredWhy: 'complained',
      state: 'not delivered, confirmed',
    })
    expect(await dueIn(house.table, 'undelivered', house.clock())).toHaveLength(1)
  })

  test('pressed twice at once, it is recorded once', async () => {
    const answers = await Promise.all([open(linkOf(ana), 'POST'), open(linkOf(ana), 'POST')])
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 409])
  })

  test('confirmed though the mail came back: both stand, and the managers still hear of the address', async () => {
    const returned = cameBack(hold(ana), 'bounced', 'user unknown')
    await house.table.transact([returned])
    expect((await open(linkOf(ana), 'POST')).status).toBe(200)
    expect(hold(ana)).toMatchObject({ state: 'not delivered, confirmed', answeredAt: '2026-03-06T20:30:00.000Z' })
    expect(await dueIn(house.table, 'undelivered', house.clock())).toHaveLength(1)
  })

  test('tampered with, of another notice, of another organisation, for another time: refused, no change', async () => {
    const before = kept()
    const [organisation = '', number = '', until = '', signature = ''] = linkOf(ana)
      .slice('/answers/'.length)
      .split('/')
    const of = (...parts: string[]) => `/answers/${parts.join('/')}`
    const others = [
      of(organisation, number, until, `${signature.slice(0, -1)}${signature.endsWith('A') ? 'B' : 'A'}`),
      of(organisation, number, until, signature.slice(1)),
      of(organisation, hold(bo).number, until, signature),
      of('other-utility', number, until, signature),
      of(organisation, number, encodeURIComponent('2099-01-01T00:00:00.000Z'), signature),
      of(organisation, number, 'never', signature),
      of(organisation, '2222-2222-2222', until, signature),
      of('..', number, until, signature),
    ]
    for (const path of others) {
      for (const method of ['GET', 'POST']) {
        const answer = await open(path, method)
        expect([path, answer.status]).toEqual([path, 404])
      }
    }
    expect(kept()).toBe(before)
  })

  test('leads to where to bring the stick, and to its page', async () => {
    const depot = { name: 'North yard', timeZone: 'America/Chicago', sweepHour: 6 }
    await house.done('PUT', '/v1/depots/DEP-1', {
      ...depot,
      address: '12 Mill Road',
      hours: 'Monday to Friday, 7 to 16',
    })
    const text = await (await open(linkOf(ana))).text()
    expect(text).toMatch(/North yard<\/strong> <span>12 Mill Road<.*Open: Monday to Friday, 7 to 16/s)
    expect(text).toContain('<a href="/sticks/S-1">')
  })

  test('lists what else waits for its reader: nothing confirmed, fit again, or of others', async () => {
    const crack = (stick: string) =>
      house.done('POST', `/v1/sticks/${stick}/defects`, {
        factId: randomUUID(),
        occurredOn: '2026-03-06',
        kind: 'crack',
      })
    for (const stick of ['S-2', 'S-3', 'S-4']) await house.done('PUT', `/v1/sticks/${stick}`, aStick)
    await house.done('PUT', '/v1/sticks/S-5', { ...aStick, crewId: 'CR-2' })
    for (const stick of ['S-2', 'S-3', 'S-4', 'S-5']) await crack(stick)
    house.at('2026-03-06T22:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-4/bench-tests', aTest({ testedOn: day('2026-03-06'), at: '15:40' }), 'bench')
    const ofBo = noticesIn(house).find(({ lines, to }) => to.email === bo && lines[0]?.stickId === 'S-3')
    if (ofBo === undefined) throw new Error('no hold of S-3')
    await house.organisation().notices.sent(ofBo, house.clock(), 'ses-2')
    const sent = await house.organisation().notices.one(ofBo.number)
    expect((await open(confirmationPath(sent as Notice) ?? '', 'POST')).status).toBe(200)
    house.at('2026-03-06T22:30:00.000Z')
    for (const method of ['GET', 'POST']) {
      const text = await (await open(linkOf(ana), method)).text()
      const [list = ''] = /<h2>What else waits for you<.*?<\/ul>/s.exec(text) ?? []
      expect(list).toContain('S-2: Do not use it')
      expect(list).not.toMatch(/S-[1345]/)
    }
  })

  test('confirms all the same where the list of what else waits fails', async () => {
    const table = {
      ...house.table,
      page: async () => {
        throw new Error('no list')
      },
    }
    const { status } = await buildAnswers({ table, clock: house.clock }).request(linkOf(ana), { method: 'POST' })
    expect([status, hold(ana).answeredAt]).toEqual([200, house.clock()])
  })

  test('expired after thirty days, it is refused and says so', async () => {
    house.at('2026-04-05T20:00:00.000Z')
    expect((await open(linkOf(ana))).status).toBe(200)
    house.at('2026-04-05T20:00:01.000Z')
    const late = await open(linkOf(ana), 'POST')
    expect([late.status, await late.text()]).toEqual([410, expect.stringContaining('expired')])
    expect(hold(ana).answeredAt).toBeUndefined()
  })
})

describe('nobody answers', () => {
  const at = async (instant: string) => {
    house.at(instant)
    return followUp(house.table, house.clock())
  }

  test('until four clock hours are over nothing happens, on a Friday night as on any other', async () => {
    expect(await at('2026-03-06T23:59:59.000Z')).toEqual({ silent: 0, passedOn: 0, failed: 0 })
    expect(silence()).toEqual([])
  })

  test('the crew is asked, and the managers are told without being asked', () => {
    const asked = noticesIn(house).filter(({ kind, answer }) => kind === 'hold' && answer !== undefined)
    expect(asked.map(({ to }) => to.email).sort()).toEqual([ana, bo])
    expect(managers.map((email) => hold(email).answer)).toEqual([undefined, undefined])
  })

  test('then the foreman is told of the crew, and the managers of the foreman, each once', async () => {
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 3, failed: 0 })
    const expected = [`${bo}: Ana Ferro`, ...managers.map((email) => `${email}: Bo Lind`)]
    expect(silence()).toEqual(expected.sort())
    expect(await at('2026-03-07T00:05:00.000Z')).toEqual({ silent: 0, passedOn: 0, failed: 0 })
    expect(silence()).toHaveLength(3)
  })

  test.each([
    ['the foreman', bo],
    ['one of the crew', ana],
  ])('%s speaks for all: nobody else is asked after', async (_, email) => {
    await open(linkOf(email), 'POST')
    expect(await at('2026-03-07T00:00:00.000Z')).toEqual({ silent: 1, passedOn: 0, failed: 0 })
    expect(silence()).toEqual([])
    expect(await at('2026-03-07T00:05:00.000Z')).toEqual({ silent: 0, passedOn: 0, failed: 0 })
  })

  test('confirmed before worse was told, it is not asked after again: what is worse asks for itself', async () => {
    await open(linkOf(ana), 'POST')
    house.at('2026-03-06T22:00:00.000Z')
    const crack = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'crack' }
    await house.done('POST', '/v1/sticks/S-1/defects', crack, 'crew')
    expect(await at('2026-03-07T00:00:00.000Z')).toEqual({ silent: 1, passedOn: 0, failed: 0 })
  })

  test('not confirmed, and told of worse meanwhile: the first silence climbs all the same', async () => {
    house.at('2026-03-06T22:00:00.000Z')
    const crack = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'crack' }
    await house.done('POST', '/v1/sticks/S-1/defects', crack, 'crew')
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 3 })
  })

  const silenceIsSent = async () => {
    for (const notice of noticesIn(house).filter(({ kind, sentAt }) => kind === 'unanswered' && sentAt === undefined))
      await house.organisation().notices.sent(notice, house.clock(), 'ses-2')
  }
  const press = async (email: string) => {
    const list = noticesIn(house).find(({ kind, to }) => kind === 'unanswered' && to.email === email) as Notice
    expect((await open(confirmationPath(list) ?? '', 'POST')).status).toBe(200)
  }

  test('a foreman who confirms the silence of his crew settles it', async () => {
    await at('2026-03-07T00:00:00.000Z')
    await silenceIsSent()
    await press(bo)
    expect((await house.organisation().sticks.stored('S-1'))?.held?.confirmed).toBe(true)
    await at('2026-03-07T04:00:00.000Z')
    expect(silence()).toHaveLength(3)
  })

  test('nobody is told of it twice on one day; where all stay silent, the owners hear', async () => {
    await house.done('PUT', '/v1/people/owner', {
      name: 'Oda Lund',
      email: 'owner@demo-utility.example',
      role: 'owner',
      depots: ['*'],
    })
    await at('2026-03-07T00:00:00.000Z')
    await silenceIsSent()
    await at('2026-03-07T04:00:00.000Z')
    // the foreman's silence of the crew's: his managers have had word of this very hold today
    const first = [`${bo}: Ana Ferro`, ...managers.map((email) => `${email}: Bo Lind`)]
    expect(silence()).toEqual([...first, 'owner@demo-utility.example: Bo Lind, Max Holm, Mia Okafor'].sort())
  })

  test('where one manager has confirmed the silence, no owner is asked', async () => {
    await at('2026-03-07T00:00:00.000Z')
    await silenceIsSent()
    await press(managers[0] ?? '')
    await at('2026-03-07T04:00:00.000Z')
    expect(silence().filter((one) => one.startsWith('owner'))).toEqual([])
  })

  test('a silence that comes later that day is told the next, in one list with others', async () => {
    const crack = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'crack' }
    await house.done('PUT', '/v1/sticks/S-2', aStick)
    await house.done('POST', '/v1/sticks/S-2/defects', crack, 'crew')
    house.at('2026-03-06T22:00:00.000Z')
    const ofS2 = noticesIn(house).filter(({ kind, lines }) => kind === 'hold' && lines[0]?.stickId === 'S-2')
    for (const notice of ofS2) await house.organisation().notices.sent(notice, house.clock(), 'ses-3')
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 3 })
    // still Friday at the depot
    expect(await at('2026-03-07T02:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 0 })
    expect(await at('2026-03-07T05:59:00.000Z')).toMatchObject({ silent: 0 })
    expect(await at('2026-03-07T06:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 3 })
    const lists = noticesIn(house).filter(({ kind }) => kind === 'unanswered')
    expect(
      lists.filter(({ to }) => to.email === bo).map(({ lines, day: on }) => [on, lines.map(({ stickId }) => stickId)]),
    ).toEqual(
      expect.arrayContaining([
        ['2026-03-06', ['S-1']],
        ['2026-03-07', ['S-2']],
      ]),
    )
    const { items } = (await house.done('GET', '/v1/notices?stick=S-2')).json
    expect(items.filter(({ kind }: { kind: string }) => kind === 'unanswered')).toHaveLength(3)
  })

  test('the hours count from when the mail left', async () => {
    const late = await openHouseWithLateMail()
    expect(await followUpAt(late, '2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 1, passedOn: 1 })
    expect(await followUpAt(late, '2026-03-07T03:29:00.000Z')).toMatchObject({ silent: 0 })
    expect(await followUpAt(late, '2026-03-07T03:30:00.000Z')).toMatchObject({ silent: 1 })
  })

  const followUpAt = async (one: House, instant: string) => {
    one.at(instant)
    return followUp(one.table, one.clock())
  }

  /** The foreman's mail left three and a half hours after that of the crew. */
  async function openHouseWithLateMail(): Promise<House> {
    const { kind, day: on, lines, answer, to } = hold(ana)
    const lees = { ...to, name: 'Lee Okoye', email: 'lee@crew-one.example' }
    const owed = { kind, day: on, lines, key: 'hold|S-1|lee', to: lees, ...(answer && { answer }) }
    const own = openHouse(
      furnished.filter((item) => (item.to as { email?: string })?.email !== bo),
      '2026-03-06T20:30:00.000Z',
    )
    await own.table.transact([own.organisation().notices.owedWrite(owed, own.clock())])
    own.at('2026-03-06T23:30:00.000Z')
    const lee = noticesIn(own).find(({ to: whom }) => whom.name === 'Lee Okoye') as Notice
    await own.organisation().notices.sent(lee, own.clock(), 'ses-3')
    return own
  }

  test('what no longer stands is passed on to nobody', async () => {
    house.at('2026-03-06T22:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06'), at: '16:00' }), 'bench')
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 0 })
    expect(silence()).toEqual([])
    expect(await at('2026-03-07T00:05:00.000Z')).toMatchObject({ silent: 0 })
  })

  test('a stick that awaits its first test by now must be known of like one on hold', async () => {
    const stored = await house.table.get(keysOf(demo).state('S-1'))
    const state = replay(history(['2026-03-02', happened.registered()]))
    await house.table.transact([house.table.put({ ...(stored as Item), state })])
    expect((await house.done('GET', '/v1/sticks/S-1')).json.status).toBe('awaiting first test')
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 3, failed: 0 })
  })

  test('one whose mail came back is left for the managers to hear of, though the index hides it yet', async () => {
    await house.table.transact([cameBack(hold(ana), 'bounced', 'no such mailbox')])
    house.table.trouble({ indexLag: 1 })
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 1, passedOn: 2 })
    house.table.trouble({})
    expect(await undelivered()).toEqual([hold(ana).number])
    expect(await at('2026-03-07T00:05:00.000Z')).toMatchObject({ silent: 0, passedOn: 0 })
  })

  test('one whose mail comes back while it is passed on is left for the managers to hear of', async () => {
    const comesBack = () => house.table.transact([cameBack(hold(ana), 'bounced', 'no such mailbox')])
    house.table.trouble({ meanwhile: { before: 1, what: comesBack } })
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 3 })
    house.table.trouble({ indexLag: 0 })
    expect(await undelivered()).toEqual([hold(ana).number])
    expect(await at('2026-03-07T00:05:00.000Z')).toMatchObject({ silent: 0, passedOn: 0 })
  })

  async function undelivered(): Promise<string[]> {
    return (await dueIn(house.table, 'undelivered', house.clock())).map(({ number }) => number)
  }

  test('a hold that is over is not asked for, though the stick is on hold for something else by now', async () => {
    house.at('2026-03-06T21:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06'), at: '15:00' }), 'bench')
    house.at('2026-03-06T22:00:00.000Z')
    const crack = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'crack' }
    await house.done('POST', '/v1/sticks/S-1/defects', crack, 'crew')
    expect(await at('2026-03-07T00:00:00.000Z')).toMatchObject({ silent: 2, passedOn: 0 })
    expect(silence()).toEqual([])
  })

  test('the policy sets the hours', async () => {
    await house.done('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], answerWithinHours: 1 })
    await house.done('PUT', '/v1/sticks/S-9', aStick)
    const gouge = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'gouge' }
    await house.done('POST', '/v1/sticks/S-9/defects', gouge, 'crew')
    const ofS9 = noticesIn(house).filter(({ answer, lines }) => answer !== undefined && lines[0]?.stickId === 'S-9')
    expect(new Set(ofS9.map(({ answerBy }) => answerBy))).toEqual(new Set(['2026-03-06T21:30:00.000Z']))
  })

  test('two runs at once, and one that breaks off, tell nobody twice', async () => {
    house.at('2026-03-07T00:00:00.000Z')
    house.table.trouble({ crashAfter: 1 })
    await followUp(house.table, house.clock())
    house.table.trouble({})
    await Promise.all([followUp(house.table, house.clock()), followUp(house.table, house.clock())])
    expect(silence()).toHaveLength(3)
  })

  test('a digest asks for no answer', () => {
    expect(noticesIn(house).every(({ kind, answer }) => kind === 'hold' || answer === undefined)).toBe(true)
    expect(confirmationPath({ ...hold(ana), answerKey: undefined } as unknown as Notice)).toBeNull()
    expect(hold(ana).organisation).toBe(demo)
  })
})
