/** Fields of the entries of depots, crews, people and the organisation. */
import { rulePacks } from '../../../shared-domain/policy/packs.ts'
import type { Crew, Depot, OrganisationEntry, Person, Recipient } from '../../../shared-domain/registers.ts'
import { languages, roles, unitSystems } from '../../../shared-domain/words.ts'
import type { Field, Option } from '../acts/form.ts'
import type { PageWording } from '../wording.ts'
import { address, choice, type Draw, dateField, lineField, pick, rows, several } from './drawing.ts'

export const depotFields: Draw<Depot> = (body, { wording: { say } }) => [
  lineField('/name', say('field name'), body?.name),
  lineField('/timeZone', say('field zone'), body?.timeZone, { hint: say('hint zone') }),
  lineField('/address', say('field address'), body?.address, { hint: say('hint address'), optional: true }),
  lineField('/hours', say('field hours'), body?.hours, { hint: say('hint hours'), optional: true }),
  choice('/sweepHour', say('field sweep hour'), {
    options: Array.from({ length: 24 }, (_, hour) => [String(hour), `${String(hour).padStart(2, '0')}:00`] as const),
    isJson: true,
    value: body === undefined ? undefined : String(body.sweepHour),
    hint: say('hint sweep hour'),
  }),
]

export const crewFields: Draw<Crew> = (body, { wording, directory }) => {
  const { say } = wording
  return [
    lineField('/name', say('field name'), body?.name),
    choice('/depotId', say('field depot'), { options: namesOf(directory.depots), value: body?.depotId }),
    rows<Recipient>(
      '/recipients',
      {
        legend: say('rows recipients'),
        hint: say('hint recipients'),
        each: (number) => say('row recipient', { number }),
        // whoever may not read the addresses is shown none
        standing: body?.recipients,
      },
      (at, one) => [
        lineField(`${at}/name`, say('field name'), one?.name),
        address(`${at}/email`, say('field email'), one?.email, { optional: true }),
        lineField(`${at}/phone`, say('field phone'), one?.phone, { optional: true }),
        choice(`${at}/role`, say('field role in crew'), {
          options: (['crew', 'foreman'] as const).map((role) => [role, say(`role ${role}`)]),
          value: one?.role,
        }),
        ...reading(at, one, wording),
      ],
    ),
  ]
}

/** English and metric unless somebody says otherwise. */
function reading(
  at: '' | `/${string}`,
  one: Pick<Person, 'language' | 'units'> | undefined,
  { say }: PageWording,
): Field[] {
  return [
    choice(`${at}/language`, say('field language'), {
      options: languages.map((language) => [language, say(`language ${language}`)]),
      value: one?.language,
      optional: true,
    }),
    choice(`${at}/units`, say('field units'), {
      options: unitSystems.map((units) => [units, say(`units ${units}`)]),
      value: one?.units,
      optional: true,
    }),
  ]
}

export const personFields: Draw<Person> = (body, { wording, directory }) => {
  const { say } = wording
  const every: Option = ['*', say('every depot there is')]
  return [
    lineField('/name', say('field name'), body?.name),
    address('/email', say('field email'), body?.email),
    pick('/role', say('field role'), {
      options: roles.map((role) => [role, say(`role named ${role}`), say(`role may ${role}`)]),
      value: body?.role,
    }),
    several('/depots', say('field depots'), {
      options: [every, ...namesOf(directory.depots), ...others(body?.depots, ['*', ...idsOf(directory.depots)])],
      values: body?.depots,
      hint: say('hint depots of person'),
    }),
    choice('/crewId', say('field crew of person'), {
      options: [...namesOf(directory.crews), ...others([body?.crewId ?? ''], ['', ...idsOf(directory.crews)])],
      value: body?.crewId,
      optional: true,
    }),
    ...reading('', body, wording),
    dateField('/until', say('field until'), body?.until, { hint: say('hint until'), optional: true }),
  ]
}

export const organisationFields: Draw<OrganisationEntry> = (body, { wording }) => [
  lineField('/name', wording.say('field name'), body?.name),
  several('/packs', wording.say('field packs'), {
    options: packOptions(wording),
    values: body?.packs,
    hint: wording.say('hint packs'),
  }),
]

/** Titles of packs are those of the rules, in English. */
export const packOptions = ({ say }: PageWording): Option[] =>
  rulePacks.map(({ id, title }) => [id, say('recorded', { text: title }), id])

export const namesOf = (all: readonly { readonly id: string; readonly name: string }[]): Option[] =>
  all.map(({ id, name }) => [id, name, id])
const idsOf = (all: readonly { readonly id: string }[]) => all.map(({ id }) => id)

/** What an entry names and no register knows yet, such as a crew still to be entered, is not lost. */
export const others = (named: readonly string[] = [], known: readonly string[]): Option[] =>
  named.filter((one) => !known.includes(one)).map((one) => [one, one])
