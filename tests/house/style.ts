/** `npm run style`: measures of how the source reads, as a table. */
import { readFileSync } from 'node:fs'
import { dirname } from 'node:path'
import ts from 'typescript'
import { commentsOf, opensWithoutSubject } from './comments.ts'
import { measure, type Source } from './measures.ts'
import { houseAt } from './reading.ts'
import { functionsOver, linesOver, namesExportedTwice } from './tidy.ts'

const { product, tests, paths } = houseAt(process.cwd())
const files = product.map(measure)
const lines = files.flatMap((file) => file.lines)
const functions = files.flatMap((file) => file.functions)
const parameters = functions.map((one) => one.parameters)
const names = files.flatMap((file) => file.names)
const exported = new Set(files.flatMap((file) => file.exported))
const comments = product.flatMap(commentsOf)
const folders = Object.values(Object.groupBy(files, ({ path }) => dirname(path))).map((inside = []) => inside.length)
const testFiles = tests.filter(({ path }) => path.endsWith('.test.ts'))
const testLines = tests.filter(({ path }) => path.startsWith('tests/')).flatMap((file) => measure(file).lines)
const titles = testFiles.flatMap(titlesOf)
const docs = paths.filter((path) => path.endsWith('.md'))

const wordsOf = (text: string) => text.split(/\s+/).filter((word) => /\p{L}/u.test(word)).length
const wordsIn = (page: string) => wordsOf(readFileSync(page, 'utf8'))
const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0)
const per = (whole: number, part: number, of: number) => Math.round((10 * whole * part) / of) / 10

/** The smallest of the numbers that this share of them does not exceed. */
function quantile(numbers: readonly number[], share: number): number {
  const sorted = numbers.toSorted((a, b) => a - b)
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? 0
}

const spread = (numbers: readonly number[]) => [0.5, 0.9, 1].map((share) => quantile(numbers, share)).join(' / ')

/** The names of tests as they are written: a table of cases has one name. */
function titlesOf({ path, text }: Source): readonly string[] {
  const file = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)
  const found: string[] = []
  const visit = (node: ts.Node): void => {
    const title = ts.isCallExpression(node) && isTest(node.expression) ? node.arguments[0] : undefined
    if (title !== undefined) found.push(title.getText(file))
    ts.forEachChild(node, visit)
  }
  visit(file)
  return found
}

/** `test(…)`, `test.skip(…)` and `test.each(table)(…)`, and not the table that `test.each` is called with. */
function isTest(callee: ts.Expression): boolean {
  if (ts.isIdentifier(callee)) return callee.text === 'test'
  if (ts.isCallExpression(callee)) return /^test\.(each|for|skipIf|runIf)$/.test(callee.expression.getText())
  return ts.isPropertyAccessExpression(callee) && /^test\.(skip|only|concurrent)$/.test(callee.getText())
}

const measures: readonly (readonly [string, number | string])[] = [
  ['source files', files.length],
  ['source lines', lines.length],
  ['lines a file: median / p90 / max', spread(files.map((file) => file.lines.length))],
  ['files over 500 lines', files.filter((file) => file.lines.length > 500).length],
  ['named functions', functions.length],
  ['lines a function: median / p90 / max', spread(functions.map((one) => one.lines))],
  ['functions over 70 lines', functionsOver(70, files).length],
  ['arguments: median / p90 / max', spread(parameters)],
  ['functions with 4 arguments or more, %', per(100, parameters.filter((count) => count > 3).length, functions.length)],
  ['comment lines per 100 lines', per(100, sum(comments.map((one) => one.lines)), lines.length)],
  ['comments', comments.length],
  [
    'words a comment: median',
    quantile(
      comments.map(({ text }) => wordsOf(text)),
      0.5,
    ),
  ],
  ['comments without a subject, %', per(100, comments.filter(opensWithoutSubject).length, comments.length)],
  [
    'files that open with a comment, %',
    per(100, product.filter(({ text }) => /^\/[/*]/.test(text)).length, files.length),
  ],
  ['names over 25 letters per 1000', per(1000, names.filter((name) => name.length > 25).length, names.length)],
  ['exported names', exported.size],
  ['exported names in more than one file', namesExportedTwice(files).length],
  ['folders', folders.length],
  ['files a folder: mean, and median / p90 / max', `${per(1, files.length, folders.length)}, ${spread(folders)}`],
  ['depth of a file: median / p90 / max', spread(files.map(({ path }) => path.split('/').length - 1))],
  ['test files', testFiles.length],
  ['test lines per source line', per(1, testLines.length, lines.length)],
  ['tests as written', titles.length],
  ['words a test name: median', quantile(titles.map(wordsOf), 0.5)],
  ['longest line', Math.max(...lines.map((line) => line.length))],
  ['lines over 120 columns per 1000', per(1000, linesOver(120, files).length, lines.length)],
  ['words of README.md', wordsIn('README.md')],
  ['words of all pages for people', sum(docs.map(wordsIn))],
  ['pages for people', docs.length],
]

const width = Math.max(...measures.map(([name]) => name.length))
for (const [name, value] of measures) console.log(`${name.padEnd(width)}  ${value}`)
