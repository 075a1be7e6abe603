import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { runSimulation } from '@cloud-copilot/iam-simulate'
import type { Stack } from 'aws-cdk-lib'
import { Match, Template } from 'aws-cdk-lib/assertions'
import { CfnQueue } from 'aws-cdk-lib/aws-sqs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { quarterturnApp } from '../../cdk/app.ts'
import { root } from '../../cdk/local/template/synthesise.ts'
import { readTemplate } from '../../cdk/local/template/template.ts'
import { runbookFile, runbookOf } from '../../cdk/runbook.ts'
import { leaseSeconds } from '../../functions/deliver-notices/deliver-notices.ts'
import { alarmWords, heardOtherwise, indexes, journalled } from '../../functions/store/table-shape.ts'

const bundles = process.env.QUARTERTURN_BUNDLES ?? ''
let place: string
let template: Template
let synthesis: () => unknown

beforeAll(async () => {
  place = mkdtempSync(join(tmpdir(), 'quarterturn-template-'))
  const app = await quarterturnApp({ bundles, outdir: join(place, 'cdk.out') })
  synthesis = () => app.synth()
  synthesis()
  template = Template.fromStack(app.node.findChild('Quarterturn') as Stack)
})
afterAll(() => rmSync(place, { recursive: true, force: true }))

/** A function by its alias, as a mapping names it. */
const byAlias = (alias: unknown) => ({
  'Fn::Join': ['', [{ 'Fn::Select': [6, { 'Fn::Split': [':', { Ref: alias }] }] }, ':live']],
})

const answersPath = '/answers/{organisation}/{number}/{until}/{signature}'
const withoutToken = [
  ...['GET', 'HEAD', 'POST'].map((method) => `${method} ${answersPath}`),
  ...['GET', 'HEAD'].map((method) => `${method} /feeds/{file}`),
  ...['GET', 'HEAD'].map((method) => `${method} /v1/openapi.json`),
  // each page asks for a session itself
  '$default',
]

interface Statement {
  readonly Action: string | string[]
  readonly Resource: unknown
}

const roles = () => Object.entries(template.findResources('AWS::IAM::Role'))

function statementsOf(role: unknown): Statement[] {
  const { Policies = [] } = (role as { Properties: { Policies?: { PolicyDocument: { Statement: Statement[] } }[] } })
    .Properties
  return Policies.flatMap(({ PolicyDocument }) => PolicyDocument.Statement)
}

const actionsOf = (part: string): string[] => {
  const found = roles().find(([id]) => id.startsWith(part))
  return statementsOf(found?.[1]).flatMap(({ Action }) => Action)
}

describe('the checks', () => {
  test('find nothing that is not acknowledged with a reason', () => {
    expect(synthesis).not.toThrow()
  })

  test('do look: a queue without encryption is found', async () => {
    const app = await quarterturnApp({ bundles, outdir: join(place, 'other.out') })
    const queue = new CfnQueue(app.node.findChild('Quarterturn') as Stack, 'Careless', { sqsManagedSseEnabled: false })
    expect(queue.node.id).toBe('Careless')
    expect(() => app.synth()).toThrow(/AwsSolutions-SQS2/)
  })
})

describe('the table', () => {
  // Ordinance on Industrial Safety and Health (Japan), Art. 351(4): records are kept for 3 years (read in a secondary
  // copy)
  test('lets nothing in it expire', () => {
    const [table] = Object.values(template.findResources('AWS::DynamoDB::Table'))
    expect(table?.Properties).not.toHaveProperty('TimeToLiveSpecification')
  })

  test('can be brought back to any second, is not deleted by mistake, and tells of every change', () => {
    template.hasResource('AWS::DynamoDB::Table', {
      DeletionPolicy: 'Retain',
      UpdateReplacePolicy: 'Retain',
      Properties: {
        BillingMode: 'PAY_PER_REQUEST',
        DeletionProtectionEnabled: true,
        PointInTimeRecoverySpecification: { PointInTimeRecoveryEnabled: true },
        StreamSpecification: { StreamViewType: 'NEW_AND_OLD_IMAGES' },
        KeySchema: [
          { AttributeName: 'pk', KeyType: 'HASH' },
          { AttributeName: 'sk', KeyType: 'RANGE' },
        ],
      },
    })
  })

  test.each(Object.entries(indexes))(
    'has every index from the first day, since one update adds one at most: %s',
    (IndexName, { partition, sort, projection }) => {
      template.hasResourceProperties('AWS::DynamoDB::Table', {
        GlobalSecondaryIndexes: Match.arrayWith([
          {
            IndexName,
            KeySchema: [
              { AttributeName: partition, KeyType: 'HASH' },
              { AttributeName: sort, KeyType: 'RANGE' },
            ],
            Projection: { ProjectionType: projection },
          },
        ]),
      })
    },
  )

  test('has no other index', () => {
    const [table] = Object.values(template.findResources('AWS::DynamoDB::Table'))
    const names = table?.Properties.GlobalSecondaryIndexes.map(({ IndexName }: { IndexName: string }) => IndexName)
    expect(names.sort()).toEqual(Object.keys(indexes).sort())
  })
})

