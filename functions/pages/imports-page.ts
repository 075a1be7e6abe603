/** Spreadsheets: those that were sent, one on its way, and what is asked of it, wrong in it and changed by it. */
import { html, raw } from 'hono/html'
import type { Instant } from '../../shared-domain/calendar.ts'
import { dateOrders, type ImportKind } from '../../shared-domain/import/choices.ts'
import { columnsOf } from '../../shared-domain/import/columns.ts'
import { isUnderWay, mostFaultsTold, type RowFault } from '../../shared-domain/import/import.ts'
import { templates } from '../../shared-domain/import/templates.ts'
import { fieldIn, fileFaultIn, rowFaultIn } from '../../shared-domain/import/told.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { statuses } from '../../shared-domain/words.ts'
import type { Asker } from '../questions/asker.ts'
import { importsFor } from '../questions/imports.ts'
import { type formFor, mostUploadMegabytes } from '../requests/import-acts.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { select } from './filter.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { moment, statusMark } from './words.ts'

type Sent = Awaited<ReturnType<typeof importsFor>>[number]
const kinds = Object.keys(templates) as (keyof typeof templates)[]

const pageOf = (title: string, main: Markup, wording: PageWording): WebDocument =>
  documentOf({ title, main: html`<h1>${title}</h1>\n${main}`, here: 'registers', more: 'imports' }, wording)

export async function importsPage(asker: Asker, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const sent = await importsFor(asker)
  const options = kinds.map((kind) => html`<option value="${kind}">${say(`import kind ${kind}`)}</option>`)
  const links = kinds.map((kind) => {
    const name = say('import template', { kind: say(`import kind ${kind}`) })
    return html`<li><a href="/imports/templates/${kind}" download>${name}</a></li>`
  })
  const main = html`<p class="lead">${say('imports lead')}</p>
<p>${say('imports order')}</p>
<form class="act" method="post" action="/imports"><div class="field"><label for="kind">${say('import new')}</label>
<select id="kind" name="kind">${options}</select></div>
<p class="send"><button>${say('import begin')}</button></p></form>
<h2>${say('import templates')}</h2><ul>${links}</ul>
<h2>${say('imports sent')}</h2>
${sent.length === 0 ? html`<p class="empty">${say('imports none')}</p>` : sentTable(sent, wording)}
${takenOut(asker, wording)}`
  return pageOf(say('imports'), main, wording)
}

/** Only files that the reader may have. */
function takenOut({ caller }: Asker, { say }: PageWording): Markup {
  const link = (kind: string, name: string) => html`<li>${say('export name', { what: name })}
<a href="/exports/${kind}" download>${say('export as csv')}</a>
<a href="/exports/${kind}?format=xlsx" download>${say('export as xlsx')}</a></li>`
  const mayHave = kinds.filter((kind) => kind !== 'people' || mayAtAll(caller.role, 'read people'))
  return html`<h2 id="out">${say('exports')}</h2><p>${say('exports lead')}</p>
<ul>${mayHave.map((kind) => link(kind, say(`import kind ${kind}`)))}</ul>
<p>${say('exports to read')}</p>
<ul>${(['roster', 'history', 'notices'] as const).map((kind) => link(kind, say(`export ${kind}`)))}</ul>`
}

function sentTable(sent: readonly Sent[], wording: PageWording): Markup {
  const { say } = wording
  const lines = sent.map(
    ({
      id,
      kind,
      at,
      state,
      counts,
    }) => html`<tr><th scope="row"><a href="/imports/${id}">${say(`import kind ${kind}`)}</a></th>
<td>${moment(at as Instant, 'UTC', wording)}</td><td>${counts.of}</td><td>${say(`import state ${state}`)}</td></tr>`,
  )
  return html`<div class="wide" role="region" tabindex="0" aria-label="${say('imports sent')}"><table>
<thead><tr><th scope="col">${say('import new')}</th><th scope="col">${say('import sent')}</th>
<th scope="col">${say('import rows')}</th><th scope="col">${say('import state')}</th></tr></thead>
<tbody>${lines}</tbody></table></div>`
}

interface Known {
  readonly sent: Sent
  /** the form by which the file is to be sent, where it is waited for */
  readonly form: Awaited<ReturnType<typeof formFor>>['form'] | null
  /** the bucket led here: the file is there, and will be read in a moment */
  readonly isThere: boolean
  /** the address at which the rows can be fetched that were not taken */
  readonly rest: string | null
}

export function importPage(known: Known, wording: PageWording): WebDocument {
  const { say } = wording
  const { sent } = known
  return pageOf(say('import of kind', { kind: say(`import kind ${sent.kind}`) }), bodyOf(known, wording), wording)
}

