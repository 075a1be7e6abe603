/**
 * Every message of the catalogue in both languages: that there is one, what it is filled with, and that it can be said.
 */
import { globSync, readdirSync, readFileSync } from 'node:fs'
import { isSelectMessage, parseMessage, validate } from 'messageformat'
import { describe, expect, test } from 'vitest'
import { speechIn } from '../../../shared-domain/catalogue/say.ts'
import { type Language, languages, unitSystems } from '../../../shared-domain/words.ts'
import {
  catalogue,
  declaredIn,
  isPlural,
  messages,
  neededBy,
  type Placeholder,
  spoken,
  variantsOf,
} from './messages.ts'

const parts = Object.keys(catalogue.en)
const messagesOf = (asked: string) => messages.filter(({ part }) => part === asked)

/** Files that hold no part: what makes a language of them, its single words, and messages that lie in several parts. */
const others = ['core.ts', 'language.ts', 'orders.ts', 'vocabulary.ts']

test('both languages have the same parts, each with the same messages', () => {
  for (const language of languages) {
    const files = readdirSync(new URL(`../../../shared-domain/catalogue/${language}/`, import.meta.url))
    const ofMessages = files.filter((file) => !others.includes(file)).map((file) => file.replace(/\.ts$/, ''))
    expect(Object.keys(catalogue[language]).sort(), language).toEqual(ofMessages.sort())
  }
  for (const [part, own] of Object.entries(catalogue.en))
    expect(Object.keys(catalogue.es[part] ?? {}).sort(), part).toEqual(Object.keys(own).sort())
  expect(messages.length).toBeGreaterThan(250)
})

const written = ({ name, told, options }: Placeholder) =>
  `$${name} ${told === undefined ? '' : `:${told}`} ${JSON.stringify(Object.entries(options).sort())}`

/** Parts that are spread into one, by the file that does so: of two sentences of one name the later would be said. */
const together = globSync('functions/*/*wording.ts').map((file) => {
  const text = readFileSync(file, 'utf8')
  return [
    file,
    [...text.matchAll(/from '[./]+shared-domain\/catalogue\/en\/([\w-]+)\.ts'/g)].map(([, part = '']) => part),
  ]
}) as [file: string, parts: readonly string[]][]

test.each(together.filter(([, of]) => of.length > 1))('no two parts in %s have a sentence of one name', (_, of) => {
  const named = messages.filter(({ part }) => of.includes(part)).map(({ name }) => name)
  expect(named.filter((name, place) => named.indexOf(name) < place)).toEqual([])
})

test.each(parts)('%s: messages are filled with the same in both languages, told in the same way', (part) => {
  const filled = (text: string) => ({
    declared: declaredIn(text).map(written).sort(),
    variants: variantsOf(text).map(({ keys, placeholders }) => [...keys, ...placeholders.map(written).sort()]),
  })
  for (const { name, en, es } of messagesOf(part)) expect(filled(es), name).toEqual(filled(en))
})

// a Spanish sentence with two values of one kind exchanged would be filled with the same all the same
test('values are told in the same order in both languages', () => {
  const orderOf = (text: string) => variantsOf(text).map(({ placeholders }) => placeholders.map(({ name }) => name))
  const others = messages.filter(({ en, es }) => JSON.stringify(orderOf(es)) !== JSON.stringify(orderOf(en)))
  expect(others.map(({ name }) => name)).toEqual([])
})