test('what is to be done at night names functions, queues and outputs that are there', () => {
  const paper = readFileSync(join(root, 'cdk/RESTORE.md'), 'utf8')
  const { Resources, Outputs } = template.toJSON() as Record<'Resources' | 'Outputs', object>
  const parts = [...paper.matchAll(/`(\w+)…`/g)].map(([, name = '']) => name)
  const outputs = [...paper.matchAll(/`(\w+Name)`/g)].map(([, name = '']) => name)
  expect([parts.length, outputs.length]).toEqual([6, 3])
  expect(parts.filter((name) => !Object.keys(Resources).some((id) => id.startsWith(name)))).toEqual([])
  expect(outputs.filter((name) => !(name in Outputs))).toEqual([])
})

describe('the journal', () => {
  const buckets = () => Object.entries(template.findResources('AWS::S3::Bucket'))
  const bucketOf = (id: string) => buckets().find(([one]) => one.startsWith(id))?.[1]
  const bucket = () => bucketOf('JournalJournalBucket')

  test('is a bucket whose objects are locked for ten years, and stay if the stack goes', () => {
    expect(buckets()).toHaveLength(3)
    expect(bucket()).toMatchObject({
      DeletionPolicy: 'Retain',
      UpdateReplacePolicy: 'Retain',
      Properties: {
        ObjectLockEnabled: true,
        ObjectLockConfiguration: { Rule: { DefaultRetention: { Mode: 'GOVERNANCE', Days: 3653 } } },
        VersioningConfiguration: { Status: 'Enabled' },
        OwnershipControls: { Rules: [{ ObjectOwnership: 'BucketOwnerEnforced' }] },
      },
    })
    expect(bucket()?.Properties).not.toHaveProperty('LifecycleConfiguration')
  })

  test('has the names in a bucket without lock and versions, so that one can be erased, kept all the same', () => {
    const names = bucketOf('JournalNamesBucket')
    expect([names?.DeletionPolicy, names?.UpdateReplacePolicy]).toEqual(['Retain', 'Retain'])
    for (const property of ['ObjectLockConfiguration', 'ObjectLockEnabled', 'VersioningConfiguration'])
      expect(names?.Properties).not.toHaveProperty(property)
  })

  test('is shown to nobody, and spoken to by TLS alone, and so are the names', () => {
    for (const [, { Properties }] of buckets())
      expect(Properties.PublicAccessBlockConfiguration).toEqual({
        BlockPublicAcls: true,
        BlockPublicPolicy: true,
        IgnorePublicAcls: true,
        RestrictPublicBuckets: true,
      })
    const policies = Object.values(template.findResources('AWS::S3::BucketPolicy'))
    expect(policies).toHaveLength(3)
    for (const { Properties } of policies) {
      const statements: { Effect: string; Condition: object }[] = Properties.PolicyDocument.Statement
      expect(statements.map(({ Effect }) => Effect)).not.toContain('Allow')
      expect(statements.map(({ Condition }) => JSON.stringify(Condition)).join()).toContain('aws:SecureTransport')
    }
  })

  test('is written by one function, which reads and removes nothing of it, and passes over no lock', () => {
    const ofBuckets = roles().flatMap(([id, role]) =>
      statementsOf(role).flatMap(({ Action, Resource }) =>
        [Action].flat().flatMap((one) => (one.startsWith('s3:') ? [[id, one, JSON.stringify(Resource)]] : [])),
      ),
    )
    const ofJournal = ofBuckets.filter(([, , resources = '']) => /JournalBucket|NamesBucket|"\*"/.test(resources))
    expect(ofJournal.map(([id, action]) => [id, action])).toEqual([
      [expect.stringMatching(/^JournalDoorRole/), 's3:PutObject'],
    ])
  })
})

describe('files that people send', () => {
  const uploads = () =>
    Object.entries(template.findResources('AWS::S3::Bucket')).find(([id]) => id.startsWith('UploadsBucket'))?.[1]

  test('leave after thirty days, and their bucket tells the queue of each, which hears no other account', () => {
    const { LifecycleConfiguration, NotificationConfiguration } = uploads()?.Properties ?? {}
    expect(LifecycleConfiguration.Rules).toMatchObject([{ ExpirationInDays: 30, Status: 'Enabled' }])
    expect(NotificationConfiguration.QueueConfigurations).toMatchObject([
      { Event: 's3:ObjectCreated:*', Filter: { S3Key: { Rules: [{ Name: 'prefix', Value: 'files/' }] } } },
    ])
    const policies = JSON.stringify(template.findResources('AWS::SQS::QueuePolicy'))
    expect(policies).toMatch(/"Condition":\{"StringEquals":\{"aws:SourceAccount":[^}]+\}+,"Effect":"Allow"/)
  })

  test('may be sent by whoever hands out forms, and are read by one function alone', () => {
    const may = (action: string, folder: string) =>
      roles().flatMap(([id, role]) =>
        statementsOf(role).some(
          ({ Action, Resource }) =>
            [Action].flat().includes(action) &&
            JSON.stringify(Resource).includes(`UploadsBucket`) &&
            JSON.stringify(Resource).includes(`/${folder}/*`),
        )
          ? [id.replace(/DoorRole.*/, '')]
          : [],
      )
    expect(may('s3:PutObject', 'files').sort()).toEqual(['Pages', 'Rest'])
    expect(may('s3:GetObject', 'files')).toEqual(['Import'])
    expect(may('s3:PutObject', 'rest')).toEqual(['Import'])
    expect(may('s3:GetObject', 'rest').sort()).toEqual(['Import', 'Pages', 'Rest'])
  })
})

