/** Fields of the entries by which a bench works: sticks, instruments, procedures, demonstrations. */
import type {
  Demonstration,
  Instrument,
  Limit,
  Procedure,
  Stick,
  WithstandTest,
} from '../../../shared-domain/registers.ts'
import { constructions, demonstrationKinds, surfaceStates } from '../../../shared-domain/words.ts'
import type { Field } from '../acts/form.ts'
import type { PageWording } from '../wording.ts'
import {
  across,
  along,
  choice,
  type Draw,
  type Drawing,
  dateField,
  group,
  lineField,
  number,
  pick,
  rows,
  tick,
  wordsOf,
} from './drawing.ts'
import { namesOf, others } from './places-and-people.ts'

export const stickFields: Draw<Stick> = (body, { wording, directory }) => {
  const { say } = wording
  const crews = directory.crews.map(({ id }) => id)
  return [
    choice('/construction', say('field construction'), {
      options: wordsOf(wording, 'construction', constructions),
      value: body?.construction,
    }),
    along(wording, '/workingLengthMetres', { label: say('field length'), length: body?.workingLengthMetres }),
    across(wording, '/diameterMillimetres', { label: say('field diameter'), length: body?.diameterMillimetres }),
    pick('/primaryProtection', say('field primary'), {
      options: [
        ['true', say('relied')],
        ['false', say('relied not')],
      ],
      isJson: true,
      value: body === undefined ? undefined : String(body.primaryProtection),
      hint: say('hint primary'),
    }),
    choice('/crewId', say('field crew of stick'), {
      options: [...namesOf(directory.crews), ...others([body?.crewId ?? ''], ['', ...crews])],
      value: body?.crewId,
      optional: true,
    }),
    lineField('/lot', say('field lot'), body?.lot, { optional: true }),
    number('/lineKilovolts', say('field stick kilovolts'), body?.lineKilovolts, { optional: true }),
    dateField('/inServiceSince', say('field since'), body?.inServiceSince, { optional: true }),
    rows<NonNullable<Stick['sections']>[number]>(
      '/sections',
      {
        legend: say('rows sections'),
        hint: say('hint sections'),
        each: (place) => say('row section', { number: place }),
        standing: body?.sections,
        optional: true,
      },
      (at, one) => [
        lineField(`${at}/name`, say('field name'), one?.name),
        along(wording, `${at}/lengthMetres`, { label: say('field section length'), length: one?.lengthMetres }),
      ],
    ),
    tick('/sameStick', say('field same stick'), body?.sameStick, { optional: true }),
  ]
}

const errorKinds = ['percent of reading', 'percent of full scale', 'offset microamps'] as const

export const instrumentFields: Draw<Instrument> = (body, { wording }) => {
  const { say } = wording
  return [
    along(wording, '/spanMetres', { label: say('field span'), length: body?.spanMetres }),
    dateField('/calibratedOn', say('field calibrated on'), body?.calibratedOn, { hint: say('hint calibrated on') }),
    dateField('/calibrationDueOn', say('field calibration due'), body?.calibrationDueOn, {
      hint: say('hint calibration due'),
    }),
    number('/expandedUncertaintyPercent', say('field uncertainty'), body?.expandedUncertaintyPercent, {
      optional: true,
    }),
    number('/kilovolts', say('field kilovolts'), body?.kilovolts, { optional: true }),
    number('/hertz', say('field hertz'), body?.hertz, { optional: true }),
    lineField('/certificate', say('field certificate'), body?.certificate, { optional: true }),
    lineField('/laboratory', say('field laboratory'), body?.laboratory, { optional: true }),
    tick('/foundOutOfTolerance', say('field found out'), body?.foundOutOfTolerance, { optional: true }),
    group(
      say('group found error'),
      [
        choice('/foundError/kind', say('field error of'), {
          options: errorKinds.map((kind) => [kind, say(`error ${kind}`)]),
          value: body?.foundError?.kind,
          optional: true,
        }),
        number('/foundError/value', say('field error'), body?.foundError?.value, { optional: true }),
        number('/foundError/fullScaleMicroamps', say('field error full scale'), body?.foundError?.fullScaleMicroamps, {
          optional: true,
        }),
      ],
      say('hint found error'),
    ),
  ]
}