/** What is told of a value by each function: given, said in English, said in Spanish. */
const samples: {
  readonly [told: string]: (options: Placeholder['options']) => readonly [string | number, string, string]
} = {
  date: () => ['2026-03-02', '2 March 2026', '2 de marzo de 2026'],
  month: () => ['2026-03-02', 'Mar', 'mar'],
  periods: () => [
    '2024-01-10/2025-01-10 2026-03-02/2027-03-01',
    '10 January 2024 to 10 January 2025, 2 March 2026 to 1 March 2027',
    '10 de enero de 2024 a 10 de enero de 2025, 2 de marzo de 2026 a 1 de marzo de 2027',
  ],
  figure: () => [4321.05, '4321.05', '4321.05'],
  integer: () => [7, '7', '7'],
  length: ({ unit }) => (unit === 'after' ? [1.234, '1.234', '1.234'] : [1.234, '1.234 m', '1.234 m']),
  said: () => ['«said»', '«said»', '«said»'],
  small: () => [32, '32 mm', '32 mm'],
  word: ({ of = '' }) => {
    const [first = ['', '']] = Object.entries(spoken.es.vocabulary[of] ?? {})
    return [first[0], first[0], first[1]]
  },
  words: ({ of = '' }) => {
    const [one = ['', ''], two = ['', '']] = Object.entries(spoken.es.vocabulary[of] ?? {})
    return [`${one[0]}, ${two[0]}`, `${one[0]}, ${two[0]}`, `${one[1]}, ${two[1]}`]
  },
}

function sampleOf({ name, told, options }: Placeholder): readonly [string | number, string, string] {
  if (told === undefined) return [`«${name}»`, `«${name}»`, `«${name}»`]
  const sample = samples[told]
  if (sample === undefined) throw new Error(`no sample of :${told}`)
  return sample(options)
}

const valuesFor = (needed: readonly Placeholder[]) =>
  Object.fromEntries(needed.map((one) => [one.name, sampleOf(one)[0]]))

describe.each(languages)('in %s', (language) => {
  const tongue = spoken[language]
  const speech = speechIn(tongue, 'metric', tongue.vocabulary)
  const inFeet = speechIn(tongue, 'US customary', tongue.vocabulary)

  test.each(parts)('%s: every message can be said, with all that it is filled with and nothing left over', (part) => {
    for (const { name, [language]: text } of messagesOf(part)) {
      validate(parseMessage(text))
      const needed = neededBy(text)
      const values = valuesFor(needed)
      for (const said of [speech.message(text, values), inFeet.message(text, values)]) {
        expect(said.trim(), name).not.toBe('')
        expect(said, name).not.toMatch(/[{}]|\$|undefined|NaN/)
      }
      const said = speech.message(text, values)
      for (const one of needed) expect(said, name).toContain(sampleOf(one)[language === 'en' ? 1 : 2])
    }
  })

  test('a message without one of its values is not said', () => {
    const filled = messages.map((one) => one[language]).filter((text) => neededBy(text).length > 0)
    expect(filled.length).toBeGreaterThan(100)
    for (const text of filled) expect(() => speech.message(text, {}), text).toThrow()
  })
})

/** Parts that lie in one object: what every reader may meet, and what a door says besides. */
test.each([
  ['of sticks', ['places', 'reasons', 'holds', 'whys', 'misfits', 'refusals']],
  ['of mails', ['mails', 'calendar', 'ways']],
  ['of pages', ['places', 'pages', 'ways', 'refusals']],
  ['of pages', ['places', 'pages', 'morning', 'outlook', 'instruments', 'notice-log', 'ways', 'refusals']],
  ['of the API', ['ways', 'questions', 'warnings']],
])('no message hides another of its name, among those %s', (_, together) => {
  const names = messages.filter(({ part }) => together.includes(part)).map(({ name }) => name)
  expect(names.filter((name, i) => names.indexOf(name) !== i)).toEqual([])
})

test('lengths alone are told otherwise in other units', () => {
  const [metric, customary] = unitSystems.map((units) => speechIn(spoken.en, units, {}))
  for (const { name, en } of messages) {
    const needed = neededBy(en)
    const values = valuesFor(needed)
    const hasLength = needed.some(({ told }) => told === 'length' || told === 'small')
    expect(metric?.message(en, values) !== customary?.message(en, values), name).toBe(hasLength)
  }
})

