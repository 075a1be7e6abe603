/** A template whose parts may not do what they are wired to do, or that the local stack cannot run, is not started. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { front } from '../../cdk/local/front/http.ts'
import { permissionsOf } from '../../cdk/local/table/permissions.ts'
import { secretsIn } from '../../cdk/local/template/secrets.ts'
import { type Deployed, readTemplate } from '../../cdk/local/template/template.ts'
import { checkWiring } from '../../cdk/local/template/wiring.ts'
import { fixtureTemplate, type Resources } from './fixture-stack.ts'

let synthesised: ReturnType<typeof fixtureTemplate>
let original: string
beforeAll(() => {
  synthesised = fixtureTemplate()
  original = readFileSync(join(synthesised.folder, 'Quarterturn.template.json'), 'utf8')
})
afterAll(() => synthesised?.remove())

const parameters = {
  MailDomain: 'quarterturn.example',
}

function changed(change: (resources: Resources) => void, more = parameters as Record<string, string>): Deployed {
  const template = JSON.parse(original) as { Resources: Resources }
  change(template.Resources)
  writeFileSync(join(synthesised.folder, 'Quarterturn.template.json'), JSON.stringify(template))
  return readTemplate(synthesised.folder, { parameters: more, apiEndpoint: 'http://api.example' })
}

const check = (deployed: Deployed) => checkWiring(deployed, permissionsOf(deployed))
const each = (resources: Resources, type: string, part: string) =>
  Object.entries(resources).flatMap(([id, one]) => (one.Type === type && id.startsWith(part) ? [one.Properties] : []))

test('as it is synthesised, it may', async () => {
  await expect(check(changed(() => undefined))).resolves.toBeUndefined()
})

test.each([
  ['SweepByTheClockRole', 'lambda:InvokeFunction'],
  ['HandOnDoorRole', 'dynamodb:DescribeStream'],
  ['DeliverNoticesDoorRole', 'sqs:ReceiveMessage'],
  ['FollowUpDoorRole', 'sqs:ReceiveMessage'],
  ['SweepDoorRole', 'sqs:SendMessage'],
])('%s without its grants lacks %s', async (part, action) => {
  const deployed = changed((resources) => {
    for (const role of each(resources, 'AWS::IAM::Role', part)) role.Policies = []
  })
  await expect(check(deployed)).rejects.toThrow(action)
})

test.each([
  ['arn:aws:kinesis:us-east-1:111122223333:stream/readings', 'arn:aws:kinesis'],
  [['broker'], 'broker'],
])('a source that is neither stream nor queue is named: %s', async (EventSourceArn, named) => {
  const deployed = changed((resources) => {
    for (const mapping of each(resources, 'AWS::Lambda::EventSourceMapping', 'HandOnAwaited'))
      mapping.EventSourceArn = EventSourceArn
  })
  await expect(check(deployed)).rejects.toThrow(
    new RegExp(`HandOnAwaited\\w+: the local stack reads streams.*${named}`),
  )
})

test('a queue that shows a message again while its reader may be at work is named', async () => {
  const deployed = changed((resources) => {
    for (const queue of each(resources, 'AWS::SQS::Queue', 'DeliverNoticesUrgent')) queue.VisibilityTimeout = 59
  })
  await expect(check(deployed)).rejects.toThrow(/UrgentNotices\w+: a message is hidden for 59 s.*60 s/)
})

test.each([
  ['SweepDoorRole', 'lambda'],
  ['SweepByTheClockRole', 'scheduler'],
  ['ReleasesRole', 'codedeploy'],
])('%s, which another account may have taken, does not trust %s', async (part, service) => {
  const deployed = changed((resources) => {
    for (const role of each(resources, 'AWS::IAM::Role', part)) {
      const { Statement } = role.AssumeRolePolicyDocument as { Statement: { Condition: object }[] }
      for (const one of Statement) one.Condition = { StringEquals: { 'aws:SourceAccount': '999999999999' } }
    }
  })
  await expect(check(deployed)).rejects.toThrow(`does not trust ${service}.amazonaws.com for this account`)
})

test.each<[what: string, type: string, part: string, past: (properties: Record<string, unknown>) => void]>([
  [
    'a schedule',
    'AWS::Scheduler::Schedule',
    'SweepByTheClock',
    ({ Target }) => {
      const { Arn } = Target as { Arn: unknown }
      Object.assign(Target as object, { Arn: { 'Fn::Select': [0, [{ 'Fn::GetAtt': [sweep(), 'Arn'] }, Arn]] } })
    },
  ],
  [
    'a queue',
    'AWS::Lambda::EventSourceMapping',
    'FollowUpNotDelivered',
    (mapping) => {
      mapping.FunctionName = { Ref: functionIn('FollowUpDoor') }
    },
  ],
  [
    'what becomes of failed runs',
    'AWS::Lambda::EventInvokeConfig',
    'SweepFailedRuns',
    (configuration) => {
      configuration.Qualifier = '$LATEST'
    },
  ],
])('%s that passes an alias by is named', async (_, type, part, past) => {
  const deployed = changed((resources) => {
    for (const properties of each(resources, type, part)) past(properties)
  })
  await expect(check(deployed)).rejects.toThrow(/calls \S+ past its alias/)
})

const functionIn = (part: string): string => {
  const { Resources } = JSON.parse(original) as { Resources: Resources }
  return (
    Object.keys(Resources).find((id) => id.startsWith(part) && Resources[id]?.Type === 'AWS::Lambda::Function') ?? ''
  )
}
const sweep = () => functionIn('SweepDoor')

test('grants that are not in the template cannot be judged', () => {
  const deployed = changed((resources) => {
    for (const role of each(resources, 'AWS::IAM::Role', 'Sweep'))
      role.ManagedPolicyArns = ['arn:aws:iam::aws:policy/AdministratorAccess']
  })
  expect(() => permissionsOf(deployed)).toThrow('managed policies')
})

// a bus tells functions without a mapping, so it would look as if it worked
test.each(['AWS::Moon::Crater', 'AWS::Events::Rule'])('a part of a kind that is not run here is named: %s', (Type) => {
  const change = (resources: Resources) => {
    resources.Moon = { Type, Properties: {} }
  }
  expect(() => changed(change)).toThrow(`Moon (${Type})`)
})

test('a route that API Gateway may not serve is named', async () => {
  const deployed = changed((resources) => {
    for (const permission of each(resources, 'AWS::Lambda::Permission', 'Http'))
      permission.Principal = 's3.amazonaws.com'
    for (const route of each(resources, 'AWS::ApiGatewayV2::Route', 'Http')) route.AuthorizationType = 'NONE'
    for (const [id, { Type }] of Object.entries(resources))
      if (Type === 'AWS::ApiGatewayV2::Authorizer') delete resources[id]
    for (const route of each(resources, 'AWS::ApiGatewayV2::Route', 'Http')) delete route.AuthorizerId
  })
  const target = { name: 'f', arn: deployed.all('AWS::Lambda::Function')[0]?.properties.Arn, roleArn: '' }
  const functionOf = (arn: string) => ({ ...target, arn, invoke: never, warm: never, layAside: never, stop: never })
  const parts = {
    deployed,
    functionOf,
    keysOf: () => ({ keys: [] }),
    answered: () => undefined,
    controls: async () => undefined,
  }
  expect(() => front(parts)).toThrow('API Gateway has no permission')
})

const never = () => Promise.reject(new Error('not here'))

test('a parameter without a value is named', () => {
  expect(() => changed(() => undefined, {}).all('AWS::SES::EmailIdentity')).toThrow('MailDomain')
})

test('links in mails lead to the pages, which have the address of the API', () => {
  // of the function that rewrites lists nothing leads anywhere
  const links = changed(() => undefined)
    .all('AWS::Lambda::Function')
    .map(({ properties }) => properties.Environment.Variables.PAGES_URL)
    .filter((link) => link !== undefined)
  expect(links).toEqual(['http://api.example'])
})

test('a secret of the template is one value wherever it stands, another in every place of data, and kept there', () => {
  const folder = mkdtempSync(join(tmpdir(), 'quarterturn-secrets-'))
  const seals = (secrets = secretsIn(folder)) => {
    const deployed = readTemplate(synthesised.folder, { parameters, apiEndpoint: 'http://api.example', secrets })
    const [pages] = deployed.all('AWS::Lambda::Function').filter(({ id }) => id.startsWith('PagesDoor'))
    const { SEAL_NOW: now, SEAL_BEFORE: before } = pages?.properties.Environment.Variables ?? {}
    return { now, before }
  }
  changed(() => undefined)
  const first = seals()
  expect(first.now).toMatch(/^[0-9a-f]{64}$/)
  expect(first.before).not.toBe(first.now)
  expect(seals()).toEqual(first)
  expect(seals(secretsIn(undefined)).now).not.toBe(first.now)
  rmSync(folder, { recursive: true, force: true })
})
