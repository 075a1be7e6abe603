/** Who may do what: the organisation's own people by their role, depot and crew; another organisation nothing. */
import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { routes } from '../../functions/requests/routes.ts'
import { holdAsRestored } from '../../functions/restore/restore.ts'
import { keepImport } from '../../functions/store/imports.ts'
import { markWrites } from '../../functions/store/marked-addresses.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { keepPlanHead } from '../../functions/store/plans.ts'
import type { Item } from '../../functions/store/table.ts'
import { type Import, nothingCounted } from '../../shared-domain/import/import.ts'
import { actions, rolesFor } from '../../shared-domain/rights.ts'
import {
  aCrew,
  aDemonstration,
  aDepot,
  aManager,
  anInstrument,
  anOrganisation,
  aProcedure,
  aStick,
  aTest,
  overTheLimit,
} from '../support/trade.ts'
import { demo, furnish, type House, openHouse, restoredFrom, type Who } from './house.ts'

const firstTest = aTest({ at: '08:40', testedBy: 'Ivo Marsh' })

let furnished: readonly Item[]
/** of a notice whose reader is asked to tell somebody face to face */
let errand = ''
let feedId: string
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  const kai = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'crew' }
  await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, recipients: [...aCrew.recipients, kai] })
  const north = { name: 'Nils Orr', email: 'nils@demo-utility.example', depots: ['DEP-1'] }
  await house.done('PUT', '/v1/people/north-manager', { ...north, role: 'manager' })
  await house.done('PUT', '/v1/people/north-bench', { ...north, email: 'ned@demo-utility.example', role: 'bench' })
  const [far, none] = [
    { name: 'Ode Lunn', email: 'ode@demo-utility.example', role: 'bench', depots: ['DEP-2'] },
    { name: 'Noa Reyes', email: 'noa@demo-utility.example', role: 'crew', depots: [] },
  ]
  await house.done('PUT', '/v1/people/south-bench', far)
  await house.done('PUT', '/v1/people/crew-of-none', none)
  await house.done('PUT', '/v1/demonstrations/DEM-1', aDemonstration)
  await house.done('PUT', `/v1/organisations/${demo}`, anOrganisation)
  // it was never tested, and a crew has it
  await house.done('PUT', '/v1/sticks/S-3', aStick)
  const before = { factId: randomUUID(), testedOn: '2025-05-14', passed: true }
  await house.done('POST', '/v1/sticks/S-3/past-tests', before, 'bench-2')
  // its records were brought back from a backup
  await house.done('PUT', '/v1/sticks/S-9', aStick)
  await holdAsRestored({ organisation: house.organisation(), now: house.clock() }, 'S-9', restoredFrom)
  // it failed, was cleaned and passed: a second person may release it
  const failed = overTheLimit({ at: '08:00' })
  await house.done('POST', '/v1/sticks/S-1/bench-tests', failed, 'bench-2')
  const { items } = (await house.done('GET', '/v1/notices?stick=S-1')).json
  errand = items.find((one: { tellInPerson: unknown[] }) => one.tellInPerson.length > 0).number
  const cleaned = { occurredOn: '2026-03-02', at: '08:20', factId: randomUUID(), kind: 'cleaned', by: 'Ines Roth' }
  await house.done('POST', '/v1/sticks/S-1/corrective-steps', cleaned, 'bench-2')
  await house.done('POST', '/v1/sticks/S-1/bench-tests', firstTest, 'bench-2')
  unplaced = randomUUID()
  const report = { ...fact, factId: unplaced, kind: 'tingle' }
  await house.done('POST', '/v1/sticks/NOT-THERE/defects', report, 'crew')
  feedId = (await house.done('POST', '/v1/crews/CR-1/feeds')).json.feedId
  const milder = { ...aStick, primaryProtection: false }
  proposalId = (await house.call('PUT', '/v1/sticks/S-1', milder, 'manager-2')).json.proposal.id
  const slip = { corrects: failed.factId, reason: 'another stick', replacement: null }
  correctionId = randomUUID()
  const ofNone = { factId: randomUUID(), cause: { lot: 'L-NONE' }, reason: 'cracks at the ferrule' }
  recallId = (await house.done('POST', '/v1/recalls', ofNone)).json.id
  await house.call('POST', '/v1/corrections', { factId: correctionId, ...slip }, 'manager-2')
  const notice = house.table.items().find((item) => item.number === errand) as unknown as Notice
  const toAna = { ...notice, to: { ...notice.to, email: 'ana@crew-one.example' } }
  const cause = { why: 'bounced', trouble: 'no such user', since: house.clock() } as const
  await house.table.transact(await markWrites(house.table, toAna, cause))
  const sent: Import = {
    ...{
      id: checkedImport,
      kind: 'sticks',
      mode: 'check',
      goodOnly: false,
      by: 'manager-2',
      at: house.clock(),
      said: {},
    },
    ...{ state: 'checked', questions: [], looked: null, counts: nothingCounted, page: 0, faults: [], refused: null },
    rest: [],
  }
  await keepImport(house.organisation(), { import: sent, revision: 0 })
  const head = {
    id: aPlanId,
    by: 'manager',
    at: house.clock(),
    state: 'waiting',
    depotIds: ['DEP-1'],
    places: [],
  } as const
  await keepPlanHead(house.organisation(), { head, revision: 0 })
  await house.done('PUT', '/v1/depots/DEP-1/bench', { weekMinutes: 600 })
  furnished = house.table.items()
})

