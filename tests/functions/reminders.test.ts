/** A reminder that a manager asks for: who is written to, once; the ladder of due dates stays as it is. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { asItStands } from '../../functions/deliver-notices/as-it-stands.ts'
import { writeStillOwed } from '../../functions/follow-up/still-owed.ts'
import { noticesPage } from '../../functions/pages/notices-page.ts'
import { asNotice, type Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { confirmationPath } from '../../functions/web/confirmation-link.ts'
import { addSeconds } from '../../shared-domain/calendar.ts'
import { messageOf } from '../support/mails.ts'
import { bodyOf, inEnglish, logChoice } from '../support/pages.ts'
import { aCrew, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

const [ana, bo] = ['ana@crew-one.example', 'bo@crew-one.example']
const now = '2026-03-04T15:00:00.000Z'

let furnished: readonly Item[]
let house: House
/** S-1 is overdue, S-2 due soon, S-3 in service, S-4 on hold with its crew, S-5 overdue at another depot. */
beforeAll(async () => {
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  const first = openHouse([], '2026-03-02T15:00:00.000Z')
  await furnish(first)
  for (const id of ['S-2', 'S-3', 'S-4']) await first.done('PUT', `/v1/sticks/${id}`, aStick)
  await first.done('PUT', '/v1/sticks/S-5', { ...aStick, crewId: 'CR-2' })
  const tested = (on: string) => aTest({ testedOn: day(on) })
  const dates = { 'S-1': '2024-02-20', 'S-2': '2024-03-20', 'S-3': '2025-06-01', 'S-5': '2024-02-20' }
  for (const [id, on] of Object.entries(dates)) await first.done('POST', `/v1/sticks/${id}/bench-tests`, tested(on))
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await first.done('POST', '/v1/sticks/S-4/defects', tingle, 'crew')
  await sweep(first.table, first.clock)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, now)
})

const remind = (stickIds: readonly string[], over: object = {}, who: Who = 'manager') =>
  house.call('POST', '/v1/reminders', { factId: randomUUID(), stickIds, ...over }, who)
const reminders = (): Notice[] =>
  house.table
    .items()
    .filter(({ kind }) => kind === 'reminder')
    .map(asNotice)
const toldOf = () => reminders().map(({ to, lines }) => [to.email, lines.map(({ stickId }) => stickId).join(' ')])
const sticksAsKept = (items: readonly Item[]) => items.filter(({ entity }) => entity === 'stick')

describe('asked for', () => {
  test('each reader gets one mail for all, and the answer says who is written to and what was left out', async () => {
    const { status, json } = await remind(['S-2', 'S-1', 'S-3', 'S-1'], { note: 'By Friday, please.' })
    expect(status).toBe(201)
    expect(json.notices.map((one: { to: { email: string } }) => one.to.email)).toEqual([ana, bo])
    expect(json.stickIds).toEqual(['S-2', 'S-1'])
    expect(json.leftOut).toMatchObject([
      {
        stickId: 'S-3',
        reason: {
          code: 'nothing-to-remind-of',
          text: 'Stick S-3 is in service: there is nothing to remind anybody of.',
        },
      },
    ])
    expect(toldOf().sort()).toEqual([
      [ana, 'S-1 S-2'],
      [bo, 'S-1 S-2'],
    ])
  })

  test('the ladder stays as it is: nothing of the sticks is written, and the next digests are the same', async () => {
    const without = openHouse(furnished, now)
    await remind(['S-1', 'S-2', 'S-4'])
    expect(sticksAsKept(house.table.items())).toEqual(sticksAsKept(furnished))
    const digests = ({ table }: House) => table.items().filter(({ kind }) => kind === 'digest')
    for (let date = 5; date < 25; date++)
      for (const one of [house, without]) {
        one.at(`2026-03-${String(date).padStart(2, '0')}T15:00:00.000Z`)
        await sweep(one.table, one.clock)
      }
    const keys = (one: House) => digests(one).map(({ key }) => key)
    expect(keys(house)).toEqual(keys(without))
    expect(keys(house).length).toBeGreaterThan(2)
  })

  test('sent again it answers the same and tells nobody anew; for something else its id is taken', async () => {
    const body = { factId: randomUUID(), stickIds: ['S-1', 'S-3'] }
    const first = await house.call('POST', '/v1/reminders', body, 'manager')
    const written = house.table.items().length
    house.at('2026-03-06T15:00:00.000Z')
    const again = await house.call('POST', '/v1/reminders', body, 'manager-2')
    expect([again.status, again.json]).toEqual([200, first.json])
    expect(house.table.items()).toHaveLength(written)
    const other = await house.call('POST', '/v1/reminders', { ...body, stickIds: ['S-2'] }, 'manager')
    expect([other.status, other.json.reasons[0].code]).toEqual([409, 'fact-id-used'])
    const report = { factId: body.factId, occurredOn: '2026-03-04', kind: 'tingle' }
    expect((await house.call('POST', '/v1/sticks/S-1/defects', report)).status).toBe(409)
  })

  test('within the hour nobody asks again, and hears who did; after it they may', async () => {
    await remind(['S-1'])
    house.at('2026-03-04T15:59:59.000Z')
    const { json } = await remind(['S-1', 'S-2'], {}, 'manager-2')
    expect(json.stickIds).toEqual(['S-2'])
    expect(json.leftOut[0].reason).toMatchObject({
      code: 'reminded-already',
      text: 'Stick S-1: Mia Okafor had its readers reminded less than an hour ago, at 09:00.',
    })
    house.at('2026-03-04T16:00:00.000Z')
    expect((await remind(['S-1'], {}, 'manager-2')).json.stickIds).toEqual(['S-1'])
  })

  test('of ten who ask at one moment one is heard, and each stick is told of once', async () => {
    const all = await Promise.all(Array.from({ length: 10 }, () => remind(['S-1', 'S-2'])))
    expect(all.map(({ status }) => status).sort()).toEqual([201, ...Array(9).fill(409)])
    expect(toldOf()).toHaveLength(2)
  })
})

