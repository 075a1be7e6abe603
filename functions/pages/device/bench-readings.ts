/** Readings of one state: the place that is asked for, shown large, the field, and what is seen of it at once. */
import { currentTyped, driedOnce, stateAt, tooWet } from '../../../shared-domain/bench-entry/draft.ts'
import {
  entered,
  type FieldAsks,
  fieldAsks,
  goneTo,
  progressOf,
  type ReadingPlace,
  wentBack,
} from '../../../shared-domain/bench-entry/reading.ts'
import { type BenchQuestion, questionsOf } from '../../../shared-domain/bench-entry/seen.ts'
import type { ChosenAtBench } from '../../../shared-domain/bench-entry/sheet.ts'
import { testOfDraft } from '../../../shared-domain/bench-entry/test-of-draft.ts'
import { limitFor, standing } from '../../../shared-domain/bench-test/limits.ts'
import { spanTooShort } from '../../../shared-domain/bench-test/next-place.ts'
import { lengthsOf } from '../../../shared-domain/bench-test/places.ts'
import { stripsOf } from '../../../shared-domain/bench-test/strip.ts'
import { aliveDoubts } from '../../../shared-domain/bench-test/trust.ts'
import { metres } from '../../../shared-domain/quantities.ts'
import type { SurfaceState } from '../../../shared-domain/words.ts'
import { placeDrawn, stripShown } from './bench-drawn.ts'
import { type Bench, grouped, textField } from './bench-fields.ts'
import type { BenchWords } from './bench-told.ts'
import { button, element, paragraph } from './markup.ts'

export function readings(bench: Bench): HTMLElement[] {
  const state = stateAt(bench.draft().stage)
  const chosen = bench.chosen()
  if (state === undefined || chosen === null) return [paragraph(bench.words.say('bench choose first'))]
  return readingsOf(bench, state, chosen)
}

/** What stands on the page of a state, and is shown anew with each digit but for the field itself. */
interface Fields extends Here {
  readonly bench: Bench
  readonly input: HTMLInputElement
  readonly place: HTMLElement
  readonly progress: HTMLElement
  readonly seen: HTMLElement
  readonly questions: HTMLElement
  readonly strips: ReturnType<typeof stripsHere>
}

function readingsOf(bench: Bench, state: SurfaceState, chosen: ChosenAtBench): HTMLElement[] {
  const { words, draft } = bench
  const { say } = words
  const input = element('input', { id: 'bench-figure', type: 'text', inputmode: 'decimal', autocomplete: 'off' })
  input.setAttribute('aria-describedby', 'bench-place bench-keys')
  input.value = draft().typing
  const fields: Fields = {
    ...{ bench, state, chosen, input },
    place: element('div', { class: 'place' }),
    progress: element('p', { class: 'progress' }),
    seen: element('div', { class: 'seen', role: 'alert' }),
    questions: element('div', { class: 'questions' }),
    strips: stripsHere(bench, { state, chosen }),
  }
  listen(fields)
  const [takeIt, moving, back] = [
    buttonOf(fields, say('bench take'), () => take(fields, true)),
    buttonOf(fields, say('bench not settled'), () => take(fields, false)),
    buttonOf(fields, say('bench back'), () => goBack(fields)),
  ]
  takeIt.className = 'first'
  refresh(fields)
  askWhatIsOdd(fields)
  const keys = [say('bench keys'), ...(state === 'wet' ? [say('bench keys wet')] : [])].join(' ')
  return [
    fields.place,
    element('label', { for: 'bench-figure' }, say('bench microamps')),
    element('div', { class: 'entry' }, input, takeIt),
    fields.seen,
    paragraph(back, ...(state === 'wet' ? [moving] : [])),
    fields.progress,
    element('p', { class: 'hint', id: 'bench-keys' }, keys),
    fields.questions,
    fields.strips.element,
    ...(state === 'wet' && draft().dried === null ? [tooMuchWater(bench)] : []),
    elsewhere(fields),
  ]
}

/** After a tap the field goes on. */
function buttonOf({ input }: Fields, text: string, press: () => void): HTMLButtonElement {
  return button(text, () => {
    press()
    if (!input.disabled) input.focus()
  })
}

function listen(fields: Fields): void {
  const { input, bench } = fields
  input.addEventListener('input', () => {
    bench.change({ ...bench.draft(), typing: input.value })
    refresh(fields)
  })
  input.addEventListener('keydown', (event) => {
    if (event.key === 'Enter') take(fields, true)
    else if (event.key === 'Backspace' && input.value === '') goBack(fields)
    else return
    event.preventDefault()
  })
}

