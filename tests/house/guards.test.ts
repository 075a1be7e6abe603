/** The checks of the source bite: each is shown what it must refuse. */
import { spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, resolve } from 'node:path'
import { ESLint } from 'eslint'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { checkDependencies } from './dependencies.ts'

describe('who imports whom', () => {
  const made: string[] = []
  afterAll(() => {
    for (const root of made) rmSync(root, { recursive: true })
  })

  const packages = {
    'package.json': JSON.stringify({
      type: 'module',
      dependencies: { zod: '1.0.0', hono: '1.0.0' },
      devDependencies: { vitest: '1.0.0', '@types/aws-lambda': '1.0.0' },
    }),
    ...Object.fromEntries(
      ['zod', 'luxon', 'hono', 'vitest', 'stray'].flatMap((name) => [
        [`node_modules/${name}/package.json`, JSON.stringify({ name, type: 'module', exports: './index.js' })],
        [`node_modules/${name}/index.js`, 'export const it = 1'],
      ]),
    ),
    'node_modules/@types/aws-lambda/package.json': '{ "name": "@types/aws-lambda", "types": "index.d.ts" }',
    'node_modules/@types/aws-lambda/index.d.ts': 'export interface Context {}',
  }

  async function violations(files: Record<string, string>): Promise<readonly string[]> {
    const root = mkdtempSync(join(tmpdir(), 'quarterturn-'))
    made.push(root)
    for (const [path, text] of Object.entries({ ...packages, ...files })) {
      mkdirSync(dirname(join(root, path)), { recursive: true })
      writeFileSync(join(root, path), text)
    }
    const found = await checkDependencies(root)
    expect(found.unseen).toEqual([])
    expect(found.files).toBe(Object.keys(files).length)
    return found.violations
  }

  const nothing = 'export const it = 1\n'

  test('what the design allows is allowed', async () => {
    const found = await violations({
      'shared-domain/registers.ts':
        "import { it } from 'zod'\nexport const stick = it\nexport type Stick = typeof it\n",
      'shared-domain/stick.ts': "import type { Stick } from './registers.ts'\nexport const stick: Stick[] = []\n",
      'functions/store/table.ts': "import { stick } from '../../shared-domain/stick.ts'\nexport const table = stick\n",
      'functions/api/index.ts':
        "import type { Context } from 'aws-lambda'\nimport { it } from 'hono'\nimport 'node:crypto'\nimport { table " +
        "} from '../store/table.ts'\nimport { route } from './route.ts'\nexport const api = (_: Context) => [it, " +
        'table, route]\n',
      'functions/api/route.ts': nothing,
      'functions/store/table-shape.ts':
        "import type { Stick } from '../../shared-domain/registers.ts'\nexport const shape: Stick[] = []\n",
      'cdk/table.ts': "import { shape } from '../functions/store/table-shape.ts'\nexport const table = shape\n",
      'cdk/local/start.ts': "import { it } from 'vitest'\nexport const start = it\n",
      'tests/domain/stick.test.ts': "import { stick } from '../../shared-domain/stick.ts'\nexport const its = stick\n",
    })
    expect(found).toEqual([])
  })

  test.each([
    ['shared-domain/a.ts', "import 'node:fs'", 'domain-imports-pure-packages'],
    ['shared-domain/a.ts', "import { it } from 'hono'\nexport const a = it", 'domain-imports-pure-packages'],
    ['shared-domain/a.ts', "import { it } from 'luxon'\nexport const a = it", 'domain-imports-pure-packages'],
    ['shared-domain/a.ts', "export const a = import('../functions/api/b.ts')", 'domain-imports-pure-packages'],
    ['shared-domain/a.ts', "import { it } from 'zod'\nexport const a = it", 'rules-ask-no-schema'],
    ['shared-domain/a.ts', "import { it } from './registers.ts'\nexport const a = it", 'rules-ask-no-schema'],
    ['functions/store/a.ts', "import '../../shared-domain/text.ts'", 'rules-ask-no-schema'],
    ['functions/sweep/a.ts', "import type { B } from '../api/b.ts'\nexport type A = B", 'door-stays-in-its-own-folder'],
    ['functions/sweep/a.ts', "import '../../cdk/b.ts'", 'door-stays-in-its-own-folder'],
    ['functions/store/a.ts', "import '../api/b.ts'", 'room-store'],
    ['functions/store/a.ts', "import '../questions/b.ts'", 'room-store'],
    ['functions/web/a.ts', "import '../questions/b.ts'", 'room-web'],
    ['functions/questions/a.ts', "import '../recording/b.ts'", 'room-questions'],
    ['functions/ground/a.ts', "import '../store/b.ts'", 'room-ground'],
    ['functions/recording/a.ts', "import '../web/b.ts'", 'room-recording'],
    ['functions/pages/a.ts', "import '../store/b.ts'", 'pages-and-feeds-ask'],
    [
      'functions/feed/a.ts',
      "import type { it } from '../store/b.ts'\nexport type A = typeof it",
      'pages-and-feeds-ask',
    ],
    ['functions/pages/a.ts', "import '../recording/b.ts'", 'pages-and-feeds-ask'],
    ['functions/a.ts', "import './api/b.ts'", 'function-file-in-a-folder'],
    ['functions/sweep/a.ts', "import { it } from 'vitest'\nexport const a = it", 'function-imports-shipped-packages'],
    ['functions/sweep/a.ts', "import { it } from 'stray'\nexport const a = it", 'package-in-package-json'],
    ['cdk/a.ts', "import '../functions/api/b.ts'", 'cdk-refers-by-path'],
    ['cdk/a.ts', "import '../shared-domain/b.ts'", 'cdk-refers-by-path'],
    ['cdk/a.ts', "import '../functions/store/b.ts'", 'cdk-refers-by-path'],
    ['functions/store/table-shape.ts', "import './b.ts'", 'table-shape-is-data'],
    ['functions/store/table-shape.ts', "import { it } from 'zod'\nexport const a = it", 'table-shape-is-data'],
    ['cdk/a.ts', "import './local/b.ts'", 'deployed-stack-without-local-parts'],
    ['seed/a.ts', "import '../tests/b.ts'", 'nothing-imports-tests'],
    ['cdk/a.ts', "import './b.ts'", 'no-circles'],
    ['cdk/a.ts', "import './gone.ts'", 'import-leads-somewhere'],
  ])('%s: %s', async (path, text, rule) => {
    const found = await violations({
      [path]: `${text}\n`,
      'functions/api/b.ts': 'export interface B { readonly it: 1 }\n',
      'functions/store/b.ts': nothing,
      'functions/questions/b.ts': nothing,
      'functions/recording/b.ts': nothing,
      'functions/web/b.ts': nothing,
      'shared-domain/b.ts': nothing,
      'shared-domain/registers.ts': nothing,
      'shared-domain/text.ts': nothing,
      'cdk/b.ts': rule === 'no-circles' ? "import './a.ts'\n" : nothing,
      'cdk/local/b.ts': nothing,
      'tests/b.ts': nothing,
    })
    expect(found.map((violation) => violation.split(':')[0])).toContain(rule)
    expect(found.every((violation) => violation.includes(path))).toBe(true)
  })
})

