/** What would loosen waits for a second person; nobody loosens alone, and nobody approves what they asked for. */
import { beforeEach, describe, expect, test } from 'vitest'
import { asNotice } from '../../functions/store/notices.ts'
import { messageOf } from '../support/mails.ts'
import { pagesOf } from '../support/pages.ts'
import {
  aDemonstration,
  aDepot,
  aManager,
  anInstrument,
  anOrganisation,
  aProcedure,
  aStick,
  aTest,
} from '../support/trade.ts'
import { furnish, type House, openHouse, owedOf, type Who } from './house.ts'

let house: House
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
})

const law = { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' }
const withoutLaw = { packs: ['us-mo-200'] }

async function proposed(path: string, body: unknown, who: Parameters<House['call']>[3] = 'manager'): Promise<string> {
  const { status, json } = await house.call('PUT', path, body, who)
  expect([status, json.proposal?.state]).toEqual([202, 'open'])
  return json.proposal.id
}

const dropLaw = () => proposed('/v1/policies/employer', withoutLaw)
const policyNow = async () => (await house.call('GET', '/v1/policies')).json.items[0]

describe('an edit that would loosen', () => {
  test('changes nothing until another manager approves it, and then binds from that day', async () => {
    const id = await dropLaw()
    expect((await policyNow()).packs).toEqual(law.packs)
    const approved = await house.call('POST', `/v1/proposals/${id}/approve`, {}, 'manager-2')
    expect([approved.status, approved.json.proposal.state]).toEqual([200, 'approved'])
    expect(await policyNow()).toMatchObject({ ...withoutLaw, recordedBy: 'manager', effectiveFrom: '2026-03-02' })
  })

  test('is declined with a reason and stays on record', async () => {
    const id = await dropLaw()
    const declined = await house.call(
      'POST',
      `/v1/proposals/${id}/decline`,
      { reason: 'the law binds us' },
      'manager-2',
    )
    expect(declined.json.proposal).toMatchObject({ state: 'declined', decided: { reason: 'the law binds us' } })
    expect((await policyNow()).packs).toEqual(law.packs)
    const again = await house.call('POST', `/v1/proposals/${id}/approve`, {}, 'owner')
    expect([again.status, again.json.reasons[0].code]).toEqual([409, 'proposal-declined'])
    const { items } = (await house.call('GET', '/v1/proposals?state=declined')).json
    expect(items.map((one: { id: string }) => one.id)).toEqual([id])
  })

  test.each([
    ['its proposer', 'manager'],
    ['the bench', 'bench'],
    ['a crew', 'crew'],
  ] as const)('is not approved by %s', async (_, who) => {
    const id = await dropLaw()
    expect((await house.call('POST', `/v1/proposals/${id}/approve`, {}, who)).status).toBe(403)
    expect((await house.call('POST', `/v1/proposals/${id}/decline`, { reason: 'no' }, who)).status).toBe(403)
    expect((await policyNow()).packs).toEqual(law.packs)
  })

  test('falls when the entry changed meanwhile', async () => {
    const id = await dropLaw()
    await house.done('PUT', '/v1/policies/employer', { ...law, effectiveFrom: '2026-03-02', woodForbidden: true })
    expect((await house.call('GET', '/v1/proposals?state=fallen')).json.items).toHaveLength(1)
    const late = await house.call('POST', `/v1/proposals/${id}/approve`, {}, 'manager-2')
    expect([late.status, late.json.reasons[0].code]).toEqual([409, 'proposal-fallen'])
    expect((await policyNow()).woodForbidden).toBe(true)
  })

  test('two who approve it in one moment apply it once', async () => {
    const id = await dropLaw()
    const both = await Promise.all(
      (['manager-2', 'owner'] as const).map((who) => house.call('POST', `/v1/proposals/${id}/approve`, {}, who)),
    )
    expect(both.map(({ status }) => status)).toEqual([200, 200])
    const editions = house.table.items().filter((item) => item.entity === 'edition' && item.kind === 'policy')
    expect(editions.filter(({ approvedBy }) => approvedBy !== undefined)).toHaveLength(1)
  })

  test('is told to who may approve it, and its outcome to who asked; a rule left behind to all in charge', async () => {
    const before = owedOf(house)
    const id = await dropLaw()
    const told = () => owedOf(house).filter((one) => !before.includes(one))
    expect(told()).toContain('proposal manager-2@demo-utility.example')
    expect(told()).not.toContain('proposal manager@demo-utility.example')
    await house.done('POST', `/v1/proposals/${id}/approve`, {}, 'manager-2')
    expect(told().filter((one) => one === 'proposal manager@demo-utility.example')).toHaveLength(1)
    expect(told().filter((one) => one === 'proposal manager-2@demo-utility.example')).toHaveLength(2)
  })
})

const protection = async () => {
  const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
  return items.filter((one: { kind: string }) => one.kind === 'registered').at(-1)?.stick.primaryProtection
}

describe('of a stick', () => {
  test('its protection taken off waits, and stands as the proposer’s once approved', async () => {
    const id = await proposed('/v1/sticks/S-1', { ...aStick, primaryProtection: false })
    expect(await protection()).toBe(true)
    await house.done('POST', `/v1/proposals/${id}/approve`, {}, 'manager-2')
    expect(await protection()).toBe(false)
    const [newest] = (await house.call('GET', '/v1/sticks/S-1/facts')).json.items.slice(-1)
    expect(newest).toMatchObject({ kind: 'registered', recordedBy: 'manager', factId: id })
  })
})

test('two who approve a stick’s entry in one moment hear the same, and it stands once', async () => {
  const id = await proposed('/v1/sticks/S-1', { ...aStick, primaryProtection: false })
  const both = await Promise.all(
    (['manager-2', 'owner'] as const).map((who) => house.call('POST', `/v1/proposals/${id}/approve`, {}, who)),
  )
  expect(both.map(({ status }) => status)).toEqual([200, 200])
  const { items } = (await house.call('GET', '/v1/sticks/S-1/facts')).json
  expect(items.filter((one: { kind: string }) => one.kind === 'registered')).toHaveLength(2)
})

test('an edit of one moment with another is weighed beside that one', async () => {
  // each by itself loosens nothing beside an entry that is not relied on; the second undoes the first
  await house.done('PUT', '/v1/sticks/S-5', { ...aStick, primaryProtection: false })
  const put = (primaryProtection: boolean, lot: string) =>
    house.call('PUT', '/v1/sticks/S-5', { ...aStick, primaryProtection, lot }, 'owner')
  const [relied, notRelied] = await Promise.all([put(true, 'L-8'), put(false, 'L-9')])
  const { items } = (await house.call('GET', '/v1/sticks/S-5/facts')).json
  const kept = items
    .filter((one: { kind: string }) => one.kind === 'registered')
    .map((one: { stick: { primaryProtection: boolean } }) => one.stick.primaryProtection)
  expect(relied.status).toBe(200)
  // whoever came second: nobody took the protection off alone
  expect(kept.at(-1)).toBe(true)
  expect([200, 202]).toContain(notRelied.status)
})

test('who has left is told of no proposal and counts as nobody who could approve', async () => {
  const alone = openHouse()
  await alone.done('PUT', '/v1/policies/employer', law)
  const gone = {
    name: 'Gone Grey',
    email: 'gone@demo-utility.example',
    role: 'manager',
    depots: ['*'],
    until: '2026-03-01',
  }
  await alone.done('PUT', '/v1/people/gone', gone)
  const { json } = await alone.call('PUT', '/v1/policies/employer', withoutLaw)
  expect(json.next).toMatch(/enter a second manager or owner/)
  expect(owedOf(alone)).toEqual([])
})

describe('the rule packs of where an organisation works are pinned when it is made', () => {
  const made = async () => {
    const fresh = openHouse()
    await fresh.done('PUT', '/v1/organisations/demo-utility', anOrganisation)
    for (const id of ['manager', 'manager-2'])
      await fresh.done('PUT', `/v1/people/${id}`, { ...aManager, email: `${id}@demo-utility.example`, depots: ['*'] })
    return fresh
  }

  test('a first policy without them waits for a second person', async () => {
    const fresh = await made()
    const { status, json } = await fresh.call('PUT', '/v1/policies/employer', withoutLaw, 'manager')
    expect([status, json.proposal.effect.loosens[0].code]).toEqual([202, 'pack-dropped'])
    expect((await fresh.call('GET', '/v1/policies')).json.items).toEqual([])
    expect((await fresh.call('PUT', '/v1/policies/employer', law, 'manager')).status).toBe(201)
  })

  test('leaving one takes two, and all in charge are told; a further one does not', async () => {
    const fresh = await made()
    const put = (packs: string[]) =>
      fresh.call('PUT', '/v1/organisations/demo-utility', { ...anOrganisation, packs }, 'manager')
    expect((await put([...anOrganisation.packs, 'us-mo-200'])).status).toBe(200)
    const { status, json } = await put(['us-mo-200'])
    expect([status, json.proposal.effect.loosens[0].code]).toEqual([202, 'pack-left'])
    await fresh.done('POST', `/v1/proposals/${json.proposal.id}/approve`, {}, 'manager-2')
    expect(owedOf(fresh).filter((one) => one === 'proposal manager-2@demo-utility.example')).toHaveLength(2)
    expect((await fresh.call('PUT', '/v1/policies/employer', withoutLaw, 'manager')).status).toBe(201)
  })
})

describe('what its author takes back on the same day needs nobody else', () => {
  test('a limit typed too low', async () => {
    const slip = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: one.microamps / 10 })) }
    await house.done('PUT', '/v1/procedures/PRC-1', slip, 'manager')
    expect((await house.call('PUT', '/v1/procedures/PRC-1', aProcedure, 'manager-2')).status).toBe(202)
    expect((await house.call('PUT', '/v1/procedures/PRC-1', aProcedure, 'manager')).status).toBe(200)
  })

  test('a calibration whose year was mistyped: it counts no more', async () => {
    const old = { ...anInstrument, calibratedOn: '2024-01-01', calibrationDueOn: '2025-01-01' }
    const fresh = { ...anInstrument, calibratedOn: '2026-01-01', calibrationDueOn: '2028-01-01' }
    const put = (body: object) => house.call('PUT', '/v1/instruments/INS-3', body, 'bench')
    await put(old)
    expect((await put(fresh)).status).toBe(200)
    expect((await put(old)).status).toBe(200)
    const test = aTest({ at: '09:00', instrumentId: 'INS-3' })
    const { json } = await house.call('POST', '/v1/sticks/S-1/bench-tests', test, 'bench')
    expect(json.reasons.map((one: { code: string }) => one.code)).toEqual(['instrument-out-of-calibration'])
  })

  test('but not the day after', async () => {
    const slip = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: one.microamps / 10 })) }
    await house.done('PUT', '/v1/procedures/PRC-1', slip, 'manager')
    house.at('2026-03-03T15:00:00.000Z')
    expect((await house.call('PUT', '/v1/procedures/PRC-1', aProcedure, 'manager')).status).toBe(202)
  })
})

