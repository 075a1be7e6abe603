/** Pages of the registers: what there is, a list of each, and an entry as it is today with everything it was. */
import { html } from 'hono/html'
import type { CalendarDate } from '../../../shared-domain/calendar.ts'
import { hasBegun, hasEnded } from '../../../shared-domain/people.ts'
import { rulePacks } from '../../../shared-domain/policy/packs.ts'
import type { Person } from '../../../shared-domain/registers.ts'
import { mayAtAll } from '../../../shared-domain/rights.ts'
import { registrationOn } from '../../../shared-domain/state/state.ts'
import type { Asker } from '../../questions/asker.ts'
import { entriesFor } from '../../questions/registers.ts'
import { checkRole } from '../../questions/rights.ts'
import { rosterFor } from '../../questions/roster.ts'
import type { Markup, WebDocument } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import { date, moment, sharedZone } from '../words.ts'
import type { Drawing } from './drawing.ts'
import { changesIn, rowInWords, type Said, saidIn } from './in-words.ts'
import {
  allRegisters,
  drawingFor,
  type EditionShown,
  type Entry,
  entryPath,
  entryWithHistory,
  formPartsOf,
  mayChange,
  mayEnter,
  mayRead,
  onlyEntry,
  type Register,
  readingOf,
  registerAt,
} from './registers.ts'

const onPage = 100

export async function registersPage({ caller }: Asker, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const title = say('registers')
  const readable = (allRegisters as readonly Register[]).filter((register) => mayRead(caller, register))
  const main = html`<h1>${title}</h1>
<p class="lead">${say('registers lead')}</p>
<ul class="registers">${readable.map(
    ({ path }) =>
      html`<li><a href="/registers/${path}">${say(`register ${path}`)}</a>
<span class="quiet">${say(`about ${path}`)}</span></li>`,
  )}</ul>
${mayAtAll(caller.role, 'import') ? html`<p><a href="/imports">${say('imports')}</a></p>` : ''}`
  return documentOf({ title, main, here: 'registers' }, wording)
}

interface Asked {
  readonly path: string
  /** the place of the last entry of the page before */
  readonly after: string
}

export async function registerPage(asker: Asker, { path, after }: Asked, wording: PageWording): Promise<WebDocument> {
  const register = registerAt(path)
  checkRole(asker.caller, readingOf(register))
  const [{ entries, next }, drawing] = await Promise.all([listFor(asker, register, after), drawingFor(asker, wording)])
  const { say } = wording
  const title = say(`register ${register.path}`)
  const only = onlyEntry(asker, register)
  const isEmpty = entries.length === 0
  const enter = only === undefined ? `/enter/${register.path}` : `${entryPath(register, only)}/edition`
  const mayAdd = mayEnter(asker.caller, register) && (only === undefined || isEmpty)
  const none = html`<p class="empty">${say(register.kind === 'policy' ? 'no policy' : 'list empty')}</p>`
  const further = `/registers/${register.path}?${new URLSearchParams({ after: next ?? '' })}`
  const on = html`<nav class="pages" aria-label="${say('pages')}"><a href="${further}">${say('next entries')}</a></nav>`
  const main = html`<p class="way"><a href="/registers">${say('registers')}</a></p>
<h1>${title}</h1>
<p class="lead">${say(`about ${register.path}`)}</p>
${mayAdd ? html`<p><a class="act" href="${enter}">${say(`enter ${register.kind}`)}</a></p>` : ''}
${register.kind === 'stick' ? stickWanted(wording) : ''}
${register.kind === 'policy' ? packs(entries[0]?.body, wording) : ''}
${isEmpty ? none : table(register, entries, drawing)}
${next === null ? '' : on}`
  return documentOf({ title, main, here: 'registers' }, wording)
}

interface Listed {
  readonly id: string
  readonly effectiveFrom: CalendarDate
  readonly body: unknown
}

async function listFor(
  asker: Asker,
  { kind }: Register,
  after: string,
): Promise<{ readonly entries: readonly Listed[]; readonly next: string | null }> {
  if (kind !== 'stick') return entriesFor(asker, { kind, after, limit: onPage })
  const { rows, next } = await rosterFor(asker, { after, limit: onPage })
  const entries = rows.flatMap(({ stored: { stickId: id, state }, today }): Listed[] => {
    const now = registrationOn(state, today)
    return now === undefined ? [] : [{ id, effectiveFrom: now.effectiveFrom, body: now.stick }]
  })
  return { entries, next }
}

