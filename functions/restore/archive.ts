/**
 * Everything of one organisation as one file, in the lines of the journal: a line at the head, a line an item, and at
 * the end a seal over all lines before it. Whoever runs the service takes it out and fills it in, and the seal goes
 * from one to the other by another way than the file: so what was altered on its way is refused.
 */
import { createHash, type Hash } from 'node:crypto'
import type { Instant } from '../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../shared-domain/identifier-pattern.ts'
import type { JournalLine } from '../store/journal.ts'
import { systemDepots, systemTrees } from '../store/keys.ts'
import type { Item } from '../store/table.ts'
import { type Entity, journalled } from '../store/table-shape.ts'

/** Rises with every change that an earlier build could not read. */
const format = 1

interface Head {
  readonly archive: 'quarterturn'
  readonly format: number
  readonly organisation: string
  readonly takenAt: Instant
}

interface End {
  readonly seal: string
  readonly lines: number
}

/** What belongs to a deployment: who signs in as whom there. People bind their sign-in anew where they come to. */
const ofDeployment: readonly Entity[] = ['subject', 'sign-in', 'account', 'journal mark']
const inArchive = new Set<string>(journalled.filter((entity) => !ofDeployment.includes(entity)))

/** Pointers lie outside of the organisation's own keys, and name it. */
const pointers: { readonly [entity in Entity]?: RegExp } = {
  address: /^SYSTEM#ADDRESS#/,
  'feed pointer': /^SYSTEM#FEED#/,
  'paper code pointer': /^SYSTEM#CODE#/,
}

const isIn = (text: string, base: string) => text === base || text.startsWith(`${base}#`)

/** Answers whether an item is of the organisation, by its key alone or by a pointer's own word. */
export function isOf({ pk, sk, entity, organisation: named }: Item, organisation: string): boolean {
  const own = `ORG#${organisation}`
  if (isIn(pk, own)) return true
  if (entity === 'depot pointer' || entity === 'tree')
    return (pk === systemDepots || pk === systemTrees) && isIn(sk, own)
  const key = pointers[entity as Entity]
  return key?.test(pk) === true && named === organisation
}

/** The lines of the archive, the seal last. A stick goes without its state, which its facts tell. */
export async function* archiveOf(
  organisation: string,
  items: AsyncIterable<Item>,
  takenAt: Instant,
): AsyncGenerator<string> {
  const hash = createHash('sha256')
  let lines = 0
  function sealed(value: Head | JournalLine): string {
    const line = `${JSON.stringify(value)}\n`
    hash.update(line)
    lines += 1
    return line
  }
  yield sealed({ archive: 'quarterturn', format, organisation, takenAt })
  for await (const item of items) {
    if (!isOf(item, organisation) || !inArchive.has(item.entity ?? '')) continue
    const { state: _, ...withoutState } = item
    const kept = item.entity === 'stick' ? (withoutState as Item) : item
    yield sealed({ at: takenAt, sequence: '0', entity: item.entity as Entity, organisation, item: kept })
  }
  yield `${JSON.stringify({ seal: hash.digest('hex'), lines } satisfies End)}\n`
}

export class NoArchive extends Error {}

export interface Sealed {
  readonly organisation: string
  readonly seal: string
}

/** An item of the table holds 400 KB, and its line little more. */
const mostLetters = 1_000_000

/**
 * Reads the whole archive and writes nothing. Each line has to be of this organisation and of a kind that is known, and
 * all together have to be what was sealed.
 * @throws NoArchive saying which line is wrong, and why
 */
export async function checkArchive(lines: AsyncIterable<string>, { organisation, seal }: Sealed): Promise<number> {
  const hash = createHash('sha256')
  let end: End | undefined
  let count = 0
  for await (const line of lines) {
    const number = count + 1
    if (end !== undefined) throw new NoArchive(`line ${number}: something stands behind the seal`)
    if (line.length > mostLetters) throw new NoArchive(`line ${number}: it is longer than any item`)
    const value = valueIn(line, number)
    if ('seal' in value)
      end = value as unknown as End // its parts are compared below
    else {
      if (count === 0) checkHead(value, organisation)
      else checkLine(value, organisation, number)
      hash.update(`${line}\n`)
      count += 1
    }
  }
  checkSeal(hash, { end, count, seal })
  return count - 1
}

function checkSeal(
  hash: Hash,
  { end, count, seal }: { readonly end: End | undefined; readonly count: number; readonly seal: string },
): void {
  if (end === undefined) throw new NoArchive('there is no seal at its end: the file is not whole')
  const found = hash.digest('hex')
  if (end.seal !== found || end.lines !== count) throw new NoArchive('the lines are not those that were sealed')
  if (seal !== found) throw new NoArchive(`its seal is ${found}, and not the one that was named`)
}

function valueIn(line: string, number: number): Record<string, unknown> {
  try {
    const value = JSON.parse(line) as unknown
    if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value as Record<string, unknown>
  } catch {
    // told below
  }
  throw new NoArchive(`line ${number}: it does not read`)
}

function checkHead(value: Record<string, unknown>, organisation: string): void {
  if (value.archive !== 'quarterturn') throw new NoArchive('this is no archive of an organisation')
  if (value.format !== format) throw new NoArchive('a newer version of the service has written it')
  if (value.organisation !== organisation) throw new NoArchive('it is the archive of another organisation')
}

function checkLine(value: Record<string, unknown>, organisation: string, number: number): void {
  const { entity, item } = value
  if (typeof item !== 'object' || item === null) throw new NoArchive(`line ${number}: there is no item in it`)
  const { pk, sk, entity: own } = item as Partial<Item>
  const isKey = typeof pk === 'string' && typeof sk === 'string' && pk !== '' && sk !== ''
  if (!isKey) throw new NoArchive(`line ${number}: it has no key`)
  if (own !== entity || !inArchive.has(String(entity)))
    throw new NoArchive(`line ${number}: such an item is in no archive`)
  if (value.organisation !== organisation || !isOf(item as Item, organisation))
    throw new NoArchive(`line ${number}: it is of another organisation`)
}

/** The lines of a checked archive, without its head and its seal. */
export async function* linesOf(lines: AsyncIterable<string>): AsyncGenerator<JournalLine> {
  for await (const line of lines) {
    const value = JSON.parse(line) as Partial<JournalLine>
    if (value.item !== undefined) yield value as JournalLine // checked before
  }
}

export const isOrganisation = (name: string | undefined): name is string =>
  name !== undefined && registerIdPattern.test(name)
