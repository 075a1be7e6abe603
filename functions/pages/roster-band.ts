/**
 * The head of the roster: as of when, and the numbers that a manager's morning begins with, each a link to its list.
 */
import { html, raw } from 'hono/html'
import { type Instant, localDateAt, localTimeAt, zoneNameAt } from '../../shared-domain/calendar.ts'
import type { Status } from '../../shared-domain/words.ts'
import type { Directory } from '../questions/directory.ts'
import type { Band, Count } from '../questions/roster.ts'
import type { Markup } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'
import { addressOf, type Chosen } from './roster-choice.ts'
import { moment, shapeOf } from './words.ts'

export interface Head {
  readonly organisation: string
  readonly now: Instant
  readonly directory: Directory
  readonly band: Band
  /** edits that wait for a second person; null for whoever may not read them */
  readonly proposals: number | null
  readonly chosen: Chosen
}

export function headOf(head: Head, wording: FirstWording): Markup {
  const { band, proposals, organisation } = head
  const { say } = wording
  const urgent = band.urgent === 0 ? undefined : say('band urgent', { count: counted(band.urgent, wording) })
  const soon = band.soonDays === null ? wording.word('status', 'due soon') : say('band soon', { days: band.soonDays })
  return html`<div class="as-of"><h1>${say('roster')}</h1>
<p><strong>${organisation}</strong> ${asOf(head, wording)}</p></div>
<nav class="news" aria-label="${say('band name')}"><ul>
${tile(head, { status: 'overdue', text: say('band overdue') }, wording)}
${tile(head, { status: 'on hold', text: say('band held'), besides: urgent }, wording)}
${tile(head, { status: 'due soon', text: soon }, wording)}
${tile(head, { status: 'awaiting first test', text: say('band untested') }, wording)}
${proposals === null ? '' : numbered({ href: '/proposals', count: proposals, text: say('band proposals') }, wording)}
</ul></nav>`
}

interface Tile {
  readonly status: keyof Band & Status
  readonly text: string
  readonly besides?: string | undefined
}

/** Its list is that of the same depot and crew; whatever else was chosen is left. */
function tile({ band, chosen }: Head, { status, text, besides }: Tile, wording: FirstWording): Markup {
  const { depotId, crewId } = chosen.filter
  const href = addressOf({ filter: { status, depotId, crewId }, byCrew: chosen.byCrew })
  return numbered(
    { href, count: band[status], text, besides, status, isHere: chosen.filter.status === status },
    wording,
  )
}

interface Numbered extends Pick<Tile, 'text' | 'besides'> {
  readonly href: string
  readonly count: Count
  readonly status?: Status
  readonly isHere?: boolean
}

function numbered({ href, count, text, besides, status, isHere }: Numbered, wording: FirstWording): Markup {
  const { tone, picture } = status === undefined ? { tone: 'out', picture: '' } : shapeOf(status)
  const here = isHere ? raw(' aria-current="true"') : ''
  const below = besides === undefined ? '' : html` <small>${besides}</small>`
  return html`<li class="${count === 0 ? 'none' : tone}">
<a href="${href}"${here}>${picture}<b>${counted(count, wording)}</b>
<span>${text}${below}</span></a></li>`
}

const counted = (count: Count, { say }: FirstWording) => (count === '1,000+' ? say('over a thousand') : String(count))

const mostClocks = 3

/** By the clock of each depot that is shown, where there are few; else by UTC, which names itself. */
export function asOf(
  { now, directory, chosen }: Pick<Head, 'now' | 'directory' | 'chosen'>,
  wording: FirstWording,
): string {
  const { depotId, store } = chosen.filter
  const one = store ?? depotId
  const depots = directory.depots.filter(({ id }) => one === undefined || id === one)
  const zones = [...new Set(depots.map(({ timeZone }) => timeZone))]
  const told = zones.length === 0 || zones.length > mostClocks ? ['UTC'] : zones
  return wording.say('as of', { when: momentsIn(told, now, wording).join(' · ') })
}

/** The day is told again only where it is another by that clock. */
function momentsIn(zones: readonly string[], now: Instant, wording: FirstWording): string[] {
  return zones.map((zone, i) => {
    const before = zones[i - 1]
    const isSameDay = before !== undefined && localDateAt(now, before) === localDateAt(now, zone)
    return isSameDay ? `${localTimeAt(now, zone)} ${zoneNameAt(now, zone)}` : moment(now, zone, wording)
  })
}
