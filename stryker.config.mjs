// `npm run mutate`: whether the tests notice when a piece of the verdict, of the due dates, of a stick's state, of
// what is owed or of how it is said is changed. By folder: `-- --mutate 'shared-domain/state/*.ts'`. What
// did not change since is not run again.

export default {
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: 'tests/mutation/vitest.config.ts' },
  mutate: [
    ...['bench-test/*', 'policy/*', 'state/*', 'notices/*', 'loosening/*', 'slips/*', 'calendar', 'correcting'],
    ...['wording', 'catalogue/say'],
  ].map((one) => `shared-domain/${one}.ts`),
  incremental: true,
  incrementalFile: 'reports/mutation-known.json',
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