const rules = { packs: ['us-29-cfr-1910-269-j'] }
const fact = { occurredOn: '2026-03-02', at: '08:50' }
const aPlanId = '20260302T150000000Z-0a0b0c0e'
/** A file that was sent and checked. */
const checkedImport = '20260302T150000000Z-0a0b0c0d'
/** A report on a number that no stick has, to be placed. */
let unplaced = ''
/** An edit of a stick of the first depot, asked for by somebody else than those who try. */
let proposalId = ''
/** The same of something that was recorded of that stick. */
let correctionId = ''
/** A recall of a lot of which there is no stick. */
let recallId = ''
const reads = undefined
const onSignIn = () => ({ factId: randomUUID(), reason: 'a phone was lost' })

/** Who may, by the contract; and a body that can be right, so that nothing else than the role decides. */
const rights: Record<string, readonly [who: string, path: string, body?: object]> = {
  'POST /v1/imports': ['bench manager owner', '/v1/imports?kind=sticks'],
  'GET /v1/imports': ['bench manager owner', '/v1/imports'],
  'GET /v1/imports/:id': ['bench manager owner', `/v1/imports/${checkedImport}`],
  'POST /v1/imports/:id/reading': ['bench manager owner', `/v1/imports/${checkedImport}/reading`, {}],
  'POST /v1/imports/:id/apply': ['bench manager owner', `/v1/imports/${checkedImport}/apply`, {}],
  'POST /v1/plans': ['manager owner', '/v1/plans', { depotId: 'DEP-1' }],
  'GET /v1/plans/:id': ['bench manager owner', `/v1/plans/${aPlanId}`],
  'PUT /v1/depots/:id/bench': ['manager owner', '/v1/depots/DEP-1/bench', { weekMinutes: 600 }],
  'GET /v1/depots/:id/bench': ['bench manager owner', '/v1/depots/DEP-1/bench'],
  'PUT /v1/depots/:id': ['manager owner', '/v1/depots/DEP-9', aDepot],
  'GET /v1/depots/:id': ['crew bench manager owner', '/v1/depots/DEP-1'],
  'GET /v1/depots': ['crew bench manager owner', '/v1/depots'],
  'PUT /v1/crews/:id': ['manager owner', '/v1/crews/CR-9', aCrew],
  'GET /v1/crews/:id': ['crew bench manager owner', '/v1/crews/CR-1'],
  'GET /v1/crews': ['crew bench manager owner', '/v1/crews'],
  'PUT /v1/people/:id': ['manager owner', '/v1/people/new', aManager],
  'GET /v1/people/:id': ['manager owner', '/v1/people/bench'],
  'GET /v1/people': ['manager owner', '/v1/people'],
  'GET /v1/people/:id/sign-in': ['manager owner', '/v1/people/north-bench/sign-in'],
  'POST /v1/people/:id/sign-in/free': ['manager owner', '/v1/people/north-bench/sign-in/free', onSignIn()],
  'POST /v1/people/:id/sign-in/sign-out': ['manager owner', '/v1/people/north-bench/sign-in/sign-out', onSignIn()],
  'PUT /v1/instruments/:id': ['bench manager owner', '/v1/instruments/INS-9', anInstrument],
  'GET /v1/instruments/:id': ['bench manager owner', '/v1/instruments/INS-1'],
  'GET /v1/instruments': ['bench manager owner', '/v1/instruments'],
  'PUT /v1/procedures/:id': ['manager owner', '/v1/procedures/PRC-9', aProcedure],
  'GET /v1/procedures/:id': ['bench manager owner', '/v1/procedures/PRC-1'],
  'GET /v1/procedures': ['bench manager owner', '/v1/procedures'],
  'GET /v1/instruments/:id/checks': ['bench manager owner', '/v1/instruments/INS-1/checks'],
  'GET /v1/instruments/:id/tests': ['bench manager owner', '/v1/instruments/INS-1/tests'],
  'GET /v1/fleet/advice': ['manager owner', '/v1/fleet/advice'],
  'GET /v1/fleet/report': ['manager owner', '/v1/fleet/report'],
  'GET /v1/outlook': ['crew bench manager owner', '/v1/outlook'],
  'GET /v1/procedures/:id/over': ['bench manager owner', '/v1/procedures/PRC-1/over'],
  'POST /v1/procedures/:id/preview': ['bench manager owner', '/v1/procedures/PRC-1/preview', aProcedure],
  'PUT /v1/demonstrations/:id': ['manager owner', '/v1/demonstrations/DEM-9', aDemonstration],
  'GET /v1/demonstrations/:id': ['bench manager owner', '/v1/demonstrations/DEM-1'],
  'GET /v1/demonstrations': ['bench manager owner', '/v1/demonstrations'],
  'PUT /v1/organisations/:id': ['manager owner', `/v1/organisations/${demo}`, anOrganisation],
  'GET /v1/organisations/:id': ['manager owner', `/v1/organisations/${demo}`],
  'GET /v1/organisations': ['manager owner', '/v1/organisations'],
  'GET /v1/policies': ['crew bench manager owner', '/v1/policies'],
  'PUT /v1/policies/:id': ['manager owner', '/v1/policies/employer', rules],
  'POST /v1/policies/:id/preview': ['manager owner', '/v1/policies/employer/preview', rules],
  'PUT /v1/sticks/:id': ['manager owner', '/v1/sticks/S-9', aStick],
  'GET /v1/sticks/:id': ['crew bench manager owner', '/v1/sticks/S-1'],
  'GET /v1/sticks/:id/facts': ['crew bench manager owner', '/v1/sticks/S-1/facts'],
  'GET /v1/sticks/:id/proof': ['bench manager owner', '/v1/sticks/S-1/proof'],
  'GET /v1/sticks/:id/certificate': ['crew bench manager owner', '/v1/sticks/S-1/certificate'],
  'GET /v1/sticks/:id/label': ['bench manager owner', '/v1/sticks/S-1/label'],
  'GET /v1/sticks/:id/tag': ['crew bench manager owner', '/v1/sticks/S-1/tag'],
  'GET /v1/proof/heads': ['bench manager owner', '/v1/proof/heads'],
  'GET /v1/exports': ['bench manager owner', '/v1/exports?kind=instruments'],
  'GET /v1/sticks/:id/bench-tests/:factId': [
    'crew bench manager owner',
    `/v1/sticks/S-1/bench-tests/${firstTest.factId}`,
  ],
  'POST /v1/sticks/:id/bench-tests': ['bench manager owner', '/v1/sticks/S-1/bench-tests', aTest({ at: '08:50' })],
  'POST /v1/sticks/:id/bench-tests/:factId/judgements': [
    'bench manager owner',
    `/v1/sticks/S-1/bench-tests/${firstTest.factId}/judgements`,
    {
      factId: randomUUID(),
      reason: 'checked after the session',
      instrumentChecks: [{ state: 'dry', when: 'after', openMicroamps: 0, checkMicroamps: 98 }],
    },
  ],
  'POST /v1/sticks/:id/past-tests': [
    'bench manager owner',
    '/v1/sticks/S-1/past-tests',
    { factId: randomUUID(), testedOn: '2025-05-14', passed: true },
  ],
  'POST /v1/past-tests/counts': [
    'manager owner',
    '/v1/past-tests/counts',
    { factId: randomUUID(), stickIds: ['S-3'], reason: 'its sheet lies in the tool room' },
  ],
  'POST /v1/corrections': [
    'manager owner',
    '/v1/corrections',
    { factId: randomUUID(), corrects: firstTest.factId, reason: 'another stick', replacement: null },
  ],
  'POST /v1/corrections/:factId/approvals': ['manager owner', '/v1/corrections/CORRECTION/approvals', {}],
  'POST /v1/sticks/:id/corrective-steps': [
    'bench manager owner',
    '/v1/sticks/S-1/corrective-steps',
    { ...fact, factId: randomUUID(), kind: 'cleaned', by: 'Ines Roth' },
  ],
  'POST /v1/sticks/:id/certificates': [
    'bench manager owner',
    '/v1/sticks/S-1/certificates',
    { ...fact, factId: randomUUID(), issuedBy: 'the maker' },
  ],
  'POST /v1/sticks/:id/condition-checks': [
    'crew bench manager owner',
    '/v1/sticks/S-1/condition-checks',
    { ...fact, factId: randomUUID(), by: 'Ines Roth', sound: true },
  ],
  'POST /v1/sticks/:id/releases': ['bench manager owner', '/v1/sticks/S-1/releases', { ...fact, factId: randomUUID() }],
  'POST /v1/sticks/:id/removals': [
    'manager owner',
    '/v1/sticks/S-1/removals',
    { ...fact, factId: randomUUID(), reason: 'its end fitting is obsolete' },
  ],
  'POST /v1/sticks/:id/paper-looks': [
    'manager owner',
    '/v1/sticks/S-9/paper-looks',
    { ...fact, factId: randomUUID(), at: '09:00' },
  ],
  'POST /v1/sticks/:id/labels': [
    'bench manager owner',
    '/v1/sticks/S-1/labels',
    { ...fact, factId: randomUUID(), kind: 'fixed', shows: '2028-03-02' },
  ],
  'POST /v1/sticks/:id/uses': ['crew bench manager owner', '/v1/sticks/S-1/uses', { ...fact, factId: randomUUID() }],
  'POST /v1/sticks/:id/defects': [
    'crew bench manager owner',
    '/v1/sticks/S-1/defects',
    { ...fact, factId: randomUUID(), kind: 'tingle' },
  ],
  'POST /v1/sticks/:id/what-if': [
    'crew bench manager owner',
    '/v1/sticks/S-1/what-if',
    { kind: 'uses', fact: { ...fact } },
  ],
  'POST /v1/sticks/:id/moves': [
    'crew bench manager owner',
    '/v1/sticks/S-1/moves',
    { ...fact, factId: randomUUID(), to: 'missing' },
  ],
  'GET /v1/proposals': ['manager owner', '/v1/proposals'],
  'POST /v1/proposals/:id/approve': ['manager owner', '/v1/proposals/PROPOSAL/approve', {}],
  'POST /v1/proposals/:id/decline': ['manager owner', '/v1/proposals/PROPOSAL/decline', { reason: 'it is relied on' }],
  'GET /v1/unplaced-reports': ['manager owner', '/v1/unplaced-reports'],
  'POST /v1/unplaced-reports/:factId/place': [
    'manager owner',
    '/v1/unplaced-reports/UNPLACED/place',
    { stickId: 'S-1' },
  ],
  'POST /v1/recalls': [
    'manager owner',
    '/v1/recalls',
    { factId: randomUUID(), cause: { lot: 'L-7' }, reason: 'cracks' },
  ],
  'GET /v1/recalls': ['bench manager owner', '/v1/recalls'],
  'GET /v1/recalls/:id': ['bench manager owner', '/v1/recalls/RECALL'],
  'GET /v1/recalls/:id/sticks': ['bench manager owner', '/v1/recalls/RECALL/sticks'],
  'POST /v1/recalls/:id/close': ['manager owner', '/v1/recalls/RECALL/close', { factId: randomUUID(), notFound: [] }],
  'GET /v1/roster': ['crew bench manager owner', '/v1/roster'],
  'POST /v1/crews/:id/feeds': ['crew manager owner', '/v1/crews/CR-1/feeds'],
  'GET /v1/crews/:id/feeds': ['crew manager owner', '/v1/crews/CR-1/feeds'],
  'POST /v1/crews/:id/feeds/:feedId/revoke': ['crew manager owner', '/v1/crews/CR-1/feeds/FEED/revoke'],
  'POST /v1/notices/:id/told': ['crew bench manager owner', '/v1/notices/ERRAND/told', { name: 'Kai Brandt' }],
  'POST /v1/reminders': ['manager owner', '/v1/reminders', { factId: randomUUID(), stickIds: ['S-3'] }],
  'GET /v1/marked-addresses': ['manager owner', '/v1/marked-addresses'],
  'POST /v1/marked-addresses/clear': [
    'manager owner',
    '/v1/marked-addresses/clear',
    { email: 'ana@crew-one.example', reason: 'a new mailbox' },
  ],
  'GET /v1/notices': ['crew bench manager owner', '/v1/notices'],
}

