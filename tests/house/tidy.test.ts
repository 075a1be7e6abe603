/** The rules of tidiness bite: each is shown what it must find, and beside it what it must leave alone. */
import { describe, expect, test } from 'vitest'
import { commentsOf, opensWithoutSubject } from './comments.ts'
import { measure } from './measures.ts'
import { houseAt } from './reading.ts'
import {
  atMost,
  commentsWithoutSubject,
  functionsOver,
  functionsWithManyParameters,
  linesOver,
  namesExportedTwice,
  pathsGone,
  ratchet,
  subjectsOver,
} from './tidy.ts'

const file = (path: string, text: string) => measure({ path, text })

describe('what is known may only shrink', () => {
  const found = [{ what: 'old', where: 'a.ts' }]

  test('what is known passes, and what is new does not', () => {
    expect(ratchet(found, ['old'])).toEqual([])
    expect(ratchet([...found, { what: 'new', where: 'b.ts' }], ['old'])).toEqual(['new: b.ts'])
  })

  test('what is tidy by now has to leave the list', () => {
    expect(ratchet(found, ['old', 'gone'])).toEqual([expect.stringMatching(/^gone: tidy by now/)])
  })

  test('a share passes up to its ceiling', () => {
    expect(atMost(0.25, { count: ['a'], of: 4, what: 'things' })).toEqual([])
    expect(atMost(0.25, { count: ['a', 'b'], of: 4, what: 'things' })).toEqual(['2 things, at most 1: a, b'])
  })
})

describe('an exported name stands in one file', () => {
  test.each([
    'export function one() {}',
    'export async function* one() {}',
    'export const one = 1',
    'export const { a: one } = { a: 1 }',
    'export const [one] = [1]',
    'export interface one {}',
    'export type one = 1',
    'export class one {}',
    'const one = 1\nexport { one }',
    'const two = 1\nexport { two as one }',
  ])('%s', (text) => {
    expect(namesExportedTwice([file('a.ts', 'export const one = 1'), file('b.ts', text)])).toEqual([
      { what: 'one', where: 'exported by a.ts and b.ts' },
    ])
  })

  test('what is handed on, what is not exported, and the handlers that Lambda calls are left alone', () => {
    const handler = 'export const handler = () => 1'
    expect(
      namesExportedTwice([
        file('a.ts', 'export const one = 1\nexport type two = 1\nexport type { two as three }'),
        file('b.ts', "export { one } from './a.ts'\nconst two = 1\nexport default function three() { return two }"),
        file('functions/a/index.ts', handler),
        file('functions/b/index.ts', handler),
      ]),
    ).toEqual([])
    expect(namesExportedTwice([file('functions/a/a.ts', handler), file('functions/b/b.ts', handler)])).toHaveLength(1)
  })
})

describe('functions', () => {
  const body = '{\n  f()\n}'

  test.each([
    `function long() ${body}`,
    `const long = () => ${body}`,
    `const long = function () ${body}`,
    `class A {\n  long() ${body}\n}`,
    `class A {\n  long = () => ${body}\n}`,
    `const a = {\n  long() ${body},\n}`,
    `const a = {\n  long: () => ${body},\n}`,
  ])('a long one is found: %s', (text) => {
    const one = file('a.ts', text)
    expect(functionsOver(3, [one])).toEqual([])
    expect(functionsOver(2, [one])).toEqual([{ what: 'a.ts long', where: expect.stringMatching(/^3 lines/) }])
  })

  test('those with four parameters or more are a share of all', () => {
    const files = [file('a.ts', 'const f = (a, b, c) => a\n\nfunction g(a, b, c, d) {}')]
    expect(functionsWithManyParameters(files, 0.5)).toEqual([])
    expect(functionsWithManyParameters(files, 0.4)).toEqual([expect.stringMatching(/^1 functions.*a\.ts:3$/)])
  })
})

test('a line is as long as its characters', () => {
  expect(linesOver(5, [file('a.ts', '12345\n1 3456\n’’’’’\n')])).toEqual(['a.ts:2'])
})

test('a line that nothing can break is left alone: a long word, and in Markdown a heading or a row of a table', () => {
  const lines = ['https://a.example', '  // 4567', '| 3 | 5 |', '# 3 567', '  345 7']
  const at = (path: string) => linesOver(6, [{ path, lines }])
  expect(at('a.ts')).toEqual(['a.ts:2', 'a.ts:3', 'a.ts:4', 'a.ts:5'])
  expect(at('a.md')).toEqual(['a.md:2', 'a.md:5'])
})

