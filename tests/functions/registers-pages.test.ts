/** The registers on pages: lists, entries with their history, forms that become requests, and what would follow. */
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { PagesParts } from '../../functions/pages/pages.ts'
import { allRegisters, mayEnter } from '../../functions/pages/registers/registers.ts'
import { pageWordingFor } from '../../functions/pages/wording.ts'
import type { Item } from '../../functions/store/table.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import { pagesOf } from '../support/pages.ts'
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
  day,
} from '../support/trade.ts'
import { type Fields, typedForm, typedOver } from '../support/typed-form.ts'
import { demo, furnish, type House, openHouse, type Who } from './house.ts'

const us = 'us-29-cfr-1910-269-j'
const hostile = '<script>x</script>"&'

/** A body with something in every part of it, most of it seldom stated. */
const full = {
  depots: { ...aDepot, name: 'West yard', sweepHour: 0 },
  crews: {
    ...aCrew,
    recipients: [
      ...aCrew.recipients,
      { name: 'Kai Brandt', phone: '+1 555 0142', role: 'crew', language: 'es', units: 'US customary' },
    ],
  },
  people: {
    ...aManager,
    email: 'new@demo-utility.example',
    depots: ['DEP-1', 'DEP-2'],
    crewId: 'CR-1',
    language: 'es',
    units: 'US customary',
    until: '2030-01-31',
  },
  instruments: {
    ...anInstrument,
    spanMetres: 0.305,
    expandedUncertaintyPercent: 2.5,
    kilovolts: 30,
    hertz: 60,
  },
  procedures: {
    ...aProcedure,
    leastOverlapMetres: 0.0508,
    checks: aProcedure.checks.map((one) => ({ ...one, afterToo: true })),
    limits: [
      { ...aProcedure.limits[0], diameterMillimetres: [10, 31.75], spanMetres: 0.305, kilovolts: 100, hertz: 60 },
      ...aProcedure.limits.slice(1),
    ],
    withstand: [
      {
        construction: 'FRP rod',
        when: 'new',
        voltage: { kilovoltsPerFoot: 100 },
        seconds: 300,
        source: 'Safety manual 7',
      },
      {
        construction: 'FRP rod',
        when: 'in service',
        lineKilovolts: [1, 69],
        voltage: { times: 3, of: 'phase voltage', atLeastKilovolts: 40 },
        seconds: 60,
        source: 'Safety manual 8',
        demonstrationId: 'DEM-1',
      },
    ],
    sticks: ['S-1', 'S-2'],
    waterConductivityAtMostMicrosiemensPerCm: 50,
    ambient: { celsius: [-5, 40], relativeHumidityPercent: [0, 85] },
  },
  policies: {
    packs: [us, 'ufc-3-560-01-5-4'],
    shorten: [{ requirement: `${us}-frp`, interval: { months: 12, counting: 'end of month' }, source: 'Manual 4.2' }],
    add: [
      {
        id: 'own-look',
        words: 'looked over each quarter',
        source: {
          cited: 'Manual 4.3',
          edition: '2025',
          jurisdiction: 'this employer',
          confidence: 'the employer’s own',
          effectiveFrom: '2020-01-01',
        },
        evidence: ['condition check'],
        interval: { days: 90 },
        statedBy: [{ by: 'the maker', interval: { days: 30 }, source: 'Leaflet 2' }],
        shelfMonths: 6,
        suspendedInStorageAfterMonths: 0,
        waxing: 'waxed with each look',
        stops: ['suspicion'],
        appliesTo: { primaryProtectionOnly: false, constructions: ['FRP rod', 'wood'], inServiceFrom: '2010-01-01' },
        legalMaximum: false,
        optional: true,
      },
    ],
    turnOn: ['ufc-3-560-01-5-4-1-certificate'],
    occasionalUse: { windowDays: 180, atMostUseDays: 5 },
    useWeights: { wet: 2.5, 'high duty': 3 },
    tellDaysBefore: [90, 30, 0],
    tellOverdueEveryDays: 3,
    answerWithinHours: 6,
    overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 1, ownerAfterWeeks: 3 },
    examinationOnly: true,
    releaseAfterFailure: true,
    removesOnlyAfter: 'refinishing or repair',
    waxing: 'Manual 4.4',
    woodForbidden: true,
  },
  sticks: {
    ...aStick,
    workingLengthMetres: 2.4385,
    lineKilovolts: 138,
    sections: [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'base', lengthMetres: 1.2385 },
    ],
  },
  demonstrations: { ...aDemonstration, until: '2029-12-31' },
  organisations: { ...anOrganisation, packs: [us, 'us-mo-200'] },
} as const
type Path = keyof typeof full
const paths = Object.keys(full) as Path[]
const idOf = (path: Path) =>
  ({ people: 'new', policies: 'employer', organisations: demo, sticks: 'S-9', procedures: 'PRC-9' })[
    path as 'people'
  ] ?? 'NEW-9'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2025-06-01T15:00:00.000Z')
  await furnish(first)
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2025-06-01') }), 'bench')
  await first.done('PUT', '/v1/demonstrations/DEM-1', aDemonstration)
  await first.done('PUT', `/v1/organisations/${demo}`, anOrganisation)
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-02T15:00:00.000Z')
})