describe('does not loosen', () => {
  test.each([
    ['a rule added', '/v1/policies/employer', { ...law, woodForbidden: true }, 'manager'],
    [
      'a calibration of another day',
      '/v1/instruments/INS-1',
      { ...anInstrument, calibratedOn: '2023-01-01', calibrationDueOn: '2023-12-31' },
      'bench',
    ],
  ] as const)('%s', async (_, path, body, who) => {
    expect((await house.call('PUT', path, body, who)).status).toBe(200)
  })

  test.each([
    ['found to have read wrong', { foundOutOfTolerance: true }, 202],
    ['found in order', { foundOutOfTolerance: false }, 200],
  ])('a new calibration, %s: %j', async (_, found, status) => {
    const { calibrationDueOn: calibratedOn } = anInstrument
    const anew = { ...anInstrument, calibratedOn: '2026-02-20', calibrationDueOn: '2027-02-20', ...found }
    expect(calibratedOn).not.toBe(anew.calibratedOn)
    expect((await house.call('PUT', '/v1/instruments/INS-1', anew, 'bench')).status).toBe(status)
  })

  test('a recorded calibration lengthened does', async () => {
    await proposed('/v1/instruments/INS-1', { ...anInstrument, calibrationDueOn: '2026-12-31' }, 'bench')
  })
})

