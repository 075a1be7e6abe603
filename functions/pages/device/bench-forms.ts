/** The parts of a test that are forms: examination, checks, mist, voltage. The readings have a file of their own. */
import {
  type BenchDraft,
  type BenchStage,
  type CheckPlace,
  checkKey,
  currentTyped,
  type TypedDefect,
  type TypedWithstand,
} from '../../../shared-domain/bench-entry/draft.ts'
import { statesToCheckAfter } from '../../../shared-domain/bench-entry/seen.ts'
import { checkPlaces } from '../../../shared-domain/bench-entry/test-of-draft.ts'
import { lengthsOf, statesAskedOf } from '../../../shared-domain/bench-test/places.ts'
import { readsTrue } from '../../../shared-domain/bench-test/trust.ts'
import { metres } from '../../../shared-domain/quantities.ts'
import type { Procedure } from '../../../shared-domain/registers.ts'
import type { SurfaceState } from '../../../shared-domain/words.ts'
import { answerOf, type Bench, choiceField, grouped, pickField, textField, yesField } from './bench-fields.ts'
import { button, element, paragraph } from './markup.ts'

export function examination(bench: Bench): HTMLElement[] {
  const { words, sheet, draft, change, show } = bench
  const { say, options } = words
  const named = (all: readonly { readonly id: string }[], title: (id: string) => string) =>
    all.map(({ id }) => [id, title(id)] as const)
  const titleOf = (id: string) => `${id}: ${sheet.procedures.find((one) => one.id === id)?.body.title ?? ''}`
  const yes = (name: 'cleaned' | 'waxed') =>
    yesField(say(`bench ${name}`), draft().answers[name] === 'yes', (isSo) =>
      change({ ...draft(), answers: { ...draft().answers, [name]: isSo ? 'yes' : '' } }),
    )
  const method = {
    label: say('bench method'),
    value: draft().method,
    typed: (value: string) =>
      show({ ...draft(), method: value === 'withstand' ? 'withstand' : 'readings', withstand: rowsToBegin(bench) }),
  }
  const choose = say('bench choose')
  return [
    choiceField(
      answerOf(bench, 'instrumentId', say('bench instrument')),
      named(sheet.instruments, (id) => id),
      choose,
    ),
    choiceField(answerOf(bench, 'procedureId', say('bench procedure')), named(sheet.procedures, titleOf), choose),
    choiceField(answerOf(bench, 'reason', say('bench reason')), options.reason, choose),
    ...demonstrated(bench),
    textField(answerOf(bench, 'testedBy', say('bench tester')), 'line'),
    pickField(method, [
      ['readings', say('bench method readings')],
      ['withstand', say('bench method withstand')],
    ]),
    pickField(answerOf(bench, 'gloss', say('bench gloss')), [
      ['sound', say('bench gloss sound')],
      ['lost', say('bench gloss lost')],
    ]),
    defects(bench),
    yes('cleaned'),
    yes('waxed'),
    air(bench),
    textField(answerOf(bench, 'note', `${say('bench note')} (${say('bench may stay empty')})`), 'text'),
  ]
}

/** Asked only where the employer has demonstrated something. */
function demonstrated(bench: Bench): HTMLElement[] {
  const { say, word } = bench.words
  const { demonstrations } = bench.sheet
  if (demonstrations.length === 0) return []
  const all = demonstrations.map(({ id, kind }) => [id, `${id}: ${word('demonstration', kind)}`] as const)
  return [choiceField(answerOf(bench, 'demonstrationId', say('bench demonstration')), all, say('bench on none'))]
}

function air(bench: Bench): HTMLElement {
  const { say } = bench.words
  const isAsked = bench.chosen()?.by.procedure.ambient !== undefined
  return grouped(
    isAsked ? say('bench air') : `${say('bench air')} (${say('bench may stay empty')})`,
    element(
      'div',
      { class: 'pair' },
      textField(answerOf(bench, 'celsius', say('bench celsius'))),
      textField(answerOf(bench, 'humidity', say('bench humidity'))),
    ),
  )
}

function defects(bench: Bench): HTMLElement {
  const { words, draft, change, show } = bench
  const { say, options } = words
  const with_ = (index: number, more: Partial<TypedDefect>): BenchDraft => ({
    ...draft(),
    defects: draft().defects.map((one, i) => (i === index ? { ...one, ...more } : one)),
  })
  const rows = draft().defects.map(({ kind, atMetres, open }, i) =>
    grouped(
      say('bench defect', { count: i + 1 }),
      choiceField(
        { label: say('bench defect kind'), value: kind, typed: (value) => change(with_(i, { kind: value })) },
        options.defect,
        say('bench choose'),
      ),
      textField({
        label: say('bench defect at'),
        value: atMetres,
        typed: (value) => change(with_(i, { atMetres: value })),
      }),
      yesField(say('bench defect open'), open, (isSo) => change(with_(i, { open: isSo }))),
      button(say('bench take away'), () => show({ ...draft(), defects: draft().defects.toSpliced(i, 1) })),
    ),
  )
  const add = button(say('bench add defect'), () =>
    show({ ...draft(), defects: [...draft().defects, { kind: '', atMetres: '', open: true }] }),
  )
  return grouped(say('bench defects'), ...(rows.length === 0 ? [paragraph(say('bench defects none'))] : rows), add)
}