/** What always waits for a second person, and a plan for whoever makes it. */
const waiting = ['PUT /v1/demonstrations/:id', 'POST /v1/past-tests/counts', 'POST /v1/plans']
const fine = (route: string) => (waiting.includes(route) ? [202] : [200, 201])

const roles = ['crew', 'bench', 'manager', 'owner'] as const
const named = (house: House, route: string, who: Who) => {
  const [, path = '', body = reads] = rights[route] ?? []
  return house.call(
    route.split(' ')[0] ?? '',
    path
      .replace('FEED', feedId)
      .replace('ERRAND', errand)
      .replace('UNPLACED', unplaced)
      .replace('PROPOSAL', proposalId)
      .replace('CORRECTION', correctionId)
      .replace('RECALL', recallId),
    body,
    who,
  )
}

test('every route there is has its rights written down here', () => {
  expect(Object.keys(rights).sort()).toEqual(routes.map(({ method, path }) => `${method} ${path}`).sort())
})

test('every route names a right of the one table, and every right but those within a body has its route', () => {
  for (const { method, path, action } of routes)
    expect(`${path}: ${rolesFor(action).join(' ')}`).toBe(`${path}: ${rights[`${method} ${path}`]?.[0]}`)
  const withinBodies = ['read contacts', 'enter an owner', 'move a stick', 'hand over a stick']
  const ofRoutes = new Set(routes.map(({ action }) => action))
  const others = actions.filter((action) => !ofRoutes.has(action))
  expect(others).toEqual(withinBodies)
})

