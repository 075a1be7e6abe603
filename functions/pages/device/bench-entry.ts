/** A test while it is taken down: its parts, what is kept of it, and what becomes of it when it is sent. */
import {
  type BenchDraft,
  type BenchStage,
  chosenAt,
  stagesOf,
  stateAt,
} from '../../../shared-domain/bench-entry/draft.ts'
import { goneTo } from '../../../shared-domain/bench-entry/reading.ts'
import { type BenchLack, lackingIn, statesToCheckAfter } from '../../../shared-domain/bench-entry/seen.ts'
import type { BenchSheet, NewestTest } from '../../../shared-domain/bench-entry/sheet.ts'
import { isSamePerson } from '../../../shared-domain/device/waiting-report.ts'
import type { Bench } from './bench-fields.ts'
import { afterReadings, beforeReadings, examination, withstandRows } from './bench-forms.ts'
import { questionsShown, readings } from './bench-readings.ts'
import { type BenchAnswered, sendDraft, testPath } from './bench-sending.ts'
import { type BenchStore, type Keeper, keeperIn } from './bench-store.ts'
import type { BenchWords } from './bench-told.ts'
import { button, element, paragraph, signInLink } from './markup.ts'

/** A browser tells that the link is back only sometimes. */
const triesEvery = 30_000

interface Begun {
  readonly store: BenchStore | null
  readonly words: BenchWords
  readonly sheet: BenchSheet
  readonly draft: BenchDraft
  readonly isGoneOnWith: boolean
}

/** The one draft of a page, which changes with each key. */
interface Run extends Omit<Begun, 'draft'> {
  readonly at: HTMLElement
  readonly keeper: Keeper
  readonly parts: { readonly [part in 'head' | 'nav' | 'body' | 'foot']: HTMLElement }
  draft: BenchDraft
  isSheetKept: boolean
  isShown: boolean
  stagesShown: string
  /** the next try, while somebody has said that it is to be sent and there is no link */
  waits: ReturnType<typeof setInterval> | null
}

export function runEntry(at: HTMLElement, begun: Begun): void {
  const { say } = begun.words
  const parts = {
    head: element('div', { class: 'told', role: 'status' }),
    nav: element('nav', { class: 'stages', 'aria-label': say('bench stages') }),
    body: element('section', { class: 'bench' }),
    foot: element('p', { class: 'foot' }),
  }
  const keeper = keeperIn(begun.store, (trouble) => {
    const kept = `${say('bench kept')} ${say('bench begun', { when: begun.words.when(run.draft.begunAt) })}`
    parts.foot.textContent = trouble === null ? kept : say(trouble === 'full' ? 'bench device full' : 'bench not kept')
    at.dataset.kept = trouble === null ? draftMark(run.draft) : 'no'
  })
  const run: Run = { ...begun, at, keeper, parts, isSheetKept: false, isShown: false, stagesShown: '', waits: null }
  parts.head.append(...toldAtFirst(run))
  at.replaceChildren(parts.head, parts.nav, parts.body, parts.foot)
  at.addEventListener('keydown', goOnByEnter)
  addEventListener('online', () => void (run.waits !== null && send(run)))
  render(run)
}

/** What is kept can be told by whoever waits for it: how many readings, and the digits in the field. */
const draftMark = ({ readings: all, typing }: BenchDraft) => `${all.length} ${typing}`

function toldAtFirst(run: Run): HTMLElement[] {
  const { isGoneOnWith, sheet, draft, words } = run
  const { say } = words
  const isAnother = isGoneOnWith && sheet.newest !== null && sheet.newest.factId !== draft.knows
  return [
    ...(isGoneOnWith ? [paragraph(say('bench goes on'))] : []),
    ...(isSamePerson(draft.by, sheet.who) ? [] : [trouble(say('bench begun by other', { name: draft.byName }))]),
    ...(isAnother && sheet.newest !== null ? anotherTest(run, sheet.newest) : []),
  ]
}

