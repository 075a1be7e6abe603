/** What a journey starts with, put through the same doors as real data. */
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import type { LocalStack } from '../local-stack.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick } from '../support/trade.ts'

export async function furnish(stack: LocalStack): Promise<void> {
  await put(stack, '/v1/depots/DEP-1', aDepot)
  await put(stack, '/v1/crews/CR-1', aCrew)
  await put(stack, '/v1/instruments/INS-1', anInstrument)
  await put(stack, '/v1/procedures/PRC-1', aProcedure)
  await put(stack, '/v1/sticks/S-1', aStick)
}

/** By the owner; where it loosens, a manager approves it, as two people do. */
export async function put(stack: LocalStack, path: string, body: object): Promise<void> {
  const { status, json, text } = await stack.call('PUT', path, body)
  const approved = status === 202 ? await approve(stack, (json as { proposal: { id: string } }).proposal.id) : status
  if (approved !== 200 && approved !== 201) throw new Error(`PUT ${path}: ${status} ${text}`)
}

async function approve(stack: LocalStack, id: string): Promise<number> {
  return (await stack.call('POST', `/v1/proposals/${id}/approve`, {}, 'manager-2')).status
}

export interface TestOutcome {
  readonly verdict: string
  readonly reasons: {
    code: string
    text: string
    quarterTurn?: number
    fromMetres?: number
    toMetres?: number
    state?: string
  }[]
  readonly stick: StickAnswer
}

export interface StickAnswer {
  readonly stickId: string
  readonly status: string
  readonly dueOn: string | null
  readonly daysOverdue: number
  readonly holds: { code: string }[]
}

export async function bring(stack: LocalStack, test: BenchTest, stickId = 'S-1'): Promise<TestOutcome> {
  const { status, json, text } = await stack.call('POST', `/v1/sticks/${stickId}/bench-tests`, test, 'bench')
  if (status !== 201) throw new Error(`bench test of ${stickId}: ${status} ${text}`)
  return json as TestOutcome
}

export async function lookAt(stack: LocalStack, stickId: string, query = ''): Promise<StickAnswer> {
  return (await stack.call('GET', `/v1/sticks/${stickId}${query}`)).json as StickAnswer
}

/** Mails to somebody, newest first, but for the one that said they can sign in. */
export const newsTo = async (stack: LocalStack, to: string) =>
  (await stack.mail(to)).filter(({ subject }) => !subject.startsWith('You can sign in'))

export const ana = 'ana@crew-one.example'
export const bo = 'bo@crew-one.example'
export const manager = 'manager@demo-utility.example'