describe.each(Object.keys(rights))('%s', (route) => {
  const allowed = (rights[route]?.[0] ?? '').split(' ')

  test.each(roles)('%s', async (role) => {
    const house = openHouse(furnished)
    const { status } = await named(house, route, role)
    if (allowed.includes(role)) expect(fine(route)).toContain(status)
    else expect(status).toBe(403)
    if (status === 403) expect(house.table.written()).toBe(0)
  })

  test('not for a token of somebody who is not on the register of people', async () => {
    const house = openHouse(furnished)
    expect((await named(house, route, 'stranger')).status).toBe(403)
    expect(house.table.written()).toBe(0)
  })
})

/** Of the bodies above these report danger, which is taken from anybody; of a stick of others nothing more is told. */
const isDanger = (route: string) => /sticks.*(defects|moves)$/.test(route)

describe('another organisation', () => {
  // every organisation has a policy of the one name there is
  const ofOneThing = Object.keys(rights).filter(
    (route) => /:id|:factId/.test(route) && !route.startsWith('PUT') && !route.includes('policies'),
  )

  test.each(ofOneThing)('does not find %s', async (route) => {
    const house = openHouse(furnished)
    // word of danger is kept of a number that is unknown there, and tells nothing of ours
    for (const who of ['other owner', 'other manager'] as const)
      expect((await named(house, route, who)).status).toBe(isDanger(route) ? 202 : 404)
    const ours = house.table.items().filter(({ pk }) => pk.startsWith(`ORG#${demo}#`))
    expect(ours).toEqual(furnished.filter(({ pk }) => pk.startsWith(`ORG#${demo}#`)))
    if (!isDanger(route)) expect(house.table.written()).toBe(0)
  })

  test.each([
    '/v1/notices?stick=S-1',
    '/v1/notices?crew=CR-1',
    '/v1/roster?crew=CR-1',
    '/v1/roster?depot=DEP-1',
    '/v1/notices?stick=S-1&crew=CR-1',
  ])('does not find %s', async (path) => {
    expect((await openHouse(furnished).call('GET', path, undefined, 'other owner')).status).toBe(404)
  })

  test.each(['depots', 'crews', 'people', 'instruments', 'procedures', 'roster', 'notices'])(
    'sees nothing of ours in the list of %s',
    async (list) => {
      const house = openHouse(furnished)
      const theirs = await house.call('GET', `/v1/${list}`, undefined, 'other owner')
      const ids = theirs.json.items.map((item: { id: string }) => item.id)
      expect(ids).toEqual(list === 'people' ? ['manager', 'owner'] : [])
      if (list === 'people') expect(theirs.text).toContain('odd@other-utility.example')
      expect(theirs.text).not.toContain(demo)
    },
  )

  const ofItsOwn = Object.keys(rights).filter(
    (route) => route.startsWith('PUT') && !/policies|organisations|demonstrations/.test(route),
  )
  test.each(ofItsOwn)('makes its own with %s and leaves ours as it was', async (route) => {
    const house = openHouse(furnished)
    const register = route.split('/')[2] ?? ''
    const id = { depots: 'DEP-1', crews: 'CR-1', people: 'bench', instruments: 'INS-1', procedures: 'PRC-1' }[register]
    const isBench = route.endsWith('/bench')
    const path = `/v1/${register}/${id ?? 'S-1'}${isBench ? '/bench' : ''}`
    const ours = await house.call('GET', path)
    house.at('2026-03-02T16:00:00.000Z')
    if (register === 'crews' || register === 'sticks' || isBench) {
      await house.done('PUT', '/v1/depots/DEP-1', { ...aDepot, name: 'Theirs' }, 'other owner')
      if (register === 'sticks') await house.done('PUT', '/v1/crews/CR-1', { ...aCrew, name: 'Theirs' }, 'other owner')
    }
    // an address belongs to one organisation
    const body = { ...rights[route]?.[2], ...(register === 'people' ? { email: 'theirs@other-utility.example' } : {}) }
    expect((await house.call('PUT', path, body, 'other owner')).status).toBe(201)
    const still = await house.call('GET', path)
    expect([still.status, still.json]).toEqual([ours.status, ours.json])
    expect((await house.call('GET', path, undefined, 'other owner')).json).not.toEqual(ours.json)
  })

  test('does not enter, nor find, an organisation but its own', async () => {
    const house = openHouse(furnished)
    const path = `/v1/organisations/${demo}`
    expect((await house.call('PUT', path, anOrganisation, 'other owner')).status).toBe(404)
    expect((await house.call('GET', path, undefined, 'other owner')).status).toBe(404)
    expect(house.table.written()).toBe(0)
  })

  test('cannot lean on our crews, depots, instruments or procedures', async () => {
    const house = openHouse(furnished)
    const crew = await house.call('PUT', '/v1/crews/CR-5', aCrew, 'other owner')
    expect([crew.status, crew.json.errors[0].pointer]).toEqual([422, '/depotId'])
    const stick = await house.call('PUT', '/v1/sticks/S-5', aStick, 'other owner')
    expect([stick.status, stick.json.errors[0].pointer]).toEqual([422, '/crewId'])
    const { crewId: _, ...ofNoCrew } = aStick
    await house.done('PUT', '/v1/sticks/S-5', ofNoCrew, 'other owner')
    const tested = await house.call('POST', '/v1/sticks/S-5/bench-tests', aTest(), 'other owner')
    expect(tested.json.errors.map((one: { pointer: string }) => one.pointer)).toEqual(['/instrumentId', '/procedureId'])
    const moved = { ...fact, factId: randomUUID(), to: { crewId: 'CR-1' } }
    expect((await house.call('POST', '/v1/sticks/S-5/moves', moved, 'other owner')).status).toBe(422)
  })

  test('may use a fact id of ours for a fact of its own', async () => {
    const house = openHouse(furnished)
    const { crewId: _, ...ofNoCrew } = aStick
    await house.done('PUT', '/v1/sticks/S-1', ofNoCrew, 'other owner')
    const used = { ...fact, factId: randomUUID(), days: 1 }
    await house.done('POST', '/v1/sticks/S-1/uses', used)
    expect(
      (await house.call('POST', '/v1/sticks/S-1/uses', { ...used, conditions: ['wet'] }, 'other owner')).status,
    ).toBe(201)
  })
})