/** Messages that are the same in both languages, with the reason why. */
const theSame = {
  at: 'a place, and what is there: both are said by messages of their own',
  'due some day': 'a date and nothing else',
  'export name': 'what is said by another message',
  verdict: 'a word of the vocabulary and nothing else',
  'name and role': 'a name and a word of the vocabulary',
  length: 'a length and nothing else',
  diameter: 'a length and nothing else',
  'month begins': 'the short name of a month and nothing else',
  noted: 'what is said by another message, and what somebody wrote',
  'who and when': 'a name and a moment',
  'limit and source': 'a figure and its source: the unit has no language',
  'proof microamps': 'a figure: the unit has no language',
  'advice by construction': 'a word of the vocabulary and nothing else',
  'chart in µA': 'a figure: the unit has no language',
  'error by offset microamps': 'a figure: the unit has no language',
  'certificate of': 'a number, and the name of a laboratory',
  'not told in person': 'a name and a telephone number',
  'section and length': 'a name and a length',
  'what and where': 'two things said by other messages',
  'short span': 'two lengths',
  'short span of section': 'a name, and what is said by another message',
  rows: 'two numbers',
  'used when': 'two things said by other messages',
  'one stick': 'a number, and what is said by another message',
  'field and fault': 'two things said by other messages',
  'field within': 'two things said by other messages',
  'right: value': 'what a program has to send',
  'right: this': 'a name and nothing else',
  'signed in as': 'the names of a person and of an organisation',
  'row became': 'three things said by other messages',
  'requirement option': 'what is said by another message, and a source',
}

test('nothing is said in Spanish as in English but what has no words of its own', () => {
  const same = messages.filter(({ en, es }) => en === es)
  expect(same.map(({ name }) => name).sort()).toEqual(Object.keys(theSame).sort())
  for (const { name, en } of same)
    for (const { words } of variantsOf(en)) expect(words.join('').replace('µA', ''), name).not.toMatch(/\p{Letter}/u)
})

test('no variant of a message is the same in both languages', () => {
  for (const { name, en, es } of messages.filter((one) => isPlural(one.en))) {
    const [inEnglish, inSpanish] = [variantsOf(en), variantsOf(es)]
    for (const [i, { words }] of inEnglish.entries()) expect(inSpanish[i]?.words, name).not.toEqual(words)
  }
})

