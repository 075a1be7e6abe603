/** People who are entered hear what they may do: in the transaction of their edition, or on their first day. */
import { beforeEach, describe, expect, test, vi } from 'vitest'
import { asNotice, type Notice } from '../../functions/store/notices.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { languages, roles } from '../../shared-domain/words.ts'
import { messageOf } from '../support/mails.ts'
import { aDepot, anOrganisation } from '../support/trade.ts'
import { demo, type House, openHouse, type Who } from './house.ts'

const nora: Person = { name: 'Nora Quist', email: 'nora@demo.example', role: 'manager', depots: ['DEP-1'] }

let house: House
beforeEach(async () => {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  house = openHouse([], '2026-03-02T15:00:00.000Z')
  await house.done('PUT', '/v1/depots/DEP-1', aDepot)
  const owner = { name: 'Olu Adeyemi', email: 'olu@demo.example', role: 'owner', depots: [] }
  await house.done('PUT', '/v1/people/owner', owner)
})

const put = (over: Partial<Person> = {}, who: Who = 'owner') =>
  house.call('PUT', '/v1/people/nora', { ...nora, ...over }, who)
const invitations = (): Notice[] =>
  house.table
    .items()
    .filter(({ kind }) => kind === 'invitation')
    .map(asNotice)
const toNora = () => invitations().filter(({ to }) => to.name === 'Nora Quist')
const whys = () => toNora().map(({ invitation, to }) => `${invitation?.why} ${to.email}`)
async function morning(date: string): Promise<void> {
  house.at(`${date}T15:00:00.000Z`)
  await sweep(house.table, house.clock)
}

describe('somebody who is entered', () => {
  test('is owed one mail with the edition, by whoever made it, and none for the same again', async () => {
    await put()
    expect(whys()).toEqual(['entered nora@demo.example'])
    expect(toNora()[0]?.invitation).toMatchObject({ by: 'Olu Adeyemi', organisation: demo, depots: ['North yard'] })
    await put()
    await put({ units: 'US customary' })
    await morning('2026-03-03')
    expect(whys()).toHaveLength(1)
  })

  test('hears of a new address and of more, each once, and of less nothing', async () => {
    await put()
    await put({ email: 'nora.quist@demo.example' })
    await put({ email: 'nora.quist@demo.example', depots: ['*'] })
    await put({ email: 'nora.quist@demo.example', depots: [] })
    expect(whys().sort()).toEqual([
      'entered nora@demo.example',
      'more nora.quist@demo.example',
      'new address nora.quist@demo.example',
    ])
  })

  test('is owed nothing where their last day is past, and nothing is owed by an edit that is refused', async () => {
    await put({ until: '2026-03-01' as Person['until'] })
    expect(toNora()).toEqual([])
    expect((await put({ role: 'owner' }, 'stranger')).status).toBe(403)
    expect(toNora()).toEqual([])
  })

  test('by two at one moment is told once of each edition', async () => {
    const both = await Promise.all([put(), put({ depots: ['*'] })])
    expect(both.map(({ status }) => status).sort()).toEqual([200, 201])
    const [first, ...others] = whys()
    expect(first).toBe('entered nora@demo.example')
    expect(others.every((one) => one === 'more nora@demo.example')).toBe(true)
  })

  test('is told nothing where the edition was not written, and all of it where it was', async () => {
    for (const crashBefore of [1, 2, 3]) {
      house.table.trouble({ crashBefore })
      await put({ depots: crashBefore % 2 === 1 ? ['*'] : [] }).catch(() => undefined)
      house.table.trouble({})
      const editions = house.table.items().filter(({ entity, id }) => entity === 'edition' && id === 'nora')
      if (editions.length === 0) expect(toNora()).toEqual([])
      else expect(whys()).toContain('entered nora@demo.example')
    }
  })
})