/** Each by what of the first crew and depot is theirs: their own, another's, or every one. */
const everyone = {
  crew: ['crew', 'other crew', 'crew of none'],
  bench: ['north bench', 'south bench', 'bench'],
  manager: ['north manager', 'south manager', 'manager'],
} as const satisfies { readonly [role in string]: readonly [own: Who, other: Who, everyOrNone: Who] }

/** Of own, other, every: who may. Of a crew there is no every, and one without a crew may what any crew may. */
const whoMay = {
  none: [false, false, false],
  own: [true, false, true],
  ownCrew: [true, false, false],
  every: [false, false, true],
  all: [true, true, true],
  /** a list, in which what is not one's own is left out */
  list: [true, true, true],
  /** there is nothing it could show */
  listOfCrew: [true, true, false],
} as const

type Cells = readonly [crew: keyof typeof whoMay, bench: keyof typeof whoMay, manager: keyof typeof whoMay]

const ofStick: Cells = ['ownCrew', 'own', 'own']
const atBench: Cells = ['none', 'own', 'own']
const anybody: Cells = ['all', 'all', 'all']
const fromBench: Cells = ['none', 'all', 'all']
const managing: Cells = ['none', 'none', 'all']
const ownDepots: Cells = ['none', 'none', 'own']
const everyDepot: Cells = ['none', 'none', 'every']

