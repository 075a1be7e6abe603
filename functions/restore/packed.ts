/** A packed file as lines. It is unpacked as it is read, and never as a whole. */
import type { Readable } from 'node:stream'
import { createGunzip } from 'node:zlib'
import { NoArchive } from './archive.ts'

/** The longest line, before it is known to be one. */
const mostLetters = 1_000_000
/** Far more than ten years of a great fleet; a file that unpacks without end fills no disk and no memory. */
const mostBytes = 64 * 2 ** 30

/** @throws NoArchive where the file is not packed, is cut off, or has a line without an end */
export async function* unpackedLines(packed: Readable): AsyncGenerator<string> {
  const decoder = new TextDecoder('utf-8', { fatal: true })
  let rest = ''
  let bytes = 0
  for await (const chunk of chunksOf(packed)) {
    bytes += chunk.length
    if (bytes > mostBytes) throw new NoArchive('it unpacks to more than any archive')
    const lines = (rest + decoded(decoder, chunk)).split('\n')
    rest = lines.pop() ?? ''
    if (rest.length > mostLetters) throw new NoArchive('it has a line longer than any item')
    yield* lines
  }
  if (rest !== '') throw new NoArchive('its last line has no end: the file is not whole')
}

async function* chunksOf(packed: Readable): AsyncGenerator<Uint8Array> {
  const unpacking = packed.pipe(createGunzip())
  packed.on('error', (error) => unpacking.destroy(error))
  try {
    yield* unpacking as AsyncIterable<Uint8Array>
  } catch (error) {
    const { code = '' } = error as { readonly code?: string }
    throw code.startsWith('Z_') ? new NoArchive('it is not packed as an archive is, or is cut off') : error
  }
}

function decoded(decoder: InstanceType<typeof TextDecoder>, chunk: Uint8Array): string {
  try {
    return decoder.decode(chunk, { stream: true })
  } catch {
    throw new NoArchive('it holds what is no text')
  }
}
