/** Single words of the trade in Spanish, by the English in which the records keep them. The types let none be left out. */
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import type { SlipName } from '../../shared-domain/notices/slip.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import type { EntryDifference, Identity } from '../../shared-domain/state/hold.ts'
import type {
  appearances,
  Construction,
  defectKinds,
  Status,
  StoppingEvent,
  testReasons,
  waters,
} from '../../shared-domain/words.ts'

type Spanish<English extends string> = { readonly [word in English]: string }

export const words = {
  status: {
    scrapped: 'desechada',
    'removed from service': 'retirada del servicio',
    'on hold': 'retenida',
    'awaiting first test': 'a la espera de su primera prueba',
    overdue: 'vencida',
    'due soon': 'próxima a vencer',
    'in service': 'en servicio',
  } satisfies Spanish<Status>,
  construction: {
    'FRP rod': 'varilla de FRP',
    'foam-filled FRP tube': 'tubo de FRP relleno de espuma',
    'hollow FRP tube': 'tubo hueco de FRP',
    wood: 'madera',
  } satisfies Spanish<Construction>,
  entry: {
    construction: 'construcción',
    'working length': 'longitud de trabajo',
    diameter: 'diámetro',
    sections: 'tramos',
    'line voltage': 'tensión de línea',
  } satisfies Spanish<EntryDifference>,
  identity: {
    lot: 'lote',
    'first day of service': 'primer día de servicio',
  } satisfies Spanish<Identity>,
  defect: {
    contamination: 'contaminación',
    tracking: 'huellas de descarga superficial',
    burn: 'quemadura',
    blister: 'ampolla',
    crack: 'grieta',
    delamination: 'delaminación',
    scratch: 'rayadura',
    gouge: 'muesca profunda',
    dent: 'abolladura',
    'lost gloss': 'brillo perdido',
    fitting: 'herraje',
    tingle: 'hormigueo',
    drop: 'caída',
    flashover: 'descarga disruptiva',
    other: 'otro',
  } satisfies Spanish<(typeof defectKinds)[number]>,
  what: {
    'the entry on the register': 'la inscripción en el registro',
    'the bench test': 'la prueba en banco',
    'the work': 'el trabajo',
    'the use': 'el uso',
    'the report': 'el informe',
    'the move': 'el traslado',
    'the release': 'la liberación',
    'the certificate': 'el certificado',
    'the look': 'la revisión visual',
    'the new verdict': 'el nuevo veredicto',
    'the correction': 'la corrección',
    'the removal': 'la retirada',
    'the label': 'la etiqueta',
    'the calibration of an instrument': 'la calibración de un instrumento',
    'the procedure': 'el procedimiento',
    'the policy': 'la política',
    'the demonstration': 'la demostración',
  } satisfies Spanish<SlipName>,
  water: {
    distilled: 'destilada',
    demineralised: 'desmineralizada',
    tap: 'de la llave',
    other: 'de otra clase',
  } satisfies Spanish<(typeof waters)[number]>,
  appearance: {
    beads: 'gotas',
    film: 'una película',
    'drip line': 'una línea de goteo',
  } satisfies Spanish<(typeof appearances)[number]>,
  reason: {
    'first issue': 'primera entrega',
    periodic: 'plazo periódico',
    defect: 'defecto',
    repair: 'reparación',
    retest: 'repetición',
    recall: 'retiro para revisión',
    resumption: 'reanudación del uso',
  } satisfies Spanish<(typeof testReasons)[number]>,
  outcome: {
    withstood: 'soportada',
    flashover: 'descarga disruptiva',
    puncture: 'perforación',
    tracking: 'huellas de descarga superficial',
    heating: 'calentamiento',
  } satisfies Spanish<NonNullable<BenchTest['withstand']>[number]['outcome']>,
  comparison: {
    'not more than': 'de no más de',
    'less than': 'de menos de',
  } satisfies Spanish<Procedure['comparison']>,
  when: {
    before: 'antes de',
    after: 'después de',
  } satisfies Spanish<BenchTest['instrumentChecks'][number]['when']>,
  step: { refinished: 'Se renovó su acabado', repaired: 'Se reparó' },
  event: {
    cleaned: 'Se limpió',
    waxed: 'Se enceró',
    repaired: 'Se reparó',
    refinished: 'Se renovó su acabado',
    suspicion: 'Hubo una sospecha',
    incident: 'Hubo un incidente',
    'use without protectors': 'Se usó sin protectores',
    'batch problem': 'Su lote tiene un problema',
  } satisfies Spanish<StoppingEvent>,
}