const inFeet: PagesParts['wordingFor'] = (reader) => pageWordingFor({ ...reader, units: 'US customary' })
const pages = (units: 'metric' | 'feet' = 'metric') =>
  pagesOf(house, 'manager', units === 'feet' && inFeet !== undefined ? { wordingFor: inFeet } : {})

const encoded = { 'content-type': 'application/x-www-form-urlencoded' }

async function shown(path: string, app = pages(), headers: Record<string, string> = {}) {
  const answer = await app.request(path, { headers })
  return { status: answer.status, text: await answer.text() }
}

async function sent(path: string, fields: Fields, app = pages()) {
  const body = new URLSearchParams(fields).toString()
  const answer = await app.request(path, { method: 'POST', headers: encoded, body })
  return { status: answer.status, text: await answer.text(), to: answer.headers.get('location') ?? '' }
}

type Over = Parameters<typeof typedOver>[1]

/** Opens a form, types over it, and sends it. */
async function filled(path: string, over: Over, app = pages()) {
  return sent(path, typedOver(typedForm((await shown(path, app)).text), over), app)
}

const editionOf = (path: Path, id: string = idOf(path)) => `/registers/${path}/${id}/edition`

async function bodyOf(path: Path): Promise<object> {
  if (path === 'sticks')
    return (await house.organisation().sticks.stored('S-9'))?.state.registrations.at(-1)?.stick ?? {}
  const { kind } = allRegisters.find((one) => one.path === path) ?? { kind: 'depot' }
  const editions = await house.organisation().registers.editions(kind as 'depot', idOf(path))
  return editions.toSorted((a, b) => a.number - b.number).at(-1)?.body ?? {}
}

