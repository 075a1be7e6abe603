/**
 * Events that the mail service tells through its topic, as far as anything follows from them; all else in them is let
 * be.
 */
import * as z from 'zod'

/** Schemas are built for the first event that comes. */
const events = z.lazy(() => {
  /** text may be as long as foreign mail servers like: it is cut where it is kept */
  const text = z.string()
  const tag = z.array(z.string().max(256)).length(1)

  /** The tags are ours: only a mail that carries both was sent for a notice. */
  const mail = z.object({
    messageId: z.string().min(1).max(200),
    destination: z.array(z.string()),
    tags: z.object({ notice: tag, organisation: tag }),
  })

  const feedbackId = z.string().min(1).max(200).optional()
  const recipients = z.array(z.object({ diagnosticCode: text.optional() }))

  return z.discriminatedUnion('eventType', [
    z.object({ eventType: z.literal('Send'), mail }),
    z.object({ eventType: z.literal('Delivery'), mail }),
    z.object({
      eventType: z.literal('Bounce'),
      mail,
      bounce: z.object({
        bounceType: z.string().max(100),
        bounceSubType: z.string().max(100),
        bouncedRecipients: recipients,
        feedbackId,
      }),
    }),
    z.object({
      eventType: z.literal('Complaint'),
      mail,
      complaint: z.object({ complaintFeedbackType: z.string().max(100).nullish(), feedbackId }),
    }),
    z.object({ eventType: z.literal('Reject'), mail, reject: z.object({ reason: text }) }),
    z.object({ eventType: z.literal('DeliveryDelay'), mail, deliveryDelay: z.object({ delayType: text }) }),
    z.object({ eventType: z.literal('Rendering Failure'), mail, failure: z.object({ errorMessage: text }) }),
  ])
})

export type MailEvent = z.output<typeof events>

const kinds: { readonly [kind in MailEvent['eventType']]: true } = {
  Send: true,
  Delivery: true,
  Bounce: true,
  Complaint: true,
  Reject: true,
  DeliveryDelay: true,
  'Rendering Failure': true,
}

/** Kinds that nobody has invented yet are told apart from what cannot be read. */
export function readEvent(message: string): MailEvent | 'unreadable' | 'unknown kind' {
  const json = parsed(message)
  const kind = typeof json === 'object' && json !== null && 'eventType' in json ? json.eventType : undefined
  if (typeof kind !== 'string') return 'unreadable'
  if (!Object.hasOwn(kinds, kind)) return 'unknown kind'
  const event = events.safeParse(json)
  return event.success ? event.data : 'unreadable'
}

function parsed(message: string): unknown {
  try {
    return JSON.parse(message)
  } catch {
    return undefined
  }
}