export const demonstrationFields: Draw<Demonstration> = (body, { wording: { say } }) => [
  pick('/kind', say('field demonstrated'), {
    options: demonstrationKinds.map((kind) => [kind, say(`demonstrates ${kind}`)]),
    value: body?.kind,
  }),
  lineField('/by', say('field by whom'), body?.by),
  lineField('/grounds', say('field grounds'), body?.grounds, { hint: say('hint grounds') }),
  dateField('/until', say('field until'), body?.until, { hint: say('hint until of demonstration'), optional: true }),
]

export const procedureFields: Draw<Procedure> = (body, drawing) => {
  const { wording } = drawing
  const { say } = wording
  return [
    lineField('/title', say('field title'), body?.title),
    lineField('/approvedBy', say('field approved by'), body?.approvedBy, { hint: say('hint approved by') }),
    along(wording, '/leastOverlapMetres', { label: say('field overlap'), length: body?.leastOverlapMetres }),
    pick('/comparison', say('field comparison'), {
      options: (['not more than', 'less than'] as const).map((one) => [one, say(`comparison ${one}`)]),
      value: body?.comparison,
    }),
    pick('/decision', say('field decision'), {
      options: (['simple', 'guarded'] as const).map((one) => [one, say(`decision rule ${one}`)]),
      value: body?.decision,
    }),
    checks(body, wording),
    limits(body, wording),
    withstand(body, drawing),
    {
      kind: 'list',
      of: 'lines',
      name: '/sticks',
      label: say('field sticks'),
      hint: say('hint sticks'),
      optional: true,
      ...(body?.sticks === undefined ? {} : { value: body.sticks.join('\n') }),
    },
    number(
      '/waterConductivityAtMostMicrosiemensPerCm',
      say('field conductivity'),
      body?.waterConductivityAtMostMicrosiemensPerCm,
      { optional: true },
    ),
    ambient(body?.ambient, wording),
  ]
}

function checks(body: Procedure | undefined, wording: PageWording) {
  const { say } = wording
  return rows<Procedure['checks'][number]>(
    '/checks',
    {
      legend: say('rows checks'),
      hint: say('hint checks'),
      each: (place) => say('row check', { number: place }),
      standing: body?.checks,
    },
    (at, one) => [
      choice(`${at}/state`, say('field surface'), {
        options: wordsOf(wording, 'state', surfaceStates),
        value: one?.state,
      }),
      number(`${at}/expectedMicroamps`, say('field expected'), one?.expectedMicroamps),
      number(`${at}/tolerancePercent`, say('field tolerance'), one?.tolerancePercent),
      number(`${at}/openAtMostMicroamps`, say('field open'), one?.openAtMostMicroamps),
      tick(`${at}/afterToo`, say('field after too'), one?.afterToo, { optional: true }),
    ],
  )
}

/** No figure stands in a limit that nobody entered, and its source is asked for beside it. */
function limits(body: Procedure | undefined, wording: PageWording) {
  const { say } = wording
  return rows<Limit>(
    '/limits',
    {
      legend: say('rows limits'),
      hint: say('hint limits'),
      each: (place) => say('row limit', { number: place }),
      standing: body?.limits,
    },
    (at, one) => [
      choice(`${at}/construction`, say('field construction'), {
        options: wordsOf(wording, 'construction', constructions),
        value: one?.construction,
      }),
      choice(`${at}/state`, say('field surface'), {
        options: wordsOf(wording, 'state', surfaceStates),
        value: one?.state,
      }),
      number(`${at}/microamps`, say('field microamps'), one?.microamps),
      lineField(`${at}/source`, say('field source'), one?.source, { hint: say('hint source') }),
      ...([0, 1] as const).map((end) =>
        across(wording, `${at}/diameterMillimetres/${end}`, {
          label: endOf(say('field diameter'), end, wording),
          length: one?.diameterMillimetres?.[end],
          optional: true,
          hint: '',
        }),
      ),
      along(wording, `${at}/spanMetres`, {
        label: say('field limit span'),
        length: one?.spanMetres,
        optional: true,
        hint: '',
      }),
      number(`${at}/kilovolts`, say('field limit kilovolts'), one?.kilovolts, { optional: true }),
      number(`${at}/hertz`, say('field hertz'), one?.hertz, { optional: true }),
    ],
  )
}

