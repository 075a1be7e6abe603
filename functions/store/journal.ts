/**
 * The journal: every item that the table is given, kept outside of it, a line a write. Lines are JSON by themselves, so
 * that they are read without this program. `cdk/README.md` says what stands in them.
 */
import { createHash } from 'node:crypto'
import { unmarshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord } from 'aws-lambda'
import { type Instant, instantOf } from '../../shared-domain/calendar.ts'
import { changeIf, eitherOf, isAbsent, isLessThan } from './change.ts'
import { journalMark } from './keys.ts'
import type { Item, Table } from './table.ts'
import { type Entity, journalled } from './table-shape.ts'

/** An item as it was written. */
export interface JournalLine {
  /** the instant of the write, to the second, and its number there, which rises for each item */
  readonly at: Instant
  readonly sequence: string
  readonly entity: Entity
  /** `SYSTEM` where the item is of no one organisation */
  readonly organisation: string
  /** of a stick without its state, which its facts tell */
  readonly item: Item
}

/** The line of a write; undefined where the journal leaves such items out. */
export function journalLineOf({ dynamodb, eventName }: DynamoDBRecord): JournalLine | undefined {
  const image = dynamodb?.NewImage
  const entity = journalled.find((one) => one === image?.entity?.S)
  if (image === undefined || entity === undefined || eventName === 'REMOVE') return undefined
  const item = unmarshall(image as Parameters<typeof unmarshall>[0]) as Item
  const { state: _, ...withoutState } = item
  return {
    at: instantOf(1000 * (dynamodb?.ApproximateCreationDateTime ?? 0)),
    sequence: dynamodb?.SequenceNumber ?? '0',
    entity,
    organisation: /^ORG#([^#]+)#/.exec(item.pk)?.[1] ?? system,
    item: entity === 'stick' ? (withoutState as Item) : item,
  }
}

/** No organisation lies beside those of this name: theirs have a folder of their own. */
const system = 'SYSTEM'

/** A message holds 1 MiB, and one item with its line may be half of that. */
const mostBytesOfMany = 200_000

/** Lines as messages, in their order. */
export function messagesOf(lines: readonly JournalLine[]): string[] {
  const messages: string[] = []
  for (const line of lines) {
    const text = `${JSON.stringify(line)}\n`
    const last = messages.at(-1)
    const fits = last !== undefined && Buffer.byteLength(last) + Buffer.byteLength(text) <= mostBytesOfMany
    if (fits) messages[messages.length - 1] = last + text
    else messages.push(text)
  }
  return messages
}

export function linesIn(text: string): JournalLine[] {
  return text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as JournalLine)
}

export interface JournalObject {
  readonly key: string
  readonly text: string
}

/** The objects of lines: one an organisation. What it holds is a part of its name, so that none takes another's. */
export function objectsOf(all: readonly JournalLine[], now: Instant): JournalObject[] {
  const lots = Map.groupBy(all, ({ organisation }) => organisation)
  return [...lots].map(([organisation, lines]) => {
    const text = lines.map((line) => `${JSON.stringify(line)}\n`).join('')
    const name = createHash('sha256').update(text).digest('hex').slice(0, 16)
    return { key: `${folderOf(organisation)}${placeInTime(now)}-${name}.ndjson`, text }
  })
}

/** Folders of the journal: one an organisation, and one for what is of none. */
export const folderOfOrganisations = 'journal/organisations/'
export const folderOfSystem = 'journal/system/'
const folderOf = (organisation: string) =>
  organisation === system ? folderOfSystem : `${folderOfOrganisations}${organisation}/`

/** `2026-03-02/15-00-00-000Z`: names sort as the instants do. */
export const placeInTime = (at: Instant) => at.replace('T', '/').replaceAll(/[:.]/g, '-')

/** Writes the mark that the journal is to hear. Of two at one moment the later stands. */
export async function markJournal(table: Table, heardAt: Instant): Promise<void> {
  const isLater = eitherOf(isAbsent('heardAt'), isLessThan('heardAt', heardAt))
  await table.update(journalMark, changeIf({ set: { entity: 'journal mark', heardAt } }, isLater))
}