test('where nobody else could approve, the answer says how to enter somebody', async () => {
  const alone = openHouse()
  await alone.done('PUT', '/v1/policies/employer', law)
  const { status, json } = await alone.call('PUT', '/v1/policies/employer', withoutLaw)
  expect([status, json.next]).toEqual([
    202,
    expect.stringMatching(/enter a second manager or owner with PUT \/v1\/people/),
  ])
})

test('how many sticks a policy would make fit, or due later, is counted with the proposal', async () => {
  const { json } = await house.call('PUT', '/v1/policies/employer', withoutLaw, 'manager')
  expect(json.proposal.effect.fleet).toMatchObject({ sticks: 1, isWhole: true })
  expect(json.proposal.effect.loosens[0]).toMatchObject({ code: 'pack-dropped' })
})

describe('what hangs on an edit is counted with it, told by mail and shown', () => {
  const proposedEffect = async (path: string, body: object, who: Who = 'manager') => {
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest(), 'bench')
    const { status, json } = await house.call('PUT', path, body, who)
    expect(status).toBe(202)
    const notice = house.table.items().findLast((one) => one.entity === 'notice' && one.kind === 'proposal')
    const told = (reader: object) => {
      const to = { ...(notice?.to as object), ...reader }
      return messageOf(asNotice({ ...notice, to }), 'https://pages.example').text
    }
    const pages = pagesOf(house)
    const page = await (await pages.request('/proposals')).text()
    return { fleet: json.proposal.effect.fleet, english: told({}), spanish: told({ language: 'es' }), page }
  }
  const higher = { ...aProcedure, limits: aProcedure.limits.map((one) => ({ ...one, microamps: 30 })) }

  test.each<[string, string, object, object, RegExp, RegExp]>([
    [
      'a procedure',
      '/v1/procedures/PRC-1',
      higher,
      { of: 'tests', sticks: 1, milder: 0, isWhole: true },
      /sticks last tested by it: 1; judged more mildly by this: 0/,
      /pértigas probadas por última vez con ello: 1; con resultado menos estricto: 0/,
    ],
    [
      'an instrument',
      '/v1/instruments/INS-1',
      { ...anInstrument, calibrationDueOn: '2026-12-31' },
      { of: 'tests', sticks: 1, milder: 0, isWhole: true },
      /sticks last tested by it: 1/,
      /probadas por última vez con ello: 1/,
    ],
    [
      'a stick',
      '/v1/sticks/S-1',
      { ...aStick, primaryProtection: false },
      { of: 'stick', inForce: { status: 'in service', dueOn: '2028-03-02' }, proposed: { status: 'in service' } },
      /the stick was in service; by this it would be in service/,
      /la pértiga estaba en servicio; con esto estaría en servicio/,
    ],
    [
      'a depot',
      '/v1/depots/DEP-1',
      { ...aDepot, timeZone: 'Pacific/Honolulu' },
      { of: 'sticks', sticks: 1, isWhole: true },
      /sticks that it bears on: 1/,
      /pértigas a las que afecta: 1/,
    ],
    [
      'the policy',
      '/v1/policies/employer',
      withoutLaw,
      { of: 'rules', sticks: 1, newlyFit: 0, isWhole: true },
      /sticks: 1; fit that must not be used now: 0; due later: 0; not to be used any more: 1/,
      /pértigas: 1; aptas que ahora no deben usarse: 0/,
    ],
  ])('of %s', async (_, path, body, effect, english, spanish) => {
    const said = await proposedEffect(path, body)
    expect(said.fleet).toMatchObject(effect)
    expect(said.english).toMatch(english)
    expect(said.spanish).toMatch(spanish)
    expect(said.page).toMatch(english)
  })

  test('of a demonstration nothing', async () => {
    const said = await proposedEffect('/v1/demonstrations/DEM-1', aDemonstration)
    expect(said.fleet).toBeNull()
    expect(said.english).not.toMatch(/Counted|was asked for the stick/)
  })
})

