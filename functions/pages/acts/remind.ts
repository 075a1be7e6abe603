/** The readers of chosen sticks are written to at once: whom, and of what, stands there before it is sent. */
import { html } from 'hono/html'
import type { LeftOut } from '../../../shared-domain/notices/reminder.ts'
import { isDated } from '../../../shared-domain/state/use.ts'
import { checkRole } from '../../questions/rights.ts'
import type { Reminded } from '../../telling/reminders.ts'
import type { Markup } from '../../web/web-page.ts'
import type { PageWording } from '../wording.ts'
import { daysTo, statusMark } from '../words.ts'
import type { Act } from './act.ts'
import { chosenSticks, listPath, tooFewOrMany } from './chosen.ts'
import { donePage, stickPath } from './parts.ts'

/** What tells of sticks is loaded with the first who asks for a reminder. */
const telling = () => import('../../telling/reminders.ts')

/** A mail, owed or kept. */
type Mail = Omit<Reminded['notices'][number], 'number'>

export const remindReaders: Act = {
  route: { method: 'POST', path: '/v1/reminders' },
  isFact: true,
  form: async (acting) => {
    const { by, wording } = acting
    const { say } = wording
    checkRole(by.caller, 'remind of a stick')
    const nothing = tooFewOrMany(acting)
    if (nothing !== null) return nothing
    const stickIds = chosenSticks(acting)
    const { notices, leftOut } = await (await telling()).wouldRemind(by, stickIds)
    const [first = ''] = stickIds
    const isNobody = notices.length === 0
    const named = stickIds.length === 1
    return {
      title: named ? say('remind of stick', { stick: first }) : say('remind of sticks', { sticks: stickIds.length }),
      lead: isNobody ? say('remind nobody') : say('remind follows', { people: notices.length }),
      about: html`${mailsOf(notices, wording)}${leftOutOf(leftOut, wording)}`,
      fields: [
        { name: '/note', kind: 'text', label: say('remind note'), hint: say('remind note hint'), optional: true },
      ],
      fixed: { stickIds },
      send: isNobody ? null : say('remind them'),
      back: { path: listPath(acting), text: isNobody ? say('to the roster') : say('back without') },
    }
  },
  goTo: ({ query: { list = '' } }, { body }) => {
    const { factId } = body as { readonly factId: string } // the route's own answer
    return `/remind?${new URLSearchParams({ reminder: factId, done: 'recorded', list })}`
  },
  done: async (acting) => {
    const { by, query, wording } = acting
    const { say } = wording
    checkRole(by.caller, 'remind of a stick')
    const { reminder, notices } = await (await telling()).reminderFor(by, query.reminder ?? '')
    const text = html`${mailsOf(notices, wording)}${leftOutOf(reminder.leftOut, wording)}
<p><a href="/notices">${say('to notices')}</a></p>`
    const title = say('reminded', { people: notices.length })
    return donePage({ title, text, onward: { path: listPath(acting), text: say('to the roster') } }, wording)
  },
}

/** Readers of the same sticks stand together. */
function mailsOf(mails: readonly Mail[], wording: PageWording): Markup | string {
  if (mails.length === 0) return ''
  const { say, list } = wording
  const groups = Map.groupBy(mails, ({ lines }) => lines.map(({ stickId }) => stickId).join(' '))
  const group = (of: readonly Mail[]) => {
    const readers = of.map(({ to: { name, role } }) => say('name and role', { name, role }))
    return html`<li><p><strong>${list(readers)}</strong></p>
<ul class="of">${(of[0]?.lines ?? []).map((line) => stickOf(line, wording))}</ul>
${of.map(({ to }) => errand(to, wording))}</li>`
  }
  return html`<section class="mails"><h2>${say('written to')}</h2><ul>${[...groups.values()].map(group)}</ul></section>`
}

function stickOf({ stickId, status, daysLeft }: Mail['lines'][number], wording: PageWording): Markup {
  const days = isDated(status) && daysLeft !== null ? daysTo(daysLeft, wording.say) : ''
  return html`<li><a href="${stickPath(stickId)}">${stickId}</a> ${statusMark({ status }, wording)} ${days}</li>`
}

/** Those without mail are told face to face by a reader. */
function errand({ name, tellInPerson }: Mail['to'], { say, list }: PageWording): Markup | string {
  if (tellInPerson.length === 0) return ''
  return html`<p>${say('asked to tell', { name, names: list(tellInPerson.map((one) => one.name)) })}</p>`
}

function leftOutOf(leftOut: readonly LeftOut[], { say, reason }: PageWording): Markup | string {
  if (leftOut.length === 0) return ''
  return html`<section><h2>${say('left out')}</h2>
<ul class="reasons">${leftOut.map((one) => html`<li>${reason(one.reason)}</li>`)}</ul></section>`
}
