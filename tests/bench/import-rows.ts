/** A file of sticks, and every row of it read as far as anything goes without the table. */
import { parse } from 'csv-parse'
import { openFile } from '../../functions/import/files/read.ts'
import { groupReader, groupsOf, rowKeeper } from '../../functions/import/groups.ts'
import { routes } from '../../functions/requests/routes.ts'
import { dataRows, type NumberedRow, proposedReading } from '../../shared-domain/import/asked.ts'
import { wantedOf } from '../../shared-domain/import/bodies.ts'

const headings = 'Stick,Type,Length (m),Diameter (mm),Primary,Crew,Manufacturer,Serial,Lot'
const row = (i: number) => `N-${i},FRP rod,${1.2 + (i % 20) / 10},32,yes,CR-1,Demo works,SN-${i},L-${i % 300}`

export function fileOfSticks(sticks: number): Uint8Array {
  return new TextEncoder().encode([headings, ...Array.from({ length: sticks }, (_, i) => row(i))].join('\n'))
}

/** @returns rows that the parser found */
export async function parsedAlone(file: Uint8Array): Promise<number> {
  let rows = 0
  const parser = parse({ relax_column_count: true })
  parser.end(file)
  for await (const cells of parser as AsyncIterable<string[]>) rows += cells.length > 0 ? 1 : 0
  return rows
}

/** @returns rows whose bodies their requests would take */
export async function readAsBodies(file: Uint8Array): Promise<number> {
  const opened = await openFile(file)
  if (opened.is !== 'rows') throw new Error('the file asks something')
  const rows: NumberedRow[] = []
  const kept = rowKeeper()
  for await (const one of opened.rows()) if (one.cells.some((cell) => cell !== '')) rows.push(kept(one))
  const proposed = proposedReading(rows, 'sticks')
  if (proposed === null || proposed.questions.length > 0) throw new Error('the file asks something')
  const readGroup = groupReader(proposed)
  let taken = 0
  for (const group of groupsOf(dataRows(rows, proposed), proposed)) {
    const read = readGroup(group)
    if (read.faults.length > 0) throw new Error(JSON.stringify(read.faults[0]))
    for (const { body, rows } of wantedOf(read.rows, proposed.reading))
      if (schema.safeParse(body).success) taken += rows.length
  }
  return taken
}

const schema = bodyOf('PUT', '/v1/sticks/:id')

function bodyOf(method: string, path: string) {
  const body = routes.find((route) => route.method === method && route.path === path)?.body
  if (body === undefined) throw new Error(`no request ${method} ${path}`)
  return body
}