/** Of 1 and of 2, as read by somebody who speaks the language. */
type OneAndTwo = readonly [one: string, two: string]
const plurals: { readonly [name: string]: { readonly [language in Language]: OneAndTwo } } = {
  'plan count': { en: ['1 stick', '2 sticks'], es: ['1 pértiga', '2 pértigas'] },
  'broken: overdue': {
    en: [
      'Stick «sticks» is overdue. It must not be used: bring it in now.',
      '2 sticks are overdue: «sticks». They must not be used: bring them in now.',
    ],
    es: [
      'La pértiga «sticks» está vencida. No debe usarse: tráigala ahora.',
      '2 pértigas están vencidas: «sticks». No deben usarse: tráigalas ahora.',
    ],
  },
  'broken: due this week': {
    en: [
      'Stick «sticks» is due before this week ends: bring it in at once.',
      '2 sticks are due before this week ends: «sticks». Bring them in at once.',
    ],
    es: [
      'La pértiga «sticks» vence antes de que acabe esta semana: tráigala enseguida.',
      '2 pértigas vencen antes de que acabe esta semana: «sticks». Tráigalas enseguida.',
    ],
  },
  'broken: bench short': {
    en: [
      'In the week of 2 March 2026 the bench lacks 4321.05 hours for 1 stick: «sticks». So many hours more in that ' +
        'week mend it.',
      'In the week of 2 March 2026 the bench lacks 4321.05 hours for 2 sticks: «sticks». So many hours more in that ' +
        'week mend it.',
    ],
    es: [
      'En la semana del 2 de marzo de 2026 al banco le faltan 4321.05 horas para 1 pértiga: «sticks». Con esas ' +
        'horas más en esa semana se arregla.',
      'En la semana del 2 de marzo de 2026 al banco le faltan 4321.05 horas para 2 pértigas: «sticks». Con esas ' +
        'horas más en esa semana se arregla.',
    ],
  },
  'were moved': {
    en: ['1 stick was moved', '2 sticks were moved'],
    es: ['Se movió 1 pértiga', 'Se movieron 2 pértigas'],
  },
  'import apply': {
    en: ['Take in this 1 row', 'Take in all 2 rows'],
    es: ['Incorporar esta fila', 'Incorporar las 2 filas'],
  },
  'import apply good': {
    en: ['Take in the 1 good row, and hand back the others', 'Take in the 2 good rows, and hand back the others'],
    es: ['Incorporar la única fila buena y devolver las demás', 'Incorporar las 2 filas buenas y devolver las demás'],
  },
  'subject overdue': {
    en: ['1 stick overdue: do not use', '2 sticks overdue: do not use'],
    es: ['1 pértiga vencida: no la use', '2 pértigas vencidas: no las use'],
  },
  'subject recall, instrument': {
    en: [
      'Recall: do not use 1 stick, instrument «named» read wrong',
      'Recall: do not use 2 sticks, instrument «named» read wrong',
    ],
    es: [
      'Llamada a revisión: no use 1 pértiga, el instrumento «named» leyó mal',
      'Llamada a revisión: no use 2 pértigas, el instrumento «named» leyó mal',
    ],
  },
  'subject recall, lot': {
    en: ['Recall: do not use 1 stick of lot «named»', 'Recall: do not use 2 sticks of lot «named»'],
    es: [
      'Llamada a revisión: no use 1 pértiga del lote «named»',
      'Llamada a revisión: no use 2 pértigas del lote «named»',
    ],
  },
  'subject recall, order': {
    en: ['Recall: do not use 1 stick, order «named»', 'Recall: do not use 2 sticks, order «named»'],
    es: ['Llamada a revisión: no use 1 pértiga, orden «named»', 'Llamada a revisión: no use 2 pértigas, orden «named»'],
  },
  'subject due': {
    en: ['1 stick due for the bench', '2 sticks due for the bench'],
    es: ['1 pértiga debe ir al banco de pruebas', '2 pértigas deben ir al banco de pruebas'],
  },
  'subject overdue and due': {
    en: ['1 stick overdue: do not use; 7 due for the bench', '2 sticks overdue: do not use; 7 due for the bench'],
    es: [
      '1 pértiga vencida: no la use; al banco de pruebas: 7',
      '2 pértigas vencidas: no las use; al banco de pruebas: 7',
    ],
  },
  'subject held': {
    en: ['1 stick must not be used', '2 sticks must not be used'],
    es: ['1 pértiga no debe usarse', '2 pértigas no deben usarse'],
  },
  'subject lent': {
    en: ['1 stick lent out is not back', '2 sticks lent out are not back'],
    es: ['1 pértiga prestada no ha vuelto', '2 pértigas prestadas no han vuelto'],
  },
  'subject look': {
    en: ['1 stick to be looked over', '2 sticks to be looked over'],
    es: ['1 pértiga por revisar', '2 pértigas por revisar'],
  },
  'subject not looked over': {
    en: ['1 stick not looked over in time: do not use', '2 sticks not looked over in time: do not use'],
    es: ['1 pértiga sin revisar a tiempo: no la use', '2 pértigas sin revisar a tiempo: no las use'],
  },
  'lent, back days ago': {
    en: ['to «to», to be back by 2 March 2026, 1 day ago', 'to «to», to be back by 2 March 2026, 2 days ago'],
    es: [
      'a «to»; debía volver el 2 de marzo de 2026, hace 1 día',
      'a «to»; debía volver el 2 de marzo de 2026, hace 2 días',
    ],
  },
  'due in days': {
    en: ['2 March 2026, in 1 day', '2 March 2026, in 2 days'],
    es: ['2 de marzo de 2026, en 1 día', '2 de marzo de 2026, en 2 días'],
  },
  'due days ago': {
    en: ['2 March 2026, 1 day ago', '2 March 2026, 2 days ago'],
    es: ['2 de marzo de 2026, hace 1 día', '2 de marzo de 2026, hace 2 días'],
  },
  'count before title': {
    en: ['Have its past test count', 'Have the past tests of 2 sticks count'],
    es: ['Que cuente su prueba anterior', 'Que cuenten las pruebas anteriores de 2 pértigas'],
  },
  'confirm within': {
    en: [
      'The link opens a page with a button. If nobody confirms within 1 hour, the foreman or a manager is told. ' +
        'Holds, removals and recalls are safety notices: nobody can opt out of them.',
      'The link opens a page with a button. If nobody confirms within 2 hours, the foreman or a manager is told. ' +
        'Holds, removals and recalls are safety notices: nobody can opt out of them.',
    ],
    es: [
      'El enlace abre una página con un botón. Si nadie lo confirma en 1 hora, se avisa al capataz o a un ' +
        'responsable. Las retenciones, retiradas y llamadas a revisión son avisos de seguridad: nadie puede darse ' +
        'de baja de ellos.',
      'El enlace abre una página con un botón. Si nadie lo confirma en 2 horas, se avisa al capataz o a un ' +
        'responsable. Las retenciones, retiradas y llamadas a revisión son avisos de seguridad: nadie puede darse ' +
        'de baja de ellos.',
    ],
  },
  'more people': {
    en: ['and 1 more person: the register of crews names all', 'and 2 more people: the register of crews names all'],
    es: [
      'y 1 persona más: el registro de cuadrillas las nombra a todas',
      'y 2 personas más: el registro de cuadrillas las nombra a todas',
    ],
  },
  'more holds': {
    en: ['and 1 more reason, which its page names', 'and 2 more reasons, which its page names'],
    es: ['y 1 motivo más, que su página indica', 'y 2 motivos más, que su página indica'],
  },
  reasons: {
    en: ['«what», and 1 more reason.', '«what», and 2 more reasons.'],
    es: ['«what», y 1 motivo más.', '«what», y 2 motivos más.'],
  },
  'and more': {
    en: ['«what» (and 1 more finding)', '«what» (and 2 more findings)'],
    es: ['«what» (y 1 hallazgo más)', '«what» (y 2 hallazgos más)'],
  },
  'and reasons': { en: ['and 1 more reason', 'and 2 more reasons'], es: ['y 1 motivo más', 'y 2 motivos más'] },
  'days overdue': {
    en: ['1 day overdue', '2 days overdue'],
    es: ['vencida desde hace 1 día', 'vencida desde hace 2 días'],
  },
  'in days': { en: ['in 1 day', 'in 2 days'], es: ['en 1 día', 'en 2 días'] },
  'fingerprint records': {
    en: ['Taken on 2 March 2026, of 1 record.', 'Taken on 2 March 2026, of 2 records.'],
    es: ['Tomada el 2 de marzo de 2026, de 1 registro.', 'Tomada el 2 de marzo de 2026, de 2 registros.'],
  },
  'proof records then': {
    en: ['2 March 2026, of 1 record', '2 March 2026, of 2 records'],
    es: ['2 de marzo de 2026, de 1 registro', '2 de marzo de 2026, de 2 registros'],
  },
  'ends in days': { en: ['in 1 day', 'in 2 days'], es: ['en 1 día', 'en 2 días'] },
  'ended days ago': { en: ['1 day ago', '2 days ago'], es: ['hace 1 día', 'hace 2 días'] },
  'remind follows': {
    en: [
      'One person gets one mail at once, in your name. The days on which they are told anyway stay as they are.',
      'Each of 2 people gets one mail at once, in your name. The days on which they are told anyway stay as they are.',
    ],
    es: [
      'Una persona recibe enseguida un correo, en nombre de usted. Los días en que se le avisa de todos modos quedan ' +
        'como están.',
      'Cada una de 2 personas recibe enseguida un correo, en nombre de usted. Los días en que se les avisa de todos ' +
        'modos quedan como están.',
    ],
  },
  reminded: {
    en: ['1 person is written to', '2 people are written to'],
    es: ['Se escribe a 1 persona', 'Se escribe a 2 personas'],
  },
  readers: { en: ['1 reader', '2 readers'], es: ['1 lector', '2 lectores'] },
  'was used': { en: ['Used, 1 day', 'Used, 2 days'], es: ['Usada, 1 día', 'Usada, 2 días'] },
  'on more turns': {
    en: ['«what» (so on 1 more quarter turn)', '«what» (so on 2 more quarter turns)'],
    es: ['«what» (así en 1 cuarto de vuelta más)', '«what» (así en 2 cuartos de vuelta más)'],
  },
  'addresses lost': {
    en: ['Nothing is sent to 1 address', 'Nothing is sent to 2 addresses'],
    es: ['No se envía nada a 1 dirección', 'No se envía nada a 2 direcciones'],
  },
  'more reasons': {
    en: ['and 1 more reason, which the mail names', 'and 2 more reasons, which the mail names'],
    es: ['y 1 motivo más, que el correo indica', 'y 2 motivos más, que el correo indica'],
  },
  'judged milder': {
    en: ['1 test would be judged more mildly.', '2 tests would be judged more mildly.'],
    es: ['1 prueba se juzgaría con menos rigor.', '2 pruebas se juzgarían con menos rigor.'],
  },
  months: { en: ['1 month', '2 months'], es: ['1 mes', '2 meses'] },
  days: { en: ['1 day', '2 days'], es: ['1 día', '2 días'] },
  'days of use': { en: ['1 day of use', '2 days of use'], es: ['1 día de uso', '2 días de uso'] },
  'up to so many days': {
    en: ['up to 1 day in any 4321.05', 'up to 2 days in any 4321.05'],
    es: ['hasta 1 día de cada 4321.05', 'hasta 2 días de cada 4321.05'],
  },
  'band soon': { en: ['due in 1 day', 'due in 2 days'], es: ['vencen en 1 día', 'vencen en 2 días'] },
  'loan late': { en: ['1 day late', '2 days late'], es: ['1 día de retraso', '2 días de retraso'] },
  'in group': { en: ['1 stick', '2 sticks'], es: ['1 pértiga', '2 pértigas'] },
  'gone removed': {
    en: ['1 stick removed from service', '2 sticks removed from service'],
    es: ['1 pértiga retirada del servicio', '2 pértigas retiradas del servicio'],
  },
  'gone scrapped': {
    en: ['1 stick scrapped', '2 sticks scrapped'],
    es: ['1 pértiga desechada', '2 pértigas desechadas'],
  },
  'judged milder on sticks': {
    en: [
      'On 1 stick a test would be judged more mildly than it was.',
      'On 2 sticks a test would be judged more mildly than it was.',
    ],
    es: [
      'En 1 pértiga una prueba se juzgaría con menos rigor que antes.',
      'En 2 pértigas una prueba se juzgaría con menos rigor que antes.',
    ],
  },
}

describe('of one and of two', () => {
  const found = messages.filter(({ en, es }) => isPlural(en) || isPlural(es))

  test('every message with a number of its own is looked at here', () => {
    expect(Object.keys(plurals).sort()).toEqual(found.map(({ name }) => name).sort())
    for (const { name, es } of found) expect(isSelectMessage(parseMessage(es)), name).toBe(true)
  })

  test.each(found.flatMap((one) => languages.map((language) => [one.name, language, one[language]] as const)))(
    '%s, in %s',
    (name, language, text) => {
      const speech = speechIn(spoken[language], 'metric', spoken[language].vocabulary)
      const [counted] = declaredIn(text)
      const others = valuesFor(neededBy(text))
      const [one, two] = [1, 2].map((count) => speech.message(text, { ...others, [counted?.name ?? '']: count }))
      expect([one, two]).toEqual(plurals[name]?.[language])
      expect(one?.replace('1', '2')).not.toBe(two)
    },
  )
})

test('a Spanish message calls only what is in the words of a record English', () => {
  const quoting = messages.filter(({ es }) => es.includes('texto original en inglés'))
  expect(quoting.map(({ name }) => name).sort()).toEqual(['recorded', 'test of another stick'])
})
