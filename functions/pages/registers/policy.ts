/** Fields of the employer's policy. */
import { rulePacks } from '../../../shared-domain/policy/packs.ts'
import type { EmployerPolicy } from '../../../shared-domain/policy/policy.ts'
import type { Interval, Requirement } from '../../../shared-domain/policy/requirement.ts'
import {
  constructions,
  evidenceKinds,
  removesOnlyAfter,
  stoppingEvents,
  useConditions,
} from '../../../shared-domain/words.ts'
import type { Field, FormPart, Option } from '../acts/form.ts'
import type { PageWording } from '../wording.ts'
import {
  choice,
  type Draw,
  dateField,
  group,
  kept,
  lineField,
  number,
  rows,
  several,
  tick,
  wordsOf,
} from './drawing.ts'
import { others, packOptions } from './places-and-people.ts'

const requirements = rulePacks.flatMap((pack) => pack.requirements)

export const policyFields: Draw<EmployerPolicy> = (body, { wording }) => {
  const { say } = wording
  return [
    several('/packs', say('field packs'), {
      options: packOptions(wording),
      values: body?.packs,
      hint: say('hint packs'),
    }),
    several('/turnOn', say('field turn on'), {
      options: leftToEmployer(body?.turnOn, wording),
      values: body?.turnOn,
      optional: true,
    }),
    shorten(body, wording),
    own(body, wording),
    ...settings(body, wording),
  ]
}

/** A requirement that runs without being turned on may be named too, and stays named. */
function leftToEmployer(named: readonly string[] | undefined, wording: PageWording): Option[] {
  const { say } = wording
  const optional = requirements.filter((one) => one.optional).map((one) => optionOf(one, wording))
  const caps = rulePacks.flatMap(({ calibrationCap: cap }): Option[] =>
    cap === undefined ? [] : [[cap.id, say('calibration cap', { months: cap.months, cited: cap.cited })]],
  )
  const all = [...optional, ...caps]
  return [
    ...all,
    ...others(
      named,
      all.map(([id]) => id),
    ),
  ]
}

function optionOf({ id, words, source }: Requirement, { say, word }: PageWording): Option {
  return [id, say('requirement option', { words: word('duty', words), cited: source.cited })]
}

function shorten(body: EmployerPolicy | undefined, wording: PageWording) {
  const { say } = wording
  return rows<NonNullable<EmployerPolicy['shorten']>[number]>(
    '/shorten',
    {
      legend: say('rows shorten'),
      hint: say('hint shorten'),
      each: (place) => say('row shorten', { number: place }),
      standing: body?.shorten,
      optional: true,
      spare: 1,
    },
    (at, one) => [
      choice(`${at}/requirement`, say('field requirement'), {
        options: requirements.map((rule) => optionOf(rule, wording)),
        value: one?.requirement,
      }),
      ...every(`${at}/interval`, one?.interval, wording),
      lineField(`${at}/source`, say('field source'), one?.source, { hint: say('hint source') }),
    ],
  )
}

const countedIn = ['months', 'end of month', 'days', 'useDays', 'once'] as const

/** How long, and counted in what: the body has another name for each. */
function every(at: Field['name'], one: Interval | null | undefined, { say }: PageWording): Field[] {
  const unit = unitOf(one)
  return [
    number(`${at}/count`, say('field count'), countOf(one), { optional: true }),
    choice(`${at}/unit`, say('field unit'), {
      options: countedIn.map((each) => [each, say(`unit ${each}`)]),
      value: unit,
    }),
  ]
}

function unitOf(one: Interval | null | undefined): string | undefined {
  if (one === undefined) return undefined
  if (one === null) return 'once'
  if ('months' in one) return one.counting === 'end of month' ? 'end of month' : 'months'
  return Object.keys(one)[0]
}

function countOf(one: Interval | null | undefined): number | undefined {
  if (one == null) return undefined
  return 'months' in one ? one.months : Object.values(one)[0]
}

export function intervalTyped(typed: unknown): unknown {
  const { count, unit } = (typed ?? {}) as Readonly<Record<string, unknown>>
  if (unit === 'once' && count === undefined) return null
  if (unit === undefined || count === undefined) return typed
  return unit === 'end of month' ? { months: count, counting: unit } : { [String(unit)]: count }
}

function own(body: EmployerPolicy | undefined, wording: PageWording) {
  const { say } = wording
  return rows<Requirement>(
    '/add',
    {
      legend: say('rows add'),
      hint: say('hint add'),
      each: (place) => say('row add', { number: place }),
      standing: body?.add,
      optional: true,
      spare: 1,
    },
    (at, one) => requirementFields(at, one, wording),
  )
}

