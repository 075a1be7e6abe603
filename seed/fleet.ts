/**
 * An invented utility in an invented region: depots, crews, people, instruments, procedures and sticks. Nobody and
 * nothing here exists, and every limit is a demonstration value that no test may be judged by.
 */
import { addMonths, type CalendarDate } from '../shared-domain/calendar.ts'
import type {
  Crew,
  Demonstration,
  Depot,
  Instrument,
  Limit,
  Person,
  Procedure,
  Recipient,
  Stick,
} from '../shared-domain/registers.ts'
import type { Construction } from '../shared-domain/words.ts'
import { chanceOf, oneOf } from './chance.ts'

export const demoDepots: Readonly<Record<string, Omit<Depot, 'effectiveFrom'>>> = {
  'DEP-1': {
    name: 'Quillmere yard',
    timeZone: 'America/Chicago',
    sweepHour: 6,
    address: '14 Quarry Road, Quillmere, gate 2',
    hours: 'Monday to Friday, 6:30 to 16:00; other hours: ring at the gate',
  },
  'DEP-2': {
    name: 'Dunnarrow yard',
    timeZone: 'America/Denver',
    sweepHour: 6,
    address: '3 Mill Lane, Dunnarrow',
    hours: 'every day, 7:00 to 17:00',
  },
  'DEP-3': { name: 'Sallowfirth yard', timeZone: 'America/St_Johns', sweepHour: 6 },
}

/** The minutes of a week that each bench has for tests, invented like all else here. */
export const demoBenchMinutes: Readonly<Record<string, number>> = { 'DEP-1': 600, 'DEP-2': 360, 'DEP-3': 240 }

interface Human {
  readonly id: string
  readonly name: string
  /** people without an address are told in person, by phone */
  readonly email?: string
  readonly phone?: string
  readonly reads?: Pick<Person, 'language' | 'units'>
  readonly work:
    | { readonly crewId: string; readonly as: 'foreman' | 'crew' }
    | { readonly staff: 'bench' | 'manager'; readonly depots: string[] }
}

const mail = (id: string) => `${id}@demo-utility.example`
const staff = (id: string, name: string, as: 'bench' | 'manager', depots: string[]): Human => ({
  id,
  name,
  email: mail(id),
  work: { staff: as, depots },
})
const mailed = (id: string, name: string, crewId: string, as: 'foreman' | 'crew' = 'crew', reads = {}): Human => ({
  id,
  name,
  email: mail(id),
  reads,
  work: { crewId, as },
})
const phoned = (id: string, name: string, phone: string, crewId: string, as: 'foreman' | 'crew' = 'crew'): Human => ({
  id,
  name,
  phone,
  work: { crewId, as },
})

const inFeet = { units: 'US customary' } as const
const inSpanish = { language: 'es' } as const

/** Crew 11 has no mail at all and crew 7 a foreman without it, so that somebody has to be told face to face. */
export const demoHumans: readonly Human[] = [
  staff('z.marchetti', 'Zoë Marchetti', 'manager', ['DEP-1', 'DEP-2']),
  staff('o.bryn', 'Ólafur Bryn', 'manager', ['DEP-3']),
  staff('l.brandt', 'Łukasz Brandt', 'bench', ['DEP-1']),
  staff('n.obiora', 'Nkechi Obiora', 'bench', ['DEP-2']),
  staff('c.demirel', 'Çağla Demirel', 'bench', ['DEP-3']),
  mailed('s.aalto', 'Søren Aalto', 'CR-1', 'foreman'),
  mailed('r.pell', 'Rosa Pell', 'CR-1'),
  phoned('i.mbeki', 'Ike Mbeki', '+1 555 0101', 'CR-1'),
  mailed('t.ha', 'Đặng Thu Hà', 'CR-2', 'foreman'),
  mailed('j.corrow', 'Jonas Corrow', 'CR-2', 'crew', inFeet),
  mailed('m.ives', 'Mara Ives', 'CR-3', 'foreman'),
  mailed('y.sokolova', 'Юлия Соколова', 'CR-3'),
  mailed('d.okell', 'Dáithí Okell', 'CR-4', 'foreman'),
  phoned('b.sarn', 'Bram Sarn', '+1 555 0102', 'CR-4'),
  mailed('n.deli', 'Νίκη Δελή', 'CR-5', 'foreman'),
  mailed('p.anez', 'Itxaso Añez', 'CR-5', 'crew', inSpanish),
  mailed('h.tamura', '田村 あおい', 'CR-6', 'foreman'),
  mailed('e.lunt', 'Edda Lunt', 'CR-6'),
  phoned('w.quist', 'Wim Quist', '+1 555 0103', 'CR-7', 'foreman'),
  mailed('a.feher', 'Ágnes Fehér', 'CR-7'),
  mailed('k.dorran', 'Keir Dorran', 'CR-8', 'foreman'),
  mailed('f.barzani', 'فرهاد بارزانی', 'CR-8'),
  mailed('v.novotna', 'Věra Novotná', 'CR-9', 'foreman'),
  phoned('g.tull', 'Gus Tull', '+1 555 0104', 'CR-9'),
  mailed('s.rao', 'सीमा राव', 'CR-10', 'foreman'),
  mailed('c.venn', 'Cato Venn', 'CR-10'),
  phoned('u.marl', 'Una Marl', '+1 555 0105', 'CR-11', 'foreman'),
  phoned('x.ibarra', 'Ximena Ibarra', '+1 555 0106', 'CR-11'),
  mailed('o.thane', 'Ørjan Thane', 'CR-12', 'foreman'),
  mailed('l.sable', 'Lou Sable', 'CR-12'),
]