describe.each(paths)('the register of %s', (path) => {
  test('lists an entry, and shows it with its history and a way to change it', async () => {
    await house.done('PUT', `/v1/${path}/${idOf(path)}`, full[path])
    const address = `/registers/${path}/${idOf(path)}`
    expect((await shown('/registers')).text).toContain(`href="/registers/${path}"`)
    expect((await shown(`/registers/${path}`)).text).toContain(`href="${address}"`)
    const entry = await shown(address)
    expect(entry.status).toBe(200)
    expect(entry.text).toContain('stands now')
    expect(entry.text).toContain(`href="${address}/edition"`)
    expect(entry.text).not.toMatch(/undefined|\[object|NaN/)
  })

  test.each(['metric', 'feet'] as const)(
    'holds in its form all that stands, and changes none of it: %s',
    async (units) => {
      await house.done('PUT', `/v1/${path}/${idOf(path)}`, full[path])
      const before = await bodyOf(path)
      house.at('2026-03-05T15:00:00.000Z')
      const answer = await filled(editionOf(path), {}, pages(units))
      expect([answer.status, answer.to]).toEqual([303, `${editionOf(path)}?done=recorded`])
      expect(await bodyOf(path)).toEqual({ ...before, effectiveFrom: '2026-03-05' })
      expect((await shown(`/registers/${path}/${idOf(path)}`)).text).toContain('Nothing else than its day changed.')
    },
  )

  test('is asked with nothing filled in, and says at each field what is missing', async () => {
    if (path === 'policies' || path === 'organisations') return
    const address = `/enter/${path}`
    const form = typedForm((await shown(address)).text)
    const typed = form.filter(([name, value]) => value !== '' && !['factId', 'from', '/effectiveFrom'].includes(name))
    expect(typed).toEqual([])
    const before = house.table.written()
    for (const id of ['no name', '', ' ', 'x'.repeat(3000)]) {
      const answer = await sent(address, typedOver(form, { '/id': id }))
      expect([id, answer.status]).toEqual([id, 422])
      expect(answer.text).toMatch(/id="f-id"[^>]*aria-invalid="true"/)
      expect(answer.text).toContain('This has to be filled in.')
    }
    expect(house.table.written()).toBe(before)
  })

  test('takes a new entry as a person types it, once under its name', async () => {
    if (path === 'policies' || path === 'organisations') return
    await house.done('PUT', `/v1/${path}/${idOf(path)}`, full[path])
    const typed = typedForm((await shown(editionOf(path))).text).filter(([name]) => name !== 'from')
    const other = `OTHER-${path}`
    const address = `/enter/${path}`
    const answer = await sent(address, typedOver(typed, { '/id': other }))
    expect(answer.status).toBe(303)
    // a demonstration takes two from the first, and so does a procedure that is milder than another of the same sticks
    if (path === 'demonstrations' || path === 'procedures') return expect(answer.to).toContain('done=waits')
    expect((await shown(`/registers/${path}/${other}`)).text).toContain('The first edition.')
    const again = await sent(address, typedOver(typed, { '/id': other }))
    expect(again.status).toBe(422)
    expect(again.text).toMatch(/id="f-id"[^>]*aria-invalid="true"/)
  })

  test('shows what people wrote as text, in lists, entries, histories and forms', async () => {
    if (path === 'instruments') return // nothing but figures and dates
    await house.done('PUT', `/v1/${path}/${idOf(path)}`, full[path])
    await house.done('PUT', `/v1/${path}/${idOf(path)}`, { ...written(full[path]), effectiveFrom: '2026-03-02' })
    const addresses = [`/registers/${path}`, `/registers/${path}/${idOf(path)}`, editionOf(path)]
    const texts = await Promise.all(addresses.map(async (one) => (await shown(one)).text))
    for (const text of texts) expect(text).not.toContain('<script')
    expect(texts.join('')).toContain('&lt;script&gt;x&lt;/script&gt;')
    expect(typedForm(texts[2] ?? '').some(([, value]) => value.includes(hostile))).toBe(true)
  })
})

/** Every name, source and remark of a body as somebody may write it who means ill. */
const texts = ['name', 'title', 'approvedBy', 'source', 'cited', 'words', 'waxing', 'by', 'grounds', 'lot', 'phone']
function written(value: unknown): object {
  return JSON.parse(
    JSON.stringify(value, (name, inner) =>
      typeof inner === 'string' && texts.includes(name) ? `${inner.slice(0, 4)}${hostile}` : inner,
    ),
  )
}

describe('a stick’s lot', () => {
  test('holds what somebody wrote as text', async () => {
    await house.done('PUT', '/v1/sticks/S-9', { ...aStick, lot: hostile })
    const text = (await shown('/registers/sticks/S-9')).text
    expect(text).not.toContain('<script')
    expect(text).toContain('&lt;script&gt;')
  })
})

describe('an entry', () => {
  test('says what each edition changed, which stands, and which is still to come', async () => {
    await filled(editionOf('depots', 'DEP-1'), { '/name': 'North hall', '/sweepHour': '5' })
    await filled(editionOf('depots', 'DEP-1'), { '/name': 'New hall', '/effectiveFrom': '2026-04-01' })
    const { text } = await shown('/registers/depots/DEP-1')
    expect(text).toContain('An edition is still to come: from 1 April 2026 on')
    const editions = text.split('<li class="edition">').slice(1)
    expect(editions.map((one) => /still to come|stands now|earlier/.exec(one)?.[0])).toEqual([
      'still to come',
      'stands now',
      'earlier',
    ])
    expect(editions[0]).toContain('Name: New hall. It was North hall.')
    expect(editions[1]).toContain('Name: North hall. It was North yard.')
    expect(editions[1]).toContain('Hour of the morning’s mails: 05:00. It was 06:00.')
    expect(editions[2]).toContain('The first edition.')
    expect(text.slice(0, text.indexOf('class="editions"'))).toContain('<dd>North hall</dd>')
  })

  test('says who recorded an edition, and who approved it', async () => {
    const looser = { ...aProcedure, leastOverlapMetres: 0.01 }
    await house.done('PUT', '/v1/procedures/PRC-1', looser, 'manager')
    const { text } = await shown('/registers/procedures/PRC-1')
    expect(text).toContain('Recorded by Mia Okafor, 2 March 2026, 09:00 CST. Approved by Max Holm.')
  })

  test('of a person who has left, or has not come, says so', async () => {
    await house.done('PUT', '/v1/people/gone', { ...aManager, email: 'gone@x.example', until: '2026-03-01' })
    await house.done('PUT', '/v1/people/soon', { ...aManager, email: 'soon@x.example', effectiveFrom: '2026-05-01' })
    expect((await shown('/registers/people/gone')).text).toContain('1 March 2026 was their last day.')
    expect((await shown('/registers/people/soon')).text).toContain('They count from 1 May 2026 on')
  })

  test('that was taken back is told apart', async () => {
    await house.done('PUT', '/v1/depots/DEP-2', { ...aDepot, name: 'South yard', timeZone: 'Pacific/Kiritimati' })
    await house.done('PUT', '/v1/depots/DEP-2', { ...aDepot, name: 'South yard', timeZone: 'America/Denver' })
    const all = await house.organisation().registers.editions('depot', 'DEP-2')
    const text = (await shown('/registers/depots/DEP-2')).text
    expect(text.match(/taken back, stands no more/g)?.length ?? 0).toBe(
      all.filter(({ takesBack }) => takesBack !== undefined).length,
    )
  })

  test('that nobody entered, of a register there is not, is not found', async () => {
    for (const path of ['/registers/depots/DEP-0', '/registers/sticks/S-0', '/registers/none', '/registers/none/x'])
      expect((await shown(path)).status, path).toBe(404)
    expect((await shown(editionOf('depots', 'DEP-0'))).status).toBe(404)
  })

  test('of a stick is found by its number', async () => {
    const answer = await pages().request('/registers/sticks?id=S-1')
    expect([answer.status, answer.headers.get('location')]).toEqual([302, '/registers/sticks/S-1'])
    expect((await shown('/registers/sticks?id=a%20b')).status).toBe(404)
  })
})

describe('rows of a form', () => {
  const address = editionOf('crews', 'CR-1')

  test('become more by their button, with what was typed, and nothing is recorded', async () => {
    const typed = typedOver(typedForm((await shown(address)).text), { '/name': 'Crew <1>', more: '/recipients' })
    const before = house.table.written()
    const { status, text } = await sent(address, typed)
    expect([status, house.table.written()]).toEqual([200, before])
    const rowsOf = (markup: string) => markup.match(/<fieldset class="row">/g)?.length
    expect([rowsOf((await shown(address)).text), rowsOf(text)]).toEqual([4, 7])
    expect(text).toContain('value="Crew &lt;1&gt;"')
    expect(text).toMatch(/id="f-recipients-2-name"[^>]* autofocus/)
  })

  test('that are emptied are taken out, and faults stand at the rows that are left', async () => {
    const over = { '/recipients/0/name': '', '/recipients/0/email': '', '/recipients/0/role': '' }
    const faulty = await filled(address, { ...over, '/recipients/3/name': 'Kai Brandt', '/recipients/3/role': 'crew' })
    expect(faulty.status).toBe(422)
    expect(faulty.text).toMatch(/id="f-recipients-1-name"[^>]*value="Kai Brandt"[^>]*aria-invalid="true"/)
    await filled(address, over)
    const { json } = await house.call('GET', '/v1/crews/CR-1')
    expect(json.recipients.map(({ name }: { name: string }) => name)).toEqual(['Bo Lind'])
    expect((await shown('/registers/crews/CR-1')).text).toContain('Who is written to, taken out: Name: Ana Ferro')
  })

  test('of limits hold no figure that nobody entered, and ask for its source beside it', async () => {
    const { text } = await shown('/enter/procedures')
    expect(text).toMatch(/name="\/limits\/0\/microamps" value=""/)
    const typed = typedOver(typedForm(text), { '/id': 'PRC-9', '/limits/0/microamps': '9,5' })
    const answer = await sent('/enter/procedures', typed)
    expect(answer.text).toMatch(/id="f-limits-0-source"[^>]*aria-invalid="true"/)
    expect(answer.text).toMatch(/name="\/limits\/0\/microamps" value="9,5"/)
  })

  test('that change are told by what is the same and what is not', async () => {
    await filled(editionOf('procedures', 'PRC-1'), { '/limits/0/microamps': '9,5' })
    expect((await shown('/registers/procedures/PRC-1')).text).toContain(
      'Limits, FRP rod, dry, sample value: Limit, in µA: 9.5. It was 10.',
    )
  })
})

describe('a form', () => {
  test('that was filled in beside somebody else’s change is not sent over it unseen', async () => {
    const typed = typedForm((await shown(editionOf('depots', 'DEP-1'))).text)
    await house.done('PUT', '/v1/depots/DEP-1', { ...aDepot, name: 'Renamed' }, 'manager')
    const mine = typedOver(typed, { '/name': 'Mine' })
    const stopped = await sent(editionOf('depots', 'DEP-1'), mine)
    expect(stopped.status).toBe(409)
    expect(stopped.text).toContain('Somebody else changed this entry')
    expect((await house.call('GET', '/v1/depots/DEP-1')).json.name).toBe('Renamed')
    expect((await sent(editionOf('depots', 'DEP-1'), typedForm(stopped.text))).status).toBe(303)
    expect((await house.call('GET', '/v1/depots/DEP-1')).json.name).toBe('Mine')
  })

  test('keeps a box unticked that was unticked, when it is shown again', async () => {
    await house.done('PUT', '/v1/instruments/INS-9', { ...full.instruments, foundOutOfTolerance: true })
    const over = { '/foundOutOfTolerance': null, '/spanMetres': 'wide' }
    const { text } = await filled(editionOf('instruments', 'INS-9'), over)
    expect(text).not.toMatch(/name="\/foundOutOfTolerance"[^>]* checked/)
    expect(text).toContain('A number, such as 4.1 or 4,1.')
  })

  test('takes feet of a reader in feet, says what they become, and says its bounds in feet', async () => {
    const app = pages('feet')
    const over = { '/workingLengthMetres': '8 ft 6 in', '/diameterMillimetres': '1,25', '/sections/0/name': 'tip' }
    const { text } = await filled(editionOf('sticks', 'S-1'), { ...over, '/sections/0/lengthMetres': '120' }, app)
    expect(text).toContain('Working length, in feet')
    expect(text).toContain('This becomes 2.591 m.')
    expect(text).toContain('This becomes 31.75 mm.')
    expect(text).toContain('At most 98.425.')
    await filled(editionOf('sticks', 'S-1'), { '/workingLengthMetres': '8 ft 6 in' }, app)
    const { workingLengthMetres, diameterMillimetres } = (await house.call('GET', '/v1/sticks/S-1')).json
    expect([workingLengthMetres, diameterMillimetres]).toEqual([2.591, aStick.diameterMillimetres])
  })

  test('of a person says what each may do, and which day is still theirs', async () => {
    const { text } = await shown(editionOf('people', 'bench'))
    expect(text).toContain('also records tests, steps, checks, labels and moves at their depots')
    expect(text).toContain('The last day that is still theirs')
  })

  test('says why it is not for whoever sends it', async () => {
    const { status, text } = await filled(editionOf('people', 'bench'), { '/role': 'owner' })
    expect(status).toBe(403)
    expect(text).toContain('Only an owner may enter or change an owner.')
  })

  test('of an owner is not offered to a manager', async () => {
    await house.done('PUT', '/v1/people/olga', { ...aManager, role: 'owner', email: 'olga@x.example' })
    expect((await shown('/registers/people/olga')).text).not.toContain('/edition"')
    expect((await shown(editionOf('people', 'olga'))).status).toBe(403)
  })
})

test('a new entry is offered to those alone whose request would be taken', async () => {
  const rights: [Who, Parameters<typeof mayEnter>[0]][] = [
    ['crew', { role: 'crew', depots: [], crewId: 'CR-1' }],
    ['bench', { role: 'bench', depots: ['*'], crewId: null }],
    ['south manager', { role: 'manager', depots: ['DEP-2'], crewId: null }],
    ['manager', { role: 'manager', depots: ['*'], crewId: null }],
    ['owner', { role: 'owner', depots: ['*'], crewId: null }],
  ]
  const south = { crews: { ...aCrew, depotId: 'DEP-2' }, people: { ...full.people, depots: ['DEP-2'], crewId: 'CR-2' } }
  for (const [who, holder] of rights)
    for (const register of allRegisters) {
      const body = {
        ...full[register.path],
        ...south[register.path as 'crews'],
        ...(register.path === 'sticks' ? { crewId: 'CR-2' } : {}),
      }
      const { status } = await house.call('PUT', `/v1/${register.path}/${idOf(register.path)}`, body, who)
      expect([who, register.path, mayEnter(holder, register)]).toEqual([who, register.path, status !== 403])
    }
})

describe('what loosens', () => {
  test('waits, and the page says what hangs on it and where it is listed', async () => {
    const answer = await filled(editionOf('procedures', 'PRC-1'), { '/limits/3/microamps': '25' })
    expect(answer.status).toBe(303)
    expect(answer.to).toMatch(/done=waits&proposal=/)
    const { text } = await shown(answer.to)
    expect(text).toContain('Nothing has changed yet.')
    expect(text).toContain('The limit of 20 µA of foam-filled FRP tube, wet (sample value) becomes 25 µA.')
    expect(text).toContain('sticks last tested by it: 1')
    expect(text).toContain('href="/proposals"')
    expect((await house.call('GET', '/v1/procedures/PRC-1')).json.limits[3].microamps).toBe(20)
  })

  test('where nobody else could approve it, the page says so and where to enter somebody', async () => {
    const alone = openHouse([], '2026-03-02T15:00:00.000Z')
    await alone.call('PUT', '/v1/depots/DEP-1', aDepot)
    await alone.call('PUT', '/v1/procedures/PRC-1', aProcedure)
    const ofOwner = pagesOf(alone, 'owner')
    const answer = await filled(editionOf('procedures', 'PRC-1'), { '/leastOverlapMetres': '0.01' }, ofOwner)
    expect(answer.to).toContain('alone=yes')
    expect((await shown(answer.to, ofOwner)).text).toContain('href="/enter/people"')
  })
})

describe('what would follow', () => {
  const tableNow = () => JSON.stringify(house.table.items())

  test('from a policy is shown beside the form, and nothing is recorded', async () => {
    const stored = tableNow()
    const over = {
      '/shorten/0/requirement': `${us}-frp`,
      '/shorten/0/interval/count': '6',
      '/shorten/0/interval/unit': 'months',
      '/shorten/0/source': 'Manual 4.2',
      preview: 'yes',
    }
    const { status, text } = await filled(editionOf('policies'), over)
    expect([status, tableNow()]).toEqual([200, stored])
    const preview = /<section class="preview".*?<\/section>/s.exec(text)?.[0] ?? ''
    expect(preview).toContain('Sticks looked at: 1. Due earlier: 1. Due later: 0. Not to be used any more: 1.')
    expect(preview).toContain('href="/sticks/S-1"')
    expect(preview).toContain('1 June 2027')
    expect(preview).toContain('1 December 2025')
    expect(typedForm(text)).toContainEqual(['/shorten/0/source', 'Manual 4.2'])
  })

  test('from a policy with faults are the faults', async () => {
    const { status, text } = await filled(editionOf('policies'), { '/answerWithinHours': '90', preview: 'yes' })
    expect(status).toBe(422)
    expect(text).toContain('At most 72.')
    expect(text).not.toContain('class="preview"')
  })

  test('from a procedure is which last readings would no longer pass', async () => {
    const stored = tableNow()
    const { status, text } = await filled(editionOf('procedures', 'PRC-1'), {
      '/limits/3/microamps': '8',
      preview: 'yes',
    })
    expect([status, tableNow()]).toEqual([200, stored])
    expect(text).toContain('Last tests by this procedure that passed: 1. They would no longer pass: 1.')
    expect(text).toContain('the limit is not more than 8 µA')
    expect(typedForm(text)).toContainEqual(['/limits/3/microamps', '8'])
    const kept = await filled(editionOf('procedures', 'PRC-1'), { preview: 'yes' })
    expect(kept.text).toContain('They would no longer pass: 0.')
  })

  test('from a limit that is taken out is told too', async () => {
    const emptied = Object.fromEntries(
      ['construction', 'state', 'microamps', 'source'].map((name) => [`/limits/3/${name}`, '']),
    )
    const { text } = await filled(editionOf('procedures', 'PRC-1'), { ...emptied, preview: 'yes' })
    expect(text).toContain('They would no longer pass: 1.')
  })

  test('ends with what a look goes through, and says where', async () => {
    for (let i = 0; i < 205; i++) await house.done('PUT', `/v1/sticks/T-${String(i).padStart(3, '0')}`, aStick)
    const mo = await filled(editionOf('policies'), {
      '/packs': [us, 'us-mo-200'],
      '/woodForbidden': 'yes',
      preview: 'yes',
    })
    expect(mo.text).toContain('Sticks looked at: 206.')
    expect(mo.text).not.toContain('The look stopped')
  })

  test('from a new procedure nothing is asked: no test was judged by it', async () => {
    expect((await shown('/enter/procedures')).text).not.toContain('name="preview"')
  })
})

test('a procedure is taken with what should be looked at again', async () => {
  const lowChecks: Procedure = { ...aProcedure, checks: aProcedure.checks.slice(0, 1) }
  await house.done('PUT', '/v1/procedures/PRC-9', lowChecks)
  const { text } = await shown(`${editionOf('procedures')}?done=recorded`)
  expect(text).toContain('states no check reading for them')
})

test('every field of every form has a label, and faults are described at their field', async () => {
  for (const path of paths) {
    await house.done('PUT', `/v1/${path}/${idOf(path)}`, full[path])
    const { text } = await shown(editionOf(path))
    const ids = [...text.matchAll(/<(?:input|select|textarea) [^>]*?id="([^"]+)"/g)].map(([, id]) => id)
    expect(new Set(ids).size, path).toBe(ids.length)
    const boxes = new Set([...text.matchAll(/<label class="box"><input [^>]*id="([^"]+)"/g)].map(([, id]) => id))
    for (const id of ids) expect(text.includes(`for="${id}"`) || boxes.has(id), `${path} ${id}`).toBe(true)
    for (const [, described = ''] of text.matchAll(/aria-describedby="([^"]+)"/g))
      for (const id of described.split(' ')) expect(text, id).toContain(`id="${id}"`)
  }
})