function requirementFields(at: Field['name'], one: Requirement | undefined, wording: PageWording): Field[] {
  const { say } = wording
  const { statedBy, byClass, examinationOnly, source, appliesTo } = one ?? {}
  return [
    ...kept(at, say('further terms'), { statedBy, byClass, examinationOnly, ...datesOf(source) }),
    lineField(`${at}/id`, say('field requirement id'), one?.id),
    lineField(`${at}/words`, say('field words'), one?.words),
    ...every(`${at}/interval`, one?.interval, wording),
    several(`${at}/evidence`, say('field evidence'), {
      options: wordsOf(wording, 'evidence', evidenceKinds),
      values: one?.evidence,
    }),
    lineField(`${at}/source/cited`, say('field cited'), source?.cited),
    lineField(`${at}/source/edition`, say('field edition'), source?.edition, { optional: true }),
    lineField(`${at}/source/jurisdiction`, say('field jurisdiction'), source?.jurisdiction),
    choice(`${at}/source/confidence`, say('field confidence'), {
      options: confidences.map((how) => [how, say(`confidence ${how}`)]),
      value: source?.confidence,
    }),
    choice(`${at}/appliesTo/primaryProtectionOnly`, say('field only primary'), {
      options: [
        ['true', say('only primary')],
        ['false', say('every stick')],
      ],
      isJson: true,
      value: appliesTo === undefined ? undefined : String(appliesTo.primaryProtectionOnly),
    }),
    several(`${at}/appliesTo/constructions`, say('field for constructions'), {
      options: wordsOf(wording, 'construction', constructions),
      values: appliesTo?.constructions,
    }),
    dateField(`${at}/appliesTo/inServiceFrom`, say('field in service from'), appliesTo?.inServiceFrom, {
      optional: true,
    }),
    several(`${at}/stops`, say('field stops'), {
      options: wordsOf(wording, 'stop', stoppingEvents),
      values: one?.stops,
      optional: true,
    }),
    number(`${at}/shelfMonths`, say('field shelf'), one?.shelfMonths, { optional: true }),
    number(`${at}/suspendedInStorageAfterMonths`, say('field rest'), one?.suspendedInStorageAfterMonths, {
      optional: true,
    }),
    lineField(`${at}/waxing`, say('field waxing of rule'), one?.waxing, { optional: true }),
    tick(`${at}/legalMaximum`, say('field legal maximum'), one?.legalMaximum),
    tick(`${at}/optional`, say('field is optional'), one?.optional, { optional: true }),
  ]
}

const confidences = [
  'read in a copy of the rule',
  'read in a secondary copy',
  'from memory',
  'the employer’s own',
] as const satisfies readonly Requirement['source']['confidence'][]

/** From when until when a source is in force is seldom stated. */
function datesOf(source: Requirement['source'] | undefined) {
  const { effectiveFrom, effectiveTo } = source ?? {}
  if (effectiveFrom === undefined && effectiveTo === undefined) return {}
  return {
    source: {
      ...(effectiveFrom === undefined ? {} : { effectiveFrom }),
      ...(effectiveTo === undefined ? {} : { effectiveTo }),
    },
  }
}

const seldom = { optional: true } as const

function settings(body: EmployerPolicy | undefined, { say }: PageWording): FormPart[] {
  return [
    tick('/woodForbidden', say('field wood'), body?.woodForbidden, seldom),
    tick('/examinationOnly', say('field examination only'), body?.examinationOnly, seldom),
    tick('/releaseAfterFailure', say('field release'), body?.releaseAfterFailure, seldom),
    choice('/removesOnlyAfter', say('field removes'), {
      options: [[removesOnlyAfter, say('removes after refinishing or repair')]],
      value: body?.removesOnlyAfter,
      hint: say('hint removes'),
      optional: true,
    }),
    lineField('/waxing', say('field waxing'), body?.waxing, seldom),
    {
      kind: 'list',
      of: 'numbers',
      name: '/tellDaysBefore',
      label: say('field tell days'),
      hint: say('hint tell days'),
      optional: true,
      ...(body?.tellDaysBefore === undefined ? {} : { value: body.tellDaysBefore.join(', ') }),
    },
    number('/tellOverdueEveryDays', say('field tell overdue'), body?.tellOverdueEveryDays, seldom),
    number('/answerWithinHours', say('field answer hours'), body?.answerWithinHours, {
      ...seldom,
      hint: say('hint answer hours'),
    }),
    group(
      say('group climbs'),
      (['foreman', 'manager', 'owner'] as const).map((role) =>
        number(
          `/overdueClimbs/${role}AfterWeeks`,
          say(`field climbs ${role}`),
          body?.overdueClimbs?.[`${role}AfterWeeks`],
          seldom,
        ),
      ),
      say('hint climbs'),
    ),
    group(
      say('group occasional'),
      [
        number('/occasionalUse/windowDays', say('field window days'), body?.occasionalUse?.windowDays, seldom),
        number('/occasionalUse/atMostUseDays', say('field use days'), body?.occasionalUse?.atMostUseDays, seldom),
      ],
      say('hint occasional'),
    ),
    group(
      say('group weights'),
      useConditions.map((condition) =>
        number(`/useWeights/${condition}`, say(`weight ${condition}`), body?.useWeights?.[condition], seldom),
      ),
      say('hint weights'),
    ),
  ]
}
