/**
 * The place of everything in the one table. Every key begins with the organisation, or with SYSTEM: pointers to depots,
 * feeds, codes, subjects, addresses, accounts and trees, queues over all organisations, and when mail was last taken.
 */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import type { Queue } from '../../shared-domain/notices/life.ts'
import type { Key, Table } from './table.ts'
import { queuePrefix } from './table-shape.ts'

export const registerKinds = [
  'depot',
  'crew',
  'person',
  'instrument',
  'procedure',
  'demonstration',
  'policy',
  'organisation',
] as const
export type RegisterKind = (typeof registerKinds)[number]

/** The placeholder for no depot or no crew cannot be an identifier, so it never meets a real one. */
const none = '-'

export const systemDepots = 'SYSTEM#DEPOTS'

/** Organisations that have a tree of facts. */
export const systemTrees = 'SYSTEM#TREES'

/** The table, and the keys under which one organisation's items lie in it. */
export interface OrganisationTable {
  readonly table: Table
  readonly keys: Keys
  /** the organisation's name */
  readonly name: string
}

export function organisationTable(table: Table, organisation: string): OrganisationTable {
  return { table, keys: keysOf(organisation), name: organisation }
}

const padded = (count: number, digits: number) => String(count).padStart(digits, '0')

/** Keys of what is kept of a person beside the editions of their entry. */
function personKeys(org: string) {
  return {
    /** the provider's subject that a person signs in as, and since when sessions count */
    signIn: (personId: string): Key => ({ pk: `${org}#PERSON#${personId}`, sk: 'SIGNIN' }),
    /** what others did to a person's sign-in, by the id under which they did */
    signInActs: (personId: string) => `${org}#PERSON#${personId}#SIGNINACTS`,
    signInAct: (personId: string, factId: string): Key => ({ pk: `${org}#PERSON#${personId}#SIGNINACTS`, sk: factId }),
    /** what an edition of a person's entry asks of the user pool */
    accountsOwed: (personId: string): Key => ({ pk: `${org}#PERSON#${personId}`, sk: 'ACCOUNTS' }),
  }
}

/** Keys of the tree in which an organisation's facts are proved. */
function treeKeys(org: string) {
  const pk = `${org}#TREE`
  return {
    /** an item that says that there is a tree, and how far facts of other builds were looked for */
    treePointer: (): Key => ({ pk: systemTrees, sk: org }),
    /** the tree as it is by now */
    treeHead: (): Key => ({ pk, sk: 'HEAD' }),
    /** leaves, each with the roots of the subtrees that are complete with it */
    treeLeaf: (index: number): Key => ({ pk, sk: `LEAF#${padded(index, 12)}` }),
    /** the tree as it was when a day began */
    dayHead: (day: CalendarDate): Key => ({ pk, sk: `DAY#${day}` }),
  }
}

/** Keys of recalls, each with how far its sticks are written; beside them, in one item, all that bind. */
function recallKeys(org: string) {
  return {
    recalls: () => `${org}#RECALLS`,
    recall: (id: string): Key => ({ pk: `${org}#RECALLS`, sk: id }),
    recallsBinding: (): Key => ({ pk: `${org}#RECALLSBINDING`, sk: 'BINDING' }),
  }
}

/** Keys of files that somebody sent, by the instant and a number, and of how their columns were understood. */
function importKeys(org: string) {
  return {
    imports: () => `${org}#IMPORTS`,
    import: (id: string): Key => ({ pk: `${org}#IMPORTS`, sk: id }),
    importMapping: (kind: string): Key => ({ pk: `${org}#IMPORTMAPPINGS`, sk: kind }),
  }
}

/** Keys of plans of benches: how far each is, those of a depot, and the editions of its bench's settings. */
function planKeys(org: string) {
  return {
    plans: () => `${org}#PLANS`,
    plan: (id: string): Key => ({ pk: `${org}#PLANS`, sk: id }),
    /** the newest of a depot, and beside it the last ones, in turn */
    depotPlan: (depotId: string, place: 'NEWEST' | number): Key => ({
      pk: `${org}#DEPOTPLANS#${depotId}`,
      sk: place === 'NEWEST' ? place : padded(place, 2),
    }),
    planSettings: (depotId: string) => `${org}#PLANSETTINGS#${depotId}`,
    planSettingsEdition: (depotId: string, number: number): Key => ({
      pk: `${org}#PLANSETTINGS#${depotId}`,
      sk: padded(number, 6),
    }),
  }
}

