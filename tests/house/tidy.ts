/**
 * The tidiness of the house, held by a ratchet: `untidy.ts` counts or names what is not tidy yet, and may only shrink.
 *
 * Each rule turns what was read into findings; a finding is one line that says where and what.
 */
import { spawnSync } from 'node:child_process'
import { matchesGlob } from 'node:path'
import { type Comment, commentsOf, opensWithoutSubject } from './comments.ts'
import { type Measured, measure, type Source } from './measures.ts'
import { built, type House, houseAt } from './reading.ts'
import { doubledNames, longFunctions, longLines, manyParameters, since, subjectless } from './untidy.ts'

export interface Found {
  readonly what: string
  readonly where: string
}

/** Findings that are not known, and known ones that were not found. */
export function ratchet(found: readonly Found[], known: readonly string[]): readonly string[] {
  return [
    ...found.filter(({ what }) => !known.includes(what)).map(({ what, where }) => `${what}: ${where}`),
    ...known
      .filter((what) => !found.some((one) => one.what === what))
      .map((what) => `${what}: tidy by now, strike it from the list in tests/house/untidy.ts`),
  ]
}

/** Nothing where the share or count is at most `most`, else where the first of them are. */
export function atMost(most: number, { count, of, what }: { count: readonly string[]; of: number; what: string }) {
  const some = `${count.slice(0, 10).join(', ')}${count.length > 10 ? ' …' : ''}`
  return count.length / of > most ? [`${count.length} ${what}, at most ${Math.floor(most * of)}: ${some}`] : []
}

/** The handlers of Lambda functions all have the name that Lambda calls. */
export function namesExportedTwice(files: readonly Measured[]): readonly Found[] {
  const places = new Map<string, readonly string[]>()
  for (const { path, exported } of files)
    for (const name of new Set(exported))
      if (!(name === 'handler' && path.endsWith('/index.ts'))) places.set(name, [...(places.get(name) ?? []), path])
  return [...places]
    .filter(([, paths]) => paths.length > 1)
    .map(([what, paths]) => ({ what, where: `exported by ${paths.join(' and ')}` }))
}

export function functionsOver(lines: number, files: readonly Measured[]): readonly Found[] {
  return files.flatMap(({ path, functions }) =>
    functions
      .filter((one) => one.lines > lines)
      .map((one) => ({
        what: `${path} ${one.name}`,
        where: `${one.lines} lines from line ${one.line}, at most ${lines}`,
      })),
  )
}

export function functionsWithManyParameters(files: readonly Measured[], most: number): readonly string[] {
  const all = files.flatMap(({ path, functions }) => functions.map((one) => ({ ...one, path })))
  const many = all.filter(({ parameters }) => parameters > 3).map(({ path, line }) => `${path}:${line}`)
  return atMost(most, { count: many, of: all.length, what: 'functions with four parameters or more' })
}

/** What of a file is measured by its lines alone. */
type Lined = Pick<Measured, 'path' | 'lines'>

export function linesOver(columns: number, files: readonly Lined[]): readonly string[] {
  return files.flatMap(({ path, lines }) =>
    lines.flatMap((line, at) =>
      [...line].length > columns && !isUnbreakable(line, { path, columns }) ? [`${path}:${at + 1}`] : [],
    ),
  )
}

/**
 * Three kinds of lines end where they end. A row of a table and a heading are one line by the syntax of Markdown. A
 * word that is longer than the columns right of its indent, such as an address, has no place for a break.
 */
