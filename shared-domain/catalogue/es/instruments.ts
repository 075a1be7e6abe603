/** Sentences of the pages of instruments. In Spanish. */

import type { instruments as english } from '../en/instruments.ts'
import { lines } from '../lines.ts'
import type { Translated } from '../say.ts'

export const instrumentsInSpanish = {
  'instruments as of': lines(
    'A fecha de {$on :date}. Una prueba cuenta solo en un día que cubre una calibración de su instrumento, también',
    'el último.',
  ),
  'instruments none': 'Todavía no se ha inscrito ningún instrumento.',
  calibration: 'Calibración',
  'calibrated now': 'con calibración vigente',
  'not calibrated now': 'sin calibración vigente',
  'do not test with it': 'Una prueba con él no demuestra nada, y su pértiga queda retenida.',
  'last calibrated': 'Última calibración',
  'counts through': 'Vale hasta el',
  'ends in days': '.input {$days :integer} .match $days one {{en 1 día}} * {{en {$days} días}}',
  'ended days ago': '.input {$days :integer} .match $days one {{hace 1 día}} * {{hace {$days} días}}',
  'ends today': 'hoy es su último día',
  'none by today': 'ninguna hasta hoy',
  'instrument spans': 'Abarca',
  'instrument title': 'Instrumento {$id}',
  'to instruments': 'Todos los instrumentos',
  'calibrated until': 'Con calibración vigente hasta el {$on :date}.',
  'calibrated no more':
    'Sin calibración vigente desde el {$on :date}. Una prueba con él no demuestra nada, y su pértiga queda retenida.',
  'calibrated never':
    'No consta ninguna calibración hasta hoy. Una prueba con él no demuestra nada, y su pértiga queda retenida.',
  calibrations: 'Calibraciones',
  'calibrated on': 'Calibrado el',
  'due again': 'Vence el',
  uncertainty: 'Incertidumbre',
  'as found': 'Como se halló',
  'found wrong': 'había leído mal',
  'not stated': 'no consta',
  'known piece': 'Comprobaciones con una pieza conocida',
  'known piece of state': 'Lecturas de comprobación, {$state}, pieza de {$expected :figure} µA',
  'known piece told': lines(
    'Del {$from :date} al {$to :date}. Lecturas: {$readings :figure}. Distintas de lo pedido: {$wrong :figure}. Se',
    'piden {$expected :figure} µA con un margen de {$percent :figure} %, la franja. El eje no empieza en cero.',
  ),
  'legend before': 'antes de las lecturas',
  'legend after': 'después de las lecturas',
  'legend wrong': 'distinta de lo pedido, o vacío demasiado alto',
  'legend band': 'lo que pide el procedimiento',
  'tests with it': 'Pruebas con él y sus comprobaciones',
  'tests with it caption': lines(
    'Las más recientes primero. El resultado es el que vale ahora. Una comprobación es correcta o no según el',
    'procedimiento que juzgó la prueba.',
  ),
  'tests with it none': 'No consta ninguna prueba con él.',
  'of another depot': 'de otra base',
  verdict: 'Resultado',
  'check dry': 'Comprobación, en seco',
  'check wet': 'Comprobación, en húmedo',
  'check read': '{$when :word of=when}: {$read :figure} µA, vacío {$open :figure} µA',
  'check is wrong': 'distinta de lo pedido',
  'no check': 'ninguna',
  'next tests': 'Pruebas anteriores',
  'previous tests': 'Pruebas posteriores',
  'newest tests': 'Pruebas más recientes',
  'next instruments': 'Instrumentos siguientes',
  'previous instruments': 'Instrumentos anteriores',
  'first instruments': 'Primeros instrumentos',
} as const satisfies Translated<typeof english>