describe('a table brought back from a backup', () => {
  const streamArn = 'arn:aws:dynamodb:us-east-1:111122223333:table/brought-back/stream/2026-03-02T15:00:00.000'
  let pointed: Template
  beforeAll(async () => {
    const restored = { name: 'brought-back', streamArn }
    const app = await quarterturnApp({ bundles, outdir: join(place, 'restored.out'), restored, checked: false })
    pointed = Template.fromStack(app.node.findChild('Quarterturn') as Stack)
  })

  test('is what every function works on, and whose stream is read; the stack’s own stays where it is', () => {
    const own = pointed.findResources('AWS::DynamoDB::Table')
    expect(own).toEqual(template.findResources('AWS::DynamoDB::Table'))
    const functions = Object.values(pointed.findResources('AWS::Lambda::Function'))
    const tables = functions.flatMap(({ Properties }) => Properties.Environment?.Variables?.TABLE_NAME ?? [])
    expect(tables.length).toBeGreaterThan(8)
    expect(new Set(tables)).toEqual(new Set(['brought-back']))
    const sources = Object.values(pointed.findResources('AWS::Lambda::EventSourceMapping')).map(
      ({ Properties }) => Properties.EventSourceArn,
    )
    expect(sources).toContain(streamArn)
    expect(JSON.stringify(pointed.findResources('AWS::IAM::Role'))).not.toContain(Object.keys(own)[0] ?? 'no table')
  })
})

describe('the functions', () => {
  test('run on Node 24, arm64, each with a role and a log of its own that does not grow for ever', () => {
    const functions = Object.values(template.findResources('AWS::Lambda::Function'))
    expect(functions).toHaveLength(15)
    for (const { Properties } of functions) {
      expect(Properties).toMatchObject({ Runtime: 'nodejs24.x', Architectures: ['arm64'], Handler: 'index.handler' })
    }
    expect(new Set(functions.map(({ Properties }) => JSON.stringify(Properties.Role))).size).toBe(15)
    expect(new Set(functions.map(({ Properties }) => JSON.stringify(Properties.LoggingConfig))).size).toBe(15)
    for (const { Properties } of Object.values(template.findResources('AWS::Logs::LogGroup'))) {
      expect(Properties.RetentionInDays).toBeGreaterThan(0)
    }
  })

  test('may never delete an item or read through the whole table', () => {
    const actions = roles().flatMap(([, role]) => statementsOf(role).flatMap(({ Action }) => Action))
    expect(actions.length).toBeGreaterThan(10)
    for (const action of actions) expect(action).not.toMatch(/\*|DeleteItem|BatchWriteItem|Scan|DeleteTable|PartiQL/)
  })

  test('only the mailer may send mail, and it may write no new item', () => {
    expect(actionsOf('DeliverNotices')).toContain('ses:SendRawEmail')
    expect(actionsOf('DeliverNotices')).not.toContain('dynamodb:PutItem')
    for (const part of ['Rest', 'Sweep', 'FeedDoor', 'Feedback', 'Answers', 'FollowUp', 'PagesDoor'])
      expect(actionsOf(part).join()).not.toContain('ses:')
  })

  test('the feed only reads, and of the lists only those of crews', () => {
    const [, role] = roles().find(([id]) => id.startsWith('FeedDoor')) ?? []
    const statements = statementsOf(role).filter(({ Action }) => !String(Action).startsWith('logs:'))
    expect(statements.flatMap(({ Action }) => Action).sort()).toEqual([
      'dynamodb:BatchGetItem',
      'dynamodb:GetItem',
      'dynamodb:Query',
      'dynamodb:Query',
    ])
    const indexes = JSON.stringify(statements).match(/\/index\/[\w-]+/g)
    expect(indexes).toEqual(['/index/by-crew-standing', '/index/by-depot-next-tell'])
  })

  test('what a link in a mail opens may read and mark items, look who has left, and make none', () => {
    const [, role] = roles().find(([id]) => id.startsWith('Answers')) ?? []
    const statements = statementsOf(role).filter(({ Action }) => !String(Action).startsWith('logs:'))
    // what else waits for the reader lies in the list of their notices, and how those sticks stand now beside them
    expect(statements.flatMap(({ Action }) => Action).sort()).toEqual([
      'dynamodb:BatchGetItem',
      'dynamodb:GetItem',
      'dynamodb:Query',
      'dynamodb:Query',
      'dynamodb:UpdateItem',
    ])
    expect(JSON.stringify(statements).match(/\/index\/[\w-]+/g)).toEqual(['/index/notices-by-mailbox'])
  })

  test('what takes the feedback of mail reads one item at a time, and lists nothing', () => {
    const own = actionsOf('Feedback').filter((action) => action.startsWith('dynamodb:'))
    expect(own.sort()).toEqual(['dynamodb:GetItem', 'dynamodb:PutItem', 'dynamodb:UpdateItem'])
  })

  test('the pages read all, and write items one by one: who signs in is bound, a form is recorded', () => {
    const own = actionsOf('PagesDoor').filter((action) => !action.startsWith('logs:'))
    expect(own.sort()).toEqual([
      ...['BatchGetItem', 'GetItem', 'PutItem', 'Query', 'Query', 'UpdateItem'].map((name) => `dynamodb:${name}`),
      // a form that is handed out may send a file, and a link fetch what is handed back
      's3:GetObject',
      's3:PutObject',
    ])
  })

  test('the pages have every address that no other door has', () => {
    const keys = Object.values(template.findResources('AWS::ApiGatewayV2::Route')).map(
      ({ Properties }) => Properties.RouteKey,
    )
    expect(keys.sort()).toEqual(['ANY /v1/{proxy+}', ...withoutToken].sort())
  })

  test('the pages seal by a secret that is put in place at the deployment, and open by the one before', () => {
    const pages = Object.entries(template.findResources('AWS::Lambda::Function')).find(([id]) => id.startsWith('Pages'))
    const { SEAL_NOW: now, SEAL_BEFORE: before } = pages?.[1].Properties.Environment.Variables ?? {}
    for (const [seal, id] of [
      [now, 'PagesSealNow'],
      [before, 'PagesSealBefore'],
    ] as const) {
      expect(JSON.stringify(seal)).toContain('{{resolve:secretsmanager:')
      expect(JSON.stringify(seal)).toContain(id)
    }
    const secrets = Object.values(template.findResources('AWS::SecretsManager::Secret'))
    expect(secrets).toHaveLength(2)
    for (const { Properties } of secrets) expect(Properties.GenerateSecretString.PasswordLength).toBeGreaterThan(60)
  })
})

