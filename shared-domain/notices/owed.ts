/** Which notices a change owes, and to whom: at once, for `decide`, and on the morning of a day, for the hourly round. */
import { type CalendarDate, daysBetween } from '../calendar.ts'
import { type Happening, type RecordedFact, speaks } from '../facts.ts'
import { fingerprint } from '../fingerprint.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Rules } from '../policy/rules.ts'
import type { Crew, Person } from '../registers.ts'
import type { Hold } from '../state/hold.ts'
import { type Standing, standingOn } from '../state/standing.ts'
import type { StickState } from '../state/state.ts'
import type { UnfitUse } from '../state/unfit-use.ts'
import { isDated, mayBeUsed, type Seen, seenAs } from '../state/use.ts'
import { dangers, rankOfHold } from '../state/worst-hold.ts'
import { errandsOf, mustBeAnswered, whoIsAsked } from './answers.ts'
import { benchAudience, climbedTo, digestAudience, type People, wholeAudience } from './audience.ts'
import { revisionOf } from './calendar-entry.ts'
import { type Cause, type ChangeKind, kindOfChange } from './change.ts'
import {
  earlierThanShown,
  isFirstWordOverdue,
  type LoanTold,
  nextLoanTellOn,
  nextTellOn,
  type ToldSoFar,
} from './ladder.ts'
import type { Addressee, LateLoan, NoticeKind, OwedNotice, Report, StickLine, WayBack } from './notice.ts'

/** Where a stick belongs, for the reader of a notice. */
export interface Belonging {
  readonly stickId: string
  readonly crewId: string | null
  readonly crewName: string | null
  readonly depotName: string | null
  /** of what its due date follows from: see `revisionOf` */
  readonly revision?: number
}

/** How a stick stands today without and with a fact, and what else the fact brought to light. */
export interface Change {
  readonly before: Standing
  readonly after: Standing
  /** the due date its crew knew, where it is later than that of `after` */
  readonly broughtForwardFrom?: CalendarDate | null
  readonly fact: RecordedFact
  readonly day: CalendarDate
  /** uses of days on which it was not fit: the fact itself, or older ones that this fact shows to be so */
  readonly unfitUses?: readonly UnfitUse[]
  /** when it last passed in full, and whether that was after the fact */
  readonly passedOn?: CalendarDate | undefined
  readonly isOlderThanPass?: boolean
  /** name of whoever recorded the fact */
  readonly reportedBy?: string
}

/** Who may be told at once, and how long they have to confirm what must be confirmed. */
export interface ToBeTold extends People {
  readonly answerWithinHours: number
}

/** A stick as a notice tells of it. */
export interface StickToTell {
  readonly belonging: Belonging
  readonly standing: Standing
  /** the due date its crew knew, where it is later */
  readonly broughtForwardFrom?: CalendarDate | null | undefined
}

/** What recording the fact owes at once. */
export function owedAtOnce(change: Change, belonging: Belonging, who: ToBeTold): OwedNotice[] {
  const { after: standing, broughtForwardFrom } = change
  const line = stickLine({ belonging, standing, broughtForwardFrom }, change.day)
  const owe = (kind: NoticeKind, cause: string, more: Partial<OwedNotice> = {}): OwedNotice[] => {
    const about = [kind, belonging.stickId, cause].join('|')
    const audience = audienceOf(kind, change, who)
    const asked = mustBeAnswered(kind) ? whoIsAsked(audience) : []
    return audience.map((to) => ({
      kind,
      key: [about, sameMailbox(to.email)].join('|'),
      to,
      day: change.day,
      lines: [line],
      ...(asked.includes(to) ? { answer: { about, withinHours: who.answerWithinHours } } : {}),
      ...more,
    }))
  }
  const { factId } = change.fact
  // the hold first: what is cut off by too many others is not that
  return [
    ...kindsOwed(change).flatMap((kind) => owe(kind, factId, moreOf(kind, change))),
    ...(change.unfitUses ?? []).flatMap((use) =>
      owe('used while unfit', use.factId === factId ? factId : `${use.factId}|${factId}`, {
        used: { on: use.usedOn, unfitOn: use.unfitOn, status: use.status },
      }),
    ),
  ]
}

