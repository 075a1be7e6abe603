/**
 * Code that nothing uses fails. Code that only tests use is told, unless its export is marked `@lintignore`.
 */
import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

async function unused(...more: readonly string[]): Promise<{ files: number; lines: readonly string[]; code: number }> {
  const reporter = fileURLToPath(import.meta.resolve('./dead-code-lines.ts'))
  const child = spawn('knip', ['--no-config-hints', '--reporter', reporter, ...more], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const closed = new Promise<number>((resolve, reject) => {
    child.on('error', reject)
    child.on('close', (code) => resolve(code ?? 1))
  })
  let text = ''
  for await (const piece of child.stdout.setEncoding('utf8')) text += piece
  const lines = text.split('\n').filter((line) => line !== '')
  return { code: await closed, files: Number.parseInt(lines.at(-1) ?? '', 10) || 0, lines: lines.slice(0, -1) }
}

const [anywhere, product] = await Promise.all([unused(), unused('--production', '--include', 'files,exports,types')])
for (const line of anywhere.lines) console.log(line)
for (const line of product.lines) {
  if (!anywhere.lines.includes(line)) console.log(`used by tests alone: ${line}`)
}
console.log(`${anywhere.files} files`)
process.exitCode = anywhere.code === 0 && anywhere.files > 0 && product.files > 0 ? 0 : 1
