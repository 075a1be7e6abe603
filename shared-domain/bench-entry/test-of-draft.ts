/** A draft as the body of a bench test, as far as it goes. */
import type { BenchTest, Reading, Withstand } from '../bench-test/bench-test.ts'
import type { MeasuredSoFar } from '../bench-test/next-place.ts'
import type { SurfaceState } from '../words.ts'
import { type BenchDraft, type CheckPlace, checkKey, currentTyped, figureTyped, type TypedReading } from './draft.ts'
import type { BenchSheet } from './sheet.ts'

/** Readings in the order in which they were typed: their places in the list of the draft are those of the body. */
function readingsOf({ readings }: Pick<BenchDraft, 'readings'>, state: SurfaceState): Reading[] {
  return readings.filter((one) => one.state === state).map(asReading)
}

const asReading = ({ section, quarterTurn, fromMetres, toMetres, typed, settled }: TypedReading): Reading => ({
  ...(section === undefined ? {} : { section }),
  ...{ quarterTurn, fromMetres, toMetres, leakageMicroamps: currentTyped(typed) ?? 0, settled },
})

type Wet = NonNullable<BenchTest['wet']>

/** The measured part, for geometry and pictures. */
export function measuredBy(draft: Pick<BenchDraft, 'readings' | 'answers' | 'dried'>): MeasuredSoFar {
  const [dry, wet] = [readingsOf(draft, 'dry'), readingsOf(draft, 'wet')]
  return {
    ...(dry.length === 0 ? {} : { dry: { readings: dry } }),
    ...(wet.length === 0 && draft.dried === null ? {} : { wet: wetOf(draft, wet) }),
  }
}

function wetOf({ answers, dried }: Pick<BenchDraft, 'answers' | 'dried'>, readings: Reading[]): Wet {
  const conductivity = figureTyped(answers.conductivity ?? '')
  return {
    water: (answers.water || undefined) as Wet['water'], // the form offers no other, and the service checks it
    ...(conductivity === null ? {} : { conductivityMicrosiemensPerCm: conductivity }),
    appearance: (answers.appearance || undefined) as Wet['appearance'], // as above
    readings,
    ...(dried === null ? {} : { driedAndRepeated: { ...dried, readings: dried.readings.map(asReading) } }),
  }
}

/** Check pieces that the procedure states for a state; one row is there where it states none. */
export function checkPlaces(state: SurfaceState, when: CheckPlace['when'], pieces: number): CheckPlace[] {
  return Array.from({ length: Math.max(1, pieces) }, (_, piece) => ({ state, when, piece }))
}

function checksOf({ checks }: BenchDraft): BenchTest['instrumentChecks'] {
  const places = [...new Set(Object.keys(checks).map((key) => key.split(' ').slice(0, 3).join(' ')))].sort()
  return places.flatMap((place) => {
    const [state, when, piece] = place.split(' ')
    const at = { state, when, piece: Number(piece) } as CheckPlace // `checkKey` wrote it
    const [open, check] = (['open', 'check'] as const).map((what) => currentTyped(checks[checkKey(at, what)] ?? ''))
    // one figure alone is no check
    if (open == null || check == null) return []
    return [{ state: at.state, when: at.when, openMicroamps: open, checkMicroamps: check }]
  })
}

function defectsOf({ defects }: BenchDraft): BenchTest['examination']['defects'] {
  return defects
    .filter(({ kind }) => kind !== '')
    .map(({ kind, atMetres, open }) => {
      const at = figureTyped(atMetres)
      const found = kind as BenchTest['examination']['defects'][number]['kind'] // the form offers no other
      return { kind: found, ...(at === null ? {} : { atMetres: at }), open }
    })
}

function withstandOf({ withstand }: BenchDraft): Withstand[] {
  return withstand
    .filter(({ kilovolts, seconds }) => kilovolts !== '' || seconds !== '')
    .map(({ state, section, fromMetres, toMetres, kilovolts, seconds, outcome }) => ({
      ...(section === undefined ? {} : { section }),
      fromMetres: figureTyped(fromMetres) ?? 0,
      toMetres: figureTyped(toMetres) ?? 0,
      kilovolts: figureTyped(kilovolts) ?? 0,
      seconds: figureTyped(seconds) ?? 0,
      state,
      outcome: outcome as Withstand['outcome'], // the form offers no other, and the service checks it
    }))
}

/** The body but for its id, day and hour, which come with the sending. */
export type TestBody = Omit<BenchTest, 'factId' | 'testedOn' | 'at'>

export function bodyOfDraft(draft: BenchDraft): TestBody {
  const { answers, method } = draft
  const [celsius, humidity] = [figureTyped(answers.celsius ?? ''), figureTyped(answers.humidity ?? '')]
  const tester = (answers.testedBy ?? '').trim()
  const note = (answers.note ?? '').trim()
  return {
    // whoever tested under their own name is known by their number too
    testedBy: tester === draft.byName && tester !== '' ? { personId: draft.by.person } : tester,
    instrumentId: answers.instrumentId ?? '',
    procedureId: answers.procedureId ?? '',
    reason: answers.reason as TestBody['reason'], // the form offers no other, and the service checks it
    instrumentChecks: method === 'withstand' ? [] : checksOf(draft),
    examination: { defects: defectsOf(draft), gloss: answers.gloss as 'sound' }, // as above
    cleaned: answers.cleaned === 'yes',
    waxed: answers.waxed === 'yes',
    ...(celsius === null || humidity === null ? {} : { ambient: { celsius, relativeHumidityPercent: humidity } }),
    ...(method === 'withstand' ? { withstand: withstandOf(draft) } : measuredBy(draft)),
    ...(answers.demonstrationId ? { demonstrationId: answers.demonstrationId } : {}),
    ...(note === '' ? {} : { note }),
  }
}

/** The test as rules read it; the id and the day are those of the draft, and no rule here asks for its hour. */
export function testOfDraft(draft: BenchDraft, { today }: Pick<BenchSheet, 'today'>): BenchTest {
  return { factId: draft.factId, testedOn: today, ...bodyOfDraft(draft) }
}
