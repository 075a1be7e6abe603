/**
 * The past of a stick, as the reports of the fleet count it: its tests and the reports of danger, each in a few
 * words. A report reads the states of a fleet, and never the histories behind them: those of ten years fill a hundred
 * times as much.
 */
import type { CalendarDate } from '../calendar.ts'
import { type CustodySpell, isUse } from '../policy/service-class.ts'
import { defectKinds, testReasons, type Verdict, verdicts } from '../words.ts'

type DefectKind = (typeof defectKinds)[number]
type TestReason = (typeof testReasons)[number]

export interface PastTest {
  readonly on: CalendarDate
  readonly verdict: Verdict
  readonly cause: 'electrical' | 'examination' | null
  readonly reason: TestReason
  /** the stick lay in store since the last full test that counts, and nobody used it */
  readonly stored: boolean
}

export interface PastReport {
  readonly on: CalendarDate
  /** the kind of defect that was reported, or `unsound` for a look that found it so */
  readonly reported: DefectKind | 'unsound'
}

export type Past = PastTest | PastReport

export const isPastTest = (one: Past): one is PastTest => 'verdict' in one

/** The house's own figure: more than thirty years of tests every two months. */
const mostKept = 200

const separator = '; '

/** The past as the state keeps it, one entry longer: what is written with every fact stays one short text. */
export function withPast(text: string, one: Past): string {
  const kept = text.split(separator).slice(1 - mostKept)
  return [...(text === '' ? [] : kept), saidPast(one)].join(separator)
}

/** `2026-03-02 fail electrical periodic stored`, or `2026-05-01 reported burn` */
function saidPast(one: Past): string {
  if (!isPastTest(one)) return `${one.on} reported ${one.reported}`
  const { on, verdict, cause, reason, stored } = one
  return [on, verdict, ...(cause === null ? [] : [cause]), reason, ...(stored ? ['stored'] : [])].join(' ')
}

/** The bench is neither use nor rest. */
export function wasStored(spells: readonly CustodySpell[]): boolean {
  return spells.some(({ kind }) => kind === 'store') && !spells.some(({ kind }) => isUse(kind))
}

const oneOf = <Word extends string>(words: readonly Word[], text: string | undefined) =>
  words.find((word) => word === text)

const form = /^(\d{4}-\d{2}-\d{2}) (?:reported (.+)|(\w+)(?: (electrical|examination))? (.+?)( stored)?)$/

/** An entry that does not read is left out: a report lacks it, and no stick is held or let go by it. */
export function pastOf({ past: text }: { readonly past: string }): Past[] {
  return text.split(separator).flatMap((part): Past[] => {
    const [, day, reportedAs, verdictText, causeText, reasonText, storedText] = form.exec(part) ?? []
    if (day === undefined) return []
    const on = day as CalendarDate
    const reported = oneOf([...defectKinds, 'unsound' as const], reportedAs)
    if (reported !== undefined) return [{ on, reported }]
    const [verdict, reason] = [oneOf(verdicts, verdictText), oneOf(testReasons, reasonText)]
    if (verdict === undefined || reason === undefined) return []
    const cause = oneOf(['electrical', 'examination'] as const, causeText) ?? null
    return [{ on, verdict, cause, reason, stored: storedText !== undefined }]
  })
}