const crewNames = [
  'Heron crew',
  'Kestrel crew',
  'Plover crew',
  'Swift crew',
  'Alder crew',
  'Birch crew',
  'Rowan crew',
  'Willow crew',
  'Kelp crew',
  'Marram crew',
  'Samphire crew',
  'Thrift crew',
]
const crewsOfADepot = 4

export const demoCrews: Readonly<Record<string, Omit<Crew, 'effectiveFrom'>>> = Object.fromEntries(
  crewNames.map((name, i) => {
    const id = `CR-${i + 1}`
    return [id, { name, depotId: `DEP-${Math.floor(i / crewsOfADepot) + 1}`, recipients: recipientsOf(id) }]
  }),
)

function recipientsOf(crewId: string): Recipient[] {
  return demoHumans.flatMap(({ name, email, phone, reads, work }) => {
    if (!('crewId' in work) || work.crewId !== crewId) return []
    const reached = { ...(email === undefined ? {} : { email }), ...(phone === undefined ? {} : { phone }) }
    return [{ name, ...reached, role: work.as, ...reads }]
  })
}

/** People with an address can sign in: the register of people wants one. */
export const demoPeople: Readonly<Record<string, Omit<Person, 'effectiveFrom'>>> = Object.fromEntries(
  demoHumans.flatMap(({ id, name, email, reads, work }) => {
    if (email === undefined) return []
    const rights =
      'staff' in work
        ? { role: work.staff, depots: work.depots }
        : { role: 'crew' as const, depots: [], crewId: work.crewId }
    return [[id, { name, email, ...rights, ...reads }]]
  }),
)

/** The person at the bench of a depot. */
export function testerAt(depotId: string): string {
  const found = demoHumans.find(
    ({ work }) => 'staff' in work && work.staff === 'bench' && work.depots.includes(depotId),
  )
  return found?.name ?? 'Bench'
}

/**
 * Days before the start on which each instrument was calibrated, for 12 months each time. The second one came back
 * three weeks late after its first period: what was measured with it meanwhile proves nothing.
 */
const calibrations = {
  'INS-1': { spanMetres: 0.3, daysAgo: [960, 600, 240] },
  'INS-2': { spanMetres: 0.6, daysAgo: [930, 540, 180] },
} as const
export type InstrumentId = keyof typeof calibrations

export function demoInstruments(
  ago: (days: number) => CalendarDate,
): { id: InstrumentId; editions: (Instrument & { effectiveFrom: CalendarDate })[] }[] {
  return (Object.keys(calibrations) as InstrumentId[]).map((id) => ({
    id,
    editions: calibrations[id].daysAgo.map((days) => ({
      spanMetres: calibrations[id].spanMetres,
      calibratedOn: ago(days),
      calibrationDueOn: addMonths(ago(days), 12),
      expandedUncertaintyPercent: 3,
      effectiveFrom: ago(days),
    })),
  }))
}

export function spanOf(id: InstrumentId): number {
  return calibrations[id].spanMetres
}

const invented = 'demonstration value, of no standard'

const demoLimit = (
  construction: Construction,
  state: Limit['state'],
  microamps: number,
  diameterMillimetres?: [number, number],
): Limit => ({
  construction,
  state,
  microamps,
  source: invented,
  ...(diameterMillimetres === undefined ? {} : { diameterMillimetres }),
})

const frpLimits: Limit[] = [
  demoLimit('FRP rod', 'dry', 9),
  demoLimit('FRP rod', 'wet', 18),
  demoLimit('foam-filled FRP tube', 'dry', 10, [0, 45]),
  demoLimit('foam-filled FRP tube', 'wet', 20, [0, 45]),
  demoLimit('foam-filled FRP tube', 'dry', 12, [45, 120]),
  demoLimit('foam-filled FRP tube', 'wet', 22, [45, 120]),
  demoLimit('hollow FRP tube', 'dry', 11),
  demoLimit('hollow FRP tube', 'wet', 21),
]

