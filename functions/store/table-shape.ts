/**
 * The shape of the one table, said once: for the functions, the stack, and the tables that stand in for it. Data only,
 * so that cdk may read it.
 */
import type { Queue } from '../../shared-domain/notices/life.ts'

export const tableKey = { partition: 'pk', sort: 'sk' } as const

interface Index {
  readonly partition: string
  readonly sort: string
  /** whole items for readers that need them; keys only for those that go on to the items they choose */
  readonly projection: 'ALL' | 'KEYS_ONLY'
}

/**
 * All indexes are there from the first day: a stack update adds or removes one index, so two more would take two
 * updates.
 */
export const indexes = {
  // sticks
  'by-depot-next-tell': { partition: 'depotTellKey', sort: 'nextTellOn', projection: 'KEYS_ONLY' },
  'by-depot-standing': { partition: 'depotStandingKey', sort: 'standingSort', projection: 'ALL' },
  'by-crew-standing': { partition: 'crewKey', sort: 'standingSort', projection: 'KEYS_ONLY' },
  'by-depot-return': { partition: 'depotLentKey', sort: 'returnSort', projection: 'ALL' },
  // tests by instrument; sticks by lot
  'by-instrument': { partition: 'instrumentKey', sort: 'testedSort', projection: 'KEYS_ONLY' },
  'by-lot': { partition: 'lotKey', sort: 'stickId', projection: 'KEYS_ONLY' },
  // notices that wait for something, and markers of notices still owed
  'notices-by-queue': { partition: 'queue', sort: 'queueAt', projection: 'KEYS_ONLY' },
  // notices, and pointers to digests that are filed elsewhere
  'notices-by-stick': { partition: 'noticeStickKey', sort: 'owedAt', projection: 'ALL' },
  'notices-by-crew': { partition: 'noticeCrewKey', sort: 'owedAt', projection: 'ALL' },
  'notices-by-mailbox': { partition: 'noticeMailboxKey', sort: 'owedAt', projection: 'ALL' },
} as const satisfies Record<string, Index>
export type IndexName = keyof typeof indexes

/** The queues hold notices of all organisations, in shards, so that no one key takes every write. */
export const queueShards = ['0', '1', '2', '3', '4', '5', '6', '7'] as const
export const queuePrefix: { readonly [queue in Queue]: string } = {
  unsent: 'SYSTEM#UNSENT#',
  urgent: 'SYSTEM#URGENT#',
  unanswered: 'SYSTEM#UNANSWERED#',
  undelivered: 'SYSTEM#UNDELIVERED#',
}

/** Facts whose notices are not all written yet, of all organisations: in the same index, seldom any. */
export const stillOwedQueue = 'SYSTEM#STILLOWED'

/**
 * Corrections of an entry whose tests are not all judged anew yet, of all organisations: in the same index, seldom any.
 */
export const toJudgeAnewQueue = 'SYSTEM#JUDGEANEW'

/** Recalls whose sticks are not all written anew, or whose people are not all told yet, of all organisations. */
export const toSettleQueue = 'SYSTEM#SETTLE'

/** People whose accounts at the user pool are to be made or ended, of all organisations: in the same index. */
export const accountsQueue = 'SYSTEM#ACCOUNTS'

/** Imports that are to be gone on with, of all organisations: in the same index. */
export const importsQueue = 'SYSTEM#IMPORTS'

/** Plans of benches that are to be made, of all organisations: in the same index. */
export const plansQueue = 'SYSTEM#PLANS'

/** Facts that are not in their organisation's tree yet, in shards as notices are: in the same index. */
export const toSequencePrefix = 'SYSTEM#TOSEQUENCE#'

/** Kinds of items. Each kind is written and read in one file of the store, or by its one door. */
export const entities = [
  'stick',
  'fact',
  'guard',
  'likeness',
  'told',
  'register',
  'edition',
  'depot pointer',
  'notice',
  'owners',
  'still owed',
  'told in person',
  'feedback',
  'mail taken',
  'marked address',
  'mark',
  'mark cleared',
  'feed',
  'feed pointer',
  'unplaced report',
  'proposal',
  'reindexed',
  'crew followed',
  'edition correction',
  'recalls binding',
  'recall',
  'reminder',
  'newest reminders',
  'subject',
  'sign-in',
  'address',
  'sign-in act',
  'accounts owed',
  'account',
  'journal mark',
  'restored',
  'tree',
  'tree head',
  'tree leaf',
  'day head',
  'import',
  'import mapping',
  'plan',
  'depot plan',
  'plan settings',
  'paper code',
  'paper code pointer',
  'refilled',
] as const
export type Entity = (typeof entities)[number]

