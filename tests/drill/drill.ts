/**
 * The loss of the table, rehearsed on the local stack: a backup, hours of work after it, the loss, and what a person at
 * night does then, in the steps of `cdk/RESTORE.md`. Whoever runs it holds what it found to what must be so.
 */
import { randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { root, synthesise } from '../../cdk/local/template/synthesise.ts'
import { decideUnknown, unknownNotices } from '../../functions/restore/decide-unknown.ts'
import { journalSince, namesBeside } from '../../functions/restore/journal-bucket.ts'
import { type RestoreReport, type Restoring, restore } from '../../functions/restore/restore.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import { letMailGoOn } from '../../functions/store/restored-mark.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { bring, furnish, lookAt, put, type StickAnswer } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { type Backup, tablesAt } from './tables.ts'

export interface Drilled {
  /** how each stick stood when the table was lost, and after the restore */
  readonly atLoss: readonly StickAnswer[]
  readonly after: readonly StickAnswer[]
  readonly restored: RestoreReport
  /** numbers of the mails that left before the loss, while mail was paused, and once it went on */
  readonly mailed: {
    readonly before: readonly string[]
    readonly paused: readonly string[]
    readonly after: readonly string[]
  }
  /** numbers that a person had sent under new ones */
  readonly sentAnew: readonly string[]
  readonly proofs: readonly string[]
  /** restored from the same backup, with no journal */
  readonly withoutJournal: { readonly held: readonly string[]; readonly codes: readonly string[] }
  readonly steps: readonly { readonly name: string; readonly millis: number }[]
}

const sticks = ['S-1', 'S-2', 'S-3']
const backupAt = '2026-03-03T11:55:00.000Z' as Instant
const lostAt = '2026-03-03T12:12:00.000Z' as Instant
const restoredAt = '2026-03-03T13:00:00.000Z' as Instant

interface Around {
  readonly folder: string
  readonly step: <T>(name: string, work: () => Promise<T>) => Promise<T>
}

export async function drill(say: (line: string) => void): Promise<Drilled> {
  const folder = mkdtempSync(join(tmpdir(), 'quarterturn-drill-'))
  const steps: { name: string; millis: number }[] = []
  const step: Around['step'] = async (name, work) => {
    const began = performance.now()
    const done = await work()
    steps.push({ name, millis: Math.round(performance.now() - began) })
    say(`${name}: ${(steps.at(-1)?.millis ?? 0) / 1000} s`)
    return done
  }
  try {
    return { ...(await rehearsed({ folder, step })), steps }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function rehearsed(around: Around): Promise<Omit<Drilled, 'steps'>> {
  const { step, folder } = around
  const stack = await step('the stack starts, and three sticks are brought to the bench', () => work(folder))
  try {
    const tables = tablesAt(stack.parts.table.endpoint)
    const backup = await step('the backup is made', () => tables.backup(stack.parts.table.name))
    const before = await step('digests leave, a tingle and a correction come in', () => morning(stack))
    await step('the table is lost', () => tables.lose(stack.parts.table.name))
    const [journal, names] = ['JournalJournalBucket', 'JournalNamesBucket'].map((id) => bucketOf(stack, id))
    const restored = await step('the table is brought back and filled from the journal', async () => {
      await tables.bringBack(backup, 'brought-back')
      const lines = await journalSince({ name: journal ?? '', endpoint: stack.parts.aws }, backupAt)
      const namesOf = namesBeside({ name: names ?? '', endpoint: stack.parts.aws })
      return filledFrom(tables.open('brought-back'), { lines, namesOf })
    })
    await tables.streamOn('brought-back')
    const withoutJournal = await step('the same with no journal', () => heldWithout(tables, backup))
    await stack.stop()
    const later = await step('the stack is pointed at it', () => pointedAt(folder, 'brought-back'))
    try {
      const { paused, mails, ...found } = await afterwards(later.stack, step)
      const mailed = { before: before.mailed, paused, after: mails }
      return { atLoss: before.atLoss, restored, withoutJournal, ...found, mailed }
    } finally {
      await later.stop()
    }
  } finally {
    // a stack that was stopped is stopped again without harm
    await stack.stop()
  }
}

async function work(folder: string): Promise<LocalStack> {
  const stack = await startStack({ folder, memory: false, now: '2026-03-02T15:00:00Z' })
  await furnish(stack)
  for (const stickId of ['S-2', 'S-3']) await put(stack, `/v1/sticks/${stickId}`, aStick)
  await bring(stack, aTest({ testedOn: day('2026-03-02'), at: '08:00' }))
  // overdue: it is told in the next morning's digests
  await bring(stack, aTest({ factId: randomUUID(), testedOn: day('2024-02-29') }), 'S-2')
  await bring(stack, aTest({ factId: randomUUID(), testedOn: day('2026-03-02'), at: '08:20' }), 'S-3')
  await at(stack, '2026-03-03T11:50:00Z')
  await at(stack, backupAt)
  return stack
}

/** Seventeen minutes of which the backup knows nothing. */
async function morning(stack: LocalStack): Promise<Pick<Drilled, 'atLoss'> & { mailed: string[] }> {
  await at(stack, '2026-03-03T12:00:00Z')
  await at(stack, '2026-03-03T12:05:00Z')
  const use = { factId: randomUUID(), occurredOn: '2026-03-03', days: 1, conditions: ['wet'] }
  await done(stack, '/v1/sticks/S-3/uses', use, 'bench')
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-03', kind: 'tingle' }
  await done(stack, '/v1/sticks/S-1/defects', tingle, 'crew')
  const slip = { factId: randomUUID(), corrects: use.factId, reason: 'It was another stick', replacement: null }
  await done(stack, '/v1/corrections', slip, 'manager')
  await at(stack, '2026-03-03T12:10:00Z')
  // the mail service answers nothing in the last minute: what is owed then is unknown afterwards
  stack.parts.trouble.refuses = ({ service }) =>
    service === 'ses' ? { error: 'ServiceUnavailable', status: 503 } : undefined
  await done(stack, '/v1/sticks/S-3/defects', { factId: randomUUID(), occurredOn: '2026-03-03', kind: 'drop' }, 'crew')
  // it is tried again and again, so nothing here ever settles
  await pause(2000)
  return { atLoss: await standing(stack), mailed: numbersIn(await stack.mail()) }
}

async function done(stack: LocalStack, path: string, body: object, role: string): Promise<void> {
  const { status, text } = await stack.call('POST', path, body, role)
  if (status > 201) throw new Error(`POST ${path}: ${status} ${text}`)
}

const bucketOf = ({ parts: { deployed } }: LocalStack, id: string) =>
  deployed.url(deployed.all('AWS::S3::Bucket').find((one) => one.id.startsWith(id))?.id ?? '')

async function at(stack: LocalStack, now: string): Promise<void> {
  await stack.clock(now)
  await stack.settle()
}

const standing = (stack: LocalStack) => Promise.all(sticks.map((stickId) => lookAt(stack, stickId)))

/** The number that ends the subject of a notice. */
const numbersIn = (mails: readonly { readonly subject: string }[]) =>
  mails.flatMap(({ subject }) => /\[([0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4})\]$/.exec(subject)?.[1] ?? [])

type Opened = ReturnType<ReturnType<typeof tablesAt>['open']>

async function filledFrom(opened: Opened, journal: Pick<Restoring, 'lines' | 'namesOf'>): Promise<RestoreReport> {
  const report = await restore({ ...opened, ...journal, lost: { from: backupAt, to: lostAt }, now: restoredAt })
  if (report === 'filled before') throw new Error(report)
  return report
}

async function heldWithout(tables: ReturnType<typeof tablesAt>, backup: Backup): Promise<Drilled['withoutJournal']> {
  await tables.bringBack(backup, 'without-journal')
  const opened = tables.open('without-journal')
  const { held } = await filledFrom(opened, { lines: null, namesOf: async () => null })
  const stored = await openOrganisation(opened.table, 'demo-utility').sticks.stored('S-1')
  return {
    held: held.map(({ stickId }) => stickId).sort(),
    codes: (stored?.state.holds ?? []).map(({ code }) => code),
  }
}

async function pointedAt(folder: string, name: string) {
  const streamArn = `arn:aws:dynamodb:us-east-1:111122223333:table/${name}/stream/2026-03-03T13:00:00.000`
  const flags = ['--restored-table', name, '--restored-stream', streamArn]
  const template = await synthesise(join(root, 'functions'), undefined, flags)
  const stack = await startStack({ folder, memory: false, now: restoredAt, template: template.folder })
  const stop = async () => {
    await stack.stop()
    template.remove()
  }
  return { stack, stop }
}

/** What a person does once the stack works on the table that was brought back. */
async function afterwards(stack: LocalStack, step: Around['step']) {
  const opened = tablesAt(stack.parts.table.endpoint).open('brought-back')
  const proof = await step('every state is proved', () => stack.prove())
  const paused = await step('mail waits', async () => {
    for (const minute of ['05', '10', '15']) await at(stack, `2026-03-03T13:${minute}:00Z`)
    return numbersIn(await stack.mail())
  })
  const after = await standing(stack)
  const sentAnew = await step('a person decides what was unknown, and lets mail go on', async () => {
    const unknown = await unknownNotices(opened.scan)
    const what = { what: 'send', now: '2026-03-03T13:16:00.000Z' as Instant } as const
    await decideUnknown(opened.table, unknown, what)
    await letMailGoOn(opened.table)
    for (const minute of ['20', '25']) await at(stack, `2026-03-03T13:${minute}:00Z`)
    return unknown.map(({ number }) => number)
  })
  const mails = numbersIn(await stack.mail())
  return { after, sentAnew, proofs: [proof, await stack.prove()], mails, paused }
}
