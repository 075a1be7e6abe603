import { existsSync } from 'node:fs'
import { defineConfig } from 'vitest/config'

/** Suites that start the local stack or synthesise the template: few at a time, and after the bundles are built. */
const heavy = ['journeys', 'stack', 'browser', 'bench'].map((folder) => `tests/${folder}/**/*.test.ts`)

/** All that works without a stack, run again wherever a calendar is odd: behind UTC, across the date line, half and quarter hours, southern summer. */
const calendar = ['tests/{domain,published,functions,seed}/**/*.test.ts']
/** Many random cases that no zone of the host touches, and counts in zones of their own: once is enough. */
const onceOnly = [
  'tests/domain/bench-test/properties.test.ts',
  'tests/domain/policy/properties.test.ts',
  'tests/functions/two-years.test.ts',
  'tests/functions/danger-properties.test.ts',
  'tests/functions/fuzz.test.ts',
  'tests/functions/bounds.test.ts',
  'tests/functions/api-hostile.test.ts',
]
const zones = ['America/Los_Angeles', 'Pacific/Apia', 'America/St_Johns', 'Asia/Kathmandu', 'America/Santiago']

// a process of its own for each worker: a thread cannot change its time zone
const inZone = (zone: string) => ({ pool: 'forks' as const, env: { TZ: zone }, setupFiles: ['tests/house/in-zone.ts'] })

export default defineConfig({
  test: {
    passWithNoTests: false,
    reporters: ['default', ['json', { outputFile: 'reports/vitest.json' }]],
    projects: [
      {
        test: {
          ...inZone('UTC'),
          name: 'pure',
          include: ['tests/**/*.test.ts'],
          exclude: heavy,
          testTimeout: 60_000,
        },
      },
      ...zones.map((zone) => ({
        test: {
          ...inZone(zone),
          name: zone,
          include: calendar,
          exclude: onceOnly,
          isolate: false,
          testTimeout: 60_000,
        },
      })),
      {
        test: {
          ...inZone('UTC'),
          name: 'local stack',
          include: heavy,
          globalSetup: existsSync('tests/build-once.ts') ? ['tests/build-once.ts'] : [],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
          testTimeout: 60_000,
          // The demo fleet goes in through the doors, fact by fact: about two minutes where both cores are busy.
          hookTimeout: 300_000,
        },
      },
    ],
  },
})
