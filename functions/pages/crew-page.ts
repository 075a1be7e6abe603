/**
 * The page that a crew opens beside the truck: each stick with what to do by when, the worst first; who has not heard
 * of what must not be used; and the way to say something of any stick by its number.
 */
import { html } from 'hono/html'
import { daysBetween } from '../../shared-domain/calendar.ts'
import { type CrewPart, crewParts } from '../../shared-domain/crew-list.ts'
import { orderOn, toOrder } from '../../shared-domain/state/order.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import type { Asker } from '../questions/asker.ts'
import { type CrewLine, type CrewSheet, crewFor, crewsToRead, type NotHeard, type ToTell } from '../questions/crew.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { stickPath } from './acts/parts.ts'
import { picture, whatHappened } from './acts/pictures.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import {
  daysTo,
  depotLine,
  depotNameOf,
  moment,
  namesIn,
  saidOrder,
  shapeOf,
  undatedFor,
  where,
  whyOf,
  wrongLabel,
} from './words.ts'

interface Choice {
  readonly crewId: string | undefined
  /** somebody was just recorded as told */
  readonly isTold: boolean
}

export async function crewPage(asker: Asker, { crewId, isTold }: Choice, wording: PageWording): Promise<WebDocument> {
  const asked = crewId ?? asker.caller.crewId ?? undefined
  if (asked === undefined) return crewsPage(asker, wording)
  const sheet = await crewFor(asker, asked)
  const { say } = wording
  const isOwn = asked === asker.caller.crewId
  const title = isOwn ? say('our sticks') : say('sticks of crew', { crew: sheet.crew.name })
  return documentOf({ title, main: body(sheet, { title, isTold, asker }, wording), ...look }, wording)
}

const look = { here: 'our sticks', more: 'crew' } as const

/** A reader of no crew chooses one. */
async function crewsPage(asker: Asker, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const crews = await crewsToRead(asker)
  const links = crews.map(({ id, name }) => html`<li><a href="/crew?crew=${encodeURIComponent(id)}">${name}</a></li>`)
  const title = say('crews')
  const main = html`<h1>${title}</h1>
${crews.length === 0 ? html`<p class="empty">${say('no crew to read')}</p>` : html`<ul class="crews">${links}</ul>`}
${numberForm(wording)}`
  return documentOf({ title, main, ...look }, wording)
}

interface Beside {
  readonly title: string
  readonly isTold: boolean
  readonly asker: Asker
}

/** A page for a phone holds no more; the roster has the rest. */
const mostShown = 150

function body(sheet: CrewSheet, { title, isTold, asker: { now } }: Beside, wording: PageWording): Markup {
  const { say } = wording
  const { crew, directory, lines, keepsFeeds } = sheet
  const depot = directory.depots.find(({ id }) => id === crew.depotId)
  const shown = lines.slice(0, mostShown)
  const parts = crewParts.map((part) => partMarkup(part, { sheet, shown }, wording))
  const more = lines.length - shown.length
  const rest = html`<p><a href="/roster?crew=${encodeURIComponent(crew.id)}">${say('more with crew', { more })}</a></p>`
  const feeds = html`<p class="acts"><a href="/crews/${encodeURIComponent(crew.id)}/feeds">${say('to feeds')}</a></p>`
  return html`<h1>${title}</h1>
${isTold ? html`<p role="status" class="done">${say('telling kept')}</p>` : ''}
<p class="asof">${say('as of', { when: moment(now, depot?.timeZone ?? 'UTC', wording) })}</p>
${depot === undefined ? '' : html`<h2 class="to">${say('bring sticks to')}</h2>${depotLine(depot, wording)}`}
${lines.length === 0 ? html`<p class="empty">${say('no sticks with crew')}</p>` : ''}
${numberForm(wording)}
${unheardMarkup(sheet, wording)}
${parts}
${more > 0 ? rest : ''}
${keepsFeeds ? feeds : ''}`
}

/** Any stick of the organisation, also one that is not on the list. */
export function numberForm({ say }: PageWording, typed = ''): Markup {
  return html`<form class="say" method="get" action="/say"><h2>${say('say by number')}</h2>
<label for="number">${say('number on it')}</label>
<input id="number" name="stick" value="${typed}" maxlength="64" autocomplete="off" autocapitalize="characters"
spellcheck="false" required>
<p class="send"><button name="what" value="report">${picture(whatHappened.danger)} ${say('short danger')}</button>
<button name="what" value="say" class="second">${say('short else')}</button></p></form>`
}

interface Listed {
  readonly sheet: CrewSheet
  readonly shown: readonly CrewLine[]
}

