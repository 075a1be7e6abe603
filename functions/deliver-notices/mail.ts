/** From message to mail: composed by a kept MIME library, handed to SES as it is. */
import { GetSendQuotaCommand, type SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import MailComposer from 'nodemailer/lib/mail-composer/index.js'
import { encodeWord } from 'nodemailer/lib/mime-funcs/index.js'
import { calendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import { describe } from '../ground/log.ts'
import type { Notice } from '../store/notices.ts'
import { messageOf } from './message.ts'
import type { Quota } from './pace.ts'
import { type MailWording, mailWordingFor } from './wording.ts'

export interface Mailer {
  /** answers SES's own message id */
  send(notice: Notice): Promise<string>
  quota(): Promise<Quota>
}

/** Amazon SES API Reference (2010-12-01), GetSendQuota: -1 signifies an unlimited quota. */
const noLimit = -1

export interface MailSettings {
  readonly from: string
  /** somebody reads there what readers answer; nobody reads what comes to the sender */
  readonly replyTo: string
  readonly pagesUrl: string
  readonly answersUrl: string
}

/** No mail can be made of this notice, whatever the mail service would say. */
export class NoMail extends Error {
  override readonly name = 'NoMail'
}

export function sesMailer(ses: SESClient, settings: MailSettings & { readonly configurationSet: string }): Mailer {
  return {
    async send(notice) {
      const raw = await rawMailOf(notice, settings)
      const { MessageId } = await ses.send(
        new SendRawEmailCommand({
          Source: settings.from,
          Destinations: [notice.to.email],
          ConfigurationSetName: settings.configurationSet,
          // by these feedback finds the notice again
          Tags: [
            { Name: 'notice', Value: notice.number },
            { Name: 'organisation', Value: notice.organisation },
          ],
          RawMessage: { Data: raw },
        }),
      )
      return MessageId ?? ''
    },
    async quota() {
      const {
        MaxSendRate = 1,
        Max24HourSend = noLimit,
        SentLast24Hours = 0,
      } = await ses.send(new GetSendQuotaCommand({}))
      const mostADay = Max24HourSend === noLimit ? null : Max24HourSend
      return { mostPerSecond: MaxSendRate, mostADay, sentADay: SentLast24Hours }
    },
  }
}

async function rawMailOf(notice: Notice, settings: MailSettings): Promise<Uint8Array> {
  try {
    return await rawMail(notice, settings)
  } catch (error) {
    throw new NoMail(describe(error), { cause: error })
  }
}

/** SES replaces Message-ID, so the notice's number travels in the subject, the body and a header of its own. */
async function rawMail(notice: Notice, { from, replyTo, pagesUrl, answersUrl }: MailSettings): Promise<Uint8Array> {
  const wording = await mailWordingFor(notice.to)
  const { subject, text, html } = messageOf(notice, wording, { pagesUrl, answersUrl })
  const composer = new MailComposer({
    from: { name: 'Quarterturn', address: from },
    replyTo,
    to: { name: notice.to.name, address: notice.to.email },
    subject,
    text,
    html,
    attachments: await dueDates(notice, from, wording),
    headers: { 'X-Quarterturn-Notice': notice.number, 'Auto-Submitted': 'auto-generated' },
    disableFileAccess: true,
    disableUrlAccess: true,
  })
  const mail = composer.compile()
  if (notice.to.name.includes('=?')) Object.assign(mail, { _encodeAddressName: encoded })
  return mail.build()
}

/**
 * The library quotes a name that looks like an encoded word, and readers decode it inside quotes too (against RFC 2047,
 * 5).
 */
function encoded(name: string): string {
  return encodeWord(name, 'B', 52)
}

/**
 * The dates of its sticks for the reader's own calendar; for a stick that must not be used, that its date is called
 * off.
 */
async function dueDates({ organisation, lines, day, owedAt }: Notice, from: string, wording: MailWording) {
  const entries = lines.flatMap((line) =>
    line.onlyLoan || line.onlyLabel ? [] : (calendarEntry(line, day, wording) ?? []),
  )
  if (entries.length === 0) return []
  // what writes calendars is as long as two languages, and only digests carry one
  const { calendarFileName, calendarText } = await import('../web/calendar-file.ts')
  const frame = { name: wording.say('calendar name'), safety: wording.say('safety') }
  const content = calendarText({ organisation, ...frame, from, writtenAt: owedAt, entries })
  return [{ filename: calendarFileName, contentType: 'text/calendar; charset=utf-8; method=PUBLISH', content }]
}
