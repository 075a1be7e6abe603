/**
 * A recall is settled: the sticks that it holds are put into their lists in pages, and with the last page one notice a
 * reader is written that names all of theirs. A run that breaks off goes on behind the last page, and a notice has the
 * key of its reader, so nobody hears twice. Every read went by the recall already before the first page.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import {
  aboutRecall,
  mailboxesFor,
  owedForRecall,
  type ReadersOfRecall,
  type RecalledStick,
  readersWith,
  recallKey,
} from '../../shared-domain/notices/owed-for-recall.ts'
import type { Recall } from '../../shared-domain/recall/recall.ts'
import { onceTold } from '../../shared-domain/relisting.ts'
import { eachWaiting } from '../ground/each-waiting.ts'
import { describe, log } from '../ground/log.ts'
import { bindingOf, peopleAround, type StickOfRecall, stickOfRecall, sticksOfRecall } from '../questions/recalls.ts'
import { rulesOn } from '../questions/today.ts'
import { noticeNumber } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { type KeptRecall, settledThroughWrite, settledWrite, toSettle } from '../store/recalls.ts'
import type { Table, Write } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { writeInPages } from './in-pages.ts'
import { withinRoom } from './room-in-notice.ts'

export interface Settled {
  readonly sticks: number
  /** false: the next run goes on with what is left */
  readonly finished: boolean
}

/** Settles the recalls of every organisation that wait for it. Answers how many sticks were written. */
export const settleAll = async (table: Table, now: Instant, mayGoOn: () => boolean) =>
  eachWaiting(await toSettle(table, now), mayGoOn, {
    work: async (recall) => (await settle(table, { recall, now }, mayGoOn)).sticks,
    failing: ({ id }, error) =>
      log('error', 'a recall is still to be settled', { recall: id, trouble: describe(error) }),
  })

interface Settling {
  readonly organisation: Organisation
  readonly now: Instant
  readonly kept: KeptRecall
  /** as it binds by now */
  readonly recall: Recall
}

/** `mayGoOn` is asked before each page: what is left waits for the next run. */
export async function settle(
  table: Table,
  { recall: kept, now }: { readonly recall: KeptRecall; readonly now: Instant },
  mayGoOn: () => boolean,
): Promise<Settled> {
  // rules that were read before the recall was recorded say nothing of it
  const organisation = openOrganisation(table, kept.organisation)
  const settling = { organisation, now, kept, recall: await organisation.asItBinds(bindingOf(kept)) }
  let sticks = 0
  for await (const page of sticksOfRecall(settling, settling.recall, kept.settledThrough ?? '')) {
    if (!mayGoOn()) return { sticks, finished: false }
    sticks += await writePage(settling, page)
    const last = page.at(-1)
    if (last === undefined) continue
    const through = settledThroughWrite(organisation, kept, last.stored.stickId)
    // another run has come to the end
    if (!(await table.transact([through])).done) return { sticks, finished: true }
  }
  if (!mayGoOn()) return { sticks, finished: false }
  return { sticks, finished: await tellReaders(settling) }
}

/** A transaction holds 100 items, and 4 MB; each stick is written with a pointer to its notices. */
const sticksTogether = 10
const lotsAtOnce = 4

async function writePage(settling: Settling, page: readonly StickOfRecall[]): Promise<number> {
  const open = page.filter((one) => isToBeWritten(settling, one))
  const lots = Array.from({ length: Math.ceil(open.length / sticksTogether) }, (_, i) =>
    open.slice(i * sticksTogether, (i + 1) * sticksTogether),
  )
  for (let i = 0; i < lots.length; i += lotsAtOnce)
    await Promise.all(lots.slice(i, i + lotsAtOnce).map((some) => writeTogether(settling, some)))
  return open.length
}

const isHeld = ({ outcome }: StickOfRecall) => outcome === 'held'

/** A stick that was told of since the recall, by a fact of its own, is known to be out of use. */
function isToBeWritten({ recall }: Settling, one: StickOfRecall): boolean {
  const { held } = one.stored
  return isHeld(one) && held?.about !== aboutRecall(recall) && (held === undefined || held.at < recall.at)
}

