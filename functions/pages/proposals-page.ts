/** What waits for a second person, and what became of it: the newest first. */
import { html } from 'hono/html'
import type { Correction } from '../../shared-domain/fact-bodies.ts'
import { effectIn, wayIn } from '../../shared-domain/wording.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type ListedProposal, proposalsFor } from '../questions/proposals.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { moment, sharedZone } from './words.ts'

const mostShown = 100

interface Beside {
  readonly nameOf: (id: string) => string
  readonly zone: string
  /** whether the reader may approve or decline it */
  readonly mayDecide: (id: string) => boolean
}

export async function proposalsPage(asker: Asker, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [all, beside] = await Promise.all([proposalsFor(asker, undefined), besideOf(asker)])
  const decided = await decidedBy(asker, all)
  // what waits is what somebody has to do
  const shown = [...all]
    .sort((a, b) => Number(b.stateNow === 'open') - Number(a.stateNow === 'open'))
    .slice(0, mostShown)
    .map((one) => section(one, { ...beside, mayDecide: (id) => decided.has(id) }, wording))
  const title = say('changes that need two')
  const main = html`<h1>${title}</h1>
<p>${say('why two')}</p>
${shown.length === 0 ? html`<p class="empty">${say('no changes')}</p>` : shown}`
  return documentOf({ title, main, here: 'changes' }, wording)
}

async function besideOf(asker: Asker): Promise<Omit<Beside, 'mayDecide'>> {
  const directory = await directoryFor(asker)
  const names = new Map(directory.people.map(({ id, name }) => [id, name]))
  return { nameOf: (id) => names.get(id) ?? id, zone: sharedZone(directory) }
}

/** Changes that wait, and that the reader may decide. */
async function decidedBy(asker: Asker, all: readonly ListedProposal[]): Promise<ReadonlySet<string>> {
  const { mayDecide } = await import('../questions/deciders.ts')
  const open = all.filter(({ stateNow }) => stateNow === 'open')
  const may = await Promise.all(open.map((one) => mayDecide(asker, one)))
  return new Set(open.filter((_, i) => may[i]).map(({ id }) => id))
}

/** A change with what hangs on it, for whoever decides it. */
export async function proposalSection(asker: Asker, one: ListedProposal, wording: PageWording): Promise<Markup> {
  return section(one, { ...(await besideOf(asker)), mayDecide: () => false }, wording)
}

function section(one: ListedProposal, { nameOf, zone, mayDecide }: Beside, wording: PageWording): Markup {
  const { id, stateNow, by, at, ways, kind, entryId } = one
  const { say } = wording
  const isOfFacts = kind === 'correction' || kind === 'tests before'
  const ofFact = isOfFacts ? (one.body as Pick<Correction, 'reason'>).reason : undefined // checked when it was proposed
  const reason = one.corrects?.reason ?? ofFact
  const asked = say('asked for by', { who: nameOf(by), when: moment(at, zone, wording), id })
  const because = reason === undefined ? '' : ` ${say('asked because', { reason })}`
  const what = kind === 'policy' ? say('change of policy') : say(`change of ${kind}`, { id: entryId })
  return html`<section class="hold" aria-labelledby="${id}"><h2 id="${id}">${what}: ${say(`change ${stateNow}`)}</h2>
<p>${asked}${because}</p>
<ul class="reasons">${ways.map((way) => html`<li>${wayIn(wording, way)}</li>`)}</ul>
${one.fleet === null ? '' : html`<p>${effectIn(wording, one.fleet).join(' ')}</p>`}
${decision(one, { nameOf, zone }, wording)}${mayDecide(id) ? waysToDecide(id, wording) : ''}</section>`
}

function waysToDecide(id: string, { say }: PageWording): Markup {
  const at = `/proposals/${encodeURIComponent(id)}`
  return html`<p class="acts"><a href="${at}/approve">${say('approve it')}</a>
<a href="${at}/decline">${say('decline it')}</a></p>`
}

function decision(
  { decided, state }: ListedProposal,
  beside: Pick<Beside, 'nameOf' | 'zone'>,
  wording: PageWording,
): Markup | string {
  if (decided === null) return ''
  const values = { who: beside.nameOf(decided.by), when: moment(decided.at, beside.zone, wording) }
  const what = wording.say(state === 'approved' ? 'approved by and when' : 'declined by and when', values)
  return html`<p>${what}${decided.reason === undefined ? '' : `: ${decided.reason}`}</p>`
}
