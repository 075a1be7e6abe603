/** The notices that a fact owes at once, and their readers. */
import type { CalendarDate } from '../calendar.ts'
import { type Happening, isDanger, type RecordedFact, speaks } from '../facts.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Person } from '../registers.ts'
import type { Slip } from '../slip.ts'
import { contentOfHold, type Hold } from '../state/hold.ts'
import type { Standing } from '../state/standing.ts'
import type { UnfitUse } from '../state/unfit-use.ts'
import { isDated, mayBeUsed, seenAs } from '../state/use.ts'
import { dangers, rankOfHold } from '../state/worst-hold.ts'
import { benchAudience, type ThoseAround, wholeAudience } from './audience.ts'
import { kindOfChange } from './change.ts'
import { mustBeConfirmed, whoIsAsked } from './confirmations.ts'
import type { Addressee, NoticeKind, OwedNotice, Report, WayBack } from './notice.ts'
import { type Belonging, stickLine } from './stick-line.ts'

/** The stick as it stands today without and with a fact, and what else the fact brought to light. */
export interface Change {
  readonly before: Standing
  readonly after: Standing
  /** the due date that the crew knew, where it is later than that of `after` */
  readonly broughtForwardFrom?: CalendarDate | null
  readonly fact: RecordedFact
  readonly day: CalendarDate
  /** uses on days on which the stick was not fit: the fact itself, or older ones that this fact shows to be so */
  readonly unfitUses?: readonly UnfitUse[]
  /** the day on which the stick last passed in full, and whether that was after the fact */
  readonly passedOn?: CalendarDate | undefined
  readonly isOlderThanPass?: boolean
  /** name of whoever recorded the fact */
  readonly reportedBy?: string
  /** the slip that the fact puts right, where it does; and whether another crew has the stick by that */
  readonly slip?: Slip
  readonly isWithOthers?: boolean
}

/** The people who may be told at once, and how long they have to confirm what must be confirmed. */
export interface ToBeTold extends ThoseAround {
  readonly answerWithinHours: number
}

export function owedAtOnce(change: Change, belonging: Belonging, who: ToBeTold): OwedNotice[] {
  const { after: standing, broughtForwardFrom } = change
  const line = stickLine({ belonging, standing, broughtForwardFrom }, change.day)
  const owe = (kind: NoticeKind, cause: string, more: Partial<OwedNotice> = {}): OwedNotice[] => {
    const about = [kind, belonging.stickId, cause].join('|')
    const audience = audienceOf(kind, change, who)
    const asked = mustBeConfirmed(kind) ? whoIsAsked(audience) : []
    return audience.map((to) => ({
      kind,
      key: [about, sameMailbox(to.email)].join('|'),
      to,
      day: change.day,
      lines: [line],
      ...(asked.includes(to) ? { answer: { about, withinHours: who.answerWithinHours } } : {}),
      ...more,
      ...(change.slip === undefined ? {} : { slip: change.slip }),
    }))
  }
  const { factId } = change.fact
  // the hold comes first, so that it is not what is cut off where there are too many others
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
  return kind === 'return'
    ? { cameBackBy: change.slip === undefined ? cameBackBy(change.fact) : 'record put right' }
    : {}
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
    case 'tested before':
    case 'test before counted':
    case 'used':
    case 'defect reported':
    case 'moved':
    case 'certificate received':
    case 'condition checked':
    case 'corrected':
    case 'removed':
    case 'label changed':
    case 'records restored':
    case 'paper looked at':
      return 'other'
  }
}

