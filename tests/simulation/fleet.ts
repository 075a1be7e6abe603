/**
 * The invented utility of a run: two depots in two zones, three crews, and who is there; what it enters to begin with.
 */
import type { EmployerPolicy } from '../../shared-domain/policy/policy.ts'
import type { Crew, Depot, Person, Procedure, Recipient, Stick } from '../../shared-domain/registers.ts'
import { aProcedure, aStick, day } from '../support/trade.ts'
import type { ModelRules } from './model.ts'

export const organisation = 'demo-utility'

export const depots: Readonly<Record<string, Depot>> = {
  'DEP-1': { name: 'North yard', timeZone: 'America/Chicago', sweepHour: 6 },
  'DEP-2': { name: 'Harbour yard', timeZone: 'Europe/Lisbon', sweepHour: 5 },
}

export const zoneOf = (depotId: string): string => depots[depotId]?.timeZone ?? 'UTC'

const recipient = (name: string, role: Recipient['role'], crew: number): Recipient => ({
  name,
  email: `${name.toLowerCase()}@crew-${crew}.example`,
  role,
})

export const crews: Readonly<Record<string, Crew>> = {
  'CR-1': {
    name: 'Crew one',
    depotId: 'DEP-1',
    recipients: [recipient('Ana', 'crew', 1), recipient('Bo', 'foreman', 1)],
  },
  'CR-2': {
    name: 'Crew two',
    depotId: 'DEP-1',
    recipients: [recipient('Cy', 'foreman', 2), recipient('Dee', 'crew', 2), { name: 'Edo', phone: '1', role: 'crew' }],
  },
  'CR-3': {
    name: 'Crew three',
    depotId: 'DEP-2',
    recipients: [recipient('Fay', 'crew', 3), recipient('Gil', 'crew', 3)],
  },
}

const person = (name: string, role: Person['role'], depotsOf: readonly string[]): Person => ({
  name,
  email: `${name.toLowerCase()}@demo-utility.example`,
  role,
  depots: [...depotsOf],
})

export const owner = person('Olga', 'owner', ['*'])

export const people: Readonly<Record<string, Person>> = {
  owner,
  mia: person('Mia', 'manager', ['*']),
  max: person('Max', 'manager', ['DEP-1']),
  mo: person('Mo', 'manager', ['DEP-2']),
  ines: person('Ines', 'bench', ['*']),
  ivo: person('Ivo', 'bench', ['*']),
}

/** Of that depot alone. */
export const managerOf: Readonly<Record<string, string>> = { 'DEP-1': 'max', 'DEP-2': 'mo' }

/** Comes and goes. */
export const newManager: Person = person('Nell', 'manager', ['*'])

export const procedure: Procedure = {
  ...aProcedure,
  limits: [...aProcedure.limits, { construction: 'wood', state: 'dry', microamps: 10, source: 'sample value' }],
}

/** Short ones, so that a survey has few readings. */
export const lengthMetres = 0.5

export const lots = ['L-1', 'L-2', 'L-3', 'L-4', 'L-5'] as const

export const stickEntry = (wood: boolean, crewId: string, lot: string): Stick => {
  const { inServiceSince: _, ...entry } = aStick
  return {
    ...entry,
    lot,
    workingLengthMetres: lengthMetres,
    crewId,
    construction: wood ? 'wood' : 'foam-filled FRP tube',
  }
}

export const firstCalibratedUntil = '2026-12-01'

export const calibration = (on: string, dueOn: string) => ({
  spanMetres: 0.3,
  calibratedOn: day(on),
  calibrationDueOn: day(dueOn),
})

/** The policy of an employer who holds to these rules. */
export function policyOf(rules: ModelRules): EmployerPolicy {
  const us = 'us-29-cfr-1910-269-j'
  return {
    packs: [us, ...(rules.order261 ? (['ru-order-261'] as const) : [])],
    ...(rules.shortenedTo12
      ? {
          shorten: [`${us}-frp`, `${us}-wood`].map((requirement) => ({
            requirement,
            interval: { months: 12 },
            source: 'company rule 7',
          })),
        }
      : {}),
    ...(rules.shelfMonths === null ? {} : { add: [shelfRule(rules.shelfMonths)] }),
    ...(rules.noWood ? { woodForbidden: true } : {}),
    ...(rules.release ? { releaseAfterFailure: true } : {}),
    answerWithinHours,
  }
}

export const answerWithinHours = 4
/** Short, so that a day alone holds sticks often enough. */
export const shelfMonths = 3

const shelfRule = (shelfMonths: number): NonNullable<EmployerPolicy['add']>[number] => ({
  id: 'company-shelf',
  words: 'issued within months of its test',
  source: { cited: 'company rule 9', jurisdiction: 'the company', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: null,
  shelfMonths,
  appliesTo: {
    primaryProtectionOnly: false,
    constructions: ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube', 'wood'],
  },
  legalMaximum: false,
})
