/** A notice is one message owed to one person for one reason, as data; the mail is only its printing. */

import type { CalendarDate } from '../calendar.ts'
import type { FleetEffect } from '../loosening/effect.ts'
import type { Way } from '../loosening/way.ts'
import type { RecallKind } from '../recall/recall.ts'
import type { Slip } from '../slip.ts'
import type { Duty } from '../state/duty.ts'
import type { Detail, SaidHold } from '../state/hold.ts'
import type { Why } from '../state/standing.ts'
import type { Ability, Language, Role, Status, UnitSystem, Verdict } from '../words.ts'
import type { Cause } from './change.ts'

export const noticeKinds = [
  'digest',
  'hold',
  'removal',
  'recall',
  'return',
  'used while unfit',
  'report',
  'date brought forward',
  'unanswered',
  'not delivered',
  'proposal',
  'calibration',
  'put right',
  'reminder',
  'invitation',
  'fingerprint',
] as const
export type NoticeKind = (typeof noticeKinds)[number]

/** The reasons why a notice did not reach its reader. */
export const undeliveredWhys = [
  'bounced',
  'not taken',
  'complained',
  'marked',
  'rejected',
  'not rendered',
  'refused',
  /** the reader is no longer on the register of people */
  'left',
] as const
export type UndeliveredWhy = (typeof undeliveredWhys)[number]

export interface Addressee {
  readonly name: string
  readonly email: string
  readonly role: 'crew' | 'foreman' | 'bench' | 'manager'
  /** a manager of the depot, who is of the crew too */
  readonly manages?: true
  /** an owner, told in the managers' stead or above them, and maybe of the crew too */
  readonly owns?: true
  /** English unless said otherwise */
  readonly language?: Language
  /** metric unless said otherwise */
  readonly units?: UnitSystem
  /** people without e-mail whom this person is asked to tell face to face */
  readonly tellInPerson: readonly { readonly name: string; readonly phone: string }[]
}

/** A stick as a notice tells of it. */
export interface StickLine {
  readonly stickId: string
  readonly crewId: string | null
  readonly crewName: string | null
  readonly status: Status
  readonly notPrimary?: true
  readonly dueOn: CalendarDate | null
  /** a number that rises whenever the due date can have changed */
  readonly revision?: number
  /** the Monday of the week in which the bench calls it in; no earlier build told it */
  readonly plannedOn?: CalendarDate
  /** a label that shows this date is wrong */
  readonly broughtForwardFrom?: CalendarDate
  /** days until the due date; negative when overdue */
  readonly daysLeft: number | null
  /** the loan, where the stick was lent out and is not back by the day agreed */
  readonly loan?: LateLoan
  /** the line stands here for its loan alone: its due date is not what this notice tells of */
  readonly onlyLoan?: true
  /** the date on its label, where that is later than it is due, or the stick must not be used */
  readonly wrongLabel?: CalendarDate
  /** the line stands here for its label alone: its due date is not what this notice tells of */
  readonly onlyLabel?: true
  /** the place to bring the stick to */
  readonly bringTo: string | null
  /** the bench or the store has the stick: nobody has to bring it out of use */
  readonly liesAt?: 'bench' | 'store'
  /** the duty by the due date, where it is no more than a look */
  readonly duty?: Exclude<Duty, 'test'>
  /** a sentence in English in what an earlier build wrote */
  readonly why: Why | string
  readonly removedFor?: Detail
  readonly source: string | null
  /** the notices of this stick that were to be confirmed, in a list of what nobody confirmed, and in a reminder */
  readonly about?: string
  readonly holds: readonly SaidHold[]
}

export interface LateLoan {
  readonly lentTo: string
  readonly returnBy: CalendarDate
  readonly daysLate: number
}

/** A report on a stick, where it puts no new hold on the stick, or where nobody knows yet which stick it is. */
export interface Report {
  readonly what: 'defect' | 'unsound look' | 'missing' | 'found' | 'bench test'
  /** kind of defect */
  readonly defect?: string
  /** verdict of a bench test */
  readonly verdict?: Verdict
  /** day and hour as they were stated */
  readonly on: string
  readonly at?: string
  readonly note?: string
  readonly reportedBy: string
  /** the stick passed in full since, on this day */
  readonly passedSince?: CalendarDate
  /** the number as it was given, which no stick has */
  readonly unknownNumber?: string
}