function bodyOf(known: Known, wording: PageWording): Markup {
  const { sent, form, isThere } = known
  const { say } = wording
  const another = html`<p><a href="/imports">${say('import another')}</a></p>`
  if (isUnderWay(sent.state) || (sent.state === 'awaiting file' && isThere)) return underWay(sent, wording)
  switch (sent.state) {
    case 'awaiting file':
      return form === null ? another : fileForm(form, wording)
    case 'asked':
      return html`<h2>${say('import asks')}</h2>${readingForm(sent, wording)}`
    case 'refused':
      return html`<div class="trouble" role="alert"><h2>${say('import refused')}</h2>
<p>${sent.refused === null ? '' : fileFaultIn(wording, sent.refused)}</p></div>${another}`
    case 'checking':
    case 'checked':
    case 'applying':
    case 'applied':
      return html`${outcome(known, wording)}${another}`
  }
}

/** The fields come in the order in which they are signed, and the file last. */
function fileForm({ url, fields }: NonNullable<Known['form']>, { say }: PageWording): Markup {
  const hidden = Object.entries(fields).map(
    ([name, value]) => html`<input type="hidden" name="${name}" value="${value}">`,
  )
  return html`<form class="act" method="post" action="${url}" enctype="multipart/form-data">${hidden}
<div class="field"><label for="file">${say('import choose')}</label>
<p class="hint" id="file-hint">${say('import choose hint', { megabytes: mostUploadMegabytes })}</p>
<input type="file" id="file" name="file" required aria-describedby="file-hint"
accept=".csv,.txt,.tsv,.xlsx,text/csv,application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"></div>
<p class="send"><button>${say('import send')}</button></p></form>`
}

/** The page's own script looks again every few seconds; without it the link does. */
function underWay({ id, state, counts: { done, of } }: Sent, { say }: PageWording): Markup {
  const text = of === 0 ? say('import under way yet') : say('import under way', { done, of })
  const name = state === 'awaiting file' ? 'checking' : state
  const bounds = of === 0 ? '' : raw(` max="${of}" value="${done}"`)
  return html`<div role="status" data-looks-again="/imports/${id}"><p>${say(`import state ${name}`)}: ${text}</p>
<progress aria-label="${say(`import state ${name}`)}"${bounds}></progress></div>
<p>${say('import by itself')} <a href="/imports/${id}">${say('import look again')}</a></p>`
}

type Asked = Sent['questions'][number]

function readingForm(sent: Sent, wording: PageWording): Markup {
  const { say } = wording
  const aboutFile = sent.questions.filter(({ about }) => about === 'encoding' || about === 'sheet')
  const columns = aboutFile.length > 0 || sent.looked === null ? '' : columnsTable(sent, sent.looked, wording)
  return html`<form class="act" method="post" action="/imports/${sent.id}/reading">
${sent.questions.map((one) => questionMarkup(one, wording))}
${columns}
<p class="send"><button>${say('import check again')}</button></p></form>
${columns === '' ? '' : meanings(sent.kind, wording)}`
}

function questionMarkup(asked: Asked, wording: PageWording): Markup {
  const { say } = wording
  switch (asked.about) {
    case 'columns': {
      const fields = asked.missing.map((field) => fieldIn(wording, field)).join(', ')
      const headings = asked.twice.join(', ')
      return html`${fields === '' ? '' : html`<p class="trouble">${say('import asks missing', { fields })}</p>`}
${headings === '' ? '' : html`<p class="trouble">${say('import asks twice', { headings })}</p>`}`
    }
    case 'dates': {
      const orders = dateOrders.filter((order) => asked.orders.includes(order))
      const choices = orders.map((order) => [order, say(`dates ${order}`)] as const)
      return radios('dates', say('import ask dates', { example: asked.example }), choices)
    }
    case 'decimal':
      return radios('decimal', say('import ask decimal', { example: asked.example }), [
        ['.', say('decimal point')],
        [',', say('decimal comma')],
      ])
    case 'unit': {
      const legend = say('import ask unit', { field: fieldIn(wording, asked.field), example: asked.example })
      const choices = asked.units.map((unit) => [unit, say(`in unit ${unit}`)] as const)
      return radios(`unit-${asked.field}`, legend, choices)
    }
    case 'order': {
      const [first, second] = asked.rows
      return radios('order', say('import ask order', { first, second }), [
        ['as listed', say('order as listed')],
        ['last first', say('order last first')],
      ])
    }
    case 'encoding': {
      const choices = Object.entries(asked.beginnings).map(([name, text = '']) => [name, text.slice(0, 120)] as const)
      return radios('encoding', say('import ask encoding'), choices)
    }
    case 'sheet':
      return radios(
        'sheet',
        say('import ask sheet'),
        asked.sheets.map(({ name, place }) => [String(place), name] as const),
      )
  }
}

/** Nothing is chosen before: a choice that is only looked past is no answer. */
function radios(name: string, legend: string, choices: readonly (readonly [value: string, text: string])[]): Markup {
  const boxes = choices.map(
    ([value, text]) => html`<label class="box"><input type="radio" name="${name}" value="${value}" required>
<span>${text}</span></label>`,
  )
  return html`<fieldset><legend>${legend}</legend>${boxes}</fieldset>`
}