/** What of it is sent is above: of the first crew and depot, where it is of any. */
const cells: { readonly [route: string]: Cells } = {
  'POST /v1/imports': fromBench,
  'GET /v1/imports': fromBench,
  'GET /v1/imports/:id': fromBench,
  'POST /v1/imports/:id/reading': fromBench,
  'POST /v1/imports/:id/apply': fromBench,
  'POST /v1/plans': ownDepots,
  'GET /v1/plans/:id': atBench,
  'PUT /v1/depots/:id/bench': ownDepots,
  'GET /v1/depots/:id/bench': atBench,
  'PUT /v1/depots/:id': everyDepot, // a new one
  'GET /v1/depots/:id': anybody,
  'GET /v1/depots': anybody,
  'PUT /v1/crews/:id': ownDepots,
  'GET /v1/crews/:id': anybody,
  'GET /v1/crews': anybody,
  'PUT /v1/people/:id': everyDepot, // somebody for every depot
  'GET /v1/people/:id': managing,
  'GET /v1/people': managing,
  'GET /v1/people/:id/sign-in': managing,
  'POST /v1/people/:id/sign-in/free': ownDepots,
  'POST /v1/people/:id/sign-in/sign-out': ownDepots,
  'PUT /v1/instruments/:id': ['none', 'all', 'every'],
  'GET /v1/instruments/:id': fromBench,
  'GET /v1/instruments': fromBench,
  'PUT /v1/procedures/:id': everyDepot,
  'GET /v1/procedures/:id': fromBench,
  'GET /v1/procedures': fromBench,
  'GET /v1/instruments/:id/checks': fromBench,
  'GET /v1/instruments/:id/tests': fromBench,
  'GET /v1/fleet/advice': ['none', 'none', 'list'],
  'GET /v1/fleet/report': ['none', 'none', 'list'],
  'GET /v1/outlook': ['listOfCrew', 'list', 'list'],
  'GET /v1/procedures/:id/over': fromBench,
  'POST /v1/procedures/:id/preview': fromBench,
  'PUT /v1/demonstrations/:id': everyDepot,
  'GET /v1/demonstrations/:id': fromBench,
  'GET /v1/demonstrations': fromBench,
  'PUT /v1/organisations/:id': everyDepot,
  'GET /v1/organisations/:id': managing,
  'GET /v1/organisations': managing,
  'GET /v1/policies': anybody,
  'PUT /v1/policies/:id': everyDepot,
  'POST /v1/policies/:id/preview': ['none', 'none', 'list'],
  'PUT /v1/sticks/:id': ownDepots,
  'GET /v1/sticks/:id': ofStick,
  'GET /v1/sticks/:id/facts': ofStick,
  'GET /v1/sticks/:id/proof': atBench,
  'GET /v1/sticks/:id/certificate': ofStick,
  'GET /v1/sticks/:id/label': atBench,
  'GET /v1/sticks/:id/tag': ofStick,
  'GET /v1/proof/heads': fromBench,
  'GET /v1/exports': fromBench,
  'GET /v1/sticks/:id/bench-tests/:factId': ofStick,
  'POST /v1/sticks/:id/bench-tests': atBench,
  'POST /v1/sticks/:id/bench-tests/:factId/judgements': atBench,
  'POST /v1/sticks/:id/past-tests': atBench,
  'POST /v1/past-tests/counts': ownDepots,
  'POST /v1/corrections': ownDepots,
  'POST /v1/corrections/:factId/approvals': ownDepots,
  'POST /v1/sticks/:id/corrective-steps': atBench,
  'POST /v1/sticks/:id/certificates': atBench,
  'POST /v1/sticks/:id/condition-checks': ofStick,
  'POST /v1/sticks/:id/releases': atBench,
  'POST /v1/sticks/:id/removals': ownDepots,
  'POST /v1/sticks/:id/labels': atBench,
  'POST /v1/sticks/:id/paper-looks': ownDepots,
  'POST /v1/sticks/:id/uses': ofStick,
  'POST /v1/sticks/:id/defects': anybody,
  'POST /v1/sticks/:id/what-if': ofStick,
  'POST /v1/sticks/:id/moves': anybody, // missing
  'GET /v1/proposals': managing,
  'POST /v1/proposals/:id/approve': ownDepots,
  'POST /v1/proposals/:id/decline': ownDepots,
  'GET /v1/unplaced-reports': managing,
  'POST /v1/unplaced-reports/:factId/place': managing,
  'POST /v1/recalls': managing,
  'GET /v1/recalls': fromBench,
  'GET /v1/recalls/:id': fromBench,
  'GET /v1/recalls/:id/sticks': fromBench,
  'POST /v1/recalls/:id/close': managing,
  'GET /v1/roster': ['listOfCrew', 'list', 'list'],
  'POST /v1/crews/:id/feeds': ['ownCrew', 'none', 'own'],
  'GET /v1/crews/:id/feeds': ['ownCrew', 'none', 'own'],
  'POST /v1/crews/:id/feeds/:feedId/revoke': ['ownCrew', 'none', 'own'],
  'POST /v1/notices/:id/told': ofStick,
  'POST /v1/reminders': ownDepots,
  'GET /v1/marked-addresses': managing,
  'POST /v1/marked-addresses/clear': managing,
  'GET /v1/notices': ['list', 'list', 'list'],
}