function isUnbreakable(line: string, { path, columns }: { readonly path: string; readonly columns: number }): boolean {
  if (path.endsWith('.md') && /^(\s*\||#)/.test(line)) return true
  const words = line.trim().split(/\s+/)
  const indent = line.length - line.trimStart().length
  return words.some((word) => indent + [...word].length > columns)
}

const linesOf = ({ path, text }: Source): Lined => ({ path, lines: text.split('\n') })

export function commentsWithoutSubject(comments: readonly Comment[], most: number): readonly string[] {
  const without = comments.filter(opensWithoutSubject).map(({ path, line }) => `${path}:${line}`)
  return atMost(most, { count: without, of: comments.length, what: 'comments that open without a subject' })
}

/** Paths in backticks that lead nowhere. A path may lack its front, and may hold `*`, `{a,b}`, `<name>` and `NAME`. */
export function pathsGone(pages: readonly Source[], paths: readonly string[]): readonly string[] {
  const tails = new Set(paths.flatMap((path) => path.split('/').map((_, at, steps) => steps.slice(at).join('/'))))
  const isThere = (path: string) => {
    const sought = path.replace(/\/$/, '').replace(/<[^>]*>|\bNAME\b/g, '*')
    if (!/[*{]/.test(sought)) return tails.has(sought)
    return paths.some((one) => matchesGlob(one, sought) || matchesGlob(one, `**/${sought}`))
  }
  const isIn = (folder: string) => (name: string) =>
    paths.some((path) => `/${path}`.includes(`/${folder}`) && path.endsWith(`/${name}`))
  return pages.flatMap(({ path, text }) =>
    text
      .replace(/^```[\s\S]*?^```/gm, (fenced) => fenced.replace(/[^\n]/g, ''))
      .split('\n')
      .flatMap((line, at) => {
        const gone = quoted(line).filter((one) => !isThere(one))
        for (const [, folder = '', names = ''] of line.matchAll(/`([^`\s]+\/)`:([^;|]*)/g))
          gone.push(...quoted(names).filter((one) => !one.includes('/') && !isIn(folder)(one)))
        return [...new Set(gone)].map((one) => `${path}:${at + 1}: ${one} is not there`)
      }),
  )
}

const path = /^(?!\/)[\w./{},*<>-]+$/
const folderOrFile = /(\/|\w\.(ts|mjs|js|json|md))$|^(tests|cdk|functions|shared-domain|seed)\//

/** Texts in backticks that read as a folder or file: an address begins with a slash, and a build is no source. */
function quoted(line: string): string[] {
  return [...line.matchAll(/`([^`]+)`/g)]
    .map(([, inside = '']) => inside)
    .filter((one) => path.test(one) && folderOrFile.test(one))
    .filter((one) => !built.some((folder) => one.startsWith(`${folder}/`)))
}

export function subjectsOver(characters: number, subjects: readonly string[]): readonly string[] {
  return subjects
    .filter((subject) => [...subject].length > characters)
    .map((subject) => `the subject of a commit has more than ${characters} characters: ${subject}`)
}

/** None where the history does not reach back so far. */
function commitSubjects(): readonly string[] {
  const { status, stdout } = spawnSync('git', ['log', '--format=%s', `${since}..HEAD`], { encoding: 'utf8' })
  return status === 0 ? stdout.split('\n').filter((line) => line !== '') : []
}

function findings({ product, tests, pages, texts, paths }: House): readonly string[] {
  const ours = product.map(measure)
  const all = [...ours, ...tests.map(measure)]
  const long = linesOver(120, [...all, ...texts.map(linesOf)])
  return [
    ...ratchet(namesExportedTwice(ours), doubledNames),
    ...ratchet(functionsOver(70, ours), longFunctions),
    ...functionsWithManyParameters(all, manyParameters),
    ...atMost(longLines, { count: long, of: 1, what: 'lines over 120 columns' }),
    ...commentsWithoutSubject(product.flatMap(commentsOf), subjectless),
    ...pathsGone(pages, paths),
    ...subjectsOver(72, commitSubjects()),
  ]
}

if (import.meta.main) {
  const house = houseAt(process.cwd())
  const found = findings(house)
  for (const finding of found) console.log(finding)
  const files = house.product.length === 0 || house.pages.length === 0 ? 0 : house.product.length + house.tests.length
  console.log(`${files} files`)
  process.exitCode = files === 0 || found.length > 0 ? 1 : 0
}