function moreOf(kind: NoticeKind, change: Change): Partial<OwedNotice> {
  if (kind === 'report') return { report: reportOf(change) }
  return kind === 'return' ? { cameBackBy: cameBackBy(change.fact) } : {}
}

/** A step handed in late can make an older test count: that is no test of now. */
function cameBackBy(fact: RecordedFact): WayBack {
  switch (fact.kind) {
    case 'tested':
    case 'judged again':
      return fact.judgement.verdict === 'pass' && !fact.judgement.byExaminationAlone ? 'full test' : 'other'
    case 'released':
      return 'release'
    case 'registered':
      return 'entry put right'
    case 'corrective step':
      return fact.step.kind === 'waxed' ? 'waxing' : 'other'
    case 'used':
    case 'defect reported':
    case 'moved':
    case 'certificate received':
    case 'condition checked':
      return 'other'
  }
}

/** Beside the uses. */
export function kindsOwed(change: Change): NoticeKind[] {
  const { before, after, fact, broughtForwardFrom, isOlderThanPass } = change
  const told = isHeldStill(change) ? (isWorse(before, after) ? 'hold' : null) : kindBetween(before, after)
  if (told !== null) return [told]
  // nobody is to believe that a report was dealt with only because it leaves the stick as it is
  if (speaks(fact) === 'against' && (isOlderThanPass || after.status !== 'on hold')) return ['report']
  return broughtForwardFrom && isDated(after.status) ? ['date brought forward'] : []
}

const isHeldStill = ({ before, after }: Change) => before.status === 'on hold' && after.status === 'on hold'

function kindBetween(before: Standing, after: Standing): NoticeKind | null {
  // nobody uses what is overdue: nothing is taken from anybody
  if (before.status === 'overdue' && after.status === 'awaiting first test') return null
  return kindOfChange(seenAs(before.status), after.status)
}

/**
 * Reported of a stick that is held already, danger is told all the same: somebody has it in hand. So is a look that found
 * something, of which nobody knows how bad it is.
 */
const toldAgain = [...dangers, 'other']
const worseCodes = ['failed-test', 'open-defect', 'reported-missing', 'found-untested']

/** Held already, and now by what its people have not heard of, or by worse than they have: they know too little. */
function isWorse(before: Standing, after: Standing): boolean {
  const fresh = freshHolds(before, after)
  const heard = before.holds.filter(crewWasTold)
  if (fresh.some(({ code }) => code === 'not-waxed')) return true
  if (heard.length === 0) return fresh.some(crewWasTold)
  const worst = Math.min(...heard.map(rankOfHold))
  return fresh.some(
    (one) =>
      worseCodes.includes(one.code) ||
      (one.code === 'defect-reported' && toldAgain.includes(one.detail?.defect ?? '')) ||
      (crewWasTold(one) && rankOfHold(one) < worst),
  )
}

/** A report by the same person, of the same kind, of the same day and within minutes of one before, is one that was pressed twice. */
function freshHolds(before: Standing, after: Standing): readonly Hold[] {
  const nameOf = ({ code, text, detail }: Hold) => {
    if (code !== 'defect-reported') return [code, text].join('|')
    return [code, detail?.defect, detail?.lastOn, detail?.lastBy].join('|')
  }
  return after.holds.filter(
    (one) => !before.holds.some((known) => nameOf(known) === nameOf(one) && isSameHour(known.detail, one.detail)),
  )
}

/** the house's own figure */
const pressedAgainMinutes = 10

function isSameHour(a: Hold['detail'], b: Hold['detail']): boolean {
  if (a?.lastAt === undefined || b?.lastAt === undefined) return a?.lastAt === b?.lastAt
  return Math.abs(minutesOf(a.lastAt) - minutesOf(b.lastAt)) < pressedAgainMinutes
}

function minutesOf(at: string): number {
  const [hours = 0, minutes = 0] = at.split(':').map(Number)
  return 60 * hours + minutes
}

/** What came of a fact, save what concerns the bench and the managers alone. */
function crewWasTold({ code, factId }: Hold): boolean {
  return factId !== null && code !== 'not-waxed' && code !== 'release-awaited'
}