function columnsTable({ kind }: Sent, looked: NonNullable<Sent['looked']>, wording: PageWording): Markup {
  const { say } = wording
  const entries = Object.entries(columnsOf[kind]).map(([field, { needed }]) => {
    const name = fieldIn(wording, field)
    return [field, needed === true ? say('import needed', { field: name }) : name] as const
  })
  const lines = looked.headings.map((heading, place) => {
    const choice = select({
      name: `column-${place}`,
      label: html`<span class="unseen">${heading}: ${say('import holds')}</span>`,
      none: say('import left out'),
      entries,
      chosen: looked.mapping[place] ?? undefined,
    })
    const first = looked.sample.map((row) => row[place] ?? '').join(' · ')
    return html`<tr><th scope="row">${heading}</th><td data-label="${say('import first rows')}">${first}</td>
<td data-label="${say('import holds')}">${choice}</td></tr>`
  })
  return html`<h2>${say('import columns')}</h2><p class="hint">${say('import columns hint')}</p>
<input type="hidden" name="columns" value="${looked.headings.length}">
<div class="wide" role="region" tabindex="0" aria-label="${say('import columns')}"><table class="cards">
<thead><tr><th scope="col">${say('import column')}</th><th scope="col">${say('import first rows')}</th>
<th scope="col">${say('import holds')}</th></tr></thead><tbody>${lines}</tbody></table></div>`
}

function meanings(kind: ImportKind, wording: PageWording): Markup {
  const { say } = wording
  const rows = Object.keys(columnsOf[kind]).map(
    // fields of columns have their meanings in the catalogue, and a test looks for each
    (field) => html`<dt>${fieldIn(wording, field)}</dt><dd>${say(`means ${field}` as 'means stickId')}</dd>`,
  )
  return html`<h2>${say('import fields')}</h2><dl>${rows}</dl>`
}

function outcome({ sent, rest }: Known, wording: PageWording): Markup {
  const { say } = wording
  const isChecked = sent.state === 'checked'
  const { counts } = sent
  const figures = (['added', 'changed', 'known', 'waiting', 'faulty', 'unsafe', 'told'] as const).map(
    (name) => html`<li><strong>${counts[name] ?? 0}</strong> <span>${say(`import ${name}`)}</span></li>`,
  )
  const standing = statuses.flatMap((status) => {
    const sticks = counts.standing[status]
    return sticks === undefined ? [] : [html`<li><strong>${sticks}</strong> ${statusMark({ status }, wording)}</li>`]
  })
  const allGood = html`<p>${say(counts.of === 0 ? 'import no rows' : 'import nothing wrong')}</p>`
  return html`<h2>${say(isChecked ? 'import would' : 'import did')}</h2>
<ul class="tally">${figures}</ul>
${standing.length === 0 ? '' : html`<h3>${say('import standing')}</h3><ul class="tally">${standing}</ul>`}
${sent.faults.length === 0 ? allGood : faultsTable(sent, wording)}
${rest === null ? '' : html`<p><a href="${rest}" download>${say('import rest')}</a></p>`}
${isChecked ? applyForm(sent, wording) : ''}`
}

function faultsTable({ faults, looked }: Sent, wording: PageWording): Markup {
  const { say } = wording
  const columnIn = ({ column, field }: RowFault) =>
    (column === null ? undefined : looked?.headings[column]) ?? (field === null ? '–' : fieldIn(wording, field))
  const lines = faults.map(
    (fault) => html`<tr><th scope="row">${fault.row}</th><td>${columnIn(fault)}</td>
<td>${rowFaultIn(wording, fault)}</td></tr>`,
  )
  return html`<h2>${say('import wrong rows')}</h2>
${faults.length < mostFaultsTold ? '' : html`<p>${say('import more wrong', { most: mostFaultsTold })}</p>`}
<div class="wide" role="region" tabindex="0" aria-label="${say('import wrong rows')}"><table>
<thead><tr><th scope="col">${say('import row')}</th><th scope="col">${say('import in column')}</th>
<th scope="col">${say('import what')}</th></tr></thead><tbody>${lines}</tbody></table></div>`
}

function applyForm(sent: Sent, wording: PageWording): Markup {
  const { say } = wording
  const { of, faulty } = sent.counts
  const good = of - faulty
  const name = faulty === 0 ? say('import apply', { rows: of }) : say('import apply good', { rows: good })
  const form =
    good <= 0
      ? ''
      : html`<form class="act" method="post" action="/imports/${sent.id}/apply">
<input type="hidden" name="goodOnly" value="${faulty === 0 ? 'no' : 'yes'}">
<p class="send"><button>${name}</button></p></form>`
  const again = html`<form method="post" class="act-again" action="/imports/${sent.id}/reading">
${sent.looked === null ? '' : columnsTable(sent, sent.looked, wording)}
<p class="send"><button class="second">${say('import check again')}</button></p></form>`
  return html`${form}<details><summary>${say('import change columns')}</summary>
${again}${meanings(sent.kind, wording)}</details>`
}
