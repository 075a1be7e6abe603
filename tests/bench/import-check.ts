/**
 * A process that checks a file, as `import-megabytes` runs it: takes a folder with the table's items and the file, and
 * the number of rows; prints the megabytes that it had at its peak.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { goOn } from '../../functions/import/import.ts'
import { importOf, keepImport } from '../../functions/store/imports.ts'
import { organisationTable } from '../../functions/store/keys.ts'
import type { Item } from '../../functions/store/table.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { type Import, nothingCounted } from '../../shared-domain/import/import.ts'
import { fakeTable } from '../support/fake-table.ts'

const [, , folder = '', rows] = process.argv
const table = fakeTable(JSON.parse(readFileSync(join(folder, 'table.json'), 'utf8')) as Item[])
const at = '2026-03-02T15:00:00.000Z' as Instant
const named = { organisation: 'demo-utility', id: '20260302T150000000Z-1' }
const place = organisationTable(table, named.organisation)
const one: Import = {
  ...{ id: named.id, kind: 'sticks', mode: 'check', goodOnly: false, by: 'manager', said: {}, at },
  ...{ state: 'awaiting file', questions: [], looked: null, counts: nothingCounted, page: 0, faults: [] },
  ...{ refused: null, rest: [] },
}
await keepImport(place, { import: one, revision: 0 })
const bucket = { get: async () => readFileSync(join(folder, 'sticks.csv')), put: async () => undefined }
await goOn({ table, clock: () => at, feedsUrl: 'https://feeds.example', bucket }, named, () => true)

const found = await importOf(place, named.id)
if (found?.state !== 'checked' || String(found.counts.added) !== rows) throw new Error(JSON.stringify(found))
const [, kilobytes] = /^VmHWM:\s+(\d+) kB$/m.exec(readFileSync('/proc/self/status', 'utf8')) ?? []
console.log(Number(kilobytes) / 1000)