function audienceOf(kind: NoticeKind, { before, after }: Change, who: People): Addressee[] {
  const fresh = freshHolds(before, after)
  if (kind !== 'hold' || fresh.length === 0 || fresh.some(({ code }) => code !== 'not-waxed')) return wholeAudience(who)
  const isWithCrew = after.custody !== null && ('crewId' in after.custody || 'lentTo' in after.custody)
  return benchAudience(isWithCrew ? who : { ...who, crew: null })
}

function reportOf({ fact, passedOn, after, reportedBy }: Change): Report {
  const passed = passedOn === undefined || !mayBeUsed(after.status) ? {} : { passedSince: passedOn }
  const { on, at, note, ...what } = reportedIn(fact)
  return {
    ...what,
    on,
    ...(at === undefined ? {} : { at }),
    ...(note ? { note } : {}),
    reportedBy: reportedBy ?? fact.recordedBy,
    ...passed,
  }
}

type Reported = Pick<Report, 'what' | 'defect' | 'verdict' | 'on'> & {
  readonly at?: string | undefined
  readonly note?: string | undefined
}

/** As it was stated, also where it cannot have been then. */
export function reportedIn(happening: Happening): Reported {
  switch (happening.kind) {
    case 'defect reported': {
      const { kind, occurredOn, at, note } = happening.defect
      return { what: 'defect', defect: kind, on: occurredOn, at, note }
    }
    case 'condition checked': {
      const { occurredOn, at, note } = happening.check
      return { what: 'unsound look', on: occurredOn, at, note }
    }
    case 'moved': {
      const { occurredOn, at, note, to } = happening.move
      return { what: to === 'found' ? 'found' : 'missing', on: occurredOn, at, note }
    }
    case 'tested': {
      const { testedOn, at } = happening.test
      return { what: 'bench test', verdict: happening.judgement.verdict, on: testedOn, at }
    }
    case 'registered':
    case 'corrective step':
    case 'used':
    case 'released':
    case 'certificate received':
    case 'judged again':
      throw new Error(`${happening.kind} is no report`)
  }
}

/** A report on a number that no stick has. */
export interface UnplacedReport {
  readonly factId: string
  readonly report: Report
  /** on which it came in */
  readonly day: CalendarDate
}

/** The managers find out which stick is meant. */
export function owedForUnplaced({ factId, report, day }: UnplacedReport, people: readonly Person[]): OwedNotice[] {
  return wholeAudience({ crew: null, people, depotId: null }).map((to) => ({
    kind: 'report',
    key: ['report', 'unplaced', factId, sameMailbox(to.email)].join('|'),
    to,
    day,
    lines: [],
    report,
  }))
}

/** A stick whose next date to be told has come, and the people of its crew. */
export interface DueStick extends StickToTell {
  readonly audience: readonly Addressee[]
  /** its due date, its loan or both are to be told of */
  readonly owed: { readonly date: boolean; readonly loan: LateLoan | null }
}

/** What is known of a stick when a morning comes. */
export interface KnownStick extends ToldSoFar {
  readonly stickId: string
  readonly state: StickState
  readonly depotId: string | null
  readonly loanTold?: LoanTold | undefined
  /** what its people were told last, or had to know; not kept by earlier builds */
  readonly seen?: Seen | undefined
  /** it stands otherwise since the rules, by their name, changed, and its people have not heard of it */
  readonly untold?: string | undefined
  /** of what must not be used: which notices told of it; none where nobody was told */
  readonly held?: { readonly about?: string } | undefined
  /** the due date under which it was last shown */
  readonly shownDueOn: CalendarDate | null
  readonly broughtForwardFrom: CalendarDate | null
}

/** The registers as they are on the day. */
export interface WhoIsWhere {
  readonly crews: ReadonlyMap<string, Crew>
  readonly depotNames: ReadonlyMap<string, string>
  readonly people: readonly Person[]
}

/** A day that begins, and the rules of it. */
export interface Morning {
  readonly day: CalendarDate
  readonly rules: Rules
}