describe('the API', () => {
  test('asks for a token but for its contract; pages, and secret addresses of feeds and answers, need none', () => {
    const open = Object.values(template.findResources('AWS::ApiGatewayV2::Route'))
      .filter(({ Properties }) => Properties.AuthorizationType !== 'JWT')
      .map(({ Properties }) => Properties.RouteKey)
    expect(open.sort()).toEqual([...withoutToken].sort())
    template.hasResourceProperties('AWS::ApiGatewayV2::Route', {
      RouteKey: 'ANY /v1/{proxy+}',
      AuthorizationType: 'JWT',
      AuthorizerId: Match.anyValue(),
      AuthorizationScopes: ['quarterturn/api'],
    })
    const ofPool = Match.stringLikeRegexp('^PeoplePool')
    template.hasResourceProperties('AWS::ApiGatewayV2::Authorizer', {
      AuthorizerType: 'JWT',
      JwtConfiguration: { Issuer: { 'Fn::GetAtt': [ofPool, 'ProviderURL'] }, Audience: [{ Ref: ofPool }] },
    })
  })

  test('is told of the same clients and scope, by which it looks at a token again', () => {
    template.hasResourceProperties('AWS::Lambda::Function', {
      Environment: {
        Variables: Match.objectLike({
          TOKEN_CLIENTS: { Ref: Match.stringLikeRegexp('^PeoplePoolPages') },
          TOKEN_SCOPE: 'quarterturn/api',
          TOKEN_CLAIMS: '{"use":["token_use","access"],"client":"client_id","scope":"scope"}',
        }),
      },
    })
  })

  // a browser's preflight behind an authoriser answers 401 (aws/aws-cdk#8615): there is nothing to preflight
  test('serves one origin only', () => {
    template.hasResourceProperties('AWS::ApiGatewayV2::Api', { CorsConfiguration: Match.absent() })
  })

  test('logs by which route it was called and never the address, in which a feed has its secret', () => {
    const [stage] = Object.values(template.findResources('AWS::ApiGatewayV2::Stage'))
    const format: string = stage?.Properties.AccessLogSettings.Format
    expect(format).toContain('$context.routeKey')
    expect(format).not.toMatch(/\$context\.(path|requestOverride|customDomain)/)
  })

  test('is throttled and logs who called', () => {
    template.hasResourceProperties('AWS::ApiGatewayV2::Stage', {
      DefaultRouteSettings: { ThrottlingRateLimit: Match.anyValue(), ThrottlingBurstLimit: Match.anyValue() },
      AccessLogSettings: { DestinationArn: Match.anyValue() },
    })
  })
})

