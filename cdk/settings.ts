/**
 * Settings of a deployment. A stage says them. Without one the template asks for them by parameters, and the local
 * stack, which runs that template, answers those.
 *
 * A stage's own values are no parameters: a deployment keeps the value that a parameter had before, so a change in
 * cdk/stages.ts would change nothing and nobody would be told.
 */
import { CfnCondition, CfnParameter, Fn, type Stack } from 'aws-cdk-lib'
import { domainOf, type Stage } from './stages.ts'

export interface Settings {
  readonly domains: Stage['domains'] | null
  readonly certificate: string | null
  readonly sender: Omit<Stage['sender'], 'verified'> & { readonly domain: string }
  /** known now, or once it is deployed */
  readonly senderIsVerified: boolean | CfnCondition
  readonly alarmEmail: { readonly address: string; readonly isGiven: true | CfnCondition }
  readonly logDays: Stage['logDays']
  readonly reservedConcurrency: Stage['reservedConcurrency']
  readonly journalYears: Stage['journalYears']
  readonly requestsPerSecond: string
  readonly sealsChangedOn: string
}

export const settingsOf = (stack: Stack, stage: Stage | undefined): Settings =>
  stage === undefined ? byParameters(stack) : byStage(stage)

function byStage(stage: Stage): Settings {
  const { sender } = stage
  return {
    ...stage,
    sender: { ...sender, domain: domainOf(sender.address) },
    senderIsVerified: sender.verified,
    alarmEmail: { address: stage.alarmEmail, isGiven: true },
    requestsPerSecond: String(stage.requestsPerSecond),
  }
}

function byParameters(stack: Stack): Settings {
  const parameter = (name: string, description: string, rest: { default?: string; allowedValues?: string[] } = {}) =>
    new CfnParameter(stack, name, { type: 'String', description, ...rest }).valueAsString
  const domain = parameter('MailDomain', 'Domain that notices are sent from')
  const verified = parameter(
    'MailDomainVerified',
    'yes once SES has verified the domain of MailDomain: invitations then come from it too',
    { allowedValues: ['yes', 'no'], default: 'no' },
  )
  const address = parameter('AlarmEmail', 'Mail address that alarms ring at; empty: subscribe to the topic instead', {
    default: '',
  })
  return {
    domains: null,
    certificate: null,
    sender: {
      domain,
      address: `notices@${domain}`,
      replyTo: `bench@${domain}`,
      identity: 'made here',
      mailFrom: `bounces.${domain}`,
      reportsTo: `mail-reports@${domain}`,
    },
    senderIsVerified: new CfnCondition(stack, 'MailDomainIsVerified', {
      expression: Fn.conditionEquals(verified, 'yes'),
    }),
    alarmEmail: {
      address,
      isGiven: new CfnCondition(stack, 'AlarmEmailGiven', {
        expression: Fn.conditionNot(Fn.conditionEquals(address, '')),
      }),
    },
    logDays: 90,
    reservedConcurrency: null,
    journalYears: 10,
    requestsPerSecond: parameter(
      'RequestsPerSecond',
      'Requests a second that one running function takes of one organisation for long',
      { default: '25' },
    ),
    sealsChangedOn: parameter(
      'SealsChangedOn',
      'Day on which a secret of the sessions was last changed; another day has them read anew',
      { default: 'never' },
    ),
  }
}
