/**
 * What the papers say is there is there: paths, headings that links lead to, and each decision once and in the list.
 */
import { existsSync, globSync, readFileSync } from 'node:fs'
import { dirname, join, normalize, sep } from 'node:path'
import { describe, expect, test } from 'vitest'

const folders = ['shared-domain', 'functions', 'cdk', 'tests', 'seed'] as const
const papers = [
  'README.md',
  'DEVELOPERS.md',
  'CHANGELOG.md',
  'cdk/local/README.md',
  'tests/house/drawings.md',
  ...folders.map((folder) => `${folder}/README.md`),
]
const there = globSync(['*', `{${folders.join(',')}}/**/*`], { exclude: ['**/node_modules/**'] }).map((path) =>
  path.split(sep).join('/'),
)

/** Made when something runs, and kept by no commit. */
const madeHere = ['cdk.out/', '.local/', 'reports/', 'ready.json']

/** Whether text in backticks is a path rather than code, a route or an example of a name. */
const isPath = (text: string) =>
  /^[\w.-]+(\/[\w.-]+)*(\/|\.(ts|md|mjs|js|json|http))$/.test(text) &&
  !/\bNAME\b/.test(text) &&
  !madeHere.includes(text)

const pathsIn = (paper: string) =>
  [...paper.replaceAll(/```[\s\S]*?```/g, '').matchAll(/`([^`\n]+)`/g)].map(([, text = '']) => text).filter(isPath)

/** By its path, or by the end of it that is enough to find it below the paper; a test, wherever it is. */
function isThere(paper: string, path: string): boolean {
  const plain = path.replace(/\/$/, '')
  const from = dirname(paper) === '.' || plain.endsWith('.test.ts') ? '' : `${dirname(paper)}/`
  return there.some((one) => one === plain || (one.startsWith(from) && one.endsWith(`/${plain}`)))
}

const slug = (heading: string) =>
  heading
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}_\- ]/gu, '')
    .replaceAll(' ', '-')
const headingsOf = (text: string) => [...text.matchAll(/^#+ (.+)$/gm)].map(([, heading = '']) => slug(heading))

function brokenLinks(paper: string, text: string): string[] {
  const links = [...text.matchAll(/\]\(([^)#\s]*)(?:#([^)\s]+))?\)/g)].filter(([, to = '']) => !to.includes('://'))
  return links.flatMap(([link, to = '', heading]) => {
    const file = to === '' ? paper : normalize(join(dirname(paper), to))
    if (!existsSync(file)) return [link]
    return heading === undefined || headingsOf(readFileSync(file, 'utf8')).includes(heading) ? [] : [link]
  })
}

describe.each(papers)('%s', (paper) => {
  const text = readFileSync(paper, 'utf8')

  test('names no path that is not there', () => {
    expect(pathsIn(text).filter((path) => !isThere(paper, path))).toEqual([])
  })

  test('links to pages and headings that are there', () => {
    expect(brokenLinks(paper, text)).toEqual([])
  })
})

test('a path, a page or a heading that is not there is found', () => {
  const text =
    'See `functions/store/keys.ts`, `keys.ts`, `store/lost.ts` and `lost/`; [a](lost.md), [b](README.md#lost).'
  expect(pathsIn(text).filter((path) => !isThere('DEVELOPERS.md', path))).toEqual(['store/lost.ts', 'lost/'])
  expect(isThere('cdk/README.md', 'keys.ts')).toBe(false)
  expect(brokenLinks('DEVELOPERS.md', text)).toEqual(['](lost.md)', '](README.md#lost)'])
})

describe('the decisions', () => {
  const written = folders.flatMap((folder) => {
    const parts = readFileSync(`${folder}/README.md`, 'utf8').split(/^### (?=\d+\. )/m)
    return parts.slice(1).map((part) => {
      const [heading = '', ...body] = part.split(/^#+ /m)[0]?.split('\n') ?? []
      return { folder, heading, number: Number.parseInt(heading, 10), body: body.join('\n') }
    })
  })

  test('stand beside what they decide, each number once and none left out', () => {
    const numbers = written.map(({ number }) => number).sort((a, b) => a - b)
    expect(numbers.length).toBeGreaterThanOrEqual(69)
    expect(numbers).toEqual(numbers.map((_, at) => at + 1))
  })

  test('say why, and what follows', () => {
    const silent = written.filter(({ body }) => !/^(\*\*)?Why:/m.test(body) || !/^(\*\*)?Consequences:/m.test(body))
    expect(silent).toEqual([])
  })

  test('are listed by number, with their titles and where they stand', () => {
    const rows = readFileSync('DEVELOPERS.md', 'utf8').match(/^\| \d+ \| \[.+$/gm)
    const expected = written
      .toSorted((a, b) => a.number - b.number)
      .map(({ folder, heading, number }) => {
        const title = heading.replace(/^\d+\. /, '')
        return `| ${number} | [${title}](${folder}/README.md#${slug(heading)}) | \`${folder}/\` |`
      })
    expect(rows).toEqual(expected)
  })
})
