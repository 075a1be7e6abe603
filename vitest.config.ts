import { spawnSync } from 'node:child_process'
import { existsSync, rmSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** Suites that start the local stack or synthesise the template: few at a time, and after the bundles are built. */
const heavy = ['journeys', 'stack', 'browser', 'bench'].map((folder) => `tests/${folder}/**/*.test.ts`)

/**
 * `npm run test:all`: everything, wherever it may matter. `npm test` takes of what is large what is this commit's turn.
 */
const isWhole = process.env.WHOLE === 'yes'
/** The whole takes ten times as many random cases; how fast the machine is does not matter here. */
const testTimeout = isWhole ? 900_000 : 60_000
const commit = spawnSync('git', ['rev-parse', 'HEAD'], { encoding: 'utf8' }).stdout?.trim() ?? ''
process.env.COMMIT = commit

/** Commands, threads and workers of a run take what an earlier one has compiled; each run begins with nothing. */
const compiled = join(import.meta.dirname, 'reports/compiled')
rmSync(compiled, { recursive: true, force: true })
process.env.NODE_COMPILE_CACHE = compiled

/**
 * Where the zone of the host could matter, since a zone, a calendar or a mail is asked for dates there; the domain
 * itself is kept from it by lint. Run again wherever a calendar is odd: behind UTC, across the date line, half and
 * quarter hours, southern summer. The whole takes all that works without a stack.
 */
const calendar = isWhole
  ? ['tests/{domain,published,functions,seed}/**/*.test.ts']
  : [
      'tests/domain/calendar.test.ts',
      'tests/domain/notices/*.test.ts',
      'tests/domain/state/pairs.test.ts',
      'tests/published/{calendar,rfc-5545,us-29-cfr-1910-269-j}.test.ts',
      'tests/functions/{sweep,feeds,message,message-languages,pages,reindex,doubt}.test.ts',
      'tests/seed/*.test.ts',
    ]
/** Many random cases that no zone of the host touches, and counts in zones of their own: once is enough. */
const onceOnly = [
  'tests/domain/bench-test/properties.test.ts',
  'tests/domain/policy/properties.test.ts',
  'tests/domain/loosening/properties.test.ts',
  'tests/functions/one-person.test.ts',
  'tests/functions/two-years.test.ts',
  'tests/functions/danger-properties.test.ts',
  'tests/functions/great-fleet.test.ts',
  'tests/functions/great-use.test.ts',
  'tests/functions/fuzz.test.ts',
  'tests/functions/bounds.test.ts',
  'tests/functions/api-hostile.test.ts',
]
/** The longest first: one that began last would leave the other cores idle until it ends. */
const longest = [
  'simulation/simulation',
  'faults/faults',
  'functions/danger-properties',
  'functions/great-fleet',
  'functions/one-person',
  'domain/policy/properties',
  'functions/two-years',
  'domain/bench-test/properties',
  'browser/walk',
  'bench/bench',
  'browser/every-page',
  'stack/start',
  'journeys/alarms',
  'journeys/recalls',
  'journeys/due-dates',
  'browser/paper',
].map((name) => `tests/${name}.test.ts`)

/**
 * Long suites about one thing each row, of which a commit runs one. What they are about has a suite on every commit
 * too; `tests/README.md` says which.
 */
const inTurn = [
  ['browser/walk', 'browser/first-week', 'browser/pages', 'browser/bench'],
  ['browser/every-page', 'browser/paper', 'browser/roster', 'browser/recall', 'browser/plan', 'browser/imports'],
  ['journeys/asked-reminder', 'journeys/reminders', 'journeys/undelivered'],
  ['journeys/accounts', 'journeys/leavers', 'journeys/invitations'],
  ['journeys/corrections', 'journeys/labels', 'journeys/removal', 'journeys/plan', 'journeys/archive'],
  ['journeys/alarms', 'journeys/recalls', 'bench/bench'],
]

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification) => {
      const place = longest.findIndex((name) => moduleId.endsWith(name))
      return place < 0 ? longest.length : place
    }
    const group = ({ project }: TestSpecification) => project.config.sequence.groupOrder
    return (await super.sort(files)).toSorted((a, b) => group(a) - group(b) || rank(a) - rank(b))
  }
}

const oddZones = ['America/Los_Angeles', 'Pacific/Apia', 'America/St_Johns', 'Asia/Kathmandu', 'America/Santiago']
const turn = Number.parseInt(commit.slice(0, 8) || '0', 16)
/** Whoever names a file has it run, whosever turn it is. */
const isNamed = (name: string) => process.argv.some((one) => one.includes(name))
const notNow = isWhole
  ? []
  : inTurn.flatMap((row) => row.toSpliced(turn % row.length, 1).filter((one) => !isNamed(one)))
if (notNow.length > 0 && process.env.VITEST !== undefined)
  console.log(`Not the turn of this commit, and run by npm run test:all: ${notNow.join(', ')}`)
const zones = isWhole ? oddZones : [oddZones[turn % oddZones.length] ?? 'Pacific/Apia']

// a process of its own for each worker: a thread cannot change its time zone
const inZone = (zone: string) => ({ pool: 'forks' as const, env: { TZ: zone }, setupFiles: ['tests/house/in-zone.ts'] })

export default defineConfig({
  test: {
    passWithNoTests: false,
    // both cores of a small machine; left to itself the runner keeps one free
    maxWorkers: Math.max(2, availableParallelism() - 1),
    sequence: { sequencer: LongestFirst },
    reporters: ['default', ['json', { outputFile: 'reports/vitest.json' }]],
    projects: [
      {
        test: {
          ...inZone('UTC'),
          name: 'pure',
          include: ['tests/**/*.test.ts'],
          exclude: heavy,
          isolate: false,
          testTimeout,
          hookTimeout: 60_000,
        },
      },
      ...zones.map((zone) => ({
        test: {
          ...inZone(zone),
          name: zone,
          include: calendar,
          exclude: onceOnly,
          isolate: false,
          testTimeout,
          hookTimeout: 60_000,
        },
      })),
      {
        test: {
          ...inZone('UTC'),
          name: 'local stack',
          include: heavy,
          exclude: notNow.map((name) => `tests/${name}.test.ts`),
          isolate: false,
          globalSetup: existsSync('tests/build-once.ts') ? ['tests/build-once.ts'] : [],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
          testTimeout,
          // The demo fleet goes in through the doors, fact by fact: about two minutes where both cores are busy.
          hookTimeout: 300_000,
        },
      },
    ],
  },
})