describe('as it is read', () => {
  const mailTo = (email: string) => {
    const item = house.table
      .items()
      .find(
        (one) => one.entity === 'notice' && one.kind === 'proposal' && (one.to as { email: string }).email === email,
      )
    return messageOf(asNotice(item), 'https://pages.example')
  }

  test('in the mail to who may approve it: what, by whom, how it is milder, and that nothing changed', async () => {
    const id = await dropLaw()
    const { subject, text } = mailTo('manager-2@demo-utility.example')
    expect(subject).toMatch(/^A change waits for your approval: the policy/)
    expect(text).toMatch(/asked for a change of the policy\.[\s\S]*Nothing changes until somebody approves it/)
    expect(text).toMatch(/What would be less strict: The rule pack us-29-cfr-1910-269-j is left out/)
    expect(text).toContain(id)
    expect(text).toContain('https://pages.example/proposals')
  })

  test('on the page of changes, what waits first', async () => {
    const declined = await dropLaw()
    await house.done('POST', `/v1/proposals/${declined}/decline`, { reason: 'the law binds us' }, 'manager-2')
    house.at('2026-03-02T16:00:00.000Z')
    await proposed('/v1/sticks/S-1', { ...aStick, primaryProtection: false })
    const pages = pagesOf(house)
    const text = await (await pages.request('/proposals')).text()
    const headings = [...text.matchAll(/<h2[^>]*>([^<]*)/g)].map(([, heading]) => heading)
    expect(headings).toEqual(['Stick S-1: waits for a second person', 'Policy: declined'])
    expect(text).toContain('the law binds us')
  })
})
