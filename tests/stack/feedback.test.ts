/**
 * What becomes of a mail is told through the template's topic to whoever subscribes, and the simulator's mailboxes
 * fail.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { settableClock } from '../../cdk/local/clock.ts'
import { mailFeedback } from '../../cdk/local/mail/feedback.ts'
import { readTemplate } from '../../cdk/local/template/template.ts'
import { type FixtureStack, fixtureTemplate, type Resources, startFixtureStack } from './fixture-stack.ts'

interface Line {
  readonly topic: string
  readonly feedback: {
    readonly eventType: string
    readonly bounce?: object
    readonly complaint?: object
    readonly mail: { readonly messageId: string }
  }
}

describe('the events', () => {
  let stack: FixtureStack
  beforeAll(async () => {
    stack = await startFixtureStack()
  })
  afterAll(() => stack?.stop())

  async function sent(to: string, more: object = { Tags: [{ Name: 'notice', Value: 'ABCD-1234' }] }): Promise<Line[]> {
    const raw = `From: notices@quarterturn.example\r\nTo: ${to}\r\nSubject: A stick\r\n\r\nS-1.\r\n`
    const ConfigurationSetName = stack.parts.deployed.all('AWS::SES::ConfigurationSet')[0]?.name
    const send = { raw, ConfigurationSetName, ...more }
    const { MessageId } = (await stack.invoke('DeliverNoticesDoorFunction', { kind: 'unsent', send })) as {
      MessageId: string
    }
    await stack.settle()
    const lines = stack.logged<Line>('feedback').filter(({ feedback }) => feedback.mail.messageId === MessageId)
    return lines.sort((a, b) => (a.feedback.eventType > b.feedback.eventType ? -1 : 1))
  }
  const kinds = (lines: readonly Line[]) => lines.map(({ feedback }) => feedback.eventType)

  test.each([
    ['ana@crew-one.example', ['Send', 'Delivery']],
    ['success@simulator.amazonses.com', ['Send', 'Delivery']],
    ['Bounce@Simulator.AmazonSES.com', ['Send', 'Bounce']],
    ['bounce+crew-one@simulator.amazonses.com', ['Send', 'Bounce']],
    ['suppressionlist@simulator.amazonses.com', ['Send', 'Bounce']],
    ['complaint@simulator.amazonses.com', ['Send', 'Delivery', 'Complaint']],
  ])('of a mail to %s, told before all is quiet: %j', async (to, expected) => {
    expect(kinds(await sent(to))).toEqual(expected)
  })

  test('carry the tags, the address and the feedback id, through the topic of the template', async () => {
    const to = 'bounce@simulator.amazonses.com'
    const [, line] = await sent(to)
    expect(line?.topic).toMatch(/^arn:aws:sns:us-east-1:\d+:Quarterturn-MailFeedback/)
    expect(line?.feedback).toMatchObject({
      bounce: {
        bounceType: 'Permanent',
        bounceSubType: 'General',
        bouncedRecipients: [{ emailAddress: to }],
        feedbackId: expect.stringMatching(/^[0-9a-f-]{20,}$/),
      },
      mail: { destination: [to], tags: { notice: ['ABCD-1234'] } },
    })
    const [, suppressed] = await sent('suppressionlist@simulator.amazonses.com')
    expect(suppressed?.feedback.bounce).toMatchObject({ bounceType: 'Permanent', bounceSubType: 'Suppressed' })
  })

  test('are told of no mail that was sent without the configuration set', async () => {
    expect(await sent('bounce@simulator.amazonses.com', { ConfigurationSetName: undefined })).toEqual([])
  })
})

describe('a template that does not wire it', () => {
  let synthesised: ReturnType<typeof fixtureTemplate>
  let original: string
  beforeAll(() => {
    synthesised = fixtureTemplate()
    original = readFileSync(join(synthesised.folder, 'Quarterturn.template.json'), 'utf8')
  })
  afterAll(() => synthesised?.remove())

  function wire(change: (resources: Resources) => void): void {
    const template = JSON.parse(original) as { Resources: Resources }
    change(template.Resources)
    writeFileSync(join(synthesised.folder, 'Quarterturn.template.json'), JSON.stringify(template))
    const parameters = { MailDomain: 'quarterturn.example' }
    const deployed = readTemplate(synthesised.folder, { parameters, apiEndpoint: 'http://api.example' })
    const never = () => Promise.reject(new Error('not here'))
    const functionOf = (arn: string) => ({
      name: arn,
      arn,
      roleArn: '',
      invoke: never,
      warm: never,
      layAside: never,
      stop: never,
    })
    const runs = { start: () => undefined, idle: () => true, stop: () => undefined, started: () => 0 }
    mailFeedback({ deployed, clock: settableClock(), functionOf, runs })
  }
  const of = (resources: Resources, type: string, part = '') =>
    Object.entries(resources).filter(([id, one]) => one.Type === type && id.startsWith(part))

  test('is what it says of each fault; as it is synthesised there is none', () => {
    expect(() => wire(() => undefined)).not.toThrow()
  })

  test('a topic that the mail service may not publish to', () => {
    const closed = (resources: Resources) => {
      for (const [id] of of(resources, 'AWS::SNS::TopicPolicy', 'MailFeedback')) delete resources[id]
    }
    expect(() => wire(closed)).toThrow('does not let the mail service publish')
  })

  test('a topic that may not invoke its subscriber', () => {
    const closed = (resources: Resources) => {
      for (const [id] of of(resources, 'AWS::Lambda::Permission', 'Feedback')) delete resources[id]
    }
    expect(() => wire(closed)).toThrow('has no permission to invoke')
  })

  test('a subscriber of another kind, and a destination that is no topic', () => {
    const mailed = (resources: Resources) => {
      for (const [, one] of of(resources, 'AWS::SNS::Subscription')) one.Properties.Protocol = 'sms'
    }
    expect(() => wire(mailed)).toThrow('functions and mailboxes as subscribers only')
    const streamed = (resources: Resources) => {
      for (const [, one] of of(resources, 'AWS::SES::ConfigurationSetEventDestination'))
        one.Properties.EventDestination = {
          Enabled: true,
          MatchingEventTypes: ['send'],
          KinesisFirehoseDestination: {},
        }
    }
    expect(() => wire(streamed)).toThrow('through topics only')
  })
})