/** Sticks are many, and are looked for by number. */
function stickWanted({ say }: PageWording): Markup {
  return html`<form class="filter" method="get" action="/registers/sticks">
<label>${say('number wanted')}<input name="id" autocomplete="off"></label><button>${say('open it')}</button></form>
<p class="quiet">${say('sticks in roster order')}</p>`
}

function table(register: Register, entries: readonly Listed[], drawing: Drawing): Markup {
  const { say } = drawing.wording
  const labels = fieldsListed(register, undefined, drawing).map(({ label }) => label)
  const columns = [say('number'), ...labels, say('field from when')]
  return html`<table class="cards"><thead><tr>${columns.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody>${entries.map(({ id, body, effectiveFrom }) => {
    const said = saidIn(fieldsListed(register, body, drawing), drawing.wording)
    const cells = labels.map((label) => {
      const one = said.find((each) => each.label === label)
      return html`<td data-label="${label}">${one !== undefined && 'text' in one ? one.text : ''}</td>`
    })
    return html`<tr><th scope="row"><a href="${entryPath(register, id)}">${id}</a></th>${cells}
<td data-label="${say('field from when')}">${date(effectiveFrom, drawing.wording)}</td></tr>`
  })}</tbody></table>`
}

function fieldsListed(register: Register, body: unknown, drawing: Drawing) {
  return formPartsOf(register, body, drawing).flatMap((part) =>
    part.kind !== 'group' && part.kind !== 'rows' && register.listed.includes(part.name) ? [part] : [],
  )
}

/** The rules that ship, those in force first. */
function packs(policy: unknown, { say, word }: PageWording): Markup {
  const inForce = (policy as { readonly packs?: readonly string[] } | undefined)?.packs ?? []
  const all = [...rulePacks].sort((a, b) => Number(inForce.includes(b.id)) - Number(inForce.includes(a.id)))
  return html`<section aria-labelledby="packs"><h2 id="packs">${say('packs in force')}</h2>
<p>${say('packs lead')}</p>
${all.map(({ id, title, caveat, requirements }) => {
  const is = inForce.includes(id)
  return html`<details class="pack"${is ? html` open` : ''}>
<summary><strong>${say('recorded', { text: title })}</strong>
<span class="${is ? 'now' : 'quiet'}">${say(is ? 'pack in force' : 'pack not in force')}</span></summary>
<p class="quiet">${say('recorded', { text: caveat })}</p>
<ul class="reasons">${requirements.map(
    ({ words, source }) =>
      html`<li>${say('requirement option', { words: word('duty', words), cited: source.cited })}</li>`,
  )}</ul></details>`
})}</section>
<h2>${say('employer layer')}</h2>`
}

export async function entryPage(
  asker: Asker,
  { path, id }: { readonly path: string; readonly id: string },
  wording: PageWording,
): Promise<WebDocument> {
  const register = registerAt(path)
  const [entry, drawing] = await Promise.all([entryWithHistory(asker, register, id), drawingFor(asker, wording)])
  const { say } = wording
  const title = say(`the ${register.kind}`, { id })
  const said = saidIn(formPartsOf(register, entry.body, drawing), wording)
  const change = html`<p><a class="act" href="${entryPath(register, id)}/edition">${say('change it')}</a></p>`
  const stick = html`<p><a href="/sticks/${encodeURIComponent(id)}">${say('to the roster of stick')}</a></p>`
  const main = html`<p class="way"><a href="/registers">${say('registers')}</a> /
<a href="/registers/${register.path}">${say(`register ${register.path}`)}</a></p>
<h1>${title}</h1>
${notes(entry, wording)}
${mayChange(asker.caller, register, entry) ? change : ''}
${register.kind === 'stick' ? stick : ''}
<h2>${say('as it is today')}</h2>
${entryMarkup(said, wording)}
${register.kind === 'person' ? await signInOf(asker, entry, drawing) : ''}
<h2>${say('editions of entry')}</h2>
${history(entry, drawing)}`
  return documentOf({ title, main, here: 'registers' }, wording)
}

/** How the person signs in is loaded with the first of them. */
async function signInOf(asker: Asker, entry: Entry, drawing: Drawing): Promise<Markup> {
  const { signInSection } = await import('./person-sign-in.ts')
  return signInSection(asker, entry, drawing)
}