/** Kinds of items that the journal leaves out, and why each is not missed. @lintignore held to the lines it makes */
export const notJournalled = {
  'mail taken': 'it says how the mail service does just now',
  reindexed: 'lists are written anew from where the backup stood',
  'crew followed': 'crews are followed anew from where the backup stood',
  import: 'what it recorded is there; its file is gone after a month, and can be sent again',
  'import mapping': 'it is proposed anew from the headings',
  plan: 'it says how far the plan of a bench is, which is made anew each night',
  'depot plan': 'it is made anew each night from what is recorded',
  restored: 'it is about one table, and not about what lies in it',
  refilled: 'it says how far an archive was filled in, which the next run finds by itself',
} as const satisfies Partial<Record<Entity, string>>

export const journalled: readonly Entity[] = /* @__PURE__ */ entities.filter((entity) => !(entity in notJournalled))

/** An alarm rings by each of these words: functions write them to their log, and the stack looks for them there. */
export const alarmWords = {
  setAside: 'notice set aside',
  refused: 'mails are refused and wait',
  quotaUsedUp: 'the mail quota of the day is used up',
  quotaNearlyUsedUp: 'the mail quota of the day is kept for what is urgent',
  nobodyLeft: 'nobody is left to be told',
  notHandedOn: 'not handed on',
  doesNotRead: 'left out of a list: it does not read',
  nobodyToTell: 'a stick is due and nobody has a mail address to be told at',
  notInTree: 'facts are not in the tree after an hour',
  // doors answer these with 500, and so the function itself does not fail
  requestFailed: 'request failed',
  answerFailed: 'answer failed',
  // the feed and the pages say it in the same words, since they read nothing of the store
  feedFailed: 'feed failed',
  pageFailed: 'page failed',
  // alarms ring when these are not said
  takenUp: 'unsent notices taken up',
  followedUp: 'followed up',
  accountsSeenTo: 'accounts seen to',
  journalHeard: 'the journal was heard',
  // nobody is to forget that it waits for a person
  mailPaused: 'mail is paused since the records were brought back',
  sequenced: 'trees seen to',
  plansSeenTo: 'plans seen to',
} as const

/** Errors in the log that ring by another bell: which one. @lintignore a test holds what is logged against it */
export const heardOtherwise: Readonly<Record<string, string>> = {
  'a round of the sweep failed': 'the run ends in an error once the others are done',
  'notices that nobody answered were not passed on': 'the run of follow-up ends in an error',
  'nobody was told of a notice that was not delivered': 'the run of follow-up ends in an error',
  'tests are still to be judged anew': 'reindex goes on with them, and its run ends in an error where it cannot',
  'a recall is still to be settled': 'reindex goes on with it, and its run ends in an error where it cannot',
  'notices are still to be written': 'follow-up writes them, and its run ends in an error where it cannot',
  'a fact got no place in its tree': 'the run by the clock ends in an error, and a fact that waits for an hour rings',
  'a tree was not seen to': 'the run by the clock ends in an error, and takes it up again at the next',
  'an account was not seen to': 'the run by the clock ends in an error, and takes it up again each hour',
  'notice not sent': 'refusals, a used-up quota and what is set aside ring; else its message comes again and grows old',
  'notice not handled': 'its message comes again, grows old, and ends among the dead letters',
  'notice not looked into': 'its message comes again, grows old, and ends among the dead letters',
  'a bench was planned without the solver': 'the plan that needs no solver stands, and its page says so',
  'a night’s plan was not asked for': 'the run by the clock ends in an error, and the next one asks again',
  'message not handled': 'it comes again, grows old, and ends among the dead letters',
  'a feed does not hold all sticks of its crew': 'nobody is told less by mail; the calendar of one great crew is cut',
}
