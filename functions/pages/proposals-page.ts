/** What waits for a second person, and what became of it: the newest first. It is decided through the API. */
import { html } from 'hono/html'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { ways as messages } from '../../shared-domain/catalogue/en/ways.ts'
import type { Correction } from '../../shared-domain/fact-bodies.ts'
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { ProposalState } from '../../shared-domain/loosening/proposal.ts'
import { wayIn, wordingIn } from '../../shared-domain/wording.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type ListedProposal, proposalsFor } from '../questions/proposals.ts'
import type { Markup } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import { moment } from './words.ts'

const mostShown = 100

const wording = wordingIn(english, 'metric', messages)

export async function proposalsPage(asker: Asker): Promise<Markup> {
  const [all, { people }] = await Promise.all([proposalsFor(asker, undefined), directoryFor(asker)])
  const names = new Map(people.map(({ id, name }) => [id, name]))
  const nameOf = (id: string) => names.get(id) ?? id
  // what waits is what somebody has to do
  const shown = [...all]
    .sort((a, b) => Number(b.stateNow === 'open') - Number(a.stateNow === 'open'))
    .slice(0, mostShown)
  return documentOf(
    'Changes that need two',
    html`<h1>Changes that need two</h1>
<p>A change that would be milder than what binds now takes effect only when a second person approves it.</p>
${shown.length === 0 ? html`<p class="empty">Nothing waits, and nothing was proposed yet.</p>` : shown.map((one) => section(one, nameOf))}`,
    'proposals',
  )
}

function section(one: ListedProposal, nameOf: (id: string) => string): Markup {
  const { id, stateNow, by, at, ways } = one
  const because = one.corrects?.reason ?? (one.kind === 'correction' ? (one.body as Correction).reason : undefined) // it was checked when it was proposed
  return html`<section class="hold" aria-labelledby="${id}"><h2 id="${id}">${whatOf(one)}: ${states[stateNow]}</h2>
<p>${nameOf(by)} asked for it, ${moment(at, 'UTC')}. Number ${id}.${because === undefined ? '' : ` Because: ${because}`}</p>
<ul class="reasons">${ways.map((way) => html`<li>${wayIn(wording, way)}</li>`)}</ul>
${effect(one)}${decision(one, nameOf)}</section>`
}

function whatOf({ kind, entryId }: ListedProposal): string {
  const name = `${kind.charAt(0).toUpperCase()}${kind.slice(1)}`
  if (kind === 'correction') return `Record of stick ${entryId}`
  return kind === 'policy' ? name : `${name} ${entryId}`
}

const states: { readonly [state in ProposalState]: string } = {
  open: 'waits for a second person',
  approved: 'approved',
  declined: 'declined',
  fallen: 'fell, since the entry changed meanwhile',
}

function effect({ fleet }: ListedProposal): Markup | string {
  return fleet === null ? '' : html`<p>${effectInWords(fleet)}</p>`
}

function effectInWords(fleet: FleetEffect): string {
  if (fleet.of === 'stick') {
    const { inForce, proposed } = fleet
    return `When it was asked for the stick was ${inForce.status}; by this it would be ${proposed.status}.`
  }
  const counted = `Counted when it was asked for${fleet.isWhole ? '' : ' among the first'}, sticks`
  switch (fleet.of) {
    case 'rules':
      return `${counted}: ${fleet.sticks}; fit that must not be used now: ${fleet.newlyFit}; due later: ${fleet.dueLater}; not to be used any more: ${fleet.noLongerFit}.`
    case 'tests':
      return `${counted} last tested by it: ${fleet.sticks}; judged more mildly by this: ${fleet.milder}. What was judged stays.`
    case 'sticks':
      return `${counted} that it bears on: ${fleet.sticks}.`
  }
}

function decision({ decided, state }: ListedProposal, nameOf: (id: string) => string): Markup | string {
  if (decided === null) return ''
  const reason = decided.reason === undefined ? '' : `: ${decided.reason}`
  return html`<p>${nameOf(decided.by)} ${state === 'approved' ? 'approved' : 'declined'} it, ${moment(decided.at, 'UTC')}${reason}</p>`
}
