/** How a mail looks: text and HTML are printed from the same blocks, so they say the same. */
import type { Language } from '../../shared-domain/words.ts'

export type Block =
  | { readonly kind: 'paragraph'; readonly text: string; readonly strong?: boolean }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | {
      readonly kind: 'stick'
      readonly noun: string
      readonly stickId: string
      readonly href: string
      readonly rows: readonly Row[]
    }
  /** one of many sticks, of which no more is told than fits a line */
  | {
      readonly kind: 'line'
      readonly noun: string
      readonly stickId: string
      readonly href: string
      readonly text: string
    }
  | { readonly kind: 'link'; readonly text: string; readonly href: string }
  /** the one thing that the reader is asked to do here */
  | { readonly kind: 'button'; readonly text: string; readonly href: string }
  | { readonly kind: 'small'; readonly text: string }

export interface Row {
  readonly name: string
  readonly value: string
  readonly strong?: boolean
}

export function asText(blocks: readonly Block[]): string {
  return blocks.map((block, i) => textOf(block) + gapAfter(block, blocks[i + 1])).join('')
}

/** Lines stand under each other. */
function gapAfter(block: Block, next: Block | undefined): string {
  if (next === undefined) return ''
  return block.kind === 'line' && next.kind === 'line' ? '\n' : '\n\n'
}

function textOf(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
    case 'small':
      return block.text
    case 'list':
      return block.items.map((item) => `- ${item}`).join('\n')
    case 'stick':
      return [
        `${block.noun} ${block.stickId}`,
        ...block.rows.map(({ name, value }) => `  ${name}: ${value}`),
        `  ${block.href}`,
      ].join('\n')
    case 'line':
      return `${block.noun} ${block.stickId}: ${block.text} ${block.href}`
    case 'link':
      return `${block.text}: ${block.href}`
    case 'button':
      return `${block.text}:\n${block.href}`
  }
}

/** Clients that darken a page and read styles get tones for it; the others darken by themselves. */
const inTheDark =
  '@media (prefers-color-scheme: dark){.quiet{color:#aab4ba!important}' +
  'a{color:#8cc8f0!important}a.button{color:#ffffff!important}.stick{border-top-color:#aab4ba!important}}'

/** A table that only lays out what is in it. */
const table = (padding: number, width: string) =>
  `role="presentation" cellpadding="${padding}" cellspacing="0" border="0" width="${width}"`

/** The comments hold the width where a word processor prints the mail: it knows no `max-width`. */
export function asPage(title: string, blocks: readonly Block[], language: Language): string {
  const head =
    '<meta charset="utf-8"><meta name="viewport" content="width=device-width">' +
    '<meta name="color-scheme" content="light dark"><meta name="supported-color-schemes" content="light dark">' +
    `<title>${escaped(title)}</title><style>${inTheDark}</style>`
  const font = 'font-family:Arial,Helvetica,sans-serif;font-size:16px;line-height:1.4'
  return `<!doctype html>
<html lang="${language}"><head>${head}</head>
<body style="margin:0;padding:0"><!--[if mso]><table ${table(0, '640')}><tr><td><![endif]-->
<table ${table(16, '100%')} style="max-width:640px"><tr><td style="${font}">
${blocks.map(htmlOf).join('\n')}
</td></tr></table>
<!--[if mso]></td></tr></table><![endif]--></body></html>`
}

export function bytesOf(blocks: readonly Block[]): number {
  return Buffer.byteLength(blocks.map(htmlOf).join('\n'))
}

/** Tables and inline styles only: word-processor mail clients ignore padding on anything else. */
function htmlOf(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
      return `<p style="margin:0 0 16px">${emphasised(block.text, block.strong)}</p>`
    case 'small':
      return `<p class="quiet" style="margin:0 0 8px;font-size:13px;color:#555555">${escaped(block.text)}</p>`
    case 'list':
      return `<ul style="margin:0 0 16px">${block.items.map((item) => `<li>${escaped(item)}</li>`).join('')}</ul>`
    case 'stick':
      return `<table class="stick" ${table(4, '100%')} style="border-top:2px solid #333333;margin:0 0 16px">
<tr><td colspan="2" style="font-size:18px"><strong>${stickOf(block)}</strong></td></tr>
${block.rows.map(rowOf).join('\n')}
</table>`
    case 'line':
      return `<p style="margin:0 0 8px"><strong>${stickOf(block)}</strong>: ${escaped(block.text)}</p>`
    case 'link':
      return `<p style="margin:0 0 16px">${linkOf(block.href, block.text)}</p>`
    case 'button':
      return buttonOf(block)
  }
}

/** A cell with a ground of its own: clients that ignore padding on a link still show a field wide enough to tap. */
const buttonOf = ({ text, href }: { readonly text: string; readonly href: string }) =>
  `<table role="presentation" cellpadding="0" cellspacing="0" border="0" style="margin:0 0 16px"><tr>
<td align="center" bgcolor="#0b4f79" style="border-radius:8px;padding:0 8px">
<a class="button" href="${escaped(href)}" style="${onButton}">${escaped(text)}</a>
</td></tr></table>`

const onButton =
  'display:inline-block;padding:14px 24px;color:#ffffff;font-size:18px;font-weight:bold;line-height:22px;' +
  'text-decoration:none'

const linkOf = (href: string, text: string) => `<a href="${escaped(href)}" style="color:#004a80">${escaped(text)}</a>`

const stickOf = ({ noun, href, stickId }: { readonly noun: string; readonly href: string; readonly stickId: string }) =>
  `${escaped(noun)} ${linkOf(href, stickId)}`

function rowOf({ name, value, strong }: Row): string {
  const said = `<td valign="top">${emphasised(value, strong)}</td>`
  return `<tr><td class="quiet" valign="top" width="100" style="color:#555555">${escaped(name)}</td>${said}</tr>`
}

function emphasised(text: string, strong = false): string {
  return strong ? `<strong>${escaped(text)}</strong>` : escaped(text)
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`)
}
