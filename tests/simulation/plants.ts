/**
 * Faults planted in the service, or between it and what it stands on: each is one that a build might have, and each
 * must be found.
 */
import type { Item, Write } from '../../functions/store/table.ts'
import type { Service } from '../faults/service.ts'
import type { FakeTable } from '../support/fake-table.ts'
import type { BuildName } from './builds.ts'

export interface Planted {
  /** in every build there is */
  readonly build?: BuildName
  readonly table?: (table: FakeTable) => FakeTable
  readonly service?: (service: Service) => Service
}

/**
 * Of what is written together some things are written otherwise, or not at all, and whoever wrote hears nothing of it.
 */
function writing(change: (item: Item) => Item | null): Planted {
  const changed = (write: Write): Write[] => {
    if (write.Put === undefined) return [write]
    const item = change(write.Put.Item as Item)
    return item === null ? [] : [{ ...write, Put: { ...write.Put, Item: item } }]
  }
  return {
    table: (table) => ({
      ...table,
      transact: async (writes) => {
        const left = writes.flatMap(changed)
        return left.length === 0 ? { done: true } : table.transact(left)
      },
    }),
  }
}

/** Of what is read some is left out. */
const reading = (sees: (item: Item) => boolean): Planted => ({
  table: (table) => ({
    ...table,
    page: async (range) => {
      const { items, next } = await table.page(range)
      return { items: items.filter(sees), next }
    },
  }),
})

const withoutLastRecall = (item: Item | undefined) =>
  Array.isArray(item?.recalls) ? { ...item, recalls: item.recalls.slice(0, -1) } : item

/** Now and then, and for one thing always alike. */
const isOneOf = (count: number, name: unknown) =>
  [...String(name)].reduce((sum, letter) => sum + letter.charCodeAt(0), 0) % count === 0

const withoutNotice = (is: (notice: Item) => boolean) =>
  writing((item) => (item.entity === 'notice' && is(item) ? null : item))

export const plants = {
  'days-to-come-not-read': reading(({ depotTellKey }) => !String(depotTellKey).includes('#CHANGE#')),
  'page-lost': {
    table: (table) => ({
      ...table,
      page: async (range) => {
        if (range.index !== 'by-depot-next-tell') return table.page(range)
        const { items } = await table.page(range)
        return { items: items.slice(0, 2), next: undefined }
      },
    }),
  },
  'depot-missed': reading((item) => item.entity !== 'depot pointer' || item.depotId !== 'DEP-2'),
  'rules-not-told': withoutNotice(({ cause }) => cause === 'rules'),
  'day-not-told': withoutNotice(({ cause }) => cause === 'day'),
  'silence-not-told': withoutNotice(({ kind }) => kind === 'unanswered'),
  'bounce-not-told': withoutNotice(({ kind }) => kind === 'not delivered'),
  'marked-and-not-sent': writing((item) => {
    if (item.entity !== 'notice' || !isOneOf(10, item.number)) return item
    const { queue: _, queueAt: __, ...gone } = item
    return { ...gone, state: 'sent' } as Item
  }),
  'lease-not-asked': {
    table: (table) => ({
      ...table,
      update: (key, change) => {
        const { ConditionExpression: _, ...asked } = change
        return table.update(key, change.UpdateExpression?.includes('#leaseUntil = ') ? asked : change)
      },
    }),
  },
  'fact-lost': writing((item) => (item.entity === 'fact' && isOneOf(20, item.sk + String(item.pk)) ? null : item)),
  'hold-forgotten': writing((item) => {
    if (item.entity !== 'stick' || !isOneOf(7, item.version)) return item
    return { ...item, state: { ...(item.state as object), holds: [] } }
  }),
  'label-told-once': writing((item) => {
    if (item.entity !== 'stick' || item.labelTold === undefined) return item
    return { ...item, labelTold: { ...(item.labelTold as object), on: '2090-01-01' } }
  }),
  'lists-left-behind': {
    service: (service) => ({ ...service, reindex: async () => ({ sticks: 0, finished: true }) }),
  },
  'recall-not-told': withoutNotice(({ kind }) => kind === 'recall'),
  'last-recall-not-read': {
    table: (table) => ({
      ...table,
      get: async (key) => withoutLastRecall(await table.get(key)),
      getAll: async (keys) => (await table.getAll(keys)).flatMap((item) => withoutLastRecall(item) ?? []),
    }),
  },
  'pack-slipped': { build: 'pack-slipped' },
  'release-forgotten': { build: 'release-forgotten' },
  'weeks-overdue-forgotten': { build: 'weeks-overdue-forgotten' },
  'slip-still-counts': { build: 'slip-still-counts' },
  'one-takes-back': { build: 'one-takes-back' },
  'undone-and-not-tested': { build: 'undone-and-not-tested' },
} satisfies Record<string, Planted>
export type PlantName = keyof typeof plants
