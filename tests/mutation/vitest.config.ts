/**
 * `npm run mutate` tries each changed piece on these: the suites of the domain, in one zone, with fewer random tests.
 * SUITES names fewer folders: with `SUITES=state,notices` what no other suite is about costs no run of it. What the
 * rules say of a stick is asked in their own suites too.
 */
import { defineConfig } from 'vitest/config'

const folders = process.env.SUITES?.split(',')

export default defineConfig({
  test: {
    include:
      folders === undefined
        ? [
            'tests/domain/{bench-test,policy,state,notices,loosening,slips,correcting,wording}/**/*.test.ts',
            'tests/domain/calendar.test.ts',
            'tests/published/**/*.test.ts',
          ]
        : [
            ...folders.map((folder) => `tests/domain/${folder}/**/*.test.ts`),
            'tests/published/{interval-rules,us-29-cfr-1910-269-j}.test.ts',
          ],
    // about a file that a door writes, and doors are not mutated
    exclude: ['tests/published/rfc-5545.test.ts'],
    // a mutant that a hundred tests of each property do not find is left to the examples
    env: { PROPERTY_RUNS: '100' },
    isolate: false,
    setupFiles: ['tests/house/in-zone.ts', 'tests/mutation/setup.ts'],
    testTimeout: 60_000,
  },
})
