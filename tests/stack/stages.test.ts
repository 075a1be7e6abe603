/** The templates of the stages: synthesised offline, checked, and compared with what was released last. */
import { spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { quarterturnApp } from '../../cdk/app.ts'
import { lastReleased } from '../../cdk/deploy.ts'
import { differenceOf, keptIn, type Template } from '../../cdk/difference.ts'
import { root } from '../../cdk/local/template/synthesise.ts'
import { checkedStage, type Stage, type StageName, stageNames, stages } from '../../cdk/stages.ts'
import { type Notice, noticeNumber, noticeWrite } from '../../functions/store/notices.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { everyNotice } from '../functions/every-notice.ts'
import { fakeTable } from '../support/fake-table.ts'
import { messageOf } from '../support/mails.ts'

const bundles = process.env.QUARTERTURN_BUNDLES ?? ''
let place: string
const made = new Map<StageName, Awaited<ReturnType<typeof synthesised>>>()

/** The template of a stage, where it is not checked: the checks take longer than all the rest. */
async function synthesised(name: StageName, is: Stage, checked = false) {
  const outdir = join(place, `${name}-${made.size}-${checked}.out`)
  const app = await quarterturnApp({ bundles, outdir, stage: { name, is }, checked })
  const stack = app.synth().getStackByName(`Quarterturn-${name}`)
  return { template: stack.template as Template, isProtected: stack.terminationProtection === true, outdir }
}

beforeAll(async () => {
  place = mkdtempSync(join(tmpdir(), 'quarterturn-stages-'))
  for (const name of stageNames) made.set(name, await synthesised(name, stages[name], true))
})
afterAll(() => rmSync(place, { recursive: true, force: true }))

const of = (name: StageName): Template => made.get(name)?.template ?? { Resources: {} }
const typed = ({ Resources }: Template, type: string) =>
  // biome-ignore lint/suspicious/noExplicitAny: a test says itself what it expects of a part
  Object.entries(Resources).flatMap(([id, part]) => (part.Type === type ? [{ id, ...(part.Properties as any) }] : []))
const functionOf = (template: Template, part: string) =>
  typed(template, 'AWS::Lambda::Function').find(({ id }) => id.startsWith(part))
const variables = (template: Template, part: string) => functionOf(template, part)?.Environment.Variables

/** One notice of every kind and cause, with what is added where it is kept. */
async function everyNoticeKept(): Promise<Notice[]> {
  const { table, keys, notices, name } = openOrganisation(fakeTable(), 'demo-utility')
  const owedAt = '2026-03-02T15:00:00.000Z' as Instant
  const kept: Notice[] = []
  for (const one of everyNotice) {
    await table.transact([noticeWrite({ table, keys, name }, one, owedAt)])
    const found = await notices.one(noticeNumber({ table, name }, one.key))
    if (found !== undefined) kept.push(found)
  }
  return kept
}

/**
 * Parts that hold data or addresses, by the ids that are deployed: a part that gets another id is made anew and empty,
 * beside the one that is kept.
 */
const golden = {
  TableCD117FA1: 'AWS::DynamoDB::Table',
  HttpApi4E1D4184: 'AWS::ApiGatewayV2::Api',
  JournalJournalBucket683DC998: 'AWS::S3::Bucket',
  JournalNamesBucketE58DB6DF: 'AWS::S3::Bucket',
  UploadsBucket5E5E9B64: 'AWS::S3::Bucket',
  MailIdentity4EC7C521: 'AWS::SES::EmailIdentity',
  MailFeedback5E557721: 'AWS::SNS::Topic',
  Operators93109ECD: 'AWS::SNS::Topic',
  PeoplePoolC64A4D1E: 'AWS::Cognito::UserPool',
  PeoplePoolDomainF5067C98: 'AWS::Cognito::UserPoolDomain',
  PeoplePoolPagesC7ECCEAD: 'AWS::Cognito::UserPoolClient',
} as const

const goldenKeys = [
  { AttributeName: 'pk', KeyType: 'HASH' },
  { AttributeName: 'sk', KeyType: 'RANGE' },
]

describe.each(stageNames)('%s', (name) => {
  const { domains, account, region, sender, alarmEmail, logDays } = stages[name]
  const hosts = Object.values(domains)

  test('is synthesised offline, with no finding but those acknowledged, for its account and region alone', () => {
    const manifest = JSON.parse(
      readFileSync(join(place, `${name}-${stageNames.indexOf(name)}-true.out/manifest.json`), 'utf8'),
    )
    expect(manifest.artifacts.Quarterturn.environment).toBe(`aws://${account}/${region}`)
    expect(made.get(name)?.isProtected).toBe(true)
  })

  test('asks for nothing at the deployment: what a stage says is no parameter that keeps its old value', () => {
    expect(Object.keys(of(name).Parameters ?? {})).toEqual(['BootstrapVersion'])
  })

  test('has what holds data under the ids that it always had, each kept when the stack goes', () => {
    const kept = keptIn(of(name))
    const addresses = typed(of(name), 'AWS::ApiGatewayV2::DomainName').map(({ id }) => id)
    expect(Object.fromEntries(Object.entries(kept).filter(([id]) => !addresses.includes(id)))).toEqual(golden)
    expect(typed(of(name), 'AWS::DynamoDB::Table').map(({ KeySchema }) => KeySchema)).toEqual([goldenKeys])
    for (const [id, type] of Object.entries(golden)) {
      // made anew without loss, or bound to one that is kept
      if (type === 'AWS::Cognito::UserPoolDomain' || type === 'AWS::Cognito::UserPoolClient') continue
      expect(of(name).Resources[id]).toMatchObject({ DeletionPolicy: 'Retain', UpdateReplacePolicy: 'Retain' })
    }
  })

  test('differs from what was released last in nothing that a deployment must not do', () => {
    const released = lastReleased(name)
    expect(released).not.toBeNull()
    expect(differenceOf(released, of(name)).refused).toEqual([])
  })

  test('is refused with a planted replacement, and with two changes of indexes', () => {
    const released = lastReleased(name)
    const { TableCD117FA1: table, ...others } = of(name).Resources
    const replaced = { ...of(name), Resources: { ...others, Records: table } } as Template
    expect(differenceOf(released, replaced).refused).toEqual([
      expect.stringMatching(/TableCD117FA1.* would be replaced/),
    ])
    const { GlobalSecondaryIndexes: indexes } = typed(of(name), 'AWS::DynamoDB::Table')[0]
    const fewer = { ...table, Properties: { ...table?.Properties, GlobalSecondaryIndexes: indexes.slice(2) } }
    const twoLess = { ...of(name), Resources: { ...others, TableCD117FA1: fewer } } as Template
    expect(differenceOf(released, twoLess).refused).toEqual([expect.stringMatching(/one deployment changes one index/)])
  })

  test('every host leads to the API, and its own address to nothing', () => {
    const made = typed(of(name), 'AWS::ApiGatewayV2::DomainName').map(({ DomainName }) => DomainName)
    expect(made.sort()).toEqual([...new Set(hosts)].sort())
    expect(typed(of(name), 'AWS::ApiGatewayV2::ApiMapping')).toHaveLength(made.length)
    expect(typed(of(name), 'AWS::ApiGatewayV2::Api')).toMatchObject([{ DisableExecuteApiEndpoint: true }])
    expect(JSON.stringify(of(name))).not.toContain('execute-api.us-east-1.amazonaws.com')
  })

  test('every address in a mail is of the stage’s hosts, and so are those of feeds and of the sign-in', async () => {
    const { PAGES_URL, ANSWERS_URL } = variables(of(name), 'DeliverNotices')
    let links = 0
    for (const notice of await everyNoticeKept()) {
      const { html, text } = messageOf(notice, PAGES_URL, ANSWERS_URL)
      for (const [link] of `${html} ${text}`.matchAll(/https?:\/\/[^\s"<)]+/g)) {
        links++
        expect(hosts).toContain(new URL(link).host)
      }
    }
    expect(links).toBeGreaterThan(100)
    expect(variables(of(name), 'RestDoor').FEEDS_URL).toBe(`https://${domains.feeds}`)
    expect(variables(of(name), 'PagesDoor')).toMatchObject({
      FEEDS_URL: `https://${domains.feeds}`,
      ORIGIN_URL: `https://${domains.pages}`,
    })
    expect(typed(of(name), 'AWS::Cognito::UserPoolClient')[0].CallbackURLs).toEqual([
      `https://${domains.pages}/signed-in`,
    ])
  })

  test('mail comes from its sender, is answered to whom it says, and alarms ring where it says', () => {
    expect(variables(of(name), 'DeliverNotices')).toMatchObject({
      MAIL_FROM: sender.address,
      MAIL_REPLY_TO: sender.replyTo,
    })
    expect(typed(of(name), 'AWS::SES::EmailIdentity')).toMatchObject([
      { MailFromAttributes: { MailFromDomain: sender.mailFrom, BehaviorOnMxFailure: 'USE_DEFAULT_VALUE' } },
    ])
    expect(typed(of(name), 'AWS::SNS::Subscription')).toContainEqual(
      expect.objectContaining({ Protocol: 'email', Endpoint: alarmEmail }),
    )
    for (const { RetentionInDays } of typed(of(name), 'AWS::Logs::LogGroup')) expect(RetentionInDays).toBe(logDays)
  })

  test('tells the records that the owner of the domain has to enter', () => {
    const told = Object.values(of(name).Outputs ?? {}).map((one) => JSON.stringify(one))
    const told3 = (pattern: RegExp) => told.filter((one) => pattern.test(one)).length
    expect(told3(/ CNAME .*DkimDNSTokenValue/)).toBe(3)
    expect(told3(/ MX 10 feedback-smtp\.us-east-1\.amazonses\.com/)).toBe(1)
    expect(told3(/ TXT \\"v=spf1 include:amazonses\.com -all/)).toBe(1)
    expect(told3(/_dmarc\..* TXT \\"v=DMARC1; p=quarantine; rua=mailto:/)).toBe(1)
    expect(told3(/ CNAME .*RegionalDomainName/)).toBe(new Set(hosts).size)
  })
})

describe('a function', () => {
  const template = () => of('prod')

  test('is called by its alias, which a deployment moves all at once and an alarm moves back', () => {
    const functions = typed(template(), 'AWS::Lambda::Function')
    const aliases = typed(template(), 'AWS::Lambda::Alias')
    const groups = typed(template(), 'AWS::CodeDeploy::DeploymentGroup')
    expect([aliases.length, groups.length]).toEqual([functions.length, functions.length])
    for (const group of groups) {
      expect(group).toMatchObject({
        DeploymentConfigName: 'CodeDeployDefault.LambdaAllAtOnce',
        AlarmConfiguration: { Enabled: true },
        AutoRollbackConfiguration: { Enabled: true, Events: expect.arrayContaining(['DEPLOYMENT_STOP_ON_ALARM']) },
      })
      expect(group.AlarmConfiguration.Alarms.length).toBeGreaterThan(0)
    }
    for (const { id } of aliases)
      expect((template().Resources[id] as { UpdatePolicy?: object }).UpdatePolicy).toHaveProperty(
        'CodeDeployLambdaAliasUpdate',
      )
  })

  test('has a role that its service takes for this account alone, as every role has', () => {
    const roles = typed(template(), 'AWS::IAM::Role')
    expect(roles.length).toBeGreaterThan(15)
    for (const { AssumeRolePolicyDocument } of roles)
      for (const { Condition } of AssumeRolePolicyDocument.Statement)
        expect(Condition).toEqual({ StringEquals: { 'aws:SourceAccount': stages.prod.account } })
  })

  test('has no runs kept free, unless the stage says so, and then the mailer and follow-up have', async () => {
    const kept = (from: Template) =>
      typed(from, 'AWS::Lambda::Function').flatMap(({ id, ReservedConcurrentExecutions: most }) =>
        most === undefined ? [] : [[id.replace(/Door.*/, ''), most]],
      )
    expect(kept(template())).toEqual([])
    const reservedConcurrency = { deliverNotices: 5, followUp: 2 }
    const { template: reserving } = await synthesised('prod', { ...stages.prod, reservedConcurrency })
    expect(kept(reserving).sort()).toEqual([
      ['DeliverNotices', 5],
      ['FollowUp', 2],
    ])
  })
})

describe('the access log', () => {
  const formatOf = (from: Template): string => typed(from, 'AWS::ApiGatewayV2::Stage')[0].AccessLogSettings.Format

  test('explains a call that was refused, by whose token and client, and names nobody', () => {
    for (const name of [
      'authorizer.error',
      'integrationErrorMessage',
      'responseLatency',
      'authorizer.claims.client_id',
    ])
      expect(formatOf(of('prod'))).toContain(`"$context.${name}"`)
    expect(formatOf(of('prod'))).toContain('$context.authorizer.claims.sub')
    expect(formatOf(of('prod'))).not.toMatch(/email|username|claims\.name|\$context\.path/)
  })

  test('has no subject of another provider, which may be a mail address', async () => {
    const claims = { use: null, client: 'azp', scope: 'scp', email: 'email', emailVerified: 'email_verified' }
    const people = { issuer: 'https://login.utility.example', clients: ['one'], scope: 'sticks', claims }
    const { template } = await synthesised('prod', { ...stages.prod, people })
    expect(formatOf(template)).toContain('$context.authorizer.claims.azp')
    expect(formatOf(template)).not.toContain('claims.sub')
  })
})

test('the journal is locked for as many years as the stage says', () => {
  const days = stageNames.map((name) => {
    const [locked, ...others] = typed(of(name), 'AWS::S3::Bucket').filter(({ ObjectLockEnabled }) => ObjectLockEnabled)
    expect(others).toEqual([])
    return locked.ObjectLockConfiguration.Rule.DefaultRetention.Days
  })
  expect(days).toEqual([1096, 3653])
})

describe('a stage with a table that was brought back', () => {
  const restoredTable = {
    name: 'brought-back',
    streamArn: `arn:aws:dynamodb:us-east-1:${stages.prod.account}:table/brought-back/stream/2026-03-02T12:00:00.000`,
  }

  test('works on that table alone, and keeps its own: the difference refuses nothing', async () => {
    const { template } = await synthesised('prod', { ...stages.prod, restoredTable })
    const names = typed(template, 'AWS::Lambda::Function').flatMap(
      ({ Environment }) => Environment.Variables.TABLE_NAME ?? [],
    )
    expect(new Set(names)).toEqual(new Set(['brought-back']))
    expect(typed(template, 'AWS::Lambda::EventSourceMapping').map(({ EventSourceArn }) => EventSourceArn)).toContain(
      restoredTable.streamArn,
    )
    // no role reaches the one that was lost
    expect(JSON.stringify(typed(template, 'AWS::IAM::Role'))).not.toContain('TableCD117FA1')
    expect(differenceOf(of('prod'), template).refused).toEqual([])
    expect(differenceOf(of('prod'), template).changes.join()).toContain('brought-back')
  })

  test('is refused where the stream is of another table or account', () => {
    const other = { ...restoredTable, streamArn: restoredTable.streamArn.replace('brought-back', 'another') }
    expect(() => checkedStage('prod', { prod: { ...stages.prod, restoredTable: other } })).toThrow(/restoredTable/)
  })
})

test('an identity that stands in the account already is used and not made again', async () => {
  const sender = { ...stages.prod.sender, identity: 'imported' as const, verified: true }
  const { template } = await synthesised('prod', { ...stages.prod, sender })
  expect(typed(template, 'AWS::SES::EmailIdentity')).toEqual([])
  const role = typed(template, 'AWS::IAM::Role').find(({ id }) => id.startsWith('DeliverNotices'))
  expect(JSON.stringify(role)).toContain(':identity/sticks.utility.example')
  // the pool sends by it from the first deployment on
  expect(typed(template, 'AWS::Cognito::UserPool')[0].EmailConfiguration).toMatchObject({
    EmailSendingAccount: 'DEVELOPER',
    ReplyToEmailAddress: sender.replyTo,
  })
})

/**
 * The command as people call it, with programs of this test in place of those that reach AWS. One of its tests has it
 * make and check the template itself; the others give it the one that is made.
 */
describe('npm run deploy', () => {
  interface Programs {
    readonly aws?: string
    readonly cdk?: string
    readonly typed?: string
  }

  async function deploy(args: readonly string[], { aws, cdk, typed: answer = '' }: Programs = {}) {
    const folder = mkdtempSync(join(place, 'programs-'))
    for (const [name, script] of Object.entries({ aws, cdk })) {
      if (script === undefined) continue
      writeFileSync(join(folder, name), `#!/bin/sh\n${script}\n`)
      chmodSync(join(folder, name), 0o755)
    }
    const { AWS_PROFILE: _, AWS_ACCESS_KEY_ID: __, ...env } = process.env
    const [, stage = ''] = args
    const from = args.includes('--check')
      ? ['--bundles', bundles]
      : ['--made', made.get(stage as StageName)?.outdir ?? '']
    const child = spawn(process.execPath, [join(root, 'cdk/deploy.ts'), ...from, ...args], {
      cwd: folder,
      env: {
        ...env,
        PATH: [folder, '/usr/bin', '/bin'].join(delimiter),
        ...(aws === undefined ? {} : { AWS_PROFILE: 'somebody' }),
      },
    })
    child.stdin.end(answer)
    let text = ''
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (piece: string) => {
        text += piece
      })
    const code = await new Promise<number | null>((resolve) => child.on('close', resolve))
    return { code, text, called: existsSync(join(folder, 'called')) }
  }

  const seen = 'echo "$@" >> called; [ "$1" = --version ] || echo deploying'

  test('says how it is called, and which stages there are', async () => {
    expect(await deploy([])).toMatchObject({ code: 2, text: expect.stringContaining('--stage dev|prod') })
    expect(await deploy(['--stage', 'test'])).toMatchObject({ code: 2, text: expect.stringContaining('no stage test') })
  })

  test('--check shows the difference, changes nothing and asks nobody', async () => {
    const { code, text, called } = await deploy(['--stage', 'dev', '--check'], { cdk: seen })
    expect([code, called]).toEqual([0, false])
    expect(text).toContain('Stage dev, compared with the template released last')
  })

  test('refuses what would replace the table that is deployed, and calls nothing', async () => {
    const deployed = {
      ...of('dev'),
      Resources: { ...of('dev').Resources, OldTable: of('dev').Resources.TableCD117FA1 },
    }
    writeFileSync(join(place, 'deployed.json'), JSON.stringify({ TemplateBody: deployed }))
    const programs = { aws: `cat ${join(place, 'deployed.json')}`, cdk: seen, typed: 'dev\n' }
    const { code, text, called } = await deploy(['--stage', 'dev'], programs)
    expect([code, called]).toEqual([1, false])
    expect(text).toContain('compared with what is deployed as Quarterturn-dev')
    expect(text).toMatch(/Refused:\n.*OldTable.*would be replaced/)
  })

  test.each([
    ['no name', ''],
    ['another name', 'prod\n'],
  ])('asks before it changes anything: %s changes nothing', async (_, answer) => {
    const programs = { aws: 'echo "Stack does not exist" >&2; exit 1', cdk: 'echo "$@" >> called.cdk', typed: answer }
    const { code, text } = await deploy(['--stage', 'dev'], programs)
    expect(code).toBe(1)
    expect(text).toContain('AWS, where nothing is deployed yet')
    expect(text).toContain('Type dev to change Quarterturn-dev in account 111122223333, us-east-1')
    expect(text).toContain('Nothing was changed')
  })

  test('calls the CDK by its name once the stage’s name was typed, and fails where that fails', async () => {
    const cdk = '[ "$1" = --version ] && exit 0; echo "called: $@"; exit 3'
    const { code, text } = await deploy(['--stage', 'dev'], { cdk, typed: 'dev\n' })
    expect(text).toMatch(/called: deploy Quarterturn-dev --app \S+ --require-approval never/)
    expect(code).toBe(1)
  })

  test('says what is missing where the CDK is not there', async () => {
    const { code, text } = await deploy(['--stage', 'dev'], { typed: 'dev\n' })
    expect([code, text]).toEqual([1, expect.stringContaining('npm ci brings it')])
  })
})
