/** Reminders that somebody asked for: each under its id, and beside them which are of the last hour. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { LeftOut } from '../../shared-domain/notices/reminder.ts'
import { is, isNew, onlyIf } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Write } from './table.ts'

export interface Reminder {
  readonly factId: string
  readonly by: string
  /** the name of whoever asked */
  readonly name: string
  readonly at: Instant
  readonly note?: string
  /** the sticks that somebody is reminded of */
  readonly stickIds: readonly string[]
  readonly leftOut: readonly LeftOut[]
  /** numbers of the notices owed */
  readonly notices: readonly string[]
}

const asReminder = readerOf<Reminder>('reminder', {
  factId: 'text',
  by: 'text',
  name: 'text',
  at: 'text',
  note: ['text', 'absent'],
  stickIds: 'list',
  leftOut: 'list',
  notices: 'list',
})

interface Newest {
  readonly version: number
  readonly newest: readonly Pick<Reminder, 'factId' | 'at'>[]
}

const asNewest = readerOf<Newest>('newest reminders', { version: 'number', newest: 'list' })

export async function reminderBy({ table, keys }: OrganisationTable, factId: string): Promise<Reminder | undefined> {
  const item = await table.get(keys.reminder(factId))
  return item === undefined ? undefined : asReminder(item)
}

/** Reminders since an instant, and the write that fails where another came in between. */
export async function remindersSince({ table, keys }: OrganisationTable, since: Instant) {
  const key = keys.newestReminders()
  const item = await table.get(key)
  const known = item === undefined ? undefined : asNewest(item)
  const newest = known?.newest.filter(({ at }) => at > since) ?? []
  const items = await table.getAll(newest.map(({ factId }) => keys.reminder(factId)))
  return { reminders: readEach(items, asReminder), keptWrites }

  function keptWrites(reminder: Reminder): Write[] {
    const { factId, at } = reminder
    const version = (known?.version ?? 0) + 1
    return [
      table.putNew({ ...keys.reminder(factId), entity: 'reminder', ...reminder }),
      table.put(
        { ...key, entity: 'newest reminders', version, newest: [...newest, { factId, at }] },
        onlyIf(known === undefined ? isNew : is('version', known.version)),
      ),
    ]
  }
}
