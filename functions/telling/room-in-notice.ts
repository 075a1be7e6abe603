/** The number of sticks that one notice names. */

import type { Room } from '../../shared-domain/notices/digest.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { jsonBytes } from './in-pages.ts'

/** The table keeps 400 KB an item; all else of a notice takes less than 50 KB. */
const mostBytesOfLines = 350_000

export const roomInDigest: Room = { most: mostBytesOfLines, sizeOf: (line) => jsonBytes(line) + 1 }

/** Keeps the first lines as far as there is room, and counts the others, which are told of by their number. */
export function withinRoom(notice: OwedNotice): OwedNotice {
  let bytes = 0
  const end = notice.lines.findIndex((line, i) => {
    bytes += jsonBytes(line) + 1
    return i > 0 && bytes > mostBytesOfLines
  })
  if (end < 0) return notice
  return { ...notice, lines: notice.lines.slice(0, end), more: notice.lines.length - end }
}
