/**
 * Notices of which nobody knows whether they were sent, and what a person decides about them: the same under a number
 * that was never used, or nothing.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { asNotice, type Notice } from '../store/notices.ts'
import { openOrganisation } from '../store/organisation.ts'
import { readEach } from '../store/reading.ts'
import type { Item, Table } from '../store/table.ts'

/** The longest owed first. */
export async function unknownNotices(scan: () => AsyncIterable<Item>): Promise<Notice[]> {
  const unknown: Notice[] = []
  for await (const item of scan()) {
    if (item.entity !== 'notice' || item.state !== 'unknown whether sent') continue
    unknown.push(...readEach([item], asNotice))
  }
  return unknown.sort((a, b) => (a.owedAt < b.owedAt ? -1 : 1))
}

export type WhatToDo = 'send' | 'leave'

/** Answers how many were decided: one that somebody else decided, or whose reader confirmed it, is none. */
export async function decideUnknown(
  table: Table,
  notices: readonly Notice[],
  { what, now }: { readonly what: WhatToDo; readonly now: Instant },
): Promise<number> {
  let decided = 0
  for (const notice of notices) {
    const { sendAnew, leave } = openOrganisation(table, notice.organisation).notices
    if (await (what === 'send' ? sendAnew(notice, now) : leave(notice))) decided += 1
  }
  return decided
}

/** One line a notice, for a person who has read none of this code. */
export function lineOfUnknown({ number, organisation, kind, to, lines, owedAt }: Notice): string {
  const sticks = lines.slice(0, 5).map(({ stickId }) => stickId)
  const more = lines.length > sticks.length ? ` and ${lines.length - sticks.length} more` : ''
  const about = sticks.length === 0 ? '' : ` about ${sticks.join(', ')}${more}`
  return `${number}  ${organisation}  ${kind}${about}, to ${to.name} <${to.email}>, owed ${owedAt}`
}