describe('refused', () => {
  test('where nobody is to be written to, with every reason, and nothing is kept of it', async () => {
    const { status, json } = await remind(['S-3'])
    expect([status, json.reasons.map(({ code }: { code: string }) => code)]).toEqual([409, ['nothing-to-remind-of']])
    expect(house.table.written()).toBe(0)
  })

  test('of numbers that no stick has, each in its place', async () => {
    const { status, json } = await remind(['NOT-THERE', 'S-1', 'NOR-THIS'])
    expect([status, json.errors.map(({ pointer }: { pointer: string }) => pointer)]).toEqual([
      422,
      ['/stickIds/0', '/stickIds/2'],
    ])
    expect(house.table.written()).toBe(0)
  })

  test('of another depot’s stick, and to another organisation there is no such stick', async () => {
    expect((await remind(['S-5'], {}, 'south manager')).status).toBe(201)
    expect((await remind(['S-1'], {}, 'south manager')).status).toBe(403)
    expect((await remind(['S-1'], {}, 'other manager')).json.errors[0].pointer).toBe('/stickIds/0')
  })

  test.each([
    ['no sticks', { stickIds: [] }],
    ['more than a hundred', { stickIds: Array.from({ length: 101 }, (_, i) => `S-${i}`) }],
    ['too long a note', { stickIds: ['S-1'], note: 'x'.repeat(1001) }],
  ])('with %s', async (_, over) => {
    expect((await remind([], over)).status).toBe(422)
  })
})

describe('a stick on hold that its crew has out', () => {
  test('is confirmed by the reminder’s link, and only it: the page names no other stick', async () => {
    await remind(['S-1', 'S-4'])
    const [notice] = reminders()
    if (notice === undefined) throw new Error('nobody was reminded')
    const answers = buildAnswers({ table: house.table, clock: house.clock })
    const path = confirmationPath(notice) ?? ''
    const page = await (await answers.request(path)).text()
    expect(page).toContain('S-4')
    expect(page).not.toMatch(/\bS-1\b/)
    await answers.request(path, { method: 'POST' })
    house.table.settled()
    expect((await house.call('GET', '/v1/sticks/S-4', undefined, 'manager')).json.status).toBe('on hold')
    const kept = house.table.items().find(({ pk, sk }) => pk.endsWith('#STICK#S-4') && sk === 'STATE')
    expect(kept?.held).toMatchObject({ confirmed: true })
  })

  test('is left out of a mail that has not left once it may be used again, as are sticks just tested', async () => {
    await remind(['S-1', 'S-2', 'S-4'])
    const [notice] = reminders()
    if (notice === undefined) throw new Error('nobody was reminded')
    for (const id of ['S-1', 'S-4'])
      await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day('2026-03-04'), at: '08:30' }))
    const left = await asItStands(house.organisation(), notice, house.clock())
    expect(left?.lines.map(({ stickId }) => stickId)).toEqual(['S-2'])
  })
})

describe('in the log', () => {
  test('of each of its sticks, of its crew and of its readers: a reminder, who asked and when', async () => {
    await remind(['S-1', 'S-2'], { note: 'By Friday, please.' })
    house.table.settled()
    for (const query of ['stick=S-1', 'stick=S-2', 'crew=CR-1', `to=${ana}`]) {
      const { items } = (await house.done('GET', `/v1/notices?${query}`, undefined, 'manager')).json
      const found = items.filter(({ kind }: { kind: string }) => kind === 'reminder')
      expect(found, query).toHaveLength(query.startsWith('to') ? 1 : 2)
      expect(found[0].reminder).toEqual({
        by: 'Mia Okafor',
        on: '2026-03-04',
        at: '09:00',
        note: 'By Friday, please.',
      })
    }
    const page = await bodyOf(noticesPage(house.asker(), logChoice({ stick: 'S-2' }), inEnglish))
    expect(page).toContain('Reminder')
    expect(page).toContain('asked for by Mia Okafor, 4 March 2026, 09:00')
  })
})

