/** The settable clock: what functions see of it, and what it starts. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { parseInstant, settableClock } from '../../cdk/local/clock.ts'
import { occurrences } from '../../cdk/local/functions/schedules.ts'
import { type FixtureStack, startFixtureStack } from './fixture-stack.ts'

describe('an instant', () => {
  test.each([
    ['2026-03-02T08:00:00-06:00', '2026-03-02T14:00:00.000Z'],
    ['2026-03-02T15:00Z', '2026-03-02T15:00:00.000Z'],
    ['2024-02-29T00:00:00.5+05:45', '2024-02-28T18:15:00.500Z'],
  ])('%s is read', (text, instant) => {
    expect(new Date(parseInstant(text) ?? Number.NaN).toISOString()).toBe(instant)
  })

  test.each([
    '2026-03-02',
    '2026-03-02T08:00:00',
    'tomorrow',
    '2026-02-30T00:00:00Z',
    '2026-13-01T00:00:00Z',
    5,
    null,
    undefined,
  ])('%j is refused, since it would mean another instant elsewhere or none', (given) => {
    expect(parseInstant(given)).toBeUndefined()
  })
})

test('the clock runs on from where it is set', async () => {
  const clock = settableClock(Date.UTC(2028, 1, 29))
  const first = clock.now()
  await new Promise((resolve) => setTimeout(resolve, 30))
  expect(clock.now() - first).toBeGreaterThanOrEqual(25)
  expect(first - Date.UTC(2028, 1, 29)).toBeLessThan(1000)
})

describe('a schedule', () => {
  const next = (expression: string, after: string, zone = 'UTC') =>
    new Date(occurrences(expression, zone)(Date.parse(after))).toISOString()

  test.each([
    ['cron(0 * * * ? *)', '2026-03-02T15:00:00Z', '2026-03-02T16:00:00.000Z'],
    ['cron(0 * * * ? *)', '2026-03-02T15:59:59.999Z', '2026-03-02T16:00:00.000Z'],
    ['cron(30 6 ? * MON-FRI *)', '2026-03-06T07:00:00Z', '2026-03-09T06:30:00.000Z'],
    // Sunday is 1
    ['cron(0 12 ? * 1 *)', '2026-03-02T15:00:00Z', '2026-03-08T12:00:00.000Z'],
    ['rate(5 minutes)', '2026-03-02T15:02:00Z', '2026-03-02T15:07:00.000Z'],
    ['rate(1 day)', '2026-03-02T15:02:00Z', '2026-03-03T15:02:00.000Z'],
  ])('%s after %s is due at %s', (expression, after, due) => {
    expect(next(expression, after)).toBe(due)
  })

  test('in a zone follows its wall clock', () => {
    expect(next('cron(0 6 * * ? *)', '2026-03-07T13:00:00Z', 'America/Chicago')).toBe('2026-03-08T11:00:00.000Z')
  })

  test('that is not known is named', () => {
    expect(() => occurrences('at(2026-03-02T15:00:00)', 'UTC')).toThrow('at(')
    expect(() => occurrences('rate(5 moons)', 'UTC')).toThrow('moons')
  })
})

describe('the clock of a stack', () => {
  let stack: FixtureStack
  beforeAll(async () => {
    stack = await startFixtureStack({ now: '2026-03-02T14:30:00Z' })
  })
  afterAll(() => stack?.stop())

  interface Run {
    readonly ran: string
    readonly now: string
  }
  const runs = () => stack.logged<Run>('ran').map(({ ran, now }) => `${ran} ${now.slice(0, 16)}`)

  async function runsAfter(act: () => Promise<unknown>): Promise<string[]> {
    const before = runs().length
    await act()
    await stack.settle()
    return runs().slice(before).sort()
  }

  test('starts where it is told to, and is what the functions see', async () => {
    const { now } = (await stack.call('GET', '/local/clock', undefined, '')).json as { now: string }
    expect(now).toMatch(/^2026-03-02T14:30:/)
    const seen = (await stack.call('GET', '/v1/now')).json as Record<string, unknown>
    expect(seen).toMatchObject({
      new: expect.stringMatching(/^2026-03-02T14:30:/),
      is: true,
      kept: 0,
      text: expect.stringContaining('Mar 02 2026 14:30'),
    })
    expect(Math.abs(Number(seen.now) - Date.parse(now))).toBeLessThan(5000)
  })

  test('a jump forward runs each schedule that fell due once, at the new time, however often it fell due', async () => {
    expect(await runsAfter(() => stack.clock('2026-09-02T15:00:00Z'))).toEqual([
      'sweep 2026-09-02T15:00',
      'unsent 2026-09-02T15:00',
    ])
  })

  test('a jump over no due instant runs nothing', async () => {
    expect(await runsAfter(() => stack.clock('2026-09-02T15:01:00Z'))).toEqual([])
  })

  test('a jump over some runs those', async () => {
    expect(await runsAfter(() => stack.clock('2026-09-02T15:10:00Z'))).toEqual(['unsent 2026-09-02T15:10'])
  })

  test('a jump back runs nothing; forward again runs them again', async () => {
    expect(await runsAfter(() => stack.clock('2026-03-02T15:00:00Z'))).toEqual([])
    expect(await runsAfter(() => stack.clock('2026-03-02T16:00:00Z'))).toEqual([
      'sweep 2026-03-02T16:00',
      'unsent 2026-03-02T16:00',
    ])
  })

  test('schedules fire by themselves as it runs on', async () => {
    expect(
      await runsAfter(async () => {
        await stack.clock('2026-03-02T16:59:59.500Z')
        await stack.settle()
        await new Promise((resolve) => setTimeout(resolve, 900))
      }),
    ).toEqual(['sweep 2026-03-02T17:00', 'unsent 2026-03-02T16:59'])
  })

  test('a run that throws is tried twice again and then lies in the dead letters', async () => {
    expect(await runsAfter(() => stack.clock('2031-01-01T00:00:00Z'))).toEqual([
      ...Array.from({ length: 3 }, () => 'sweep 2031-01-01T00:00'),
      'unsent 2031-01-01T00:00',
    ])
    expect(await stack.queue('MissedRuns')).toMatchObject([
      {
        requestContext: { condition: 'RetriesExhausted', approximateInvokeCount: 3 },
        requestPayload: { kind: 'sweep' },
      },
    ])
  })

  test('an instant that is none is refused and changes nothing', async () => {
    for (const body of [{ now: '2026-03-02' }, { now: 5 }, {}, 'no JSON']) {
      expect((await stack.call('PUT', '/local/clock', body, '')).status).toBe(422)
    }
    expect((await stack.call('GET', '/v1/now')).json).toMatchObject({ new: expect.stringMatching(/^2031-01-01T00:00/) })
  })
})
