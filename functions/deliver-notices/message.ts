/** What a notice says. Text and HTML are printed from the same blocks, so they say the same. */
import { inWords } from '../../shared-domain/calendar.ts'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import type { Notice } from '../platform/notices.ts'

type Block =
  | { readonly kind: 'paragraph'; readonly text: string; readonly strong?: boolean }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | {
      readonly kind: 'stick'
      readonly heading: string
      readonly href: string
      readonly rows: readonly (readonly [name: string, value: string])[]
    }
  | { readonly kind: 'link'; readonly text: string; readonly href: string }
  | { readonly kind: 'small'; readonly text: string }

export interface Message {
  readonly subject: string
  readonly text: string
  readonly html: string
}

/** A long digest is cut so that no mail client clips it (trials put the clip at about 100 KB); the page shows all. */
const mostSticksShown = 90
const mostBytesOfSticks = 90_000

export function messageOf(notice: Notice, pagesUrl: string): Message {
  const blocks = blocksOf(notice, pagesUrl)
  const subject = `${subjectOf(notice)} [${notice.number}]`
  return { subject, text: blocks.map(asText).join('\n\n'), html: page(subject, blocks.map(asHtml).join('\n')) }
}

function subjectOf({ kind, lines }: Notice): string {
  const [line] = lines
  const stick = `Stick ${line?.stickId ?? ''}`
  switch (kind) {
    case 'digest':
      return digestSubject(lines)
    case 'hold':
      return `${stick} is on hold: do not use it`
    case 'removal':
      return `${stick} is removed from service for good: do not use it`
    case 'return':
      return `${stick} is back in service`
    case 'used while unfit':
      return `${stick} was used while it was not fit for use`
    case 'date brought forward':
      return `${stick} is due earlier than its label says`
  }
}

function digestSubject(lines: readonly StickLine[]): string {
  const overdue = lines.filter((line) => line.status === 'overdue').length
  const soon = lines.length - overdue
  const sticks = (n: number) => (n === 1 ? '1 stick' : `${n} sticks`)
  if (overdue === 0) return `${sticks(soon)} due for the bench`
  return soon === 0 ? `${sticks(overdue)} overdue: do not use` : `${sticks(overdue)} overdue, ${soon} due for the bench`
}

function blocksOf(notice: Notice, pagesUrl: string): Block[] {
  const { lines, to } = notice
  const shown = withinBytes(lines.slice(0, mostSticksShown).map((line) => stickBlock(notice, line, pagesUrl)))
  const hidden = lines.length - shown.length
  return [
    { kind: 'paragraph', text: `${to.name},` },
    { kind: 'paragraph', text: whatToDo(notice), strong: true },
    ...shown,
    ...(hidden === 0
      ? []
      : [{ kind: 'link', text: `and ${hidden} more on the roster`, href: `${pagesUrl}/roster` } as const]),
    ...errand(notice),
    { kind: 'link', text: 'The roster', href: `${pagesUrl}/roster` },
    {
      kind: 'small',
      text: `Notice ${notice.number}, owed on ${inWords(notice.day)}. A second mail with this number is the same notice.`,
    },
    { kind: 'small', text: safetyWords },
  ]
}

function withinBytes(blocks: readonly Block[]): readonly Block[] {
  let bytes = 0
  const over = blocks.findIndex((block, i) => {
    bytes += Buffer.byteLength(asHtml(block))
    return i > 0 && bytes > mostBytesOfSticks
  })
  return over < 0 ? blocks : blocks.slice(0, over)
}

function whatToDo({ kind, lines }: Notice): string {
  switch (kind) {
    case 'digest':
      return lines.some((line) => line.status === 'overdue')
        ? 'Sticks of yours are overdue or due soon. Do not use an overdue one; bring each to the bench by the date beside it.'
        : 'Bring these sticks to the bench by the date beside each. Each may be used through that day and not after it.'
    case 'hold':
      return 'Stop using this stick now, tag it, and bring it to the bench. It must not be used until what is named below is done and recorded.'
    case 'removal':
      return 'Stop using this stick now and hand it in. It does not come back into service.'
    case 'return':
      return 'This stick passed in full and may be used again.'
    case 'used while unfit':
      return 'A use of this stick was recorded on a day when it was not fit for use. Stop using it now, bring it to the bench, and tell your foreman.'
    case 'date brought forward':
      return lines[0]?.status === 'overdue'
        ? 'The due date of this stick has been brought forward and is past. Stop using it now and bring it to the bench; its label is wrong.'
        : 'The due date of this stick has been brought forward: its label is wrong. Bring it to the bench by the date below.'
  }
}