describe('each route is for whom it is, and for nobody else', () => {
  test('and each has its row of cells', () => {
    expect(Object.keys(cells).sort()).toEqual(routes.map(({ method, path }) => `${method} ${path}`).sort())
  })

  const walked = Object.entries(cells).flatMap(([route, ofRoles]) =>
    Object.values(everyone).flatMap((three, role) =>
      three.map((who, place) => [route, who, whoMay[ofRoles[role] ?? 'none'][place] ?? false] as const),
    ),
  )

  test.each(walked)('%s by %s: %s', async (route, who, allowed) => {
    const house = openHouse(furnished)
    const { status } = await named(house, route, who)
    if (allowed) return expect(fine(route)).toContain(status)
    expect([status, house.table.written()]).toEqual([403, 0])
  })
})

/** About a stick, a crew or a notice of the first crew and depot; a register's own entries and lists are not. */
const ofSomebody = Object.keys(rights).filter(
  (route) => /sticks\/:id|feeds|told|reminders/.test(route) && !route.startsWith('PUT'),
)
const far = [
  ['other crew', 'crew'],
  ['crew of none', 'crew'],
  ['south bench', 'bench'],
  ['south manager', 'manager'],
] as const

describe.each(far)('%s, of another crew or depot,', (who, role) => {
  test.each(ofSomebody)('is not allowed %s', async (route) => {
    const house = openHouse(furnished)
    const { status, json } = await named(house, route, who)
    if (isDanger(route)) return expect([status, json.recorded, json.stick]).toEqual([201, true, undefined])
    expect([status, role]).toEqual([403, role])
    expect(house.table.written()).toBe(0)
  })

  test('sees nothing of the first on the roster or in the notices', async () => {
    const house = openHouse(furnished)
    const roster = await house.call('GET', '/v1/roster', undefined, who)
    if (who === 'crew of none') expect(roster.status).toBe(403)
    else expect(roster.json.items).toEqual([])
    const { items } = (await house.call('GET', '/v1/notices', undefined, who)).json
    expect(items.filter((one: { sticks: string[] }) => one.sticks.includes('S-1'))).toEqual([])
  })
})

