/**
 * Sentences on why a stick must not be used, `hold …`, and on what alone clears it, `cleared …`, by the code of the
 * hold. In Spanish.
 */

import type { holds as english } from '../en/holds.ts'
import { lines } from '../lines.ts'

const fullTest = lines(
  'una prueba completa en banco con resultado satisfactorio: examinada, limpia, los cuatro cuartos de vuelta en toda',
  'la longitud de trabajo, en seco y, salvo que sea de madera, en húmedo',
)
const retested = `${fullTest}, con otro instrumento o con este una vez calibrado de nuevo`
const stepThenTest = `limpieza, acabado renovado o reparación (la cera sola oculta la fuga) y después ${fullTest}`

export const holdsInSpanish = {
  'hold reading-over-limit': lines(
    'Tiene demasiada fuga {$state}, {$where}: {$microamps :figure} µA, el límite es {$comparison :word',
    'of=comparison} {$limit :figure} µA ({$source})',
  ),
  'hold reading-in-guard-band': lines(
    'Tiene una fuga demasiado cercana a su límite {$state}, {$where}: {$microamps :figure} µA, el límite es',
    '{$comparison :word of=comparison} {$limit :figure} µA ({$source}), menos {$percent :figure} % por la',
    'incertidumbre del instrumento',
  ),
  'hold failed-test': 'Falló su prueba en banco: {$what}',
  'hold failed-before': 'Falló una prueba anterior a este servicio; nadie tiene sus lecturas',
  'hold open-defect': 'Falló su examen: {$what}',
  'hold open-defect, by cleaning': 'Falló su examen: {$what}',
  'hold not-mended': 'Pasó una prueba, pero no consta nada que corrigiera lo que halló su examen',
  'hold not-mended, by cleaning': 'Pasó una prueba, pero no consta nada que corrigiera lo que halló su examen',
  'hold not-waxed': 'Pasó su prueba pero no se enceró ({$source})',
  'hold not-waxed, before the readings': lines(
    'Pasó su prueba pero no se enceró ({$source}); otra regla pide una prueba después de encerar, por eso se encera',
    'antes de las lecturas',
  ),
  'hold test-invalid': 'Su prueba en banco no demuestra nada: {$what}',
  'hold test-incomplete': 'Su prueba en banco dejó algo sin medir: {$what}',
  'hold no-corrective-step': lines(
    'Se probó de nuevo tras un fallo sin antes limpiarla, renovar su acabado o repararla; la repetición no libera',
    'nada, lea lo que lea',
  ),
  'hold test-after-repair': '{$step :word of=step} y aún no se ha probado desde entonces',
  'hold defect-reported': 'Informado durante el uso: {$defect :word of=defect}',
  'hold defect-reported, again': 'Informado durante el uso: {$defect :word of=defect} ({$times :figure} veces)',
  'hold release-awaited': 'Pasó la prueba después de un fallo y aún no la ha liberado una segunda persona',
  'hold test-after-event': '{$event :word of=event}; aún no se ha probado desde entonces ({$source})',
  'hold shelf-limit': 'Probada el {$on :date} y no entregada en {$months :figure} meses ({$source})',
  'hold resting-in-store': 'Su plazo venció el {$on :date} mientras está en almacén, donde {$source} no pide prueba',
  'hold removal-undone': 'Su retirada del servicio fue un error y se ha anulado; aún no se ha probado desde entonces',
  'hold removal-undone, scrapped': 'Su desecho fue un error y se ha anulado; aún no se ha probado desde entonces',
  'hold records-restored': lines(
    'Los registros se recuperaron de una copia, y puede faltar algo que se registró de ella: mire el papel',
  ),
  'hold reported-missing': 'Informada como perdida',
  'hold found-untested': 'Estuvo perdida y ha aparecido; nadie sabe qué le ocurrió mientras tanto',
  'hold found-untested, not missed':
    'Apareció aunque nadie la había informado como perdida; nadie sabe qué le ocurrió mientras tanto',
  'hold entry-changed': 'El registro da ahora otro dato de {$entry :word of=entry} que aquel con el que se probó',
  'hold another-stick': lines(
    'Su {$identity :word of=identity} era {$was} cuando se probó por última vez y el registro dice ahora {$is}:',
    'puede ser otra pértiga con un número antiguo',
  ),
  'hold recalled, lot': 'Llamada a revisión con todas las pértigas del lote {$named}',
  'hold recalled, order': 'Llamada a revisión por la orden {$named}',
  'hold recalled, instrument': lines(
    'Llamada a revisión: su última prueba completa, del {$on :date}, se hizo con el instrumento {$named}, que resultó',
    'leer mal; nadie puede decir por cuánto erraban sus lecturas',
  ),
  'hold recalled, finding': lines(
    'Llamada a revisión: su última prueba completa, del {$on :date}, se hizo con el instrumento {$named} después de',
    'que resultara leer mal y antes de calibrarse de nuevo',
  ),
  'hold recalled, reading': lines(
    'Llamada a revisión: su última prueba completa, del {$on :date}, se hizo con el instrumento {$named}, que resultó',
    'leer mal; {$state :word of=state} leyó {$read :figure} µA, que en verdad eran {$truly :figure} µA, y el límite es',
    '{$limit :figure} µA',
  ),
  'hold unknown-fact': 'Consta de ella algo que esta versión del servicio no sabe leer',
  'hold not-registered': 'No está en el registro, así que nadie sabe de qué está hecha ni qué reglas se le aplican',
  'hold policy-missing': 'No hay ninguna política vigente, así que nada dice cuándo debe probarse esta pértiga',
  'hold wood-forbidden': 'La política vigente no permite pértigas de madera',
  'hold no-requirement-covers': lines(
    'Ninguna regla de la política vigente cubre una pértiga de {$construction :word of=construction} usada como',
    'protección principal',
  ),
  'cleared failed-test': stepThenTest,
  'cleared failed-before': stepThenTest,
  'cleared open-defect': `su reparación o renovación del acabado, registrada como paso, y después ${fullTest}`,
  'cleared open-defect, by cleaning': `su limpieza, registrada como paso, y después ${fullTest}`,
  'cleared not-mended': `su reparación o renovación del acabado, registrada como paso, y después ${fullTest}`,
  'cleared not-mended, by cleaning': `su limpieza, registrada como paso, y después ${fullTest}`,
  'cleared not-waxed': 'su encerado, registrado como paso',
  'cleared not-waxed, before the readings': `su encerado, registrado como paso, y después ${fullTest}`,
  'cleared test-invalid': fullTest,
  'cleared test-incomplete': fullTest,
  'cleared no-corrective-step': stepThenTest,
  'cleared test-after-repair': fullTest,
  'cleared defect-reported': `${fullTest}, posterior al informe`,
  'cleared defect-reported, again': `${fullTest}, posterior al informe`,
  'cleared release-awaited': 'la liberación por una persona distinta de quien hizo o registró la prueba que pasó',
  'cleared test-after-event': fullTest,
  'cleared shelf-limit': fullTest,
  'cleared resting-in-store': `${fullTest}, antes de volver a usarla`,
  'cleared records-restored': lines(
    'un responsable que mire el papel, registre aquí lo que falta y después que se miró el papel; una prueba sola no',
    'basta',
  ),
  'cleared reported-missing': `su hallazgo y después ${fullTest}`,
  'cleared removal-undone': fullTest,
  'cleared removal-undone, scrapped': fullTest,
  'cleared found-untested': fullTest,
  'cleared found-untested, not missed': fullTest,
  'cleared entry-changed': `${fullTest}, o la inscripción corregida`,
  'cleared another-stick': `${fullTest}, o un responsable y una segunda persona que inscriban que es la misma pértiga`,
  'cleared recalled, lot': `${fullTest}, después de la llamada`,
  'cleared recalled, order': `${fullTest}, después de la llamada`,
  'cleared recalled, instrument': retested,
  'cleared recalled, finding': retested,
  'cleared recalled, reading': retested,
  'cleared unknown-fact': lines(
    'una versión más nueva del servicio, que vuelve a instalar quien lo lleva; hasta entonces ni una prueba ni una',
    'liberación la libera',
  ),
  'cleared not-registered': 'su inscripción en el registro',
  'cleared policy-missing': 'la puesta en vigor de una política por un responsable',
  'cleared wood-forbidden': 'la política tendría que permitir la madera; use en su lugar una pértiga de FRP',
  'cleared no-requirement-covers': 'la inclusión en la política, por un responsable, de una regla que la cubra',
  'hold unknown': 'Retenida por un motivo que esta versión del servicio no sabe expresar ({$code})',
  'cleared unknown': 'pregunte en el banco de pruebas',
} as const satisfies { readonly [name in keyof typeof english]: string }