function partMarkup(part: CrewPart, { sheet, shown }: Listed, wording: PageWording): Markup | string {
  const { say } = wording
  const own = shown.filter((line) => line.part === part)
  if (own.length === 0) return ''
  return html`<section class="sticks" aria-labelledby="part-${part.replace(' ', '-')}">
<h2 id="part-${part.replace(' ', '-')}">${say(`part of crew ${part}`, { sticks: own.length })}</h2>
${part === 'use' || part === 'bring' ? html`<p>${say(part === 'use' ? 'do clean and look' : 'do until then')}</p>` : ''}
<ul>${own.map((line) => card(line, sheet, wording))}</ul></section>`
}

function card({ stored, standing, today, part }: CrewLine, { directory }: CrewSheet, wording: PageWording): Markup {
  const { stickId, state, depotId } = stored
  const { say } = wording
  const names = namesIn(directory)
  const { status, dueOn } = standing
  const { line, errand } = orderOn(toOrder(standing, state, depotNameOf(depotId, names)))
  const { tone, picture: shape } = shapeOf(mayBeUsed(status) ? status : 'on hold')
  const isUsable = mayBeUsed(status)
  // what is the same for all of a part stands once above them
  const isOwn = !isUsable || line.is === 'order stays at the bench' || errand.is.endsWith('not primary')
  const isDated = undatedFor({ status, dueOn }, say) === undefined && dueOn !== null
  const days = isDated ? html` <span class="days">${daysTo(daysBetween(today, dueOn), say)}</span>` : ''
  const label = wrongLabel(standing, wording)
  const isElsewhere = part === 'lent' || part === 'missing' || part === 'away'
  const lies = isElsewhere
    ? html`<p class="quiet">${where(state, names, wording)}${loanLate(state, today, say)}</p>`
    : ''
  return html`<li class="${tone}"><h3><a href="${stickPath(stickId)}">${stickId}</a></h3>
<p class="do">${shape}<strong>${saidOrder(line, wording)}</strong>${days}</p>
${isUsable ? '' : html`<p>${whyOf(standing, wording)}</p>`}
${isOwn ? html`<p>${saidOrder(errand, wording)}</p>` : ''}
${label === null ? '' : html`<p><strong>${label}</strong></p>`}
${lies}
${actsOn(stickId, wording)}</li>`
}

type Say = PageWording['say']

function loanLate({ custody }: CrewLine['stored']['state'], today: CrewLine['today'], say: Say): Markup | string {
  const days = custody !== null && 'lentTo' in custody ? daysBetween(custody.returnBy, today) : 0
  return days > 0 ? html` <strong>${say('loan late', { days })}</strong>` : ''
}

function actsOn(stickId: string, { say }: PageWording): Markup {
  const link = (act: string, text: string) =>
    html`<a href="${stickPath(stickId)}/${act}">${text}<span class="unseen"> ${stickId}</span></a>`
  return html`<p class="acts">${link('report', say('short danger'))}
${link('use', say('short use'))}
${link('look', say('short look'))}
${link('say', say('short else'))}</p>`
}

function unheardMarkup({ notHeard, crew }: CrewSheet, wording: PageWording): Markup | string {
  if (notHeard.length === 0) return ''
  const { say } = wording
  return html`<section class="unheard" aria-labelledby="unheard"><h2 id="unheard">${say('who has not heard')}</h2>
<p>${say('tell follows')}</p>
<ul>${notHeard.map((one) => unheardOf(one, crew.id, wording))}</ul></section>`
}

function unheardOf({ stickId, silent, toTell }: NotHeard, crewId: string, { say, list }: PageWording): Markup {
  const names = [...new Set(silent.map(({ name, role }) => say('name and role', { name, role })))]
  return html`<li><h3><a href="${stickPath(stickId)}">${stickId}</a></h3>
${names.length === 0 ? '' : html`<p>${say('not confirmed as read')} ${list(names)}</p>`}
${toTell.map((one) => toTellMarkup(one, crewId, say))}</li>`
}

function toTellMarkup({ number, name, phone }: ToTell, crewId: string, say: Say): Markup {
  const back = new URLSearchParams({ crew: crewId })
  return html`<form method="post" action="/notices/${encodeURIComponent(number)}/told?${back}" data-act="told">
<input type="hidden" name="/name" value="${name}"><input type="hidden" name="/phone" value="${phone}">
<p><span>${name}</span> <a class="phone" href="tel:${phone.replace(/[^+\d]/g, '')}">${phone}</a>
<button>${say('i told', { name })}</button></p></form>`
}
