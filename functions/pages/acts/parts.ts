/** What the forms of acts share: when it was, the words beside it, the way back, and the page that says it is done. */
import { html } from 'hono/html'
import type { CalendarDate } from '../../../shared-domain/calendar.ts'
import type { Markup, WebDocument } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import type { Field } from './form.ts'

export const stickPath = (id: string) => `/sticks/${encodeURIComponent(id)}`

type Say = PageWording['say']

/** The day and the hour of a fact; the day is empty where the device fills it in. */
export function whenFields(day: CalendarDate | '', say: Say): readonly Field[] {
  return [
    { name: '/occurredOn', kind: 'date', label: say('day of it'), value: day },
    { name: '/at', kind: 'time', label: say('hour'), hint: say('hour hint'), optional: true },
  ]
}

export const noteField = (say: Say): Field => ({ name: '/note', kind: 'text', label: say('note'), optional: true })

export const backToStick = (stick: string, say: Say) => ({ path: stickPath(stick), text: say('back without') })

interface DonePage {
  readonly title: string
  readonly text: Markup | string
  readonly onward: { readonly path: string; readonly text: string }
}

export function donePage({ title, text, onward }: DonePage, wording: PageWording): WebDocument {
  const main = html`<h1>${title}</h1>
<div role="status">${text}</div>
<p><a href="${onward.path}">${onward.text}</a></p>`
  return documentOf({ title, main }, wording)
}

export const toStick = (stick: string, say: Say) => ({ path: stickPath(stick), text: say('to the stick', { stick }) })
