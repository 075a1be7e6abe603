/** Sentences on how an edit or a correction would make something milder, in Spanish. */
import type { ways as english } from '../en/ways.ts'

export const waysInSpanish = {
  'ends removal': 'Dejaría de estar retirada del servicio: estaría {$status :word of=status}.',
  'ends end of service': 'Dejaría de estar desechada: estaría {$status :word of=status}.',
  'takes back': 'Lo que hablaba en su contra ya no valdría como antes: {$what :word of=what} del {$on :date}.',
  'judged milder':
    '.input {$tests :integer} .match $tests one {{1 prueba se juzgaría con menos rigor.}} * {{{$tests} pruebas se juzgarían con menos rigor.}}',
  'counts less': 'Un fallo anterior ya no contaría para retirarla del servicio.',
  'ends hold': 'Terminaría esta retención:',
  'reads fitter': 'Estaría {$becomes :word of=status} en lugar de {$was :word of=status}.',
  'due later': 'Vencería el {$to :date} en lugar del {$from :date}.',
  'too many to say':
    'Más de {$sticks :integer} pértigas se probaron con ello, demasiadas para decir aquí que ninguna se juzga con menos rigor.',
  'judged milder on sticks':
    '.input {$sticks :integer} .match $sticks one {{En 1 pértiga una prueba se juzgaría con menos rigor que antes.}} * {{En {$sticks} pértigas una prueba se juzgaría con menos rigor que antes.}}',
} as const satisfies { readonly [name in keyof typeof english]: string }
