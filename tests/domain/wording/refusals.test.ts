/** What is refused, said to a reader in their language and units: its title, and why or what would be right. */
import { describe, expect, test } from 'vitest'
import { refusing } from '../../../shared-domain/catalogue/en/refusals.ts'
import { refusingInSpanish } from '../../../shared-domain/catalogue/es/refusals.ts'
import { either, expectedBy, expecting, type Fault } from '../../../shared-domain/fault.ts'
import type { Refusal } from '../../../shared-domain/refusal.ts'
import { faultIn, refusalIn, wordingIn } from '../../../shared-domain/wording.ts'
import { day } from '../../support/trade.ts'
import { spoken } from './messages.ts'

const inEnglish = wordingIn(spoken.en, 'US customary', refusing)
const inSpanish = wordingIn<typeof refusing>(spoken.es, 'metric', refusingInSpanish)
const both = (refusal: Refusal) => [inEnglish, inSpanish].map((wording) => refusalIn(wording, refusal))

const late: Fault = {
  pointer: '/occurredOn',
  came: '2027-03-02',
  expected: { is: 'right: not after', last: '2026-03-02' },
}
const long: Fault = { pointer: '/toMetres', came: 9, expected: { is: 'right: within its length', length: 2.4384 } }

describe('a refusal', () => {
  test.each<[Refusal, string, string, string, string]>([
    [
      { kind: 'malformed', says: { is: 'malformed: not UTF-8' } },
      'The body is not JSON',
      'It is not UTF-8, or letters of it were lost on the way (U+FFFD).',
      'El contenido no es JSON',
      'No es UTF-8, o se perdieron letras por el camino (U+FFFD).',
    ],
    [
      { kind: 'malformed', says: 'Unexpected end of JSON input' },
      'The body is not JSON',
      'Unexpected end of JSON input',
      'El contenido no es JSON',
      '“Unexpected end of JSON input” (texto original en inglés)',
    ],
    [
      { kind: 'not allowed', says: { is: 'not allowed: role', role: 'owner' } },
      'Not allowed',
      'This is not for the role owner.',
      'No está permitido',
      'Esto no corresponde a la función de titular.',
    ],
    [
      { kind: 'not found', says: { is: 'none: entry on', entry: 'crew', id: 'CR-9', on: '2026-03-02' } },
      'Nothing of this name exists',
      'There is no crew CR-9 on 2 March 2026.',
      'No existe nada con este nombre',
      'No hay cuadrilla CR-9 el 2 de marzo de 2026.',
    ],
    [
      { kind: 'too large', says: { is: 'too large: body', most: 5_000_000 } },
      'The body is too large',
      'At most 5000000 bytes.',
      'El contenido es demasiado grande',
      'Como mucho 5000000 bytes.',
    ],
    [
      { kind: 'try again' },
      'Others were writing at the same time',
      'Nothing was written. Send the same request again.',
      'Otras personas escribían al mismo tiempo',
      'No se escribió nada. Envíe lo mismo otra vez.',
    ],
  ])('%j', (refusal, title, detail, titleInSpanish, detailInSpanish) => {
    expect(both(refusal)).toEqual([
      { title, details: [detail] },
      { title: titleInSpanish, details: [detailInSpanish] },
    ])
  })

  test('by the rules says each reason: of the request, of the stick, of a hold', () => {
    const reasons = [
      { code: 'placed-already', refuses: { is: 'refused: placed already', stick: 'S-2' } },
      { code: 'same-person', says: { is: 'same person' } },
      { code: 'reported-missing', hold: { code: 'reported-missing' } },
      { code: 'of-old', text: 'So it was.' },
    ] as const
    expect(both({ kind: 'refused', reasons })).toEqual([
      {
        title: 'The rules refuse this step',
        details: [
          'This report was placed with stick S-2.',
          'Who did or recorded the test that it passed, or judged it again, cannot release it; a second person can',
          'Reported missing',
          'So it was.',
        ],
      },
      {
        title: 'Las reglas no admiten este paso',
        details: [
          'Este informe se asignó a la pértiga S-2.',
          'Quien hizo o registró la prueba que superó, o la juzgó de nuevo, no puede liberarla; una segunda persona sí',
          'Informada como perdida',
          '“So it was.” (texto original en inglés)',
        ],
      },
    ])
  })

  test('for faults says which part of the request has them, and what would be right at each', () => {
    expect(both({ kind: 'invalid', faults: [late, long] })).toEqual([
      { title: 'The body has faults', details: ['a date not after 2 March 2026', 'at most 8 ft, the length there is'] },
      {
        title: 'El contenido tiene errores',
        details: ['una fecha no posterior al 2 de marzo de 2026', 'como mucho 2.438 m, la longitud que hay'],
      },
    ])
    const titles = ([...parts]: Fault['in'][]) =>
      refusalIn(inEnglish, {
        kind: 'invalid',
        faults: parts.map((part) => (part === undefined ? late : { ...late, in: part })),
      }).title
    expect(titles([])).toBe('The body has faults')
    expect(titles(['path'])).toBe('The address has faults')
    expect(titles(['query', 'query'])).toBe('The query has faults')
    expect(titles(['query', undefined])).toBe('What was sent has faults')
  })

  test('without a value of its sentence is named, and thrown at nobody', () => {
    const partial = { kind: 'not found', says: { is: 'none: stick' } } as unknown as Refusal
    for (const { details } of both(partial))
      expect(details).toEqual([expect.stringMatching(/(has no words for|no sabe expresar) \(none: stick\)$/)])
  })
})

describe('what would be right', () => {
  test('of several names is any of them', () => {
    const procedures = (...names: string[]) =>
      [inEnglish, inSpanish].map((wording) =>
        faultIn(wording, {
          expected: { is: 'right: procedure that names it', procedures: either(names), stick: 'S-1' },
        }),
      )
    expect(procedures('A, B')).toEqual(['A, B, which names S-1', 'A, B, que nombra la S-1'])
    expect(procedures('A', 'B', 'C')).toEqual(['A or B or C, which names S-1', 'A o B o C, que nombra la S-1'])
  })

  test('goes through a schema as data; what its library wrote stays as it was written', () => {
    const asked = { is: 'right: not before it is lent', first: day('2026-03-02') } as const
    expect(expectedBy(expecting(asked).error)).toEqual(asked)
    expect(expectedBy('Invalid input')).toBe('Invalid input')
  })
})