function change(run: Run, next: BenchDraft): void {
  run.draft = next
  // the sheet goes with the first digit: a page that was only looked at leaves nothing behind
  if (!run.isSheetKept) void run.store?.keepSheet(run.sheet).catch(() => undefined)
  run.isSheetKept = true
  run.keeper.keep(next)
  showStages(run)
}

function show(run: Run, next: BenchDraft): void {
  change(run, next)
  render(run)
}

const goTo = (run: Run, stage: BenchStage) => show(run, { ...run.draft, stage, typing: '', editing: null })

function stagesIn({ draft, sheet }: Run): readonly BenchStage[] {
  const asksAfter = statesToCheckAfter(draft, sheet, chosenAt(draft, sheet)).length > 0
  return stagesOf(draft, { construction: sheet.stick.construction, asksAfter })
}

/** What is read may ask for a further check: then it is among the parts at once. */
function showStages(run: Run): void {
  const { parts, words } = run
  const stages = stagesIn(run)
  const now = `${stages} ${run.draft.stage}`
  if (now === run.stagesShown) return
  run.stagesShown = now
  const tabs = stages.map((stage) => {
    const tab = button(words.say(`bench stage ${stage}`), () => goTo(run, stage))
    if (stage === run.draft.stage) tab.setAttribute('aria-current', 'step')
    return element('li', {}, tab)
  })
  parts.nav.replaceChildren(element('ol', {}, ...tabs))
}

function render(run: Run): void {
  const { parts, at, words } = run
  const { say } = words
  const stages = stagesIn(run)
  if (!stages.includes(run.draft.stage)) run.draft = { ...run.draft, stage: 'examination' }
  const { stage } = run.draft
  showStages(run)
  const title = element('h2', { tabindex: '-1' }, say(`bench stage ${stage}`))
  parts.body.replaceChildren(title, ...contentOf(run))
  const next = stages[stages.indexOf(stage) + 1]
  if (next !== undefined) {
    // by then a further check may be asked for
    const following = () => stagesIn(run)[stagesIn(run).indexOf(stage) + 1] ?? next
    const on = button(say('bench go on'), () => goTo(run, following()))
    on.className = 'onward'
    parts.body.append(paragraph(on))
  }
  at.dataset.stage = stage
  const first = parts.body.querySelector<HTMLElement>('input:not(:disabled), select, textarea, button')
  ;(first ?? title).focus({ preventScroll: true })
  // on a phone the place that is asked for and its field are seen together
  if (run.isShown) parts.nav.scrollIntoView({ block: 'start' })
  run.isShown = true
}

async function send(run: Run): Promise<void> {
  const { parts, words, keeper, store } = run
  parts.head.replaceChildren(paragraph(words.say('bench sending')))
  await keeper.settled()
  const keep = async (ready: BenchDraft) => {
    run.draft = ready
    keeper.keep(ready)
    await keeper.settled()
  }
  const answer = await sendDraft(run.draft, { keep })
  if (run.waits !== null) clearInterval(run.waits)
  run.waits = null
  if (answer.is === 'recorded' && !answer.before) {
    await store?.drop(run.draft.stickId).catch(() => undefined)
    return location.assign(answer.goTo)
  }
  // a test that somebody said is to be sent goes by itself once there is a link
  if (answer.is === 'no link') run.waits = setInterval(() => void send(run), triesEvery)
  parts.head.replaceChildren(...answerSaid(run, answer))
  parts.head.scrollIntoView({ block: 'nearest' })
}

const trouble = (text: string) => element('p', { class: 'trouble' }, text)

