/** A test that was taken down at the bench is recorded by the request that records any bench test. */
import type { Context } from 'hono'
import { isInstant } from '../../shared-domain/calendar.ts'
import { invalid, type Refusal, Refused } from '../ground/errors.ts'
import { recordedMeanwhile } from '../questions/bench.ts'
import { wallAtStick } from '../questions/today.ts'
import { type Acting, performed, statusOf, whyNot } from './acts/act.ts'
import { asksAsDevice, notTaken, toldToDevice } from './device-doors.ts'

/** Larger than any test that the service takes. */
const largestTest = 500_000

/**
 * The hour is that of beginning, by the clock on the wall where the stick lies. Another test that was recorded since,
 * and of which the sender does not know, is told first.
 * @throws Refused where it is not taken, and no device asks
 */
export async function recordFromBench(acting: Acting, context: Context): Promise<Response> {
  const id = acting.params.id ?? ''
  const typed = new URLSearchParams(await textOf(context))
  const [factId, knows, enteredAt] = ['factId', 'knows', 'enteredAt'].map((name) => typed.get(name) ?? '') as [
    string,
    string,
    string,
  ]
  try {
    const { newest, stands } = await recordedMeanwhile(acting.by, id, factId)
    if (newest !== null && newest.factId !== knows && !stands && asksAsDevice(context))
      return toldToDevice(409, { is: 'another test', newest })
    const body = { ...testIn(typed.get('test') ?? ''), ...(await whenBegun(acting, id, enteredAt)), factId }
    await performed({ method: 'POST', path: '/v1/sticks/:id/bench-tests' }, { ...acting, query: {} }, body)
  } catch (error) {
    if (!(error instanceof Refused) || !asksAsDevice(context)) throw error
    return refusedToDevice(error.refusal, acting)
  }
  const goTo = `/sticks/${encodeURIComponent(id)}/bench-tests/${encodeURIComponent(factId)}?done=recorded`
  return asksAsDevice(context)
    ? toldToDevice(200, { is: 'recorded', goTo, before: false })
    : context.redirect(goTo, 303)
}

async function textOf(context: Context): Promise<string> {
  const text = await context.req.text()
  if (text.length <= largestTest) return text
  throw invalid({ pointer: '', came: text.length, expected: { is: 'right: letters at most', most: largestTest } })
}

function testIn(text: string): object {
  try {
    const test: unknown = JSON.parse(text)
    if (typeof test === 'object' && test !== null) return test
  } catch {
    // told below, as any other fault of the body is
  }
  throw invalid({ pointer: '/test', came: text.slice(0, 40), expected: 'JSON' })
}

async function whenBegun({ by }: Acting, stickId: string, enteredAt: string) {
  if (!isInstant(enteredAt)) throw invalid({ pointer: '/enteredAt', came: enteredAt, expected: 'an instant' })
  const { day, hour } = await wallAtStick(by, stickId, enteredAt)
  return { testedOn: day, at: hour }
}

function refusedToDevice(refusal: Refusal, { wording }: Acting): Response {
  const stands = refusal.kind === 'refused' && refusal.reasons.some(({ code }) => code === 'fact-id-used')
  if (stands) return toldToDevice(409, { is: 'recorded', goTo: '', before: true })
  return notTaken(statusOf(refusal), whyNot(refusal, wording))
}