/** Keys of mailboxes, an item each: whether mail goes there. What led to that lies under the mailbox's own key. */
function markKeys(org: string) {
  return {
    marks: () => `${org}#MARKS`,
    mark: (email: string): Key => ({ pk: `${org}#MARKS`, sk: sameMailbox(email) }),
    markHistory: (email: string, at: string, what: string): Key => ({
      pk: `${org}#MARKS#${sameMailbox(email)}`,
      sk: `${at}#${what}`,
    }),
  }
}

export function keysOf(organisation: string) {
  const org = `ORG#${organisation}`
  const stick = (stickId: string) => `${org}#STICK#${stickId}`
  return {
    registerHeads: (kind: RegisterKind) => `${org}#REGISTER#${kind}`,
    registerHead: (kind: RegisterKind, id: string): Key => ({ pk: `${org}#REGISTER#${kind}`, sk: id }),
    editions: (kind: RegisterKind, id: string) => `${org}#EDITIONS#${kind}#${id}`,
    /** the archive that the organisation was filled from */
    refilled: (): Key => ({ pk: `${org}#REFILLED`, sk: 'REFILLED' }),
    /** an item that changes with every edit of an owner's entry */
    owners: (): Key => ({ pk: `${org}#OWNERS`, sk: 'OWNERS' }),
    ...personKeys(org),
    ...treeKeys(org),
    ...recallKeys(org),
    depotPointer: (depotId: string): Key => ({ pk: systemDepots, sk: `${org}#DEPOT#${depotId}` }),
    stick,
    state: (stickId: string): Key => ({ pk: stick(stickId), sk: 'STATE' }),
    fact: (stickId: string, seq: number): Key => ({ pk: stick(stickId), sk: `FACT#${padded(seq, 8)}` }),
    told: (stickId: string, day: CalendarDate, round: string): Key => ({
      pk: stick(stickId),
      sk: `TOLD#${day}#${round}`,
    }),
    /** the mark of a bench test's content, whatever the test's id: the same test is recorded once */
    likeness: (stickId: string, hash: string): Key => ({ pk: stick(stickId), sk: `LIKE#${hash}` }),
    /** reports on numbers that no stick has */
    unplacedReports: () => `${org}#UNPLACED`,
    unplacedReport: (factId: string): Key => ({ pk: `${org}#UNPLACED`, sk: factId }),
    /** edits that wait for a second person, and what became of them */
    proposals: () => `${org}#PROPOSALS`,
    proposal: (id: string): Key => ({ pk: `${org}#PROPOSALS`, sk: id }),
    /** reminders that somebody asked for, by the id under which they did; beside them, those of the last hour */
    reminder: (factId: string): Key => ({ pk: `${org}#REMINDER#${factId}`, sk: 'REMINDER' }),
    newestReminders: (): Key => ({ pk: `${org}#REMINDERS`, sk: 'NEWEST' }),
    /** the correction of a register entry's edition, in a queue until its tests are judged anew */
    editionCorrection: (factId: string): Key => ({ pk: `${org}#EDITIONCORRECTION#${factId}`, sk: 'CORRECTION' }),
    /** notices of a fact that found no room in its transaction */
    stillOwed: (factId: string, part: number): Key => ({ pk: `${org}#STILLOWED#${factId}`, sk: padded(part, 4) }),
    guard: (factId: string): Key => ({ pk: `${org}#FACTID#${factId}`, sk: 'GUARD' }),
    reindexed: (depotId: string | null): Key => ({ pk: `${org}#REINDEXED`, sk: depotId ?? none }),
    /** the edition of each crew's entry by which its sticks were last put into their lists */
    crewsFollowed: () => `${org}#CREWSFOLLOWED`,
    crewFollowed: (crewId: string): Key => ({ pk: `${org}#CREWSFOLLOWED`, sk: crewId }),
    ...importKeys(org),
    ...planKeys(org),
    /** the code on a printed paper of a stick, by the test that it is of, or of its label */
    paperCode: (stickId: string, about: string): Key => ({ pk: `${stick(stickId)}#CODES`, sk: about }),
    notice: (number: string): Key => ({ pk: `${org}#NOTICE#${number}`, sk: 'NOTICE' }),
    /** a person whom the notice's reader is asked to tell, by their place in the notice's list */
    toldInPerson: (number: string, place: number): Key => ({ pk: `${org}#NOTICE#${number}`, sk: `TOLD#${place}` }),
    ...markKeys(org),
    /** an event of the mail service about a notice, by the id of that event */
    feedback: (number: string, id: string): Key => ({ pk: `${org}#NOTICE#${number}`, sk: `FEEDBACK#${id}` }),
    depotTell: (depotId: string | null) => `${org}#TELL#${depotId ?? none}`,
    /**
     * sticks that a day alone will change, or that changed with nobody told of it: seldom many, and apart from
     * `depotTell`
     */
    depotChange: (depotId: string | null) => `${org}#CHANGE#${depotId ?? none}`,
    depotStanding: (depotId: string | null, group: string) => `${org}#STANDING#${depotId ?? none}#${group}`,
    depotLent: (depotId: string | null) => `${org}#LENT#${depotId ?? none}`,
    feeds: (crewId: string) => `${org}#CREW#${crewId}#FEEDS`,
    feed: (crewId: string, feedId: string): Key => ({ pk: `${org}#CREW#${crewId}#FEEDS`, sk: feedId }),
    crewSticks: (crewId: string) => `${org}#CREW#${crewId}#STICKS`,
    lot: (lot: string) => `${org}#LOT#${lot}`,
    instrumentTests: (instrumentId: string) => `${org}#INSTRUMENT#${instrumentId}#TESTS`,
    noticesOfStick: (stickId: string) => `${stick(stickId)}#NOTICES`,
    noticesTo: (email: string) => `${org}#MAILBOX#${sameMailbox(email)}#NOTICES`,
    noticesOfCrew: (crewId: string | null) => `${org}#CREW#${crewId ?? none}#NOTICES`,
  }
}

