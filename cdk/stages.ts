/**
 * The stages of the service: all in which one deployment differs from another. The addresses below are invented; put
 * your own in their place. A stage has an AWS account to itself, since functions, mails and metrics of one account
 * share its limits: what is tried on dev must not use up what prod needs.
 */
import * as z from 'zod'

export const stageNames = ['dev', 'prod'] as const
export type StageName = (typeof stageNames)[number]

const label = '[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?'
const host = z.string().regex(new RegExp(`^${label}(\\.${label})+$`), 'a host name in small letters')
const address = z.email('a mail address')
const atLeastOnce = z.int().min(1).max(1000)

/** Days for which Amazon CloudWatch Logs can keep a log (its API reference, PutRetentionPolicy). */
const logDays = [30, 60, 90, 120, 150, 180, 365, 400, 545, 731, 1096, 1827, 2192, 2557, 2922, 3288, 3653] as const

const claims = z.strictObject({
  use: z.tuple([z.string(), z.string()]).nullable(),
  client: z.string().min(1),
  scope: z.string().min(1),
  email: z.string().min(1),
  emailVerified: z.string().min(1),
})

const provider = z.strictObject({
  issuer: z.url({ protocol: /^https$/, error: 'an address that begins with https://' }),
  clients: z.array(z.string().min(1)).min(1),
  scope: z.string().min(1),
  claims,
})

const stage = z
  .strictObject({
    account: z.string().regex(/^\d{12}$/, 'the twelve digits of an AWS account'),
    region: z.string().regex(/^[a-z]{2}(-[a-z]+)+-\d$/, 'an AWS region, such as us-east-1'),
    /** hosts that mails and calendars name for years; several may be the same */
    domains: z.strictObject({ pages: host, api: host, answers: host, feeds: host }),
    /** the ARN of a certificate of AWS Certificate Manager that covers every domain, in this account and region */
    certificate: z.string().regex(/^arn:aws:acm:[a-z0-9-]+:\d{12}:certificate\/[\w-]+$/, 'the ARN of a certificate'),
    sender: z.strictObject({
      address,
      /** somebody reads what readers answer there */
      replyTo: address,
      /** a domain that is verified in the account already is imported: used, and not made again */
      identity: z.enum(['made here', 'imported']),
      /** true once SES says that it is: the pool's own mails then come from the same address */
      verified: z.boolean(),
      /** bounces go to this host, which lies under the sender's domain */
      mailFrom: host,
      /** reports on mails that claim to come from the domain (RFC 7489) */
      reportsTo: address,
    }),
    /** alarms ring there */
    alarmEmail: address,
    logDays: z.literal(logDays),
    people: z.union([z.literal('own pool'), provider]),
    /**
     * functions kept free for each of them, or null while the account's quota does not allow it: AWS leaves 100 to all
     * other functions
     */
    reservedConcurrency: z.strictObject({ deliverNotices: atLeastOnce, followUp: atLeastOnce }).nullable(),
    /** a table that was brought back from a backup, by its name and stream, or null: the stack's own then */
    restoredTable: z
      .strictObject({
        name: z.string().regex(/^[A-Za-z0-9_.-]{3,255}$/, 'the name of a table'),
        streamArn: z
          .string()
          .regex(/^arn:aws:dynamodb:[a-z0-9-]+:\d{12}:table\/[\w.-]+\/stream\/[\w:.-]+$/, 'the ARN of its stream'),
      })
      .nullable(),
    /** years for which a fact in the journal can be neither changed nor deleted */
    journalYears: z.int().min(3).max(100),
    /** requests a second that one running function takes of one organisation for long */
    requestsPerSecond: z.int().min(1).max(1000),
    /** the day on which a secret of the sessions was last changed, or never: another day has them read anew */
    sealsChangedOn: z.string().regex(/^(never|\d{4}-\d{2}-\d{2})$/, 'a day such as 2026-03-02, or never'),
  })
  .superRefine((one, context) => {
    const wrong = (path: readonly string[], message: string) =>
      context.addIssue({ code: 'custom', path: [...path], message })
    const [, , , region, account] = one.certificate.split(':')
    if (region !== one.region) wrong(['certificate'], `a certificate of the stage's region, ${one.region}`)
    if (account !== one.account) wrong(['certificate'], `a certificate of the stage's account, ${one.account}`)
    const { restoredTable } = one
    if (
      restoredTable !== null &&
      !restoredTable.streamArn.includes(`:${one.region}:${one.account}:table/${restoredTable.name}/`)
    )
      wrong(['restoredTable', 'streamArn'], `the stream of ${restoredTable.name} in the stage's account and region`)
    const domain = domainOf(one.sender.address)
    if (!one.sender.mailFrom.endsWith(`.${domain}`)) wrong(['sender', 'mailFrom'], `a host that ends in .${domain}`)
  })