describe('lint with types', () => {
  /** Files of each kind: to know the types of the whole house takes longer than all else here. */
  const files = [
    'shared-domain/reason.ts',
    'tests/domain/in-force.test.ts',
    'functions/requests/sticks.ts',
    'functions/requests/answer-schemas.ts',
    'functions/store/sticks.ts',
    'cdk/stack.ts',
    'tests/house/dependencies.ts',
  ]
  const cwd = mkdtempSync(join(tmpdir(), 'quarterturn-'))
  afterAll(() => rmSync(cwd, { recursive: true }))
  let eslint: ESLint
  beforeAll(() => {
    for (const file of ['eslint.config.js', '.oxlintrc.json', 'tsconfig.json', 'package.json'])
      cpSync(file, join(cwd, file))
    symlinkSync(resolve('node_modules'), join(cwd, 'node_modules'))
    for (const file of files) {
      mkdirSync(dirname(join(cwd, file)), { recursive: true })
      writeFileSync(join(cwd, file), 'export const it = 1\n')
    }
    eslint = new ESLint({ cwd })
  })

  /** the rules that refuse `text`, were it in the file at `path` */
  async function refusals(path: string, text: string): Promise<readonly (string | null)[]> {
    const results = await eslint.lintText(`${text}\n`, { filePath: path })
    return results.flatMap(({ messages }) => messages.map(({ ruleId, message }) => ruleId ?? message))
  }

  test.each([
    ['export function f() { g() }\nasync function g() {}', 'no-floating-promises'],
    ['export const f = () => { [1].forEach(async () => {}) }', 'no-misused-promises'],
    ['export async function f() { await 1 }', 'await-thenable'],
    [
      "export function f(word: 'dry' | 'wet'): number {\n  switch (word) {\n    case 'dry': return 1\n  }\n  return " +
        '2\n}',
      'switch-exhaustiveness-check',
    ],
  ])('by its types: %s', (text, rule) => {
    const file = join(cwd, 'tests/house/dependencies.ts')
    writeFileSync(file, `${text}\n`)
    const { status, stdout } = spawnSync('oxlint', ['--format', 'json', 'tests'], { cwd, encoding: 'utf8' })
    writeFileSync(file, 'export const it = 1\n')
    const { diagnostics } = JSON.parse(stdout) as { diagnostics: { code: string }[] }
    expect([status, diagnostics.map(({ code }) => code)]).toEqual([1, [`typescript(${rule})`]])
  })

  test.each([
    'export function f() { g() }\nasync function g() {}',
    'export const f = () => { [1].forEach(async () => {}) }',
    'export async function f() { await 1 }',
  ])('the domain and its tests wait for nothing: %s', async (text) => {
    for (const path of ['shared-domain/reason.ts', 'tests/domain/in-force.test.ts'])
      expect(await refusals(path, text)).toContain('no-restricted-syntax')
  })

  test.each([
    ['export const f = () => Date.now()', 'no-restricted-globals'],
    ['export const f = () => new Date()', 'no-restricted-globals'],
    ["export const f = () => process.env.TZ ?? ''", 'no-restricted-globals'],
    ["export const f = () => fetch('/')", 'no-restricted-globals'],
    ["export const f = () => console.log('')", 'no-restricted-globals'],
    ['export const f = () => crypto.randomUUID()', 'no-restricted-globals'],
    ['export const f = () => Math.random()', 'no-restricted-properties'],
    ["export const f = (at: number) => new Intl.DateTimeFormat('en-US').format(at)", 'no-restricted-syntax'],
    [
      "export const f = (at: number) => new Intl.DateTimeFormat('en-US', { hour: 'numeric' }).format(at)",
      'no-restricted-syntax',
    ],
    ['export const f = (a: string, b: string) => a.localeCompare(b)', 'no-restricted-syntax'],
    ['let calls = 0\nexport const f = () => ++calls', 'no-restricted-syntax'],
    ['export const f = async () => 1', 'no-restricted-syntax'],
    ['export const f = (one: object) => Promise.resolve(one)', 'no-restricted-globals'],
    ["export const f = () => import('./fault.ts')", 'no-restricted-syntax'],
    ['export const f = (schema: { parseAsync: () => object }) => schema.parseAsync()', 'no-restricted-syntax'],
  ])('only in the domain: %s', async (text, rule) => {
    expect(await refusals('shared-domain/reason.ts', text)).toEqual([rule])
    expect(await refusals('tests/house/dependencies.ts', text)).toEqual([])
  })

  test('a file of the API is about one subject, and more than three arguments have a name', async () => {
    const long = Array.from({ length: 121 }, (_, i) => `export const a${i} = ${i}`).join('\n')
    expect(await refusals('functions/requests/sticks.ts', long)).toEqual(['max-lines'])
    expect(await refusals('functions/requests/answer-schemas.ts', long)).toEqual([])
    const many = 'export const f = (a: 1, b: 2, c: 3, d: 4) => [a, b, c, d]'
    const files = [
      'functions/requests/sticks.ts',
      'functions/store/sticks.ts',
      'shared-domain/reason.ts',
      'cdk/stack.ts',
    ]
    for (const file of files) expect(await refusals(file, many)).toEqual(['max-params'])
    expect(await refusals('tests/house/dependencies.ts', many)).toEqual([])
  })

  test('the domain may reckon with what it is given', async () => {
    const text =
      "export const f = (at: number, timeZone: string) => new Intl.DateTimeFormat('en-US', { timeZone }).format(at)"
    expect(await refusals('shared-domain/reason.ts', text)).toEqual([])
  })
})
