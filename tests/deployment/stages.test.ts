/** The configuration of stages: what does not fit is named before anything is made of it. */
import { describe, expect, test } from 'vitest'
import { checkedStage, type Stage, stageNames, stages } from '../../cdk/stages.ts'

const { prod, dev } = stages
const withProd = (more: object) => ({ dev, prod: { ...prod, ...more } })
const { sender } = prod

test.each(stageNames)('%s, as it stands, fits', (name) => {
  expect(checkedStage(name)).toEqual(stages[name])
})

test('addresses of the stages are invented', () => {
  const hosts = JSON.stringify(stages).match(/[\w-]+(\.[\w-]+)+/g) ?? []
  const real = hosts.filter((host) => !host.endsWith('.example'))
  expect(hosts.length).toBeGreaterThan(10)
  expect(real).toEqual([])
})

describe('what does not fit is named by its field', () => {
  test.each<[field: string, more: object]>([
    ['account', { account: '1234' }],
    ['region', { region: 'Virginia' }],
    ['domains.answers', { domains: { ...prod.domains, answers: 'https://answers.example/' } }],
    ['domains.feeds', { domains: { ...prod.domains, feeds: undefined } }],
    ['certificate', { certificate: 'a certificate' }],
    ['certificate', { certificate: prod.certificate.replace('us-east-1', 'eu-west-1') }],
    ['certificate', { certificate: prod.certificate.replace(prod.account, '999999999999') }],
    ['sender.address', { sender: { ...sender, address: 'notices' } }],
    ['sender.replyTo', { sender: { ...sender, replyTo: '' } }],
    ['sender.identity', { sender: { ...sender, identity: 'found' } }],
    ['sender.mailFrom', { sender: { ...sender, mailFrom: 'bounces.elsewhere.example' } }],
    ['sender.mailFrom', { sender: { ...sender, mailFrom: 'sticks.utility.example' } }],
    ['alarmEmail', { alarmEmail: null }],
    ['logDays', { logDays: 100 }],
    ['people', { people: 'a pool' }],
    ['reservedConcurrency.followUp', { reservedConcurrency: { deliverNotices: 5, followUp: 0 } }],
    ['journalYears', { journalYears: 1 }],
    ['requestsPerSecond', { requestsPerSecond: 0 }],
    ['sealsChangedOn', { sealsChangedOn: 'yesterday' }],
    ['account', { account: dev.account, certificate: prod.certificate.replace(prod.account, dev.account) }],
  ])('%s: %j', (field, more) => {
    expect(() => checkedStage('prod', withProd(more))).toThrow(
      new RegExp(`^the stage prod .*does not fit:[^]*\\n${field}:`),
    )
  })

  test('every fault of it, and a field that is none', () => {
    const faulty = () => checkedStage('prod', withProd({ region: '', alarmEmail: '', colour: 'red' }))
    for (const one of ['region: ', 'alarmEmail: ', 'colour']) expect(faulty).toThrow(one)
  })

  test('a stage that there is not', () => {
    expect(() => checkedStage('test')).toThrow('there is no stage test: cdk/stages.ts has dev and prod')
  })
})

test('people may sign in at a provider of the employer’s', () => {
  const people: Stage['people'] = {
    issuer: 'https://login.utility.example',
    clients: ['one'],
    scope: 'sticks',
    claims: { use: null, client: 'azp', scope: 'scp', email: 'email', emailVerified: 'email_verified' },
  }
  expect(checkedStage('prod', withProd({ people })).people).toEqual(people)
  expect(() => checkedStage('prod', withProd({ people: { ...people, issuer: 'http://login.example' } }))).toThrow(
    'people',
  )
})