/** What changes the meaning of the entry without standing in it. */
function notes(entry: Entry, { say }: PageWording): Markup {
  const { register, present, editions, today } = entry
  const next = editions.find(({ standing }) => standing === 'to come')
  const person = register.kind === 'person' ? (entry.body as Person) : undefined
  const lines = [
    ...(next === undefined ? [] : [say('still to come note', { on: next.effectiveFrom })]),
    ...(person?.until !== undefined && hasEnded(person, today) ? [say('person ended', { on: person.until })] : []),
    ...(person !== undefined && !hasBegun(present, today)
      ? [say('person not begun', { on: present.effectiveFrom })]
      : []),
  ]
  return html`${lines.map((text) => html`<p class="note">${text}</p>`)}`
}

export function entryMarkup(said: readonly Said[], wording: PageWording): Markup {
  const plain = said.flatMap((one) => ('text' in one ? [one] : []))
  const lists = said.flatMap((one) => ('rows' in one ? [one] : []))
  return html`<dl class="facts">${plain.map(({ label, text }) => html`<dt>${label}</dt><dd>${text}</dd>`)}</dl>
${lists.map(({ label, rows }) => listMarkup(label, rows, wording))}`
}

/** The columns are those that any of the rows states. */
function listMarkup(legend: string, rows: Extract<Said, { rows: unknown }>['rows'], wording: PageWording): Markup {
  const columns = [...new Set(rows.flatMap((row) => row.map(({ label }) => label)))]
  if (columns.length > mostColumns)
    return html`<h3>${legend}</h3><ol>${rows.map((row) => html`<li>${rowInWords(row, wording)}</li>`)}</ol>`
  return html`<h3>${legend}</h3><div class="scroll" tabindex="0" role="region" aria-label="${legend}">
<table class="cards"><thead><tr>${columns.map((label) => html`<th scope="col">${label}</th>`)}</tr></thead>
<tbody>${rows.map(
    (row) =>
      html`<tr>${columns.map(
        (label) => html`<td data-label="${label}">${row.find((one) => one.label === label)?.text ?? ''}</td>`,
      )}</tr>`,
  )}</tbody></table></div>`
}

/** What has more columns is read as sentences. */
const mostColumns = 8

function history(entry: Entry, drawing: Drawing): Markup {
  const sections = entry.editions.map((edition, place) => editionMarkup(entry, edition, { drawing, place }))
  return html`<ol class="editions">${sections.toReversed()}</ol>`
}

function editionMarkup(
  entry: Entry,
  edition: EditionShown,
  { drawing, place }: { readonly drawing: Drawing; readonly place: number },
): Markup {
  const { wording } = drawing
  const { say } = wording
  const { standing, effectiveFrom: on, isForSlip } = edition
  const tone = { stands: 'now', 'to come': 'coming', earlier: 'quiet', 'taken back': 'quiet' }[standing]
  return html`<li class="edition"><h3>${say('edition from', { on })}
<span class="${tone}">${say(standing === 'stands' ? 'edition stands' : `edition ${standing}`)}</span></h3>
<p class="quiet">${recorded(edition, drawing)}${isForSlip ? html` ${say('edition for slip')}` : ''}</p>
${changesMarkup(entry, place, drawing)}</li>`
}

function recorded({ recordedAt, recordedBy, approvedBy }: EditionShown, { directory, wording }: Drawing): string {
  const nameOf = (id: string) => directory.people.find((one) => one.id === id)?.name ?? id
  const values = { who: nameOf(recordedBy), when: moment(recordedAt, sharedZone(directory), wording) }
  if (approvedBy === undefined) return wording.say('edition recorded', values)
  return wording.say('edition approved', { ...values, second: nameOf(approvedBy) })
}

/** What an edition changed from the one that it took the place of. */
export function changesMarkup({ register, editions }: Entry, place: number, drawing: Drawing): Markup {
  const { wording } = drawing
  const said = (body: unknown) => saidIn(formPartsOf(register, body, drawing), wording)
  const before = editions.slice(0, place).findLast(({ standing }) => standing !== 'taken back')
  if (before === undefined) return html`<p>${wording.say('first edition')}</p>`
  const changes = changesIn(said(before.body), said(editions[place]?.body), wording)
  if (changes.length === 0) return html`<p>${wording.say('same as before')}</p>`
  return html`<ul class="reasons">${changes.map((text) => html`<li>${text}</li>`)}</ul>`
}