describe('the people', () => {
  const pool = () => Object.values(template.findResources('AWS::Cognito::UserPool'))[0]

  test('are a pool that nobody signs up to, that is kept, and knows authenticators but no text messages', () => {
    expect(pool()).toMatchObject({
      DeletionPolicy: 'Retain',
      UpdateReplacePolicy: 'Retain',
      Properties: {
        DeletionProtection: 'ACTIVE',
        AdminCreateUserConfig: { AllowAdminCreateUserOnly: true },
        UsernameAttributes: ['email'],
        UsernameConfiguration: { CaseSensitive: false },
        UserAttributeUpdateSettings: { AttributesRequireVerificationBeforeUpdate: ['email'] },
        MfaConfiguration: 'OPTIONAL',
        EnabledMfas: ['SOFTWARE_TOKEN_MFA'],
        Policies: { PasswordPolicy: { MinimumLength: 14, TemporaryPasswordValidityDays: 7 } },
      },
    })
  })

  test('are invited in our words, in both languages, by our own mail once its domain is verified', () => {
    const { InviteMessageTemplate } = pool()?.Properties.AdminCreateUserConfig ?? {}
    expect(InviteMessageTemplate.EmailMessage).toMatch(/\{username\}.*\{####\}[\s\S]*Entre como \{username\}.*\{####\}/)
    expect(InviteMessageTemplate.EmailMessage).toContain('supports and never replaces')
    const [condition, ours, otherwise] = pool()?.Properties.EmailConfiguration['Fn::If'] ?? []
    expect([condition, otherwise]).toEqual(['MailDomainIsVerified', { Ref: 'AWS::NoValue' }])
    expect(ours).toMatchObject({ EmailSendingAccount: 'DEVELOPER', ConfigurationSet: expect.anything() })
    expect(JSON.stringify(ours.SourceArn)).toContain(':identity/')
    expect(template.toJSON().Parameters.MailDomainVerified.Default).toBe('no')
  })

  test('sign in through one client without a secret, by code alone, back to the API’s own address', () => {
    const clients = Object.values(template.findResources('AWS::Cognito::UserPoolClient'))
    expect(clients).toHaveLength(1)
    const { Properties } = clients[0] ?? { Properties: {} }
    expect(Properties).toMatchObject({
      GenerateSecret: false,
      AllowedOAuthFlows: ['code'],
      ExplicitAuthFlows: ['ALLOW_REFRESH_TOKEN_AUTH'],
      PreventUserExistenceErrors: 'ENABLED',
      EnableTokenRevocation: true,
      // nobody writes their own address
      WriteAttributes: ['locale'],
    })
    expect(JSON.stringify(Properties.CallbackURLs)).toMatch(/ApiEndpoint.*\/signed-in"/)
    expect(Properties.CallbackURLs).toHaveLength(1)
    expect(JSON.stringify(Properties.AllowedOAuthScopes)).toContain('/api')
    template.hasResourceProperties('AWS::Cognito::UserPoolResourceServer', {
      Identifier: 'quarterturn',
      Scopes: [{ ScopeName: 'api', ScopeDescription: Match.anyValue() }],
    })
  })

  test('are made and ended at the pool by one function, and by none where the provider is another’s', () => {
    const asking = (part: string) => actionsOf(part).filter((action) => action.startsWith('cognito-idp:'))
    expect(asking('AccountsDoor').sort()).toEqual(
      ['CreateUser', 'DeleteUser', 'DisableUser', 'EnableUser', 'UserGlobalSignOut'].map(
        (call) => `cognito-idp:Admin${call}`,
      ),
    )
    const others = roles().filter(([id]) => !id.startsWith('AccountsDoor'))
    expect(JSON.stringify(others)).not.toContain('cognito-idp:')
    const [, role] = roles().find(([id]) => id.startsWith('AccountsDoor')) ?? []
    const may = statementsOf(role).find(({ Action }) => String(Action).includes('cognito-idp:'))
    expect(JSON.stringify(may?.Resource)).toMatch(/^\{"Fn::GetAtt":\["PeoplePool\w+","Arn"\]\}$/)
  })

  test('may be those of another provider, by a map of its claims; then there is no pool', async () => {
    const claims = {
      use: null,
      client: 'azp',
      scope: 'scp',
      email: 'preferred_username',
      emailVerified: 'xms_edov',
    } as const
    const provider = { issuer: 'https://login.utility.example', clients: ['one', 'two'], scope: 'sticks', claims }
    const app = await quarterturnApp({ bundles, outdir: join(place, 'provider.out'), provider })
    app.synth()
    const other = Template.fromStack(app.node.findChild('Quarterturn') as Stack)
    other.resourceCountIs('AWS::Cognito::UserPool', 0)
    // nobody makes and ends accounts there
    expect(JSON.stringify(other.toJSON())).not.toMatch(/cognito-idp:|SYSTEM#ACCOUNTS|ACCOUNTS_QUEUE_URL/)
    other.hasResourceProperties('AWS::ApiGatewayV2::Authorizer', {
      JwtConfiguration: { Issuer: provider.issuer, Audience: provider.clients },
    })
    other.hasResourceProperties('AWS::ApiGatewayV2::Route', {
      RouteKey: 'ANY /v1/{proxy+}',
      AuthorizationScopes: ['sticks'],
    })
    other.hasResourceProperties('AWS::Lambda::Function', {
      Environment: {
        Variables: Match.objectLike({
          TOKEN_CLIENTS: 'one two',
          TOKEN_SCOPE: 'sticks',
          TOKEN_CLAIMS: '{"use":null,"client":"azp","scope":"scp"}',
        }),
      },
    })
  })
})

describe('what is done without anybody asking', () => {
  test('all that is kept for ever goes from the stream to its one reader, and what fails is kept', () => {
    const mappings = Object.values(template.findResources('AWS::Lambda::EventSourceMapping'))
    const onStream = mappings.filter(({ Properties }) =>
      JSON.stringify(Properties.EventSourceArn).includes('StreamArn'),
    )
    expect(onStream).toHaveLength(1)
    expect(onStream[0]?.Properties).toMatchObject({
      FunctionName: byAlias(expect.stringMatching(/^HandOnDoorLive/)),
      StartingPosition: 'TRIM_HORIZON',
      BatchSize: 10,
      FunctionResponseTypes: ['ReportBatchItemFailures'],
      BisectBatchOnFunctionError: true,
      MaximumRetryAttempts: 5,
      MaximumRecordAgeInSeconds: 21_600,
      FilterCriteria: {
        Filters: [
          {
            Pattern: JSON.stringify({
              eventName: ['INSERT', 'MODIFY'],
              dynamodb: { NewImage: { entity: { S: [...journalled, 'import', 'plan'] } } },
            }),
          },
        ],
      },
      DestinationConfig: { OnFailure: { Destination: expect.anything() } },
    })
  })

  test('that reader touches no item: it reads the stream and sends to queues', () => {
    const own = actionsOf('HandOnDoor').filter((action) => !action.startsWith('logs:'))
    const reads = ['DescribeStream', 'GetRecords', 'GetShardIterator', 'ListStreams'].map((name) => `dynamodb:${name}`)
    expect(own.sort()).toEqual([...reads, 'sqs:SendMessage', 'sqs:SendMessage'])
  })

  test.each([
    ['DeliverNoticesUrgent', 'DeliverNotices', 'DeliverNoticesUnsent', 600],
    ['DeliverNoticesOthers', 'DeliverNotices', 'DeliverNoticesUnsent', 3600],
    ['FollowUpUndelivered', 'FollowUp', 'FollowUpUntold', 900],
    ['AccountsEntered', 'Accounts', 'AccountsNotSeenTo', 900],
    ['JournalToJournal', 'Journal', 'JournalNotJournalled', 900],
    ['SequenceFacts', 'Sequence', 'SequenceNotSequenced', 3600],
  ])('%s is read by %s at once, and what is not taken is kept in %s', (queue, reader, kept, oldAfter) => {
    const queues = Object.entries(template.findResources('AWS::SQS::Queue'))
    const [id = '', found] = queues.find(([name]) => name.startsWith(queue)) ?? []
    const [timeout] = Object.entries(template.findResources('AWS::Lambda::Function'))
      .filter(([name]) => name.startsWith(`${reader}Door`))
      .map(([, { Properties }]) => Properties.Timeout)
    const deadLetterTargetArn = { 'Fn::GetAtt': [expect.stringMatching(new RegExp(`^${kept}`)), 'Arn'] }
    expect(found?.Properties.RedrivePolicy).toEqual({ deadLetterTargetArn, maxReceiveCount: 5 })
    // as AWS advises (AWS Lambda Developer Guide, "Using Lambda with Amazon SQS")
    expect(found?.Properties.VisibilityTimeout).toBeGreaterThanOrEqual(6 * timeout)
    template.hasResourceProperties('AWS::Lambda::EventSourceMapping', {
      FunctionName: byAlias(Match.stringLikeRegexp(`^${reader}DoorLive`)),
      EventSourceArn: { 'Fn::GetAtt': [id, 'Arn'] },
      // nobody waits for a place in the tree; what is not in the journal yet is lost with the table
      BatchSize: ['Journal', 'Sequence'].includes(reader) ? 10 : 1,
      MaximumBatchingWindowInSeconds: reader === 'Sequence' ? 5 : Match.absent(),
      FunctionResponseTypes: ['ReportBatchItemFailures'],
      ScalingConfig: { MaximumConcurrency: 2 },
    })
    template.hasResourceProperties('AWS::CloudWatch::Alarm', {
      MetricName: 'ApproximateAgeOfOldestMessage',
      Dimensions: [{ Name: 'QueueName', Value: { 'Fn::GetAtt': [id, 'QueueName'] } }],
      Threshold: oldAfter,
      ComparisonOperator: 'GreaterThanThreshold',
      TreatMissingData: 'notBreaching',
    })
  })

  test('a stream that is read late rings, in milliseconds as Lambda counts', () => {
    template.hasResourceProperties('AWS::CloudWatch::Alarm', {
      MetricName: 'IteratorAge',
      Dimensions: [{ Name: 'FunctionName', Value: { Ref: Match.stringLikeRegexp('^HandOnDoor') } }],
      Threshold: 60_000,
      Statistic: 'Maximum',
    })
  })

  test('a notice is lent for longer than its sender may run, so that no live one is overtaken', () => {
    const [sender] = Object.entries(template.findResources('AWS::Lambda::Function')).filter(([id]) =>
      id.startsWith('DeliverNoticesDoor'),
    )
    const { Timeout } = sender?.[1].Properties ?? {}
    expect(Timeout).toBeGreaterThan(0)
    expect(leaseSeconds).toBeGreaterThan(Timeout)
  })

  test('the mail service tells of every kind of end through a topic, and keeps no list of its own', () => {
    template.hasResourceProperties('AWS::SES::ConfigurationSetEventDestination', {
      EventDestination: {
        Enabled: true,
        MatchingEventTypes: ['send', 'delivery', 'bounce', 'complaint', 'reject', 'deliveryDelay', 'renderingFailure'],
        SnsDestination: { TopicARN: { Ref: Match.stringLikeRegexp('^MailFeedback') } },
      },
    })
    template.hasResourceProperties('AWS::SNS::Subscription', {
      Protocol: 'lambda',
      TopicArn: { Ref: Match.stringLikeRegexp('^MailFeedback') },
      Endpoint: { Ref: Match.stringLikeRegexp('^FeedbackDoorLive') },
    })
    template.hasResourceProperties('AWS::SES::ConfigurationSet', { SuppressionOptions: { SuppressedReasons: [] } })
  })

  test.each([
    ['cron(0 * * * ? *)', '{"kind":"sweep"}'],
    ['rate(5 minutes)', '{"kind":"unsent"}'],
    ['cron(0 * * * ? *)', '{"kind":"accounts"}'],
    ['rate(15 minutes)', '{"kind":"trees"}'],
    ['rate(1 hour)', '{"kind":"night"}'],
  ])('%s starts %s; what could not start is kept', (ScheduleExpression, Input) => {
    template.hasResourceProperties('AWS::Scheduler::Schedule', {
      ScheduleExpression,
      ScheduleExpressionTimezone: 'UTC',
      Target: { Input, DeadLetterConfig: Match.anyValue(), RetryPolicy: Match.anyValue() },
    })
  })

  test('every queue is encrypted, speaks TLS only, keeps for 14 days and has an alarm', () => {
    const queues = template.findResources('AWS::SQS::Queue')
    for (const { Properties } of Object.values(queues)) {
      expect(Properties).toMatchObject({ SqsManagedSseEnabled: true, MessageRetentionPeriod: 1_209_600 })
    }
    template.resourceCountIs('AWS::SQS::QueuePolicy', Object.keys(queues).length)
  })

  test.each([
    ['setAside', 'NoticesSetAside', 'deliver-notices/deliver-notices.ts', 'error'],
    ['refused', 'MailsRefused', 'deliver-notices/deliver-notices.ts', 'error'],
    ['quotaUsedUp', 'QuotaUsedUp', 'deliver-notices/deliver-notices.ts', 'error'],
    ['quotaNearlyUsedUp', 'QuotaNearlyUsedUp', 'deliver-notices/deliver-notices.ts', 'error'],
    ['nobodyLeft', 'NobodyLeft', 'follow-up/follow-up.ts', 'error'],
    ['nobodyLeft', 'NobodyLeft', 'follow-up/undelivered.ts', 'error'],
    ['doesNotRead', 'DoesNotRead', 'store/reading.ts', 'error'],
    ['nobodyToTell', 'NobodyToTell', 'sweep/round.ts', 'error'],
    ['requestFailed', 'RequestsFailed', 'api/api.ts', 'error'],
    ['answerFailed', 'AnswersFailed', 'answers/answers.ts', 'error'],
    ['feedFailed', 'FeedsFailed', 'feed/feed.ts', 'error'],
    ['notHandedOn', 'NotHandedOn', 'hand-on/hand-on.ts', 'error'],
    ['mailPaused', 'MailPaused', 'deliver-notices/deliver-notices.ts', 'error'],
    ['takenUp', 'DeliverNoticesRuns', 'deliver-notices/index.ts', 'info'],
    ['journalHeard', 'JournalRuns', 'journal/index.ts', 'info'],
    ['followedUp', 'FollowUpRuns', 'follow-up/index.ts', 'info'],
    ['accountsSeenTo', 'AccountsRuns', 'accounts/index.ts', 'info'],
    ['notInTree', 'NotInTree', 'sequence/by-the-clock.ts', 'error'],
    ['sequenced', 'SequenceRuns', 'sequence/index.ts', 'info'],
    ['plansSeenTo', 'PlanRuns', 'plan/index.ts', 'info'],
  ] as const)(
    'the alarm for %s, %s, rings by the words that %s writes to its log, or no longer does',
    (name, MetricName, file, level) => {
      const words = alarmWords[name]
      const source = readFileSync(join(root, 'functions', file), 'utf8')
      expect(
        [`log('${level}', alarmWords.${name}, `, `log('${level}', '${words}', `].some((one) => source.includes(one)),
      ).toBe(true)
      template.hasResourceProperties('AWS::Logs::MetricFilter', {
        FilterPattern: `"${words}"`,
        MetricTransformations: [{ MetricName, MetricNamespace: 'Quarterturn', MetricValue: '1' }],
      })
      template.hasResourceProperties('AWS::CloudWatch::Alarm', {
        MetricName,
        Namespace: 'Quarterturn',
        Statistic: 'Sum',
      })
    },
  )

  // the words of its log where others start the function too
  test.each([
    ['Sweep', { MetricName: 'Invocations', Period: 3600, EvaluationPeriods: 3 }],
    ['Reindex', { MetricName: 'Invocations', Period: 300, EvaluationPeriods: 12 }],
    ['FollowUp', { MetricName: 'FollowUpRuns', Period: 300, EvaluationPeriods: 6 }],
    ['DeliverNotices', { MetricName: 'DeliverNoticesRuns', Period: 300, EvaluationPeriods: 6 }],
    ['Accounts', { MetricName: 'AccountsRuns', Period: 3600, EvaluationPeriods: 3 }],
  ])('a schedule that no longer runs rings, as it would where it is switched off: %s', (part, heard) => {
    const [alarm] = Object.entries(template.findResources('AWS::CloudWatch::Alarm')).filter(([id]) =>
      id.startsWith(`${part}Silent`),
    )
    // nothing counted is less than one
    const silent = { Threshold: 1, ComparisonOperator: 'LessThanThreshold', TreatMissingData: 'breaching' }
    expect(alarm?.[1].Properties).toMatchObject({ ...heard, ...silent, Statistic: 'Sum' })
  })

  test('every schedule has an alarm that rings when it no longer runs', () => {
    const scheduled = Object.values(template.findResources('AWS::Scheduler::Schedule')).length
    const silent = Object.keys(template.findResources('AWS::CloudWatch::Alarm')).filter((id) => id.includes('Silent'))
    expect([scheduled, silent.length]).toEqual([8, 8])
  })

  test('more than one call in twenty that fails rings, whatever fails them', () => {
    const metric = (MetricName: string) => ({ MetricStat: { Metric: { MetricName, Namespace: 'AWS/ApiGateway' } } })
    template.hasResourceProperties('AWS::CloudWatch::Alarm', {
      Threshold: 5,
      ComparisonOperator: 'GreaterThanThreshold',
      TreatMissingData: 'notBreaching',
      Metrics: Match.arrayWith([
        Match.objectLike({ Expression: '100 * part / whole' }),
        Match.objectLike({ Id: 'part', ...metric('5xx') }),
        Match.objectLike({ Id: 'whole', ...metric('Count') }),
      ]),
    })
  })

  test('a table that refuses for its load rings, and mail that comes back before the service stops it', () => {
    template.hasResourceProperties('AWS::CloudWatch::Alarm', {
      Metrics: Match.arrayWith([Match.objectLike({ Expression: 'reads + writes' })]),
    })
    for (const [MetricName, Threshold] of [
      ['Reputation.BounceRate', 0.05],
      ['Reputation.ComplaintRate', 0.001],
    ])
      template.hasResourceProperties('AWS::CloudWatch::Alarm', { Namespace: 'AWS/SES', MetricName, Threshold })
  })

  test('every alarm has its page in the runbook, as `npm run runbook` writes it, and a place on the dashboard', () => {
    const { Resources } = template.toJSON()
    expect(readFileSync(runbookFile, 'utf8')).toBe(runbookOf(Resources))
    const [dashboard] = Object.values(template.findResources('AWS::CloudWatch::Dashboard'))
    const shown = JSON.stringify(dashboard?.Properties)
    const alarms = Object.keys(template.findResources('AWS::CloudWatch::Alarm'))
    expect(alarms.filter((id) => !shown.includes(`"${id}"`))).toEqual([])
  })

  test('every alarm says what it means for people, and rings at the topic of the operators', () => {
    const alarms = Object.values(template.findResources('AWS::CloudWatch::Alarm'))
    expect(alarms).toHaveLength(61)
    for (const { Properties } of alarms) {
      expect(Properties.AlarmDescription).toMatch(/^What it means for people: .{20,} First thing to do: .{20,}/)
      expect(Properties.AlarmActions).toEqual([{ Ref: operators() }])
      expect(Properties.ActionsEnabled).not.toBe(false)
    }
  })

  test('every error that a function logs rings, or is heard by a named bell; and every bell has its words', () => {
    const folder = join(root, 'functions')
    const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.ts'))
    const source = files.map((file) => readFileSync(join(folder, file), 'utf8')).join('\n')
    const literal = [...source.matchAll(/log\('error', '([^']+)'/g)].map(([, words = '']) => words)
    const named = [...source.matchAll(/log\('(?:error|info)', alarmWords\.(\w+)/g)].map(([, name = '']) => name)
    expect(source.match(/log\(\s*'error'/g)?.length).toBe(
      literal.length + [...source.matchAll(/log\('error', alarmWords\./g)].length,
    )
    const bells: readonly string[] = Object.values(alarmWords)
    const rings = [
      ...named.map((name) => alarmWords[name as keyof typeof alarmWords]),
      ...literal.filter((one) => bells.includes(one)),
    ]
    expect([...new Set(literal.filter((one) => !bells.includes(one)))].sort()).toEqual(
      Object.keys(heardOtherwise).sort(),
    )
    expect([...new Set(rings)].sort()).toEqual([...bells].sort())
    const filters = Object.values(template.findResources('AWS::Logs::MetricFilter'))
    const filtered = new Set(filters.map(({ Properties }) => Properties.FilterPattern))
    for (const words of Object.values(alarmWords)) expect(filtered).toContain(`"${words}"`)
  })

  test('the operators’ mail address, where one is given, is subscribed to it', () => {
    expect(template.findParameters('AlarmEmail')).toMatchObject({ AlarmEmail: { Default: '' } })
    template.hasResource('AWS::SNS::Subscription', {
      Condition: 'AlarmEmailGiven',
      Properties: { Protocol: 'email', TopicArn: { Ref: operators() }, Endpoint: { Ref: 'AlarmEmail' } },
    })
  })
})

const operators = () => Object.keys(template.findResources('AWS::SNS::Topic')).find((id) => id.startsWith('Operators'))

/** Judged as IAM would, from the policy of the topic as it is synthesised. */
describe('CloudWatch, ringing an alarm', () => {
  const account = '111122223333'
  const alarmArn = `arn:aws:cloudwatch:us-east-1:${account}:alarm:Quarterturn-Any`
  const from = { 'aws:SourceAccount': account, 'aws:SourceArn': alarmArn, 'aws:SecureTransport': 'true' }

  interface Allowing extends Statement {
    readonly Sid?: string
  }

  async function mayRing(contextVariables = from, kept: (statement: Allowing) => boolean = () => true) {
    const around = { parameters: { MailDomain: 'm.example' }, apiEndpoint: 'e' }
    const deployed = readTemplate(join(place, 'cdk.out'), around)
    const topicArn = deployed.all('AWS::CloudWatch::Alarm')[0]?.properties.AlarmActions[0]
    const policies = deployed
      .all('AWS::SNS::TopicPolicy')
      .filter(({ properties }) => properties.Topics.includes(topicArn))
      .map(({ properties }) => properties.PolicyDocument)
    expect(policies).toHaveLength(1)
    const result = await runSimulation(
      {
        request: {
          principal: 'cloudwatch.amazonaws.com',
          action: 'sns:Publish',
          resource: { resource: topicArn, accountId: account },
          contextVariables,
        },
        identityPolicies: [],
        serviceControlPolicies: [],
        resourceControlPolicies: [],
        resourcePolicy: { ...policies[0], Statement: policies[0].Statement.filter(kept) },
      },
      {},
    )
    if (result.resultType === 'error') throw new Error(JSON.stringify(result.errors))
    return result.overallResult
  }

  test('may publish there', async () => {
    expect(await mayRing()).toBe('Allowed')
  })

  test('may not without the statement that names it: the topic’s own policy lets nobody in by itself', async () => {
    expect(await mayRing(from, ({ Sid }) => Sid !== 'AlarmsOfThisAccount')).toBe('ImplicitlyDenied')
  })

  test.each([
    ['of another account', { ...from, 'aws:SourceAccount': '999999999999' }],
    ['for what is no alarm', { ...from, 'aws:SourceArn': `arn:aws:s3:::${account}` }],
    ['in the clear', { ...from, 'aws:SecureTransport': 'false' }],
  ])('may not %s', async (_, context) => {
    expect(await mayRing(context)).not.toBe('Allowed')
  })
})