export type Keys = ReturnType<typeof keysOf>

/** A queue holds notices of all organisations. The number of a notice decides its shard. */
export const queueKey = (queue: Queue, shard: string) => `${queuePrefix[queue]}${shard}`

/** The item that says when the mail service last took a mail, of whichever organisation. */
export const mailTaken: Key = { pk: 'SYSTEM#MAIL', sk: 'TAKEN' }

/** The item that is written every few minutes so that the journal is heard also where nothing else happens. */
export const journalMark: Key = { pk: 'SYSTEM#JOURNAL', sk: 'MARK' }

/** The item that says that the table was filled from a backup, and whether mail waits for a person since. */
export const restoredMark: Key = { pk: 'SYSTEM#RESTORED', sk: 'RESTORED' }

/** A feed's pointer names the organisation, for whoever comes with a feed's secret does not. */
export const feedPointer = (hash: string): Key => ({ pk: `SYSTEM#FEED#${hash}`, sk: 'FEED' })

/** A scan of a printed code names no organisation: the pointer of the code does. */
export const codePointer = (hash: string): Key => ({ pk: `SYSTEM#CODE#${hash}`, sk: 'CODE' })

/** Whoever comes with a token names no organisation: the pointer of the token's subject does. */
export const subjectPointer = (hash: string): Key => ({ pk: `SYSTEM#SUBJECT#${hash}`, sk: 'SUBJECT' })

/** An address belongs to one organisation, for whoever signs in for the first time names none. */
export const addressPointer = (hash: string): Key => ({ pk: `SYSTEM#ADDRESS#${hash}`, sk: 'ADDRESS' })

/** What stands at the user pool under an address. The pool is one for all organisations. */
export const accountKey = (hash: string): Key => ({ pk: `SYSTEM#ACCOUNT#${hash}`, sk: 'ACCOUNT' })