async function writeTogether(settling: Settling, some: readonly StickOfRecall[]): Promise<void> {
  const writes = await Promise.all(some.map((one) => writesOf(settling, one)))
  const all = writes.flat()
  if (all.length === 0 || (await settling.organisation.table.transact(all)).done) return
  for (const one of some) await writeAlone(settling, one)
}

/** Somebody else wrote to one of them: each is looked at anew. */
async function writeAlone(settling: Settling, { stored: { stickId } }: StickOfRecall): Promise<void> {
  const { organisation, recall } = settling
  for (let tries = 0; tries < mostTries; tries++) {
    const one = await stickOfRecall(settling, recall, stickId)
    if (one === undefined || !isToBeWritten(settling, one)) return
    const writes = await writesOf(settling, one)
    if (writes.length === 0 || (await organisation.table.transact(writes)).done) return
  }
  // the page is not done then, and the next run begins with it again
  throw new Error(`stick ${stickId} of recall ${recall.id} was being written to`)
}

const mostTries = 5

async function writesOf({ organisation, now, recall }: Settling, one: StickOfRecall): Promise<Write[]> {
  const { stored, standing, today: day } = one
  const rules = await rulesOn(organisation, day)
  const who = await peopleAround({ organisation, now }, one)
  const numbers = mailboxesFor({ who }).map((mailbox) => noticeNumber(organisation, recallKey(recall, mailbox)))
  // a stick of which nobody can be told stays due to be told, and the operators hear of it each time
  if (numbers.length === 0) {
    log('error', alarmWords.nobodyLeft, { stickId: stored.stickId, not: 'told' })
    return []
  }
  const about = aboutRecall(recall)
  return organisation.sticks.toldWrites(
    stored,
    onceTold(stored, { about, now }, { standing, morning: { day, rules } }),
    {
      day,
      notices: numbers,
      filedElsewhere: true,
      round: `recall ${recall.id}`,
      now,
    },
  )
}

/** Writes what each reader is told, and that the recall is settled with the last of it. */
async function tellReaders(settling: Settling): Promise<boolean> {
  const { organisation, now, kept, recall } = settling
  let readers: ReadersOfRecall = new Map()
  for await (const page of sticksOfRecall(settling, recall)) {
    const told = await Promise.all(page.filter(isHeld).map((one) => toTell(settling, one)))
    readers = readersWith(readers, told)
  }
  const { answerWithinHours } = await rulesOn(organisation, now.slice(0, 10) as RecalledStick['day'])
  const by = await nameOf(settling)
  const owed = owedForRecall(readers, { recall, reason: kept.reason, by, answerWithinHours }).map(withinRoom)
  const fresh = await organisation.notices.notYetWritten(owed)
  const outcome = await writeInPages(organisation.table, [
    ...fresh.map((one) => ({ stickId: null, writes: [organisation.notices.owedWrite(one, now)] })),
    { stickId: theRest, writes: [settledWrite(organisation, kept)] },
  ])
  // whoever else wrote one of them comes to the end, or the next run does
  return outcome.lost.length === 0
}

/** A name for what comes last, which is no stick's. */
const theRest = ''

async function toTell(settling: Settling, one: StickOfRecall): Promise<RecalledStick> {
  const { organisation, now } = settling
  const { stored, standing, today: day } = one
  const { stickId, state, depotId } = stored
  const { crewId } = state
  const [who, depot] = await Promise.all([
    peopleAround(settling, one),
    depotId === null ? undefined : organisation.registers.depotNow(depotId, now),
  ])
  const names = { crewName: who.crew?.name ?? null, depotName: depot?.body.name ?? null }
  return { belonging: { stickId, crewId, ...names }, standing, who, day }
}

/** The name of whoever opened it; their id where they have no entry. */
async function nameOf({ organisation, now, kept }: Settling): Promise<string> {
  const entries = await organisation.entriesOfPeople(now)
  return entries.find(({ id }) => id === kept.by)?.body.name ?? kept.by
}