export type Stage = z.infer<typeof stage>

export const domainOf = (mailAddress: string): string => mailAddress.split('@').at(-1) ?? ''

const common = {
  region: 'us-east-1',
  people: 'own pool',
  reservedConcurrency: null,
  restoredTable: null,
  requestsPerSecond: 25,
  sealsChangedOn: 'never',
} as const satisfies Partial<Stage>

/** @lintignore tests hold the templates to them */
export const stages: Readonly<Record<StageName, Stage>> = {
  dev: {
    ...common,
    account: '111122223333',
    domains: {
      pages: 'sticks.dev.utility.example',
      api: 'api.sticks.dev.utility.example',
      answers: 'sticks.dev.utility.example',
      feeds: 'sticks.dev.utility.example',
    },
    certificate: 'arn:aws:acm:us-east-1:111122223333:certificate/00000000-0000-4000-8000-00000000de00',
    sender: {
      address: 'notices@sticks.dev.utility.example',
      replyTo: 'bench@utility.example',
      identity: 'made here',
      verified: false,
      mailFrom: 'bounces.sticks.dev.utility.example',
      reportsTo: 'mail-reports@utility.example',
    },
    alarmEmail: 'quarterturn-dev@utility.example',
    logDays: 90,
    journalYears: 3,
  },
  prod: {
    ...common,
    account: '444455556666',
    domains: {
      pages: 'sticks.utility.example',
      api: 'api.sticks.utility.example',
      answers: 'answers.sticks.utility.example',
      feeds: 'feeds.sticks.utility.example',
    },
    certificate: 'arn:aws:acm:us-east-1:444455556666:certificate/00000000-0000-4000-8000-000000009d00',
    sender: {
      address: 'notices@sticks.utility.example',
      replyTo: 'bench@utility.example',
      identity: 'made here',
      verified: false,
      mailFrom: 'bounces.sticks.utility.example',
      reportsTo: 'mail-reports@utility.example',
    },
    alarmEmail: 'quarterturn@utility.example',
    logDays: 731,
    journalYears: 10,
  },
}

/** @throws every field that does not fit, by its name */
export function checkedStage(name: string, among: Readonly<Record<string, unknown>> = stages): Stage {
  const given = among[name]
  if (given === undefined)
    throw new Error(`there is no stage ${name}: cdk/stages.ts has ${Object.keys(among).join(' and ')}`)
  const read = stage.safeParse(given)
  if (!read.success) {
    const faults = read.error.issues.map(({ path, message }) => `${path.join('.') || 'the stage'}: ${message}`)
    throw new Error(`the stage ${name} in cdk/stages.ts does not fit:\n${faults.join('\n')}`)
  }
  const { account } = read.data
  const other = Object.keys(among).find(
    (one) => one !== name && (among[one] as { account?: unknown } | undefined)?.account === account,
  )
  if (other !== undefined)
    throw new Error(`the stage ${name} in cdk/stages.ts does not fit:\naccount: one of its own; ${other} has the same`)
  return read.data
}
