/** The body of a request, from bytes to a value: UTF-8, JSON, each name once, not too large and not too deep. */
import type { Context } from 'hono'
import type { Fault } from '../../shared-domain/fault.ts'
import { Refused } from '../ground/errors.ts'
import type { SentBody } from '../requests/checked.ts'
import { mostFaults, pointerTo } from '../requests/faults.ts'

/** The limit is well over any bench test (a 20 m stick is about 0.2 MB), and under what a function can be handed. */
const largestBody = 5_000_000

/** Nothing here is written deeper than a third of this. */
const deepest = 30

export async function readBody(context: Context, danger: boolean): Promise<SentBody> {
  const bytes = await context.req.arrayBuffer()
  if (bytes.byteLength > largestBody)
    return refusedAs({ kind: 'too large', says: { is: 'too large: body', most: largestBody } })
  const text = danger ? new TextDecoder().decode(bytes) : textOf(bytes)
  if (text === null) {
    return refusedAs({ kind: 'malformed', says: { is: 'malformed: not UTF-8' } })
  }
  try {
    return { json: JSON.parse(text), faults: structureFaults(text), refusal: null }
  } catch (error) {
    return refusedAs({
      kind: 'malformed',
      says: error instanceof Error ? error.message : { is: 'malformed: not JSON' },
    })
  }
}

/** A file as it came. What is larger than it may be comes by another way, and its sender is told of that. */
export async function readBytes(context: Context): Promise<SentBody> {
  return { json: new Uint8Array(await context.req.arrayBuffer()), faults: [], refusal: null }
}

const refusedAs = (refusal: Refused['refusal']): SentBody => ({ json: null, faults: [], refusal: new Refused(refusal) })

/**
 * The text, or null where bytes are no letters. A door before this one may have put the sign for a lost letter there.
 */
function textOf(bytes: ArrayBuffer): string | null {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes)
    return text.includes('\uFFFD') ? null : text
  } catch {
    return null
  }
}

interface Level {
  /** names that came so far; null in a list */
  readonly names: Set<string> | null
  /** name or number of the value that is being read */
  at: string | number
}

/**
 * Faults that a parser passes over. Of two values under one name it keeps the last in silence. Nesting a thousand deep
 * overflows whoever walks the value. The text has been parsed already, so that it is known to be JSON.
 */
function structureFaults(text: string): readonly Fault[] {
  const faults: Fault[] = []
  const levels: Level[] = []
  let nameComes = false
  for (let i = 0; i < text.length && faults.length < mostFaults; i++) {
    const [letter, level] = [text[i], levels.at(-1)]
    if (letter === '"') {
      const end = endOfString(text, i)
      if (nameComes && level !== undefined) enter(level, JSON.parse(text.slice(i, end + 1)) as string)
      i = end
    } else if (letter === '{' || letter === '[') {
      if (levels.length === deepest) return [...faults, tooDeep(levels)]
      nameComes = letter === '{'
      levels.push({ names: nameComes ? new Set() : null, at: 0 })
    } else if (letter === '}' || letter === ']') {
      levels.pop()
      nameComes = false
    } else if (letter === ',' && level !== undefined) {
      if (typeof level.at === 'number') level.at += 1
      nameComes = level.names !== null
    }
  }
  return faults

  function enter(level: Level, name: string): void {
    nameComes = false
    level.at = name
    if (level.names?.has(name)) {
      faults.push({
        pointer: pointerTo(steps(levels)),
        came: 'the same name again',
        expected: { is: 'right: each name once' },
      })
    }
    level.names?.add(name)
  }
}

function tooDeep(levels: readonly Level[]): Fault {
  return {
    pointer: pointerTo(steps(levels)),
    came: `nesting of more than ${deepest} levels`,
    expected: { is: 'right: less deep', most: deepest },
  }
}

const steps = (levels: readonly Level[]) => levels.map(({ at }) => at)

/** The place of the quote that ends a string: the first quote that is not escaped. */
function endOfString(text: string, start: number): number {
  for (let i = start + 1; ; i++) {
    if (text[i] === '\\') i++
    else if (text[i] === '"') return i
  }
}
