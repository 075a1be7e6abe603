// Only what the formatter's linter cannot say: the purity of the domain, and how much a function or a file may hold.
import { defineConfig, globalIgnores } from 'eslint/config'
import tseslint from 'typescript-eslint'

const clock = 'the domain knows no clock: today’s date and the present instant come in as arguments'
const chance = 'the domain knows no randomness: ids come in as arguments'
const waiting = 'the domain waits for nothing: what it needs comes in as arguments'
const surroundings = 'the domain touches nothing around it: pass in what it needs'
const waits = [
  ':function[async=true]',
  'AwaitExpression',
  'ForOfStatement[await=true]',
  'ImportExpression',
  'MemberExpression[property.name=/^async|Async$/]',
].map((selector) => ({ selector, message: waiting }))
const machineZone = 'this reads the zone of the machine: name the zone'

export default defineConfig(
  globalIgnores(['dist/', 'cdk.out/', '.local/', 'coverage/', 'reports/']),
  {
    files: ['**/*.ts'],
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    languageOptions: { parser: tseslint.parser },
  },
  {
    files: ['functions/**/*.ts', 'shared-domain/**/*.ts', 'cdk/**/*.ts'],
    // what more arguments are about has a name
    rules: { 'max-params': ['error', { max: 3 }] },
  },
  {
    // one subject a file; the schemas of answers are one
    files: ['functions/{api,requests}/**/*.ts'],
    ignores: ['functions/requests/*schemas*', 'functions/api/*generated*'],
    rules: { 'max-lines': ['error', { max: 120 }] },
  },
  {
    files: ['tests/domain/**/*.ts'],
    rules: {
      'no-restricted-globals': ['error', { name: 'Promise', message: waiting }],
      'no-restricted-syntax': ['error', ...waits],
    },
  },
  {
    files: ['shared-domain/**/*.ts'],
    rules: {
      'no-restricted-globals': [
        'error',
        { name: 'Promise', message: waiting },
        { name: 'Date', message: clock },
        { name: 'performance', message: clock },
        { name: 'Temporal', message: clock },
        { name: 'crypto', message: chance },
        ...[
          'process',
          'fetch',
          'console',
          'globalThis',
          'global',
          'require',
          'Buffer',
          'WebSocket',
          'XMLHttpRequest',
          'navigator',
          'localStorage',
          'setTimeout',
          'setInterval',
          'setImmediate',
          'queueMicrotask',
        ].map((name) => ({ name, message: surroundings })),
      ],
      'no-restricted-properties': ['error', { object: 'Math', property: 'random', message: chance }],
      'no-restricted-syntax': [
        'error',
        {
          selector: 'NewExpression[callee.property.name="DateTimeFormat"]:not(:has(Property[key.name="timeZone"]))',
          message: machineZone,
        },
        { selector: 'CallExpression[callee.property.name=/^(toLocal|diffNow|toRelative)$/]', message: surroundings },
        {
          selector: 'CallExpression[callee.property.name="localeCompare"][arguments.length<2]',
          message: 'this sorts by the language of the machine: name the locale, or compare with <',
        },
        { selector: 'MetaProperty[meta.name="import"]', message: surroundings },
        ...waits,
        {
          selector: 'Program > VariableDeclaration[kind="let"]',
          message: 'a module of the domain keeps nothing between calls',
        },
      ],
    },
  },
)
