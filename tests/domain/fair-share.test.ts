/** Buckets by a clock that the test sets, and what speaks of danger. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Bucket, isFullBy, speaksOfDanger, takenFrom } from '../../shared-domain/fair-share.ts'

const share = { atOnce: 3, perSecond: 2 }

/** How each request at these milliseconds ends: nought admits it, else it is told to wait so many seconds. */
function asked(...times: readonly number[]): number[] {
  let bucket: Bucket | undefined
  return times.map((now) => {
    const taken = takenFrom(bucket, share, now)
    bucket = taken.bucket
    return taken.waitSeconds
  })
}

describe('a bucket', () => {
  test('admits so many at once, then so many a second', () => {
    expect(asked(0, 0, 0, 0, 500, 500, 1000)).toEqual([0, 0, 0, 1, 0, 1, 0])
  })

  test('never holds more than at once, however long nothing was asked', () => {
    expect(asked(0, 1e9, 1e9, 1e9, 1e9)).toEqual([0, 0, 0, 0, 1])
  })

  test('is filled by no clock that is set back', () => {
    expect(asked(10_000, 10_000, 10_000, 0, 0, 500)).toEqual([0, 0, 0, 1, 1, 0])
  })

  test('tells a wait after which the request is admitted', () => {
    const slow = { atOnce: 1, perSecond: 0.2 }
    const first = takenFrom(undefined, slow, 0)
    const { bucket, waitSeconds } = takenFrom(first.bucket, slow, 1000)
    expect(waitSeconds).toBe(4)
    expect(takenFrom(bucket, slow, 1000 + waitSeconds * 1000).waitSeconds).toBe(0)
  })

  test('admits over any time no more than it held and what came in', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(300), { minLength: 1, maxLength: 200 }), (gaps) => {
        const times = gaps.map((_, i) => gaps.slice(0, i + 1).reduce((sum, gap) => sum + gap, 0))
        const admitted = asked(...times).filter((wait) => wait === 0).length
        const span = ((times.at(-1) ?? 0) - (times[0] ?? 0)) / 1000
        expect(admitted).toBeLessThanOrEqual(share.atOnce + Math.floor(span * share.perSecond) + 1e-9)
      }),
    )
  })

  test('is full again once it would be', () => {
    const { bucket } = takenFrom(undefined, share, 0)
    expect([499, 500].map((now) => isFullBy(now, bucket, share))).toEqual([false, true])
  })
})

test.each([
  [{ kind: 'tingle' }, true],
  [{ to: 'missing' }, true],
  [{ to: 'found' }, true],
  [{ sound: false }, true],
  // in doubt it is
  [{ sound: 'no' }, true],
  [undefined, true],
  [null, true],
  ['tingle', true],
  [{ to: { crewId: 'CR-1' } }, false],
  [{ to: 'scrapped' }, false],
  [{ sound: true }, false],
])('%j speaks of danger: %s', (sent, is) => {
  expect(speaksOfDanger(sent)).toBe(is)
})
