/** Every check of the source at once: a line for each, and below it what it has to say. */
import { spawn } from 'node:child_process'
import { availableParallelism } from 'node:os'

interface Check {
  readonly name: string
  readonly command: readonly string[]
  /** the count of files it looked at: a check that saw nothing has failed */
  readonly seen: (output: string) => number
  /** lines of its output that people need: none where all is well and there is no advice */
  readonly worthReading: (output: string) => string
}

interface Typed {
  readonly diagnostics: readonly { filename: string; code: string; message: string }[]
}

interface Linted {
  readonly filePath: string
  readonly messages: readonly { line: number; column: number; ruleId: string | null; message: string }[]
}

const count = (pattern: RegExp) => (output: string) => Number(pattern.exec(output)?.[1] ?? 0)
const without = (pattern: RegExp) => (output: string) =>
  output
    .split('\n')
    .filter((line) => !pattern.test(line))
    .join('\n')
    .trim()

const ourFiles = (output: string) =>
  output.split('\n').filter((line) => /^\/.*\.ts$/.test(line) && !line.includes('/node_modules/')).length

/** A browser has other globals than a function, and neither may use the other's. */
const browserCode = 'functions/pages/device'

const filesLine = /^(\d+) files$/m

const cached = ['--cache', '--cache-strategy', 'content', '--cache-location', 'node_modules/.cache/eslint/']

// the longest first
const checks: readonly Check[] = [
  {
    name: 'lint with types',
    command: ['oxlint', '--format', 'json', '.'],
    seen: count(/"number_of_files": (\d+)/),
    worthReading: (output) => {
      const found = parsed<Typed>(output)
      return (
        found?.diagnostics.map(({ filename, code, message }) => `${filename} ${message} (${code})`).join('\n') ?? output
      )
    },
  },
  {
    name: 'purity',
    // by the content of each file: what has not changed is not read again
    command: ['eslint', '--max-warnings=0', '--format', 'json', ...cached, '.'],
    seen: (output) => parsed<readonly Linted[]>(output)?.length ?? 0,
    worthReading: (output) =>
      parsed<readonly Linted[]>(output)
        ?.flatMap(({ filePath, messages }) =>
          messages.map(({ line, column, ruleId, message }) => `${filePath}:${line}:${column} ${message} (${ruleId})`),
        )
        .join('\n') ?? output,
  },
  {
    name: 'types',
    // the same compiler in native code: it takes a fifth of the time
    command: ['node', 'node_modules/typescript-native/bin/tsc', '--listFiles', '--pretty', 'false', '--singleThreaded'],
    seen: ourFiles,
    worthReading: without(/^\//),
  },
  {
    name: 'types of what runs in a browser',
    command: ['node', 'node_modules/typescript-native/bin/tsc', '--listFiles', '--pretty', 'false', '-p', browserCode],
    seen: ourFiles,
    worthReading: without(/^\//),
  },
  {
    name: 'dead code',
    command: ['node', 'tests/house/dead-code.ts'],
    seen: count(filesLine),
    worthReading: without(filesLine),
  },
  {
    name: 'dependencies',
    command: ['node', 'tests/house/dependencies.ts'],
    seen: count(filesLine),
    worthReading: without(filesLine),
  },
  {
    name: 'drawings',
    command: ['node', 'tests/house/drawings.ts', '--check'],
    seen: count(filesLine),
    worthReading: without(filesLine),
  },
  {
    name: 'tidiness',
    command: ['node', 'tests/house/tidy.ts'],
    seen: count(filesLine),
    worthReading: without(filesLine),
  },
  {
    name: 'format and lint',
    command: ['biome', 'check', '--error-on-warnings', '--reporter=concise', '--max-diagnostics=200', '.'],
    seen: count(/Checked (\d+) files/),
    worthReading: without(/^Checked \d+ files.* No fixes applied\.$/),
  },
]

function parsed<Report>(output: string): Report | undefined {
  try {
    return JSON.parse(output)
  } catch {
    return undefined
  }
}

async function run({ name, command, seen, worthReading }: Check): Promise<boolean> {
  const started = performance.now()
  const { code, out, err } = await outputOf(command)
  const seconds = ((performance.now() - started) / 1000).toFixed(1)
  const files = seen(out) || seen(err)
  const content = code === 0 && files > 0
  console.log(`${content ? '✓' : '✗'} ${name}: ${files} files, ${seconds} s`)
  for (const text of [worthReading(out), err.trim()]) if (text !== '') console.log(text)
  return content
}

function outputOf([file = '', ...args]: readonly string[]): Promise<{ code: number | null; out: string; err: string }> {
  return new Promise((resolve, reject) => {
    const child = spawn(file, args, { stdio: ['ignore', 'pipe', 'pipe'] })
    let out = ''
    let err = ''
    child.stdout.setEncoding('utf8').on('data', (text) => {
      out += text
    })
    child.stderr.setEncoding('utf8').on('data', (text) => {
      err += text
    })
    child.on('error', reject)
    child.on('close', (code) => resolve({ code, out, err }))
  })
}

const waiting = [...checks]
const verdicts: boolean[] = []
async function work(): Promise<void> {
  for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) verdicts.push(await run(next))
}
await Promise.all(Array.from({ length: Math.max(2, availableParallelism()) }, work))
process.exitCode = verdicts.every(Boolean) ? 0 : 1