function stickBlock({ kind }: Notice, line: StickLine, pagesUrl: string): Block {
  const rows: [string, string][] = [['Status', line.status]]
  if (line.crewName !== null) rows.push(['Crew', line.crewName])
  if (line.dueOn !== null && kind !== 'hold' && kind !== 'removal')
    rows.push(['Due', `${inWords(line.dueOn)}, ${inDays(line)}`])
  if (line.broughtForwardFrom !== undefined) {
    rows.push(['Label', `Brought forward from ${inWords(line.broughtForwardFrom)}: a label with that date is wrong`])
  }
  if (line.bringTo !== null && kind !== 'return') rows.push(['Bring to', line.bringTo])
  if (line.holds.length === 0) rows.push(['Why', line.why])
  for (const hold of line.holds) {
    rows.push(['Why', `${hold.text}.`], ['Cleared by', `${hold.clearedBy}.`])
  }
  if (line.source !== null && (kind === 'digest' || kind === 'return' || kind === 'date brought forward'))
    rows.push(['Rule', line.source])
  return { kind: 'stick', heading: line.stickId, href: `${pagesUrl}/sticks/${encodeURIComponent(line.stickId)}`, rows }
}

function inDays({ daysLeft }: StickLine): string {
  if (daysLeft === null) return ''
  if (daysLeft === 0) return 'today'
  const days = Math.abs(daysLeft) === 1 ? '1 day' : `${Math.abs(daysLeft)} days`
  return daysLeft > 0 ? `in ${days}` : `${days} ago`
}

function errand({ to }: Notice): Block[] {
  if (to.tellInPerson.length === 0) return []
  return [
    {
      kind: 'paragraph',
      text: 'These people of the crew have no mail address. Please tell them in person:',
      strong: true,
    },
    { kind: 'list', items: to.tellInPerson.map(({ name, phone }) => `${name}, ${phone}`) },
  ]
}

function asText(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
    case 'small':
      return block.text
    case 'list':
      return block.items.map((item) => `- ${item}`).join('\n')
    case 'stick':
      return [
        `Stick ${block.heading}`,
        ...block.rows.map(([name, value]) => `  ${name}: ${value}`),
        `  ${block.href}`,
      ].join('\n')
    case 'link':
      return `${block.text}: ${block.href}`
  }
}

/** Tables and inline styles only: word-processor mail clients ignore padding on anything else. */
function asHtml(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
      return `<p style="margin:0 0 16px">${block.strong ? `<strong>${escaped(block.text)}</strong>` : escaped(block.text)}</p>`
    case 'small':
      return `<p class="quiet" style="margin:0 0 8px;font-size:13px;color:#555555">${escaped(block.text)}</p>`
    case 'list':
      return `<ul style="margin:0 0 16px">${block.items.map((item) => `<li>${escaped(item)}</li>`).join('')}</ul>`
    case 'stick':
      return `<table class="stick" role="presentation" cellpadding="4" cellspacing="0" border="0" width="100%" style="border-top:2px solid #333333;margin:0 0 16px">
<tr><td colspan="2" style="font-size:18px"><strong>Stick <a href="${escaped(block.href)}" style="color:#004a80">${escaped(block.heading)}</a></strong></td></tr>
${block.rows.map(([name, value]) => `<tr><td class="quiet" valign="top" width="90" style="color:#555555">${escaped(name)}</td><td valign="top">${escaped(value)}</td></tr>`).join('\n')}
</table>`
    case 'link':
      return `<p style="margin:0 0 16px"><a href="${escaped(block.href)}" style="color:#004a80">${escaped(block.text)}</a></p>`
  }
}

/** Clients that darken a page and read styles get tones for it; the others darken by themselves. */
const inTheDark =
  '@media (prefers-color-scheme: dark){.quiet{color:#aab4ba!important}a{color:#8cc8f0!important}.stick{border-top-color:#aab4ba!important}}'

function page(title: string, inner: string): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark"><title>${escaped(title)}</title><style>${inTheDark}</style></head>
<body style="margin:0;padding:0"><table role="presentation" cellpadding="16" cellspacing="0" border="0" width="640" style="width:100%;max-width:640px"><tr><td style="font-family:Arial,Helvetica,sans-serif;font-size:16px;line-height:1.4">
${inner}
</td></tr></table></body></html>`
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`)
}