describe('a crew', () => {
  const onStick = Object.keys(rights).filter((route) => route.includes('/sticks/:id') && !route.startsWith('PUT'))

  test.each(onStick)('of another truck is not allowed %s', async (route) => {
    const house = openHouse(furnished)
    const { status, json } = await named(house, route, 'other crew')
    if (isDanger(route)) return expect([status, json.recorded, json.stick]).toEqual([201, true, undefined])
    expect(status).toBe(403)
    expect(house.table.written()).toBe(0)
  })

  test.each(['/v1/notices?stick=S-1', '/v1/notices?crew=CR-1', '/v1/roster?crew=CR-1'])(
    'of another truck is not allowed %s',
    async (path) => {
      expect((await openHouse(furnished).call('GET', path, undefined, 'other crew')).status).toBe(403)
    },
  )

  test('sees on the roster and in the notices its own alone', async () => {
    const house = openHouse(furnished)
    await house.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
    for (const stickId of ['S-1', 'S-2'])
      await house.done('POST', `/v1/sticks/${stickId}/defects`, { ...fact, factId: randomUUID(), kind: 'drop' })
    for (const [who, told, untold] of [
      ['crew', ['S-1', 'S-9'], ['S-3']],
      ['other crew', ['S-2'], []],
    ] as const) {
      const roster = await house.call('GET', '/v1/roster', undefined, who)
      expect(roster.json.items.map((row: { stickId: string }) => row.stickId)).toEqual([...told, ...untold])
      const notices = await house.call('GET', '/v1/notices', undefined, who)
      const named = new Set(notices.json.items.flatMap((one: { sticks: string[] }) => one.sticks))
      expect(named).toEqual(new Set(told))
    }
  })

  test.each([{ bench: 'DEP-1' }, { store: 'DEP-1' }, { crewId: 'CR-1' }, 'scrapped'])(
    'reports its stick missing or found, but does not move it to %j',
    async (to) => {
      const house = openHouse(furnished)
      const move = { ...fact, factId: randomUUID(), to }
      expect((await house.call('POST', '/v1/sticks/S-1/moves', move, 'crew')).status).toBe(403)
      expect(house.table.written()).toBe(0)
    },
  )
})

describe('a manager of one depot', () => {
  const onStick = Object.keys(rights).filter((route) => route.includes('/sticks/:id'))

  test.each(onStick)('is not allowed %s for a stick of another', async (route) => {
    const house = openHouse(furnished)
    const body = rights[route]?.[2]
    const path = rights[route]?.[1].replace('S-9', 'S-1') ?? ''
    const { status, json } = await house.call(route.split(' ')[0] ?? '', path, body, 'south manager')
    if (isDanger(route)) return expect([status, json.recorded, json.stick]).toEqual([201, true, undefined])
    expect(status).toBe(403)
    expect(house.table.written()).toBe(0)
  })

  test('does not register a stick to a crew of another', async () => {
    const house = openHouse(furnished)
    expect((await house.call('PUT', '/v1/sticks/S-7', aStick, 'south manager')).status).toBe(403)
    expect((await house.call('PUT', '/v1/sticks/S-7', { ...aStick, crewId: 'CR-2' }, 'south manager')).status).toBe(201)
  })

  test('sees on the roster and in the notices its own alone', async () => {
    const house = openHouse(furnished)
    await house.done('PUT', '/v1/sticks/S-2', { ...aStick, crewId: 'CR-2' })
    const roster = await house.call('GET', '/v1/roster', undefined, 'south manager')
    expect(roster.json.items.map((row: { stickId: string }) => row.stickId)).toEqual(['S-2'])
    expect((await house.call('GET', '/v1/roster?depot=DEP-1', undefined, 'south manager')).status).toBe(404)
    expect((await house.call('GET', '/v1/roster?crew=CR-1', undefined, 'south manager')).status).toBe(403)
  })
})

describe('a role', () => {
  test('changed on the register binds at once, whatever the token', async () => {
    const house = openHouse(furnished)
    const promoted = { name: 'Ines Roth', email: 'bench@demo-utility.example', role: 'manager', depots: ['*'] }
    expect((await house.call('PUT', '/v1/depots/DEP-9', aDepot, 'bench')).status).toBe(403)
    await house.done('PUT', '/v1/people/bench', promoted)
    expect((await house.call('PUT', '/v1/depots/DEP-9', aDepot, 'bench')).status).toBe(201)
  })

  test('that takes effect tomorrow does not bind today', async () => {
    const house = openHouse(furnished)
    const tomorrow = { role: 'manager', depots: ['*'], effectiveFrom: '2026-03-03' }
    await house.done('PUT', '/v1/people/bench', { name: 'Ines', email: 'bench@demo-utility.example', ...tomorrow })
    expect((await house.call('PUT', '/v1/depots/DEP-9', aDepot, 'bench')).status).toBe(403)
    house.at('2026-03-03T15:00:00.000Z')
    expect((await house.call('PUT', '/v1/depots/DEP-9', aDepot, 'bench')).status).toBe(201)
  })

  test('of an owner is given and changed by an owner alone', async () => {
    const house = openHouse(furnished)
    const owner = { name: 'Olu Adeyemi', email: 'olu@demo-utility.example', role: 'owner', depots: ['*'] }
    expect((await house.call('PUT', '/v1/people/manager', owner, 'manager')).status).toBe(403)
    await house.done('PUT', '/v1/people/olu', owner)
    expect((await house.call('PUT', '/v1/people/olu', { ...owner, role: 'crew' }, 'manager')).status).toBe(403)
  })
})