describe('an entry that begins later', () => {
  const later = { effectiveFrom: '2026-03-10' as Person['effectiveFrom'] }

  test('is told on its first day, once, and not before', async () => {
    await put(later)
    expect(toNora()).toEqual([])
    await morning('2026-03-09')
    expect(toNora()).toEqual([])
    for (const date of ['2026-03-10', '2026-03-10', '2026-03-11', '2026-04-20']) await morning(date)
    expect(toNora().map(({ day, invitation }) => [day, invitation?.by])).toEqual([['2026-03-10', 'Olu Adeyemi']])
  })

  test('is told late where mornings were missed, and never to whoever began long ago', async () => {
    await put(later)
    await morning('2026-03-20')
    expect(toNora().map(({ day }) => day)).toEqual(['2026-03-20'])
    await house.done('PUT', '/v1/people/ned', { ...nora, name: 'Ned Orr', ...later, effectiveFrom: '2026-03-25' })
    await morning('2026-05-01')
    expect(invitations().filter(({ to }) => to.name === 'Ned Orr')).toEqual([])
  })

  test('is not told again where the same person came in earlier after all', async () => {
    await put(later)
    await put()
    expect(whys()).toEqual(['entered nora@demo.example'])
    await morning('2026-03-10')
    expect(whys()).toHaveLength(1)
  })

  test('says what binds by then, where it is put otherwise on its first day', async () => {
    await put({ ...later, depots: ['*'] })
    house.at('2026-03-10T00:10:00.000Z')
    await put({ depots: ['DEP-1'], effectiveFrom: '2026-03-10' as Person['effectiveFrom'] })
    await morning('2026-03-10')
    expect(toNora().map(({ invitation }) => invitation?.depots)).toEqual([['North yard']])
  })
})

test('the sweep of an organisation without rules tells of beginnings too', async () => {
  await put({ effectiveFrom: '2026-03-10' as Person['effectiveFrom'] })
  await morning('2026-03-10')
  expect((await house.organisation().rulesOn('2026-03-10' as never)).entered).toBe(false)
  expect(toNora()).toHaveLength(1)
})

describe('its mail', () => {
  const mailTo = async (over: Partial<Person>) => {
    await house.done('PUT', `/v1/organisations/${demo}`, anOrganisation)
    await put(over)
    const [notice] = toNora()
    if (notice === undefined) throw new Error('nobody was invited')
    return messageOf(notice, 'https://pages.example')
  }

  test('says where to sign in, what to do there, whom to ask, and the safety words', async () => {
    const { subject, text, html } = await mailTo({})
    expect(subject).toContain(anOrganisation.name)
    for (const said of [
      'Entered by Olu Adeyemi.',
      'As a manager you may:',
      '- report danger on any stick',
      'This is for the sticks of these depots: North yard.',
      'Sign in: https://pages.example/roster',
      'your first password comes in a mail of its own',
      'use that one',
      'tell Olu Adeyemi, olu@demo.example, and do not sign in',
      'supports and never replaces your employer’s procedures',
    ])
      expect(text).toContain(said)
    expect(text).not.toContain('enter owners')
    expect(text).not.toContain('test procedures')
    expect(html).toContain('href="https://pages.example/roster"')
  })

  test('names the last day, where there is one', async () => {
    expect((await mailTo({ until: '2026-06-30' as Person['until'] })).text).toContain(
      'The last day of it is 30 June 2026.',
    )
  })

  test.each(roles.flatMap((role) => languages.map((language) => [role, language] as const)))(
    'is told to the role %s in %s, with nothing of another language',
    async (role, language) => {
      const { subject, text } = await mailTo({ role, language, ...(role === 'crew' ? { depots: [] } : {}) })
      const plain = `${subject}\n${text}`.replace(/https?:\S+/g, '')
      if (language === 'es') expect(plain).not.toMatch(/\b(the|you|stick|sticks|sign|may|enter|ask|depots?)\b/i)
      else expect(plain).not.toMatch(/\b(usted|pértigas?|puede|registro)\b/i)
    },
  )

  test('that is not delivered is told to the managers as such, and passed on to nobody', async () => {
    const { owedForUndelivered } = await import('../../shared-domain/notices/undelivered.ts')
    const { aboutNobodyKnows } = await import('../../functions/follow-up/about-stick.ts')
    await house.done('PUT', '/v1/people/max', { ...nora, name: 'Max Holm', email: 'max@demo.example' })
    await put()
    const [notice] = toNora()
    if (notice === undefined) throw new Error('nobody was invited')
    const about = await aboutNobodyKnows({ organisation: house.organisation(), now: house.clock() })
    const circumstances = { day: about.day, isKnown: false, otherManagersKnow: false }
    const owed = owedForUndelivered({ notice, why: 'bounced' }, [{ ...about, nobodyKnowsWhich: true }], circumstances)
    expect(owed.map(({ kind, to }) => [kind, to.name])).toEqual([['not delivered', 'Max Holm']])
    const kept = { ...notice, ...owed[0], number: 'AB12-CD34-EF56' } as Notice
    const { subject, text } = messageOf(kept, 'https://pages.example')
    expect(subject).toBe('Nora Quist has not heard what they may do here [AB12-CD34-EF56]')
    expect(text).toContain('Put their address on the register of people right')
    expect(text).not.toContain('As a manager you may')
  })
})
