/** One message owed to one person for one reason, as data; the mail is only its printing. */

import type { CalendarDate } from '../calendar.ts'
import type { FleetEffect } from '../loosening/effect.ts'
import type { Way } from '../loosening/way.ts'
import type { Duty } from '../state/duty.ts'
import type { Detail, SaidHold } from '../state/hold.ts'
import type { Why } from '../state/standing.ts'
import type { Language, Status, UnitSystem, Verdict } from '../words.ts'
import type { Cause } from './change.ts'
import type { Slip } from './slip.ts'

export const noticeKinds = [
  'digest',
  'hold',
  'removal',
  'return',
  'used while unfit',
  'report',
  'date brought forward',
  'unanswered',
  'not delivered',
  'proposal',
  'calibration',
  'put right',
] as const
export type NoticeKind = (typeof noticeKinds)[number]

/** Why a notice did not reach its reader. */
export const undeliveredWhys = [
  'bounced',
  'not taken',
  'complained',
  'marked',
  'rejected',
  'not rendered',
  'refused',
  /** its reader is no longer on the register of people */
  'left',
] as const
export type UndeliveredWhy = (typeof undeliveredWhys)[number]

export interface Addressee {
  readonly name: string
  readonly email: string
  readonly role: 'crew' | 'foreman' | 'bench' | 'manager'
  /** of the crew, and a manager of its depot too */
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
  /** rises whenever the due date can have changed */
  readonly revision?: number
  /** a label that shows this date is wrong */
  readonly broughtForwardFrom?: CalendarDate
  /** days until the due date; negative when overdue */
  readonly daysLeft: number | null
  /** lent out and not back by the day agreed */
  readonly loan?: LateLoan
  /** only for its loan: its due date is not what this notice tells of */
  readonly onlyLoan?: true
  /** what its label shows, which is later than it is due, or is on what must not be used */
  readonly wrongLabel?: CalendarDate
  /** only for its label: its due date is not what this notice tells of */
  readonly onlyLabel?: true
  /** where to bring it */
  readonly bringTo: string | null
  /** not in a crew's hands: nobody has to bring it out of use */
  readonly liesAt?: 'bench' | 'store'
  /** what is to be done by the due date, where that is no more than a look */
  readonly duty?: Exclude<Duty, 'test'>
  /** a sentence in English in what an earlier build wrote */
  readonly why: Why | string
  readonly removedFor?: Detail
  readonly source: string | null
  /** of a list of what nobody confirmed: which notices of this stick were to be */
  readonly about?: string
  readonly holds: readonly SaidHold[]
}

export interface LateLoan {
  readonly lentTo: string
  readonly returnBy: CalendarDate
  readonly daysLate: number
}

/** What was reported of a stick, where that puts no new hold on it, or where nobody knows yet which stick it is. */
export interface Report {
  readonly what: 'defect' | 'unsound look' | 'missing' | 'found' | 'bench test'
  /** of a defect */
  readonly defect?: string
  /** of a bench test */
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
    /** of something that was recorded of a stick */
    | 'correction'
  readonly entryId: string
  /** the name of whoever asked for it */
  readonly by: string
  /** in which ways it would loosen; sentences in English in what an earlier build wrote */
  readonly ways: readonly (Way | string)[]
  readonly fleet?: FleetEffect
  /** of a correction: why it is asked for */
  readonly because?: string
  readonly state: 'open' | 'approved' | 'declined'
  readonly decidedBy?: string
  /** why it was declined */
  readonly reason?: string
}

/** By what a stick came back; a mail claims no test where there was none. */
export const waysBack = ['full test', 'release', 'waxing', 'entry put right', 'record put right', 'other'] as const
export type WayBack = (typeof waysBack)[number]

export interface OwedNotice {
  readonly kind: NoticeKind
  /** what makes it this notice and no other, so that it can be owed only once */
  readonly key: string
  readonly to: Addressee
  /** the depot's day on which it came to be owed */
  readonly day: CalendarDate
  readonly lines: readonly StickLine[]
  /** how many more there are than it has room for */
  readonly more?: number
  /** what brought it, where that is no fact of the stick */
  readonly cause?: Cause['by']
  /** of what must be confirmed as read: what it is about, the same for everybody told of it, and how long that may take */
  readonly answer?: { readonly about: string; readonly withinHours: number }
  /** of kind `report` */
  readonly report?: Report
  /** of kind `used while unfit`: when it was used, and the first day on which it was not fit */
  readonly used?: { readonly on: CalendarDate; readonly unfitOn: CalendarDate; readonly status: Status }
  /** of kind `return`: by what it came back, where that is known */
  readonly cameBackBy?: WayBack
  /** of kind `unanswered`: who has not confirmed it */
  readonly unanswered?: readonly string[]
  /** of kind `not delivered`: whom a notice did not reach, and why */
  readonly missed?: { readonly name: string; readonly email: string; readonly why: UndeliveredWhy }
  /** of kind `proposal` */
  readonly proposal?: ProposalTold
  /** of kind `calibration`: the last day on which tests with this instrument count; negative days once that is past */
  readonly calibration?: { readonly instrumentId: string; readonly through: CalendarDate; readonly daysLeft: number }
  /** of what a correction brought about */
  readonly slip?: Slip
  /** whom it was meant for first and did not reach */
  readonly passedOnFor?: readonly string[]
}
