/** A PDF read back by another program than the one that made it: its structure and its text. */

import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'

interface Node {
  readonly role?: string
  readonly alt?: string
  readonly type?: string
  readonly id?: string
  readonly children?: readonly Node[]
}

export interface Run {
  readonly text: string
  readonly page: number
  /** millimetres from the left and upper edge to the beginning of the baseline */
  readonly x: number
  readonly y: number
  /** the role of the part that it lies in; undefined for what lies in none, `Artifact` for what is marked as such */
  readonly within: string | undefined
}

export interface ReadPdf {
  readonly pages: number
  readonly title: unknown
  readonly language: unknown
  readonly isMarked: boolean
  readonly xmp: string
  /** roles in the order of reading, each with how deep it lies */
  readonly roles: readonly { readonly role: string; readonly alt: string | undefined; readonly depth: number }[]
  readonly runs: readonly Run[]
  /** the text in the order of reading */
  readonly read: string
}

const perMillimetre = 72 / 25.4

const open = (bytes: Uint8Array) =>
  getDocument({ data: Uint8Array.from(bytes), verbosity: 0, useSystemFonts: false }).promise

export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const document = await open(bytes)
  const roles: { role: string; alt: string | undefined; depth: number }[] = []
  const runs: Run[] = []
  const words: string[] = []
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number)
    const roleOf = new Map<string, string>()
    const order: string[] = []
    const walk = (node: Node, role: string, depth: number) => {
      if (node.type === 'content' && node.id !== undefined) {
        roleOf.set(node.id, role)
        order.push(node.id)
      }
      if (node.role !== undefined && node.role !== 'Root') roles.push({ role: node.role, alt: node.alt, depth })
      for (const child of node.children ?? []) walk(child, node.role ?? role, depth + 1)
    }
    const tree = (await page.getStructTree()) as Node | null // its types leave out that a page may have none
    if (tree !== null) walk(tree, 'Root', 0)
    const { items } = await page.getTextContent({ includeMarkedContent: true })
    const open: string[] = []
    const textOf = new Map<string, string>()
    for (const item of items) {
      if (!('str' in item)) {
        if (item.type === 'endMarkedContent') open.pop()
        else open.push(item.id ?? nameOf(item))
        continue
      }
      const id = open.findLast((one) => roleOf.has(one))
      if (id !== undefined) textOf.set(id, `${textOf.get(id) ?? ''}${item.str}${item.hasEOL ? ' ' : ''}`)
      if (item.str.trim() === '') continue
      const within = id === undefined ? (open.includes('Artifact') ? 'Artifact' : undefined) : roleOf.get(id)
      const [, , , , x, y] = item.transform as number[] // six numbers, by the format
      runs.push({
        text: item.str,
        page: number,
        x: (x ?? 0) / perMillimetre,
        y: ((page.view[3] ?? 0) - (y ?? 0)) / perMillimetre,
        within,
      })
    }
    words.push(...order.map((id) => textOf.get(id) ?? ''))
  }
  const { info, metadata } = await document.getMetadata()
  const { Title: title, Language: language } = info as { Title?: unknown; Language?: unknown }
  // its types say an object, and it answers a map
  const marked: unknown = await document.getMarkInfo()
  const xmp = String((metadata as { getRaw?: () => string } | null)?.getRaw?.() ?? '')
  const read = words.join(' ').replaceAll(/\s+/g, ' ')
  return {
    pages: document.numPages,
    title,
    language,
    isMarked: (marked as Map<string, boolean> | null)?.get('Marked') === true,
    xmp,
    roles,
    runs,
    read,
  }
}

/** Its types leave out the name of the mark. */
const nameOf = (item: object) => String('tag' in item ? item.tag : '')
