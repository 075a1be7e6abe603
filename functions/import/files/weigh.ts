/**
 * Weighs a workbook before anything reads it. A workbook is a folder of packed parts, and a part of a few kilobytes
 * may be made to unpack into more than a machine holds. What comes out is counted, not what the file says of itself,
 * and nothing of it is kept but the list of sheets.
 */
import { createInflateRaw } from 'node:zlib'
import { Unreadable } from './unreadable.ts'

export interface MostWeighed {
  readonly parts: number
  readonly megabytes: number
  /** texts that cells share: each costs its reader many times what it weighs */
  readonly sharedTexts: number
}

const usual: MostWeighed = { parts: 500, megabytes: 64, sharedTexts: 300_000 }

interface Part {
  readonly name: string
  readonly method: number
  readonly inOneText: Buffer
}

const signs = { end: 0x06054b50, entry: 0x02014b50, local: 0x04034b50 } as const
/** Signs in place of a number that only the longer form of the folder has. */
const longer = { short: 0xffff, long: 0xffffffff } as const
const packedBy = { not: 0, deflate: 8 } as const

/** Answers the text of the part that lists sheets. @throws Unreadable where the file is not safe to be read */
export async function weigh(bytes: Uint8Array, limits: Partial<MostWeighed> = {}): Promise<string> {
  const { parts: most, megabytes, sharedTexts } = { ...usual, ...limits }
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const parts = partsOf(file, most)
  let left = megabytes * 1_000_000
  let sheets = ''
  for (const { name, method, inOneText } of parts) {
    const isList = name === 'xl/workbook.xml'
    let texts = 0
    await unpacked(method, inOneText, (chunk) => {
      left -= chunk.length
      if (left < 0) throw new Unreadable({ is: 'file: too large unpacked', megabytes })
      if (isList) sheets += chunk.toString('latin1')
      if (/sharedStrings[^/]*\.xml$/i.test(name)) texts += timesIn(chunk, '</si>') + timesIn(chunk, '<si/>')
      // a text that goes on from one end to the other is longer than any cell
      if (name.endsWith('.xml') && chunk.length === chunkBytes && !chunk.includes('<'))
        throw new Unreadable({ is: 'file: broken' })
      if (texts > sharedTexts) throw new Unreadable({ is: 'file: too large unpacked', megabytes })
    })
  }
  if (sheets === '') throw new Unreadable({ is: 'file: no sheet' })
  return Buffer.from(sheets, 'latin1').toString('utf8')
}

function partsOf(file: Buffer, most: number): Part[] {
  const end = endOf(file)
  const count = file.readUInt16LE(end + 10)
  let at = file.readUInt32LE(end + 16)
  if (count === longer.short || at === longer.long) throw new Unreadable({ is: 'file: broken' })
  if (count > most) throw new Unreadable({ is: 'file: too many parts', most })
  const parts: Part[] = []
  for (let i = 0; i < count; i++) {
    if (at + 46 > file.length || file.readUInt32LE(at) !== signs.entry) throw new Unreadable({ is: 'file: broken' })
    const [flags, method, size] = [file.readUInt16LE(at + 8), file.readUInt16LE(at + 10), file.readUInt32LE(at + 20)]
    const [unpackedSize, named] = [file.readUInt32LE(at + 24), file.readUInt16LE(at + 28)]
    const local = file.readUInt32LE(at + 42)
    if ((flags & 1) === 1) throw new Unreadable({ is: 'file: encrypted' })
    if ([size, unpackedSize, local].includes(longer.long)) throw new Unreadable({ is: 'file: broken' })
    const name = file.toString('utf8', at + 46, at + 46 + named)
    if (local + 30 > file.length || file.readUInt32LE(local) !== signs.local)
      throw new Unreadable({ is: 'file: broken' })
    const start = local + 30 + file.readUInt16LE(local + 26) + file.readUInt16LE(local + 28)
    if (start + size > file.length) throw new Unreadable({ is: 'file: broken' })
    parts.push({ name, method, inOneText: file.subarray(start, start + size) })
    at += 46 + named + file.readUInt16LE(at + 30) + file.readUInt16LE(at + 32)
  }
  if (new Set(parts.map(({ name }) => name)).size !== parts.length) throw new Unreadable({ is: 'file: broken' })
  return parts
}

/** The end of the folder has to be the end of the file: another reader might else find another one. */
function endOf(file: Buffer): number {
  const end = file.length - 22
  if (end < 0 || file.readUInt32LE(end) !== signs.end) throw new Unreadable({ is: 'file: broken' })
  return end
}

const chunkBytes = 262_144

async function unpacked(method: number, inOneText: Buffer, take: (chunk: Buffer) => void): Promise<void> {
  if (method === packedBy.not) return take(inOneText)
  if (method !== packedBy.deflate) throw new Unreadable({ is: 'file: broken' })
  const inflate = createInflateRaw({ chunkSize: chunkBytes })
  inflate.end(inOneText)
  try {
    for await (const chunk of inflate) take(chunk as Buffer)
  } catch (error) {
    throw error instanceof Unreadable ? error : new Unreadable({ is: 'file: broken' })
  } finally {
    inflate.destroy()
  }
}

function timesIn(chunk: Buffer, text: string): number {
  let count = 0
  for (let at = chunk.indexOf(text); at >= 0; at = chunk.indexOf(text, at + text.length)) count++
  return count
}