/** An edit that would loosen, as it is told of. */
export interface ProposalTold {
  readonly id: string
  readonly kind:
    | 'depot'
    | 'crew'
    | 'person'
    | 'instrument'
    | 'procedure'
    | 'demonstration'
    | 'policy'
    | 'organisation'
    | 'stick'
    /** a correction of something that was recorded of a stick */
    | 'correction'
    /** tests from before the service was used are to count for the due dates of their sticks */
    | 'tests before'
  readonly entryId: string
  /** the name of whoever asked for it */
  readonly by: string
  /** the ways in which it would loosen; sentences in English in what an earlier build wrote */
  readonly ways: readonly (Way | string)[]
  readonly fleet?: FleetEffect
  /** the reason why a correction is asked for */
  readonly because?: string
  readonly state: 'open' | 'approved' | 'declined'
  readonly decidedBy?: string
  /** the reason why it was declined */
  readonly reason?: string
}

/** A reminder, and who asked for it. */
export interface ReminderTold {
  readonly by: string
  /** day and hour by the clock where the first of its sticks lies */
  readonly on: CalendarDate
  readonly at: string
  readonly note?: string
}

/** The causes for which somebody hears what they may do. */
export const invitedWhys = ['entered', 'more', 'new address'] as const
export type InvitedWhy = (typeof invitedWhys)[number]

/** Somebody's entry on the register of people, as they are told of it. */
export interface InvitationTold {
  readonly why: InvitedWhy
  readonly organisation: string
  /** the name of whoever entered it; none where nobody else of that name is on the register */
  readonly by?: string
  /** the one to ask where the entry was not meant */
  readonly ask?: { readonly name: string; readonly email: string }
  readonly role: Role
  readonly may: readonly Ability[]
  /** the name of their crew */
  readonly crew?: string
  /** names of their depots; `*` is every depot */
  readonly depots: readonly string[]
  readonly until?: CalendarDate
}

/** The root of the tree that holds all that an organisation has recorded of its sticks, as a day began. */
export interface FingerprintTold {
  /** the name of the organisation */
  readonly organisation: string
  readonly records: number
  readonly root: string
}

/** A recall as the people of its sticks are told of it. */
export interface RecallTold {
  readonly id: string
  readonly by: RecallKind
  /** the instrument, the lot or the order */
  readonly named: string
  readonly reason: string
  /** the name of whoever opened it */
  readonly openedBy: string
}

/** The ways in which a stick came back. A mail claims no test where there was none. */
export const waysBack = ['full test', 'release', 'waxing', 'entry put right', 'record put right', 'other'] as const
export type WayBack = (typeof waysBack)[number]

export interface OwedNotice {
  readonly kind: NoticeKind
  /** the mark that makes it this notice and no other, so that it can be owed only once */
  readonly key: string
  readonly to: Addressee
  /** the depot's day on which it came to be owed */
  readonly day: CalendarDate
  readonly lines: readonly StickLine[]
  /** the number of sticks for which there is no room */
  readonly more?: number
  /** the cause, where that is no fact of the stick */
  readonly cause?: Cause['by']
  /** the matter that must be confirmed as read, the same for everybody told of it, and how long that may take */
  readonly answer?: { readonly about: string; readonly withinHours: number }
  /** kind `recall`: the recall */
  readonly recall?: RecallTold
  /** kind `report`: the report */
  readonly report?: Report
  /** kind `used while unfit`: the day of use, and the first day on which the stick was not fit */
  readonly used?: { readonly on: CalendarDate; readonly unfitOn: CalendarDate; readonly status: Status }
  /** kind `return`: the way in which the stick came back, where that is known */
  readonly cameBackBy?: WayBack
  /** kind `unanswered`: the people who have not confirmed */
  readonly unanswered?: readonly string[]
  /** kind `not delivered`: the person whom a notice did not reach, and why */
  readonly missed?: { readonly name: string; readonly email: string; readonly why: UndeliveredWhy }
  /** kind `proposal`: the edit that would loosen */
  readonly proposal?: ProposalTold
  /** kind `calibration`: the last day on which tests with this instrument count; negative days once that is past */
  readonly calibration?: { readonly instrumentId: string; readonly through: CalendarDate; readonly daysLeft: number }
  /** kind `reminder`: who asked for it, and when */
  readonly reminder?: ReminderTold
  /** kind `invitation`, and word that one was not delivered: what its reader may do */
  readonly invitation?: InvitationTold
  /** kind `fingerprint`: what the records of the organisation are told by */
  readonly fingerprint?: FingerprintTold
  /** the slip, where its correction brought the notice about */
  readonly slip?: Slip
  /** names of those whom it was meant for first and did not reach */
  readonly passedOnFor?: readonly string[]
}