function answerSaid(run: Run, answer: BenchAnswered): HTMLElement[] {
  const { say } = run.words
  if (answer.is === 'another test') return anotherTest(run, answer.newest)
  if (answer.is === 'no link') return [trouble(say('bench no link'))]
  if (answer.is === 'no session') return [trouble(say('bench signed out')), paragraph(signInLink(say('bench sign in')))]
  if (answer.is === 'trouble') return [trouble(say('bench trouble', { status: answer.status }))]
  if (answer.is === 'refused')
    return [trouble(say('bench refused')), element('ul', {}, ...answer.why.map((why) => element('li', {}, why)))]
  const { stickId, factId } = run.draft
  const link = element('a', { href: testPath(stickId, factId) }, say('bench to recorded test'))
  return [trouble(say('bench came through')), paragraph(link)]
}

/** Two people on one stick: whoever sends the second test has seen that there is a first. */
function anotherTest(run: Run, { factId, on, recordedBy: name }: NewestTest): HTMLElement[] {
  const { say, day } = run.words
  const mine = button(say('bench send mine too'), () => {
    change(run, { ...run.draft, knows: factId })
    void send(run)
  })
  const link = element('a', { href: testPath(run.draft.stickId, factId) }, say('bench to other test'))
  return [trouble(say('bench another test', { on: day(on), name })), paragraph(link, ' ', mine)]
}

/** Enter goes on to the next field, as on a keypad: a browser of its own would do nothing here. */
function goOnByEnter(event: KeyboardEvent): void {
  const { target } = event
  if (event.key !== 'Enter' || event.defaultPrevented) return
  if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement)) return
  const all = [...document.querySelectorAll<HTMLElement>('.bench input, .bench select, .bench textarea, .bench button')]
  event.preventDefault()
  all[all.indexOf(target) + 1]?.focus()
}

function contentOf(run: Run): HTMLElement[] {
  const { words, sheet } = run
  const bench: Bench = {
    ...{ words, sheet },
    draft: () => run.draft,
    change: (next) => change(run, next),
    show: (next) => show(run, next),
    chosen: () => chosenAt(run.draft, sheet),
  }
  const { stage } = run.draft
  if (stage === 'examination') return examination(bench)
  if (stage === 'before dry' || stage === 'before wet') return beforeReadings(bench, stage)
  if (stateAt(stage) !== undefined) return readings(bench)
  if (stage === 'after') return afterReadings(bench)
  if (stage === 'withstand') return withstandRows(bench)
  const chosen = bench.chosen()
  const ask = (reading: number) => show(run, goneTo(run.draft, reading))
  const questions = chosen === null ? [] : questionsShown(bench, { chosen, goTo: ask })
  return [...lookedOver(run), ...questions, ...ends(run)]
}

function lookedOver(run: Run): HTMLElement[] {
  const { say, word } = run.words
  const all = lackingIn(run.draft, run.sheet)
  if (all.length === 0) return [paragraph(say('bench nothing lacks'))]
  const row = ({ is, state, count, stage }: BenchLack) => {
    const values = { state: state === undefined ? '' : word('state', state), count: count ?? '' }
    const mend = stage === 'send' ? [] : [' ', button(say('bench mend'), () => goTo(run, stage))]
    return element('li', {}, say(`bench lacks ${is}`, values), ...mend)
  }
  const list = (title: string, lacks: readonly BenchLack[]) =>
    lacks.length === 0 ? [] : [element('h3', {}, title), element('ul', { class: 'lacks' }, ...lacks.map(row))]
  const [stopping, seen] = [all.filter(({ stops }) => stops), all.filter(({ stops }) => !stops)]
  return [...list(say('bench stops'), stopping), ...list(say('bench seen'), seen)]
}

function ends(run: Run): HTMLElement[] {
  const { say } = run.words
  const go = button(say('bench send'), () => void send(run))
  go.className = 'first'
  go.disabled = lackingIn(run.draft, run.sheet).some(({ stops }) => stops)
  const throwAway = async () => {
    await run.keeper.settled()
    await run.store?.drop(run.draft.stickId).catch(() => undefined)
    location.assign('/bench')
  }
  const sure = button(say('bench throw away surely'), () => void throwAway())
  const away = element('details', {}, element('summary', {}, say('bench throw away')), paragraph(sure))
  return [paragraph(go), away]
}
