/**
 * From the report of a defect to the mail: on the local stack, beside the same bytes over the same protocols and no
 * more.
 */
import { setTimeout as pause } from 'node:timers/promises'
import MailComposer from 'nodemailer/lib/mail-composer/index.js'
import type { KeptMail } from '../../cdk/local/mail/mailbox.ts'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { put } from '../journeys/furnish.ts'
import type { LocalStack } from '../local-stack.ts'
import { aCrew, aDepot, aStick } from '../support/trade.ts'
import { floorServer } from './floor-server.ts'
import { inTurn } from './interleaved.ts'
import { theStack } from './stack.ts'

export interface HoldMail {
  readonly seconds: number
  readonly floorSeconds: number
  readonly ratio: number
}

/** The first rounds load functions, fill pools and are slow until what runs often is compiled. */
const mostWarmUp = 10
/** A median needs no more, and each takes half a second. */
const mostRounds = 40
/** In which nobody asks the stack for anything: its answers would take the process in which the mail is taken. */
const undisturbedMillis = 150

let known: Promise<HoldMail> | undefined

/** Measured once for the figures that tell of it. */
export function holdMail(rounds: number): Promise<HoldMail> {
  known ??= measure(Math.min(rounds, mostRounds))
  return known
}

async function measure(rounds: number): Promise<HoldMail> {
  const stack = await theStack()
  const floor = await floorOf(stack)
  let holds = 0
  const hold = () => holdRound(stack, `R${++holds}`)
  const told = await inTurn(floor.round, hold, { rounds, warmUp: Math.min(mostWarmUp, rounds) })
  await floor.stop()
  return { seconds: told.candidate / 1000, floorSeconds: told.floor / 1000, ratio: told.value }
}

const addressOf = (name: string) => `${name.toLowerCase()}@crew-one.example`
const defect = () => ({ factId: crypto.randomUUID(), occurredOn: today(), kind: 'tingle' })
/** at the depot of the crew */
const today = () => localDateAt(new Date().toISOString() as Instant, aDepot.timeZone)

/** A stick and a crew of its own, so that its mailbox holds one mail. */
async function holdRound(stack: LocalStack, name: string): Promise<number> {
  const recipient = { name: 'Ana Ferro', email: addressOf(name), role: 'crew' }
  await put(stack, `/v1/crews/CR-${name}`, { ...aCrew, recipients: [recipient] })
  await put(stack, `/v1/sticks/S-${name}`, { ...aStick, crewId: `CR-${name}` })
  await stack.settle()
  const started = Date.now()
  const { status, text } = await stack.call('POST', `/v1/sticks/S-${name}/defects`, defect())
  if (status !== 201) throw new Error(`a defect of S-${name}: ${status} ${text}`)
  await pause(undisturbedMillis)
  await stack.settle()
  if ((await stack.mail(addressOf(name))).length !== 1) throw new Error(`no mail about S-${name}`)
  return (await sentAt(stack, name)) - started
}

/**
 * As the mailer noted it: to look into the mailbox meanwhile would take the process that has to answer and to take the
 * mail.
 */
async function sentAt(stack: LocalStack, name: string): Promise<number> {
  const { json } = await stack.call('GET', `/v1/notices?stick=S-${name}`)
  const { items } = json as { items: { to: { email: string }; sentAt: string }[] }
  const notice = items.find(({ to }) => to.email === addressOf(name))
  if (notice === undefined) throw new Error(`no notice about S-${name}`)
  return Date.parse(notice.sentAt)
}

/**
 * What no way of doing it could leave out: the request, one transaction of the same items, one mail of the same text.
 */
async function floorOf(stack: LocalStack) {
  await holdRound(stack, 'hold')
  const [mail] = await stack.mail(addressOf('hold'))
  if (mail === undefined) throw new Error('no mail to take the bytes of')
  const raw = (await rawOf(mail)).toString('base64')
  let mailed = () => {}
  const { post, stop } = await floorServer(stack, {
    stickId: 'S-hold',
    entities: ['fact', 'guard', 'stick', 'notice'],
    afterwards: async () => {
      await send(stack.mailbox, raw)
      mailed()
    },
  })

  async function round(): Promise<number> {
    const done = new Promise<void>((resolve) => {
      mailed = resolve
    })
    const started = performance.now()
    await post(defect())
    await done
    return performance.now() - started
  }

  return { round, stop }
}

function rawOf({ to, subject, text, html, attachments }: KeptMail): Promise<Buffer> {
  const files = attachments.map(({ filename, content }) => ({ filename, content: Buffer.from(content, 'base64') }))
  const from = 'notices@quarterturn.example'
  return new MailComposer({ from, to, subject, text, html, attachments: files }).compile().build()
}

async function send(page: string, raw: string): Promise<void> {
  const body = new URLSearchParams({ Action: 'SendRawEmail', 'RawMessage.Data': raw })
  const answer = await fetch(page, { method: 'POST', body, headers: { authorization: 'AWS local' } })
  if (!answer.ok) throw new Error(`the mail emulator refused a message: ${await answer.text()}`)
  await answer.arrayBuffer()
}