/** A stick as a digest of `day` would tell of it, and to whom; `isOwed` says whether anything is owed on it by then. */
export function dueOnDay(
  { stickId, state, depotId, told, loanTold, ...shown }: KnownStick,
  { crews, depotNames, people }: WhoIsWhere,
  { day, rules }: Morning,
): DueStick & { readonly isOwed: boolean } {
  const { crewId } = state
  const crew = crewId === null ? undefined : crews.get(crewId)
  const depotName = depotId === null ? null : (depotNames.get(depotId) ?? null)
  const standing = standingOn(state, day, rules)
  // also where a change of the rules has not reached the lists yet
  const broughtForwardFrom = shown.broughtForwardFrom ?? earlierThanShown(shown.shownDueOn, standing)
  const date = isBy(nextTellOn(standing, { told, broughtForwardFrom }, rules), day)
  const loan = isBy(nextLoanTellOn(state, loanTold ?? null), day) ? lateLoan(state, day) : null
  const who = { crew: crew ?? null, people, depotId }
  const climbed = climbedTo(standing.daysOverdue, rules, isFirstWordOverdue(standing, told))
  return {
    belonging: { stickId, crewId, crewName: crew?.name ?? null, depotName, revision: revisionOf(state, rules, day) },
    standing,
    audience:
      loan === null
        ? digestAudience(who, climbed)
        : // of a loan its managers hear from the first day on, of the date whoever it has climbed to
          digestAudience(who, {
            ...climbed,
            toManagers: true,
            toOwners: date && climbed.toOwners,
          }),
    broughtForwardFrom,
    owed: { date, loan },
    isOwed: date || loan !== null,
  }
}

function isBy(next: CalendarDate | null, day: CalendarDate): boolean {
  return next !== null && next <= day
}

function lateLoan({ custody }: StickState, day: CalendarDate): LateLoan | null {
  if (custody === null || !('lentTo' in custody)) return null
  const { lentTo, returnBy } = custody
  return { lentTo, returnBy, daysLate: daysBetween(returnBy, day) }
}

/** A stick that stands otherwise than its people know, and all of them. */
export interface ChangedStick extends StickToTell {
  readonly kind: ChangeKind
  readonly who: People
  /** rises with every write of the stick: told once of each */
  readonly version: number
}

/** By what sticks stand otherwise, when that is told, and how long their people have to confirm it. */
export interface Happened {
  readonly cause: Cause
  readonly day: CalendarDate
  readonly answerWithinHours: number
}

/** One notice a person for one cause, whatever the number of sticks: worst first within each crew. */
export function owedForChange(changed: readonly ChangedStick[], happened: Happened): OwedNotice[] {
  return [...Map.groupBy(changed, ({ kind }) => kind)].flatMap(([kind, sticks]) => owedForKind(kind, sticks, happened))
}

function owedForKind(
  kind: ChangeKind,
  sticks: readonly ChangedStick[],
  { cause, day, answerWithinHours }: Happened,
): OwedNotice[] {
  const about = [kind, cause.by, cause.by === 'rules' ? cause.rules : '', day].join('|')
  const byMailbox = new Map<string, { to: Addressee; told: ChangedStick[]; isAsked: boolean }>()
  for (const stick of sticks) {
    const audience = wholeAudience(stick.who)
    const asked = mustBeAnswered(kind) ? whoIsAsked(audience) : []
    for (const to of audience) {
      const known = byMailbox.get(sameMailbox(to.email)) ?? { to, told: [], isAsked: false }
      byMailbox.set(sameMailbox(to.email), {
        to: merged(known.to, to),
        told: [...known.told, stick],
        isAsked: known.isAsked || asked.includes(to),
      })
    }
  }
  return [...byMailbox].map(([mailbox, { to, told, isAsked }]) => ({
    kind,
    key: [about, mailbox, fingerprintOf(told)].join('|'),
    to,
    day,
    cause: cause.by,
    lines: told.map((stick) => stickLine(stick, day)).sort(worstFirst),
    ...(isAsked ? { answer: { about, withinHours: answerWithinHours } } : {}),
  }))
}

/** The same sticks again, written to meanwhile, are told of again. */
function fingerprintOf(told: readonly ChangedStick[]): string {
  return fingerprint(
    told
      .map(({ belonging, version }) => `${belonging.stickId}@${version}`)
      .sort()
      .join(' '),
  )
}

/** How much one digest holds, by whatever measure. */
export interface Room {
  readonly most: number
  readonly sizeOf: (line: StickLine) => number
}

