// `npm run mutate`: whether the tests notice when a piece of the verdict or of the due dates is changed.

export default {
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: 'tests/mutation/vitest.config.ts' },
  mutate: ['shared-domain/bench-test/*.ts', 'shared-domain/policy/*.ts', 'shared-domain/calendar.ts'],
  // not copied: the suites need nothing of these
  ignorePatterns: ['.ci', '.local', 'cdk', 'cdk.out', 'dist', 'functions', 'seed', 'tests/browser'],
  reporters: ['clear-text', 'json'],
  clearTextReporter: { reportTests: false },
  jsonReporter: { fileName: 'reports/mutation.json' },
  tempDirName: 'reports/mutants',
  cleanTempDir: 'always',
  thresholds: { high: 100, low: 95, break: 90 },
  concurrency: 2,
}
