/** Forms below a plan: hours, weeks with other hours, the week of a stick, locks, and a plan made anew. */
import { html, raw } from 'hono/html'
import { usualWork } from '../../shared-domain/plan/settings.ts'
import { constructions } from '../../shared-domain/words.ts'
import type { DepotPlanAnswer } from '../questions/plans.ts'
import type { Markup } from '../web/web-page.ts'
import type { PageWording } from './wording.ts'
import { date, type Names } from './words.ts'

/** What every part of the page is about. */
export interface OnPlan {
  readonly depotId: string
  readonly names: Names
  /** the crews of the depot */
  readonly crews: readonly { readonly id: string; readonly name: string }[]
  readonly found: DepotPlanAnswer
  /** whether the reader may change anything */
  readonly mayPlan: boolean
}

interface Field {
  readonly name: string
  readonly label: string
  readonly value?: number | string | undefined
  readonly type?: 'number' | 'date' | 'text'
  readonly least?: number
  readonly most?: number
  readonly step?: number | 'any'
  readonly isOptional?: boolean
}

/** @lintignore the page of a trial has such fields too */
export function fieldOf({ name, label, value, type = 'number', least, most, step, isOptional }: Field): Markup {
  const bound = (of: string, figure: number | string | undefined) =>
    figure === undefined ? '' : raw(` ${of}="${figure}"`)
  const numbers = type === 'number' ? html`${bound('min', least ?? 0)}${bound('max', most)}${bound('step', step)}` : ''
  const needed = isOptional === true ? '' : raw(' required')
  return html`<div class="field"><label for="${name}">${label}</label>
<input id="${name}" name="${name}" type="${type}" value="${value ?? ''}"${numbers}${needed}
autocomplete="off"></div>`
}

const mostHours = 700

export function planForms(on: OnPlan, wording: PageWording): Markup {
  const { say } = wording
  const kept = on.found.settings
  const anew = kept === undefined ? '' : act('anew', on, html`<p class="send"><button>${say('plan anew')}</button></p>`)
  return html`${anew}
${hoursForm(on, wording)}
${kept === undefined ? '' : [weeksForm, coverForm, stickForm, lockForm].map((one) => one(on, wording))}`
}

/** Each form says which act it is. */
const act = (name: string, { depotId }: OnPlan, fields: Markup): Markup =>
  html`<form class="act" method="post" action="/plan"><input type="hidden" name="act" value="${name}">
<input type="hidden" name="depot" value="${depotId}">${fields}</form>`

const folded = (title: string, isOpen: boolean, content: Markup): Markup =>
  html`<details class="set"${isOpen ? raw(' open') : ''}><summary><h2>${title}</h2></summary>${content}</details>`

function hoursForm(on: OnPlan, { say }: PageWording): Markup {
  const settings = on.found.settings?.settings
  const work = settings?.work ?? usualWork
  const fields = html`<p class="hint">${say('plan set hours hint')}</p>
${fieldOf({
  name: 'hours',
  label: say('plan week hours'),
  value: settings === undefined ? undefined : settings.weekMinutes / 60,
  most: mostHours,
  step: 'any',
})}
${fieldOf({ name: 'margin', label: say('plan margin'), value: settings?.marginWeeks ?? 2, most: 26 })}
${fieldOf({ name: 'away', label: say('plan away'), value: settings?.weeksAway ?? 1, least: 1, most: 26 })}
${fieldOf({ name: 'keep', label: say('plan keep'), value: settings?.keepPercent ?? 50, most: 100, step: 'any' })}
<p class="hint">${say('plan figures told')}</p>
${fieldOf({ name: 'setUp', label: say('plan set up'), value: work.setUpMinutes, most: 600, step: 'any' })}
${fieldOf({ name: 'reading', label: say('plan reading'), value: work.readingMinutes, most: 60, step: 'any' })}
${fieldOf({ name: 'wetting', label: say('plan wetting'), value: work.wettingMinutes, most: 600, step: 'any' })}
${fieldOf({
  name: 'refinishing',
  label: say('plan refinishing'),
  value: work.refinishingMinutes,
  most: 600,
  step: 'any',
})}
${fieldOf({
  name: 'failing',
  label: say('plan failing'),
  value: Math.round(work.failingShare * 1000) / 10,
  most: 100,
  step: 'any',
})}
<p class="send"><button>${say('plan save')}</button></p>`
  return folded(say('plan set hours'), settings === undefined, act('hours', on, fields))
}