/**
 * One digest a person for one local day, whatever the number of sticks, the oldest due date first. They are gathered stick by
 * stick, so that what is due need not be at hand all at once. Each reader has room of their own: who comes first is named, and
 * the rest are counted. `round` names the depots swept together, so that one person's depots in two zones are two mornings.
 */
export function gatherDigests(day: CalendarDate, round: string, { most, sizeOf }: Room) {
  const byMailbox = new Map<string, { to: Addressee; lines: StickLine[]; size: number; more: number }>()

  function add(stick: DueStick): void {
    const line = digestLine(stick, day)
    const size = sizeOf(line)
    for (const to of stick.audience) {
      const mailbox = sameMailbox(to.email)
      const known = byMailbox.get(mailbox) ?? { to, lines: [], size: 0, more: 0 }
      const hasRoom = known.lines.length === 0 || known.size + size <= most
      if (hasRoom) known.lines.push(line)
      byMailbox.set(mailbox, {
        to: merged(known.to, to),
        lines: known.lines,
        size: hasRoom ? known.size + size : known.size,
        more: hasRoom ? known.more : known.more + 1,
      })
    }
  }

  function owed(): OwedNotice[] {
    return [...byMailbox].map(([mailbox, { to, lines, more }]) => ({
      kind: 'digest',
      key: digestKey(mailbox, day, round),
      to,
      day,
      lines: lines.sort(oldestFirst),
      ...(more === 0 ? {} : { more }),
    }))
  }

  return { add, owed }
}

function digestLine({ owed: { date, loan }, ...stick }: DueStick, day: CalendarDate) {
  const line = stickLine(date ? stick : { ...stick, broughtForwardFrom: null }, day)
  return loan === null ? line : { ...line, loan, ...(date ? {} : { onlyLoan: true as const }) }
}

export function digestKey(email: string, day: CalendarDate, round: string): string {
  return ['digest', day, round, sameMailbox(email)].join('|')
}

function merged(a: Addressee, b: Addressee): Addressee {
  return { ...(b.role === 'foreman' ? b : a), tellInPerson: errandsOf([a, b]) }
}

/** Within each crew. */
function worstFirst(a: StickLine, b: StickLine): number {
  const keys = (line: StickLine) => [line.crewName ?? '', line.crewId ?? '', line.dueOn ?? '', line.stickId]
  return compare(keys(a), keys(b))
}

/** Whoever reads of many crews begins with what has been due for longest. */
function oldestFirst(a: StickLine, b: StickLine): number {
  const keys = (line: StickLine) => [line.dueOn ?? '', line.crewName ?? '', line.crewId ?? '', line.stickId]
  return compare(keys(a), keys(b))
}

function compare(left: readonly string[], right: readonly string[]): number {
  const at = left.findIndex((key, i) => key !== right[i])
  return at < 0 ? 0 : (left[at] ?? '') < (right[at] ?? '') ? -1 : 1
}

export function stickLine(
  { belonging, standing, broughtForwardFrom = null }: StickToTell,
  day: CalendarDate,
): StickLine {
  return {
    stickId: belonging.stickId,
    crewId: belonging.crewId,
    crewName: belonging.crewName,
    status: standing.status,
    ...(standing.notPrimary ? { notPrimary: true } : {}),
    dueOn: standing.dueOn,
    ...(belonging.revision === undefined ? {} : { revision: belonging.revision }),
    ...(broughtForwardFrom === null ? {} : { broughtForwardFrom }),
    daysLeft: standing.dueOn === null ? null : daysBetween(day, standing.dueOn),
    bringTo: belonging.depotName,
    ...lyingAt(standing),
    ...(standing.duty === undefined ? {} : { duty: standing.duty }),
    why: standing.why,
    ...(standing.removedFor === undefined ? {} : { removedFor: standing.removedFor }),
    source: standing.governedBy?.source ?? null,
    holds: standing.holds.map(({ code, text, clearedBy, detail }) => ({
      code,
      text,
      clearedBy,
      ...(detail === undefined ? {} : { detail }),
    })),
  }
}

function lyingAt({ custody }: Standing): Pick<StickLine, 'liesAt'> {
  if (custody !== null && 'bench' in custody) return { liesAt: 'bench' }
  return custody !== null && 'store' in custody ? { liesAt: 'store' } : {}
}