describe('comments', () => {
  const comments = (text: string) => commentsOf({ path: 'a.ts', text })
  const words = (text: string) => comments(text).map((one) => one.text)

  test.each([
    '// It is held.',
    '/** What holds it. */',
    '/**\n * Of a stick.\n */',
    'const a = 1 // because of that',
    'const a = {\n  // if it is wet\n  b: 1,\n}',
    '// `whether` it rains',
  ])('one that opens without a subject is found: %s', (text) => {
    expect(comments(text).map(opensWithoutSubject)).toEqual([true])
    expect(commentsWithoutSubject(comments(text), 0.5)).toEqual([expect.stringContaining('a.ts:')])
  })

  test.each(['// A stick is held.', '/** `stick`: the one that is tested. */'])(
    'one that opens with its subject is left alone: %s',
    (text) => {
      expect(comments(text).map(opensWithoutSubject)).toEqual([false])
    },
  )

  test('lines of one comment are one, orders to tools are none, and texts in strings are none', () => {
    expect(words('// A stick\n// that is held\nconst a = 1')).toEqual(['A stick\nthat is held'])
    expect(words('// A stick\n\n// Its test')).toEqual(['A stick', 'Its test'])
    expect(words('/** @type {A} */\n// biome-ignore lint: it is so\nconst a = 1')).toEqual([])
    expect(words("const a = '// it'\nconst b = `/* it */`")).toEqual([])
  })
})

describe('paths on pages for people', () => {
  const tree = ['cdk', 'cdk/local', 'cdk/local/mail.ts', 'seed', 'seed/a.ts', 'seed/b.test.ts']
  const gone = (text: string) => pathsGone([{ path: 'README.md', text }], tree)

  test.each([
    ['look at `seed/c.ts`', 'seed/c.ts'],
    ['`c.ts`', 'c.ts'],
    ['`seeds/`', 'seeds/'],
    ['`seed/gone`', 'seed/gone'],
    ['`seed/*.mjs`', 'seed/*.mjs'],
    ['`seed/{c,d}.ts`', 'seed/{c,d}.ts'],
    ['`seed/<name>.js`', 'seed/<name>.js'],
    ['`cdk/local/`: `a.ts`', 'a.ts'],
    ['| x | `cdk/`: `mail.ts`, `a.ts` |', 'a.ts'],
  ])('%s', (text, path) => {
    expect(gone(`# Pages\n${text}`)).toEqual([`README.md:2: ${path} is not there`])
  })

  test.each([
    '`seed/`, `cdk/local` and `cdk/local/mail.ts`',
    '`mail.ts`, `local/mail.ts`',
    '`seed/*.ts`, `seed/{a,c}.ts`, `<name>.test.ts`, `**/b.*.ts`',
    '`/v1/openapi.json`, `npm run a.ts`, `x/y` and `cdk.out/a.json`',
    '`seed/`: `a.ts`; `mail.ts`',
    '```\n`c.ts`\n```',
  ])('left alone: %s', (text) => {
    expect(gone(text)).toEqual([])
  })
})

test('the subject of a commit has a most', () => {
  const subject = 'Hold a stick'
  expect(subjectsOver(12, [subject])).toEqual([])
  expect(subjectsOver(11, [subject])).toEqual([expect.stringContaining(subject)])
})

test('the house is seen: sources, tests, pages and folders', () => {
  const { product, tests, pages, paths } = houseAt(process.cwd())
  const has = (files: readonly { path: string }[], path: string) => files.some((one) => one.path === path)
  expect(has(product, 'shared-domain/calendar.ts') && has(product, 'cdk/local/start.ts')).toBe(true)
  expect(has(tests, 'tests/house/tidy.test.ts') && has(tests, 'vitest.config.ts')).toBe(true)
  expect(pages.map(({ path }) => path).sort()).toEqual(
    expect.arrayContaining(['DEVELOPERS.md', 'README.md', 'cdk/local/README.md']),
  )
  expect(paths).toEqual(expect.arrayContaining(['shared-domain', '.ci/run', 'tests/house/tidy.ts']))
  expect(paths.some((path) => path.includes('node_modules'))).toBe(false)
})