function refresh(fields: Fields, told: readonly string[] = []): void {
  const { bench, chosen, state, input, place, progress, seen, strips } = fields
  const asks = fieldAsks(bench.draft(), chosen)
  place.replaceChildren(...placeSaid(asks, bench))
  const { read, left } = progressOf(state, bench.draft(), chosen)
  progress.textContent = bench.words.say('bench read of', { read, left })
  input.disabled = asks.is === 'nothing' || asks.is === spanTooShort
  const lines = [...told, ...(input.disabled ? [] : seenWhileTyping(asks, bench, chosen))]
  // what was heard once is not heard again with each digit
  if (seen.textContent !== lines.join('')) seen.replaceChildren(...lines.map((line) => paragraph(line)))
  strips.show()
}

function askWhatIsOdd({ bench, chosen, questions }: Fields): void {
  const goTo = (reading: number) => bench.show(goneTo(bench.draft(), reading))
  questions.replaceChildren(...questionsShown(bench, { chosen, goTo }))
}

function take(fields: Fields, settled: boolean): void {
  const { bench, chosen, input } = fields
  const before = bench.draft()
  const next = entered(before, chosen, settled)
  if (next === null) {
    const { typing: typed } = before
    refresh(fields, typed === '' ? [] : [bench.words.say('bench no figure', { typed })])
    return
  }
  input.value = next.typing
  bench.change(next)
  refresh(fields, seenOfLast(next.readings.length > before.readings.length, bench, chosen))
  askWhatIsOdd(fields)
  if (fieldAsks(next, chosen).is === 'nothing') document.querySelector<HTMLElement>('.bench .onward')?.focus()
}

function goBack(fields: Fields): void {
  const { bench, input } = fields
  bench.change(wentBack(bench.draft()))
  input.value = ''
  refresh(fields)
  if (!input.disabled) input.focus()
}

/** Both passes stay on record; nothing is lost where nothing was read wet yet. */
function tooMuchWater({ words, draft, show }: Bench): HTMLElement {
  const { say, word } = words
  const ways = tooWet.map((one) =>
    button(say('bench dried', { appearance: word('appearance', one) }), () => show(driedOnce(draft(), one))),
  )
  const summary = element('summary', {}, say('bench too wet'))
  return element('details', {}, summary, paragraph(say('bench too wet, do')), paragraph(...ways))
}

function elsewhere(fields: Fields): HTMLElement {
  const { bench } = fields
  const { say } = bench.words
  const from = textField({
    label: say('bench elsewhere from'),
    hint: say('bench elsewhere hint'),
    value: bench.draft().elsewhere,
    typed: (text) => {
      bench.change({ ...bench.draft(), elsewhere: text })
      refresh(fields)
    },
  })
  return element('details', {}, element('summary', {}, say('bench elsewhere')), from)
}

/** The place in words, above it the drawing that says which end is nought. */
function placeSaid(asks: FieldAsks, { words, sheet }: Bench): HTMLElement[] {
  const { say, length } = words
  if (asks.is === spanTooShort) return [element('p', { class: 'trouble' }, say('bench span too short'))]
  if (asks.is === 'nothing') return [element('p', { class: 'where', id: 'bench-place' }, say('bench all read'))]
  const { section, quarterTurn, fromMetres, toMetres } = asks.place
  const long = lengthsOf(sheet.stick).find((one) => one.section === section)
  const anew = asks.is === 'reading anew' ? [paragraph(say('bench read anew', { was: asks.was.typed }))] : []
  return [
    element(
      'p',
      { class: 'where', id: 'bench-place' },
      ...(section === undefined ? [] : [element('span', {}, say('bench place of section', { section }))]),
      element('strong', {}, say('bench turn', { turn: quarterTurn })),
      ' ',
      element('strong', {}, say('bench span', { from: length(fromMetres), to: length(toMetres) })),
      ' ',
      element('span', { class: 'quiet' }, say('bench from the end')),
    ),
    placeDrawn(
      asks.place,
      long === undefined ? sheet.stick.workingLengthMetres : metres(long.length),
      say('bench drawing'),
    ),
    ...anew,
  ]
}

/** A figure over its limit is told while it is typed, before Enter. */
function seenWhileTyping(asks: FieldAsks, { draft, words }: Bench, { by }: ChosenAtBench): string[] {
  if (asks.is !== 'reading' && asks.is !== 'reading anew') return []
  const read = currentTyped(draft().typing)
  const limit = limitFor(asks.place.state, by)
  if (read === null || limit === undefined) return []
  const found = standing(read, limit, by)
  if (found === 'conforms') return []
  const values = { read, limit: limit.microamps, place: placeInShort(asks.place, words) }
  return [words.say(found === 'over limit' ? 'bench over' : 'bench in guard band', values)]
}