/** The kinds of notice that a fact owes, beside those for uses. */
export function kindsOwed(change: Change): NoticeKind[] {
  const { before, after, fact, broughtForwardFrom, isOlderThanPass, slip } = change
  const unfit = kindForOthers(change)
  if (unfit !== null) return [unfit]
  const told = isHeldStill(change) ? (isWorse(before, after) ? 'hold' : null) : kindBetween(before, after)
  if (told !== null) return [told]
  // nobody is to believe that a report was dealt with only because it leaves the stick as it is
  if (isReport(fact) && (isOlderThanPass || after.status !== 'on hold')) return ['report']
  if (broughtForwardFrom && isDated(after.status)) return ['date brought forward']
  return slip !== undefined && (change.isWithOthers || readsOtherwise(before, after)) ? ['put right'] : []
}

/** A crew that turns out to have a stick that must not be used hears of it as if it had happened now. */
function kindForOthers({ slip, isWithOthers, after }: Change): NoticeKind | null {
  if (slip === undefined || !isWithOthers) return null
  if (after.status === 'removed from service') return 'removal'
  return after.status === 'on hold' || after.status === 'awaiting first test' ? 'hold' : null
}

const isReport = (fact: RecordedFact) => (fact.kind === 'tested' ? speaks(fact) === 'against' : isDanger(fact))

/** Tells whether the stick reads otherwise than whoever has it, or a paper of it, knows. */
function readsOtherwise(before: Standing, after: Standing): boolean {
  // nothing but its status is read of a stick that is out of service for good
  const read = ({ status, dueOn, holds }: Standing) =>
    status === 'removed from service' || status === 'scrapped'
      ? status
      : JSON.stringify([status, dueOn, holds.map(contentOfHold)])
  return read(before) !== read(after)
}

const isHeldStill = ({ before, after }: Change) => before.status === 'on hold' && after.status === 'on hold'

function kindBetween(before: Standing, after: Standing): NoticeKind | null {
  // nobody uses a stick that is overdue: nothing is taken from anybody
  if (before.status === 'overdue' && after.status === 'awaiting first test') return null
  return kindOfChange(seenAs(before.status), after.status)
}

/**
 * Danger that is reported of a stick held already is told all the same: somebody has it in hand. A look that found
 * something is told too: nobody knows how bad it is.
 */
const toldAgain = [...dangers, 'other']
const worseCodes = ['failed-test', 'open-defect', 'reported-missing', 'found-untested']

/**
 * A stick held already is worse where its people have not heard of a hold, or have heard only of milder ones: they know
 * too little.
 */
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

/**
 * A report by the same person, of the same kind and day, and within minutes of one before is taken for one pressed
 * twice.
 */
function freshHolds(before: Standing, after: Standing): readonly Hold[] {
  const nameOf = (hold: Hold) => {
    const { code, detail } = hold
    if (code !== 'defect-reported') return contentOfHold(hold)
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

/**
 * Tells whether the crew was told of a hold: of those that came of a fact, save what concerns the bench and the
 * managers alone.
 */
function crewWasTold({ code, factId }: Hold): boolean {
  return factId !== null && code !== 'not-waxed' && code !== 'release-awaited'
}

function audienceOf(kind: NoticeKind, { before, after }: Change, who: ThoseAround): Addressee[] {
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

/** The report as it was stated, also where it cannot have been then. */
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
    case 'tested before':
    case 'test before counted':
    case 'corrective step':
    case 'used':
    case 'released':
    case 'certificate received':
    case 'judged again':
    case 'corrected':
    case 'removed':
    case 'label changed':
    case 'records restored':
    case 'paper looked at':
      throw new Error(`${happening.kind} is no report`)
  }
}

/** A report on a number that no stick has. */
export interface ReportOnNumber {
  readonly factId: string
  readonly report: Report
  /** the day on which it came in */
  readonly day: CalendarDate
}

/** The managers find out which stick is meant. */
export function owedForUnplaced({ factId, report, day }: ReportOnNumber, people: readonly Person[]): OwedNotice[] {
  return wholeAudience({ crew: null, people, depotId: null }).map((to) => ({
    kind: 'report',
    key: ['report', 'unplaced', factId, sameMailbox(to.email)].join('|'),
    to,
    day,
    lines: [],
    report,
  }))
}