const endOf = (what: string, end: 0 | 1, { say }: PageWording) => say(end === 0 ? 'from' : 'up to', { what })

function band(
  at: Field['name'],
  what: string,
  { one, wording }: { one: readonly number[] | undefined; wording: PageWording },
) {
  return ([0, 1] as const).map((end) =>
    number(`${at}/${end}`, endOf(what, end, wording), one?.[end], { optional: true }),
  )
}

/** How the voltage of a withstand test is stated, each in a way of its own in the body. */
const voltages = ['kilovoltsPerFoot', 'kilovoltsPerMetre', 'kilovolts', 'line voltage', 'phase voltage'] as const

function withstand(body: Procedure | undefined, { wording, demonstrations }: Drawing) {
  const { say } = wording
  return rows<WithstandTest>(
    '/withstand',
    {
      legend: say('rows withstand'),
      hint: say('hint withstand'),
      each: (place) => say('row withstand', { number: place }),
      standing: body?.withstand,
      optional: true,
      spare: 1,
    },
    (at, one) => [
      choice(`${at}/construction`, say('field construction'), {
        options: wordsOf(wording, 'construction', constructions),
        value: one?.construction,
      }),
      choice(`${at}/when`, say('field when'), {
        options: (['new', 'in service'] as const).map((when) => [when, say(`age ${when}`)]),
        value: one?.when,
      }),
      ...band(`${at}/lineKilovolts`, say('field line kilovolts'), { one: one?.lineKilovolts, wording }),
      number(`${at}/voltage/figure`, say('field voltage'), figureOf(one?.voltage)),
      choice(`${at}/voltage/how`, say('field voltage of'), {
        options: voltages.map((how) => [how, say(`voltage ${how}`)]),
        value: howOf(one?.voltage),
      }),
      number(`${at}/voltage/atLeastKilovolts`, say('field at least kilovolts'), leastOf(one?.voltage), {
        optional: true,
      }),
      number(`${at}/seconds`, say('field seconds'), one?.seconds),
      lineField(`${at}/source`, say('field source'), one?.source, { hint: say('hint source') }),
      choice(`${at}/demonstrationId`, say('field demonstration'), {
        options: [
          ...demonstrations,
          ...others([one?.demonstrationId ?? ''], ['', ...demonstrations]).map(([id]) => id),
        ].map((id) => [id, id]),
        value: one?.demonstrationId,
        optional: true,
      }),
    ],
  )
}

type Voltage = WithstandTest['voltage'] | undefined

function figureOf(voltage: Voltage): number | undefined {
  if (voltage === undefined) return undefined
  if ('times' in voltage) return voltage.times
  return Object.values(voltage)[0]
}

function howOf(voltage: Voltage): string | undefined {
  if (voltage === undefined) return undefined
  return 'times' in voltage ? voltage.of : Object.keys(voltage)[0]
}

const leastOf = (voltage: Voltage) =>
  voltage !== undefined && 'times' in voltage ? voltage.atLeastKilovolts : undefined

/** A form asks for the figure and what it is a figure of; the body has a name for each. */
export function voltageTyped(typed: unknown): unknown {
  const { figure, how, ...least } = (typed ?? {}) as Readonly<Record<string, unknown>>
  if (how === undefined || figure === undefined) return typed
  if (how === 'line voltage' || how === 'phase voltage') return { times: figure, of: how, ...least }
  return { [String(how)]: figure, ...least }
}

function ambient(stated: Procedure['ambient'], wording: PageWording) {
  const { say } = wording
  return group(
    say('group ambient'),
    [
      ...band('/ambient/celsius', say('field celsius'), { one: stated?.celsius, wording }),
      ...band('/ambient/relativeHumidityPercent', say('field humidity'), {
        one: stated?.relativeHumidityPercent,
        wording,
      }),
    ],
    say('hint ambient'),
  )
}