function weeksForm(on: OnPlan, wording: PageWording): Markup {
  const { say } = wording
  const weeks = on.found.settings?.settings.weeks ?? []
  const said = weeks
    .toSorted((a, b) => (a.week < b.week ? -1 : 1))
    .map(
      ({ week, minutes }) => html`<li>${date(week, wording)}:
${minutes === 0 ? say('plan closed') : say('plan hours', { hours: Math.round(minutes / 6) / 10 })}</li>`,
    )
  const fields = html`<p class="hint">${say('plan set weeks hint')}</p>
${said.length === 0 ? '' : html`<ul>${said}</ul>`}
${fieldOf({ name: 'from', label: say('plan weeks from'), type: 'date' })}
${fieldOf({ name: 'to', label: say('plan weeks to'), type: 'date', isOptional: true })}
${fieldOf({ name: 'weekHours', label: say('plan hours then'), most: mostHours, step: 'any', isOptional: true })}
<p class="send"><button>${say('plan save')}</button></p>`
  return folded(say('plan set weeks'), (on.found.plan?.broken.length ?? 0) > 0, act('weeks', on, fields))
}

function coverForm(on: OnPlan, wording: PageWording): Markup {
  const { say, word } = wording
  const { crews, found } = on
  const rows = (found.settings?.settings.cover ?? []).map(({ crewId, constructions: kinds, least, loaners }) => {
    const crew = on.names.crew(crewId)
    return html`<li>${say('plan cover row', { crew, kinds: kinds.join(', '), least, loaners })}</li>`
  })
  const isShort = found.plan?.broken.some(({ is }) => is === 'crew short') ?? false
  const boxes = constructions.map(
    (one) => html`<label class="box"><input type="checkbox" name="construction" value="${one}">
<span>${word('construction', one)}</span></label>`,
  )
  const options = crews.map(({ id, name }) => html`<option value="${id}">${name}</option>`)
  const fields = html`<p class="hint">${say('plan set cover hint')}</p>
${rows.length === 0 ? '' : html`<ul>${rows}</ul>`}
<div class="field"><label for="crew">${say('plan cover crew')}</label>
<select id="crew" name="crew" required>${options}</select></div>
<fieldset><legend>${say('plan cover constructions')}</legend>${boxes}</fieldset>
${fieldOf({ name: 'least', label: say('plan cover least'), most: 1000, isOptional: true })}
${fieldOf({ name: 'loaners', label: say('plan cover loaners'), most: 1000, isOptional: true })}
<p class="send"><button>${say('plan save')}</button></p>`
  return folded(say('plan set cover'), isShort, act('cover', on, fields))
}

function stickForm(on: OnPlan, { say }: PageWording): Markup {
  const fields = html`<p class="hint">${say('plan set stick hint')}</p>
${fieldOf({ name: 'stick', label: say('plan stick number'), type: 'text' })}
${fieldOf({ name: 'week', label: say('plan in week'), type: 'date', isOptional: true })}
<p class="send"><button>${say('plan save')}</button></p>`
  return folded(say('plan set stick'), false, act('stick', on, fields))
}

function lockForm(on: OnPlan, wording: PageWording): Markup {
  const { say } = wording
  const locked = on.found.settings?.settings.lockedWeeks ?? []
  const each = locked.map((week) =>
    act(
      'lock',
      on,
      html`<input type="hidden" name="unlock" value="${week}"><p>${date(week, wording)}: ${say('plan locked')}
<button class="second">${say('plan unlock')}<span class="unseen"> ${wording.day(week)}</span></button></p>`,
    ),
  )
  const fields = html`<p class="hint">${say('plan set lock hint')}</p>
${fieldOf({ name: 'lock', label: say('plan in week'), type: 'date' })}
<p class="send"><button>${say('plan lock')}</button></p>`
  return folded(say('plan set lock'), locked.length > 0, html`${each}${act('lock', on, fields)}`)
}
