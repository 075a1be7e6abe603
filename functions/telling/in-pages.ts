/** Notices and the sticks they name, written in pages that can run again. */
import { mostInOneTransaction, type Table, type Write } from '../store/table.ts'

/** Writes that stay together: those of a notice, or of a stick that was told of. */
export interface Group {
  readonly stickId: string | null
  readonly writes: readonly Write[]
}

/**
 * Writes groups in order, as many as fit to a transaction. A page lost to another writer ends it, so that no stick
 * moves on before the notices that name it are written. Answers the sticks left, and how many notices were written.
 */
export async function writeInPages(
  table: Table,
  groups: readonly Group[],
): Promise<{ lost: string[]; notices: number }> {
  let notices = 0
  for (const [start, end] of pagesOf(groups)) {
    const page = groups.slice(start, end)
    if (!(await table.transact(page.flatMap((group) => group.writes))).done) {
      return { lost: groups.slice(start).flatMap(({ stickId }) => (stickId === null ? [] : [stickId])), notices }
    }
    notices += page.filter(({ stickId }) => stickId === null).length
  }
  return { lost: [], notices }
}

/** DynamoDB takes 4 MB in one transaction; its own way of counting is left some room. */
const mostBytesInOneTransaction = 3_500_000

function pagesOf(groups: readonly Group[]): [start: number, end: number][] {
  const pages: [number, number][] = []
  let start = 0
  let size = 0
  let bytes = 0
  groups.forEach((group, i) => {
    const more = jsonBytes(group.writes)
    if (size + group.writes.length > mostInOneTransaction || bytes + more > mostBytesInOneTransaction) {
      pages.push([start, i])
      start = i
      size = 0
      bytes = 0
    }
    size += group.writes.length
    bytes += more
  })
  if (size > 0) pages.push([start, groups.length])
  return pages
}

export function jsonBytes(value: unknown): number {
  return Buffer.byteLength(JSON.stringify(value))
}