test('the foreman tells those of the crew who have no mail, and marks that', async () => {
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  const { json } = await remind(['S-1', 'S-4'])
  const errand = json.notices.find(({ tellInPerson }: { tellInPerson: unknown[] }) => tellInPerson.length > 0)
  expect([errand.to.email, errand.tellInPerson]).toEqual([bo, [{ name: 'Kai Brandt', phone: '+1 555 0100' }]])
  const told = await house.call('POST', `/v1/notices/${errand.number}/told`, { name: 'Kai Brandt' }, 'crew')
  expect(told.status).toBe(201)
})

describe('a hundred sticks of a crew of forty', () => {
  const hands = Array.from({ length: 40 }, (_, i) => ({
    name: `Hand ${i}`,
    email: `hand-${i}@crew-one.example`,
    role: 'crew',
  }))
  const ids = Array.from({ length: 100 }, (_, i) => `L-${i}`)
  const addresses = hands.map(({ email }) => email).sort()

  test.each([{}, ...[1, 2, 3, 4].flatMap((one) => [{ crashBefore: one }, { crashAfter: one }]), { lose: [1, 2, 3] }])(
    'tell every reader of every stick, once, wherever the writing breaks off: %j',
    async (trouble) => {
      vi.spyOn(console, 'error').mockImplementation(() => undefined)
      await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: hands })
      for (const id of ids) await house.done('PUT', `/v1/sticks/${id}`, aStick)
      const body = { factId: randomUUID(), stickIds: ids }
      house.table.trouble(trouble)
      await house.call('POST', '/v1/reminders', body, 'manager').catch(() => undefined)
      house.table.trouble({})
      const again = await house.call('POST', '/v1/reminders', body, 'manager')
      expect([200, 201]).toContain(again.status)
      house.table.settled()
      await writeStillOwed(house.table, addSeconds(house.clock(), 120))
      expect(
        toldOf()
          .map(([to]) => to)
          .sort(),
      ).toEqual(addresses)
      for (const { lines } of reminders()) expect(lines.length).toBe(100)
    },
  )
})

describe('its mail', () => {
  const mailFor = async (over: object = {}, stickIds = ['S-1', 'S-2', 'S-4']) => {
    const recipients = aCrew.recipients.map((one) => ({ ...one, ...over }))
    await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients })
    await remind(stickIds, { note: 'Bring them on Friday.' })
    const [notice] = reminders()
    if (notice === undefined) throw new Error('nobody was reminded')
    return messageOf(notice, 'https://pages.example')
  }

  test('says first who asks for what, then who and when, then each stick', async () => {
    const { subject, text, html } = await mailFor()
    expect(subject).toMatch(
      /^Mia Okafor reminds you: 1 stick overdue: do not use; 1 due for the bench; on hold or out of service: 1 \[/,
    )
    expect(text.split('\n\n').slice(1, 5)).toEqual([
      'Overdue: do not use it, and bring it to the bench now. Due soon: bring it to the bench by the date beside it. ' +
        'It may be used through that day and not after it.',
      'A stick on hold, awaiting its first test or removed from service must not be used, whatever its date: stop ' +
        'using it now, tag it, and bring it to the bench.',
      'Mia Okafor asked for this reminder on 4 March 2026, 09:00.',
      'In the words of Mia Okafor: Bring them on Friday.',
    ])
    for (const id of ['S-1', 'S-2', 'S-4'])
      for (const part of [text, html]) expect(part).toContain(`https://pages.example/sticks/${id}`)
    expect(text).toContain('supports and never replaces your employer’s procedures')
  })

  test('of held sticks alone says that none may be used', async () => {
    const { subject, text } = await mailFor({}, ['S-4'])
    expect(subject).toMatch(/^Mia Okafor reminds you: 1 stick must not be used \[/)
    expect(text).not.toContain('due soon')
  })

  test('in Spanish has not a word of English', async () => {
    const { subject, text } = await mailFor({ language: 'es' })
    expect(subject).toMatch(/^Mia Okafor le recuerda: 1 pértiga vencida/)
    const plain = text.replace(/https?:\S+|“[^”]*”|Bring them on Friday\.|29 CFR[^\n]*/g, '')
    expect(plain).not.toMatch(/\b(the|stick|sticks|due|asked|reminder|hold|bench|on)\b/i)
  })

  test('tells lengths in the reader’s units', async () => {
    const failing = aTest({ testedOn: day('2026-03-04'), at: '08:30' })
    const reading = failing.dry?.readings[0]
    if (reading === undefined) throw new Error('a test has readings')
    const readings = failing.dry?.readings.map((one, i) => (i === 0 ? { ...one, leakageMicroamps: 90 } : one))
    await house.done('POST', '/v1/sticks/S-2/bench-tests', { ...failing, dry: { readings } })
    const { text } = await mailFor({ units: 'US customary' }, ['S-2'])
    expect(text).toMatch(/\bft\b|\bin\b|feet|inch/)
  })
})