export function beforeReadings(bench: Bench, stage: BenchStage): HTMLElement[] {
  const chosen = bench.chosen()
  const { say } = bench.words
  if (chosen === null) return [paragraph(say('bench choose first'))]
  if (stage === 'before dry') return [checks(bench, { state: 'dry', when: 'before' })]
  const { water, appearance } = bench.words.options
  const isAsked = chosen.by.procedure.waterConductivityAtMostMicrosiemensPerCm !== undefined
  const label = say('bench conductivity')
  return [
    pickField(answerOf(bench, 'water', say('bench water')), water),
    textField(answerOf(bench, 'conductivity', isAsked ? label : `${label} (${say('bench may stay empty')})`)),
    pickField(answerOf(bench, 'appearance', say('bench appearance')), appearance),
    checks(bench, { state: 'wet', when: 'before' }),
  ]
}

export function afterReadings(bench: Bench): HTMLElement[] {
  const states = statesToCheckAfter(bench.draft(), bench.sheet, bench.chosen())
  const { say } = bench.words
  return [paragraph(say('bench after lead')), ...states.map((state) => checks(bench, { state, when: 'after' }))]
}

function checks(bench: Bench, { state, when }: Omit<CheckPlace, 'piece'>): HTMLElement {
  const { say, word } = bench.words
  const pieces = bench.chosen()?.by.procedure.checks.filter((one) => one.state === state) ?? []
  const rows = checkPlaces(state, when, pieces.length).map((place) => check(bench, place, pieces[place.piece]))
  return grouped(say(`bench ${when} state`, { state: word('state', state) }), ...rows)
}

function check(bench: Bench, place: CheckPlace, piece: Procedure['checks'][number] | undefined): HTMLElement {
  const { words, draft, change } = bench
  const { say } = words
  const told = element('p', { role: 'status' })
  const tell = () => {
    const [open, read] = (['open', 'check'] as const).map((what) =>
      currentTyped(draft().checks[checkKey(place, what)] ?? ''),
    )
    const isWhole = piece !== undefined && open != null && read != null
    const isRight = isWhole && readsTrue(piece, { checkMicroamps: read }) && open <= piece.openAtMostMicroamps
    told.className = isRight ? 'good' : 'trouble'
    told.textContent = isWhole ? say(isRight ? 'bench check right' : 'bench check wrong') : ''
  }
  const field = (what: 'open' | 'check') =>
    textField({
      label: say(what === 'open' ? 'bench check open' : 'bench check piece'),
      value: draft().checks[checkKey(place, what)] ?? '',
      typed: (text) => {
        change({ ...draft(), checks: { ...draft().checks, [checkKey(place, what)]: text } })
        tell()
      },
    })
  const asked =
    piece === undefined
      ? say('bench check not stated')
      : say('bench check asked', {
          ...{ expected: piece.expectedMicroamps, percent: piece.tolerancePercent, open: piece.openAtMostMicroamps },
        })
  tell()
  const fields = element('div', { class: 'pair' }, field('open'), field('check'))
  return element('div', {}, paragraph(asked), fields, told)
}

/** One row for each length and state, from end to end, so that nothing but figures is typed. */
function rowsToBegin({ draft, sheet: { stick } }: Bench): readonly TypedWithstand[] {
  const { withstand } = draft()
  if (withstand.length > 0) return withstand
  return statesAskedOf(stick.construction).flatMap((state) =>
    lengthsOf(stick).map(({ section, length }) => ({ ...emptyRow, state, section, toMetres: `${metres(length)}` })),
  )
}

const emptyRow = { fromMetres: '0', toMetres: '', kilovolts: '', seconds: '', outcome: '' }

export function withstandRows(bench: Bench): HTMLElement[] {
  const { words, sheet, draft, show } = bench
  const { say, word } = words
  const rows = draft().withstand
  const add = statesAskedOf(sheet.stick.construction).map((state: SurfaceState) =>
    button(say('bench add row', { state: word('state', state) }), () => {
      const [first] = lengthsOf(sheet.stick)
      const row = {
        ...emptyRow,
        state,
        section: first?.section,
        toMetres: `${first === undefined ? '' : metres(first.length)}`,
      }
      show({ ...draft(), withstand: [...draft().withstand, row] })
    }),
  )
  return [paragraph(say('bench withstand lead')), ...rows.map((_, i) => withstandRow(bench, i)), paragraph(...add)]
}

function withstandRow({ words, draft, change }: Bench, index: number): HTMLElement {
  const { say, word, options } = words
  const row = draft().withstand[index]
  if (row === undefined) return element('div', {})
  const field = (name: 'fromMetres' | 'toMetres' | 'kilovolts' | 'seconds' | 'outcome', label: string) => ({
    label,
    value: row[name],
    typed: (text: string) =>
      change({
        ...draft(),
        withstand: draft().withstand.map((one, i) => (i === index ? { ...one, [name]: text } : one)),
      }),
  })
  const values = { state: word('state', row.state), section: row.section ?? '', count: index + 1 }
  return grouped(
    say(row.section === undefined ? 'bench withstand row' : 'bench withstand row of section', values),
    element(
      'div',
      { class: 'pair' },
      textField(field('fromMetres', say('bench withstand from'))),
      textField(field('toMetres', say('bench withstand to'))),
      textField(field('kilovolts', say('bench kilovolts'))),
      textField(field('seconds', say('bench seconds'))),
    ),
    choiceField(field('outcome', say('bench outcome')), options.outcome, say('bench choose')),
  )
}
