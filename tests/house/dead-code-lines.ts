/** A reporter for knip: a line for each thing unused, then how many files were read. */
import { relative } from 'node:path'
import type { Reporter } from 'knip'

const lines: Reporter = ({ report, issues, counters, cwd }) => {
  for (const [kind, asked] of Object.entries(report)) {
    if (!asked) continue
    const found = Object.values(issues[kind as keyof typeof issues]).flatMap((inFile) => Object.values(inFile))
    for (const { filePath, line, symbol } of found) {
      const place = relative(cwd, filePath) + (line === undefined ? '' : `:${line}`)
      console.log(kind === 'files' ? `${place} unused file` : `${place} ${symbol} (${kind})`)
    }
  }
  console.log(`${counters.processed} files`)
}

export default lines