/** Of the reading that was just taken, what its figure or its place brought about. */
function seenOfLast(isNew: boolean, bench: Bench, chosen: ChosenAtBench): string[] {
  const { draft, words, sheet } = bench
  const { say } = words
  const last = draft().readings.at(-1)
  if (!isNew || last === undefined) return []
  const { typed, settled: _, ...place } = last
  const over = seenWhileTyping(
    { is: 'reading', place },
    { ...bench, draft: () => ({ ...draft(), typing: typed }) },
    chosen,
  )
  const test = testOfDraft(draft(), sheet)
  const strips = stripsOf(test, chosen.by).filter(({ state }) => state === last.state)
  const isThin = strips.some(({ turns }) =>
    turns.some(({ cells }) => cells.some(({ mark }) => mark === 'overlap too small')),
  )
  const isRead = fieldAsks(draft(), chosen).is === 'nothing'
  const isDead = isRead && aliveDoubts(last.state, test, chosen.by.procedure).length > 0
  return [...over, ...(isThin ? [say('bench thin overlap')] : []), ...(isDead ? [say('bench all nought')] : [])]
}

function placeInShort(place: ReadingPlace, { say, length, word, capital }: BenchWords): string {
  const { state, section, quarterTurn: turn, fromMetres, toMetres } = place
  const values = { state: capital(word('state', state)), turn, from: length(fromMetres), to: length(toMetres) }
  return section === undefined
    ? say('bench span short', values)
    : say('bench span short of section', { ...values, section })
}

interface Here {
  readonly state: SurfaceState
  readonly chosen: ChosenAtBench
}

/** The strips of this state, with the digits that stand in the field drawn already. */
function stripsHere({ words, sheet, draft }: Bench, { state, chosen }: Here) {
  const stateWord = words.word('state', state)
  const all = lengthsOf(sheet.stick).map(({ section }) => ({
    section,
    strip: stripShown(section === undefined ? stateWord : `${stateWord}, ${section}`, words),
  }))
  return {
    element: element('div', { class: 'strips' }, ...all.map(({ strip }) => strip.element)),
    show: () => {
      const supposed = entered(draft(), chosen, true) ?? draft()
      const test = testOfDraft(supposed, sheet)
      // before the first reading the strip shows all that is unread
      const shown = stripsOf(test[state] === undefined ? { ...test, [state]: { readings: [] } } : test, chosen.by)
      for (const { section, strip } of all) {
        const found = shown.find((one) => one.state === state && one.section === section)
        if (found !== undefined) strip.show(found)
      }
    },
  }
}

interface Asking {
  readonly chosen: ChosenAtBench
  readonly goTo: (reading: number) => void
}

/** Asked, and never in the way: both answers are a button, and the field goes on. */
export function questionsShown(bench: Bench, { chosen, goTo }: Asking): HTMLElement[] {
  const { words, sheet, draft, show } = bench
  const { say } = words
  const open = questionsOf(draft(), sheet, chosen)
  if (open.length === 0) return []
  const rows = open.map((question) => {
    const { reading, key } = question
    const meant = button(say('bench is right'), () => show({ ...draft(), meant: [...draft().meant, key] }))
    const again = reading === null ? [] : [button(say('bench read it again'), () => goTo(reading))]
    return element('li', {}, paragraph(questionSaid(question, bench)), ...again, meant)
  })
  return [grouped(say('bench questions'), element('ul', {}, ...rows))]
}

type Values = Readonly<Record<string, string | number>>

/** How each question is asked; what only facts of other kinds are asked about never comes here. */
const asking: { readonly [is in string]?: (say: BenchWords['say'], values: Values) => string } = {
  'far from its neighbours': (say, values) => say('bench far off', values),
  'far from its neighbours, meant': (say, values) => say('bench far off, meant', values),
  'off from the last test': (say, values) => say('bench unlike last', values),
  'ten times the last test': (say, values) => say('bench tenfold', values),
  'a tenth of the last test': (say, values) => say('bench a tenth', values),
  'check slipped': (say, values) => say('bench check slipped', values),
  'water slipped': (say, { conducts = '', ...values }) => say('bench slipped', { ...values, reads: conducts }),
  'air slipped': (say, { celsius = '', ...values }) => say('bench slipped', { ...values, reads: celsius }),
  'kilovolts slipped': (say, { kilovolts = '', ...values }) => say('bench slipped', { ...values, reads: kilovolts }),
}

function questionSaid({ says, reading }: BenchQuestion, { words, draft }: Bench): string {
  const found = reading === null ? undefined : draft().readings[reading]
  const place = found === undefined ? '' : placeInShort(found, words)
  const last = 'last' in says ? { last: words.day(String(says.last)) } : {}
  return asking[says.is]?.(words.say, { ...says, place, ...last }) ?? ''
}