const check = (state: Limit['state']) => ({
  state,
  expectedMicroamps: 100,
  tolerancePercent: 5,
  openAtMostMicroamps: 0.5,
})

export const leastOverlapMetres = 0.05

export const comparisonReport = 'DEM-1'

/** The demonstration that stands for the rule's withstand test of sticks tested by readings of leakage. */
export const demoDemonstrations: Readonly<Record<string, Omit<Demonstration, 'effectiveFrom'>>> = {
  [comparisonReport]: {
    kind: 'readings for withstand',
    by: 'The line methods engineer',
    grounds: 'comparison report D-12, made up for the demo',
  },
}

export const demoProcedures: Readonly<Record<string, Omit<Procedure, 'effectiveFrom'>>> = {
  'PRC-1': {
    title: 'DEMONSTRATION ONLY: bench survey of FRP sticks, dry and wet',
    approvedBy: 'Line methods engineer (demonstration)',
    leastOverlapMetres,
    comparison: 'not more than',
    decision: 'simple',
    checks: [check('dry'), check('wet')],
    limits: frpLimits,
  },
  'PRC-2': {
    title: 'DEMONSTRATION ONLY: bench survey of all constructions, wood dry only, guarded by the uncertainty',
    approvedBy: 'Line methods engineer (demonstration)',
    leastOverlapMetres,
    comparison: 'less than',
    decision: 'guarded',
    checks: [check('dry'), check('wet')],
    limits: [...frpLimits, demoLimit('wood', 'dry', 14)],
  },
}

export type DemoStick = Omit<Stick, 'effectiveFrom' | 'inServiceSince'> & {
  readonly id: string
  readonly crewId: string
}

export const stickId = (number: number) => `S-${String(number).padStart(4, '0')}`

/** Carried along and measured with, but never between a person and the line. */
const notPrimary = [15, 36]

export function demoStick(number: number): DemoStick {
  const chance = chanceOf(`stick ${number}`)
  const construction = constructionOf(number)
  const size = oneOf(chance, sizes[construction])
  const sections = 'sections' in size ? { sections: namedSections(size.sections) } : {}
  return {
    id: stickId(number),
    construction,
    workingLengthMetres: size.metres,
    diameterMillimetres: size.millimetres,
    primaryProtection: !notPrimary.includes(number),
    crewId: `CR-${((number - 1) % crewNames.length) + 1}`,
    lot: `L-${construction.charAt(0).toUpperCase()}${size.millimetres}-${oneOf(chance, ['A', 'B', 'C'])}`,
    ...sections,
  }
}

/** Twenty sticks are ten foam-filled tubes, five hollow ones, four rods and one of wood. */
function constructionOf(number: number): Construction {
  const place = number % 20
  if (place === 3) return 'wood'
  if (place % 4 === 0) return 'hollow FRP tube'
  return [1, 6, 11, 15].includes(place) ? 'FRP rod' : 'foam-filled FRP tube'
}

interface Size {
  readonly metres: number
  readonly millimetres: number
  /** sections of a telescoping stick, from the working end */
  readonly sections?: readonly number[]
}

const sizes: Readonly<Record<Construction, readonly [Size, ...Size[]]>> = {
  'FRP rod': [
    { metres: 1.2, millimetres: 19 },
    { metres: 1.5, millimetres: 25 },
    { metres: 1.8, millimetres: 32 },
  ],
  'foam-filled FRP tube': [
    { metres: 1.8, millimetres: 32 },
    { metres: 2.4, millimetres: 32 },
    { metres: 2.4, millimetres: 38 },
    { metres: 3, millimetres: 38 },
    { metres: 3.6, millimetres: 64 },
  ],
  'hollow FRP tube': [
    { metres: 2.4, millimetres: 45 },
    { metres: 4.5, millimetres: 51, sections: [1.5, 1.5, 1.5] },
    { metres: 6, millimetres: 57, sections: [1.6, 1.5, 1.5, 1.4] },
  ],
  wood: [
    { metres: 1.8, millimetres: 38 },
    { metres: 2.4, millimetres: 45 },
  ],
}

function namedSections(lengths: readonly number[]): NonNullable<Stick['sections']> {
  return lengths.map((lengthMetres, i) => ({
    name: i === 0 ? 'tip' : i === lengths.length - 1 ? 'base' : `middle ${i}`,
    lengthMetres,
  }))
}
