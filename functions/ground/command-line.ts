/** The command line of a program that people call: its flags and words, read so that every fault is told at once. */
import { parseArgs } from 'node:util'

/** What each flag takes. */
export type FlagsTaken = Readonly<Record<string, 'value' | 'nothing'>>

export interface CommandLine {
  readonly help: boolean
  readonly textOf: (flag: string) => string | undefined
  readonly has: (flag: string) => boolean
  readonly words: readonly string[]
  readonly faults: readonly string[]
}

export function readCommandLine(argv: readonly string[], flags: FlagsTaken): CommandLine {
  const takes: FlagsTaken = { ...flags, help: 'nothing' }
  const options = Object.fromEntries(
    Object.entries(takes).map(([name, what]) => [
      name,
      { type: what === 'value' ? 'string' : 'boolean', ...(name === 'help' ? { short: 'h' } : {}) } as const,
    ]),
  )
  const { values, positionals, tokens } = parseArgs({ args: [...argv], options, strict: false, tokens: true })
  const faults = tokens.flatMap((token) => {
    if (token.kind !== 'option') return []
    if (takes[token.name] === undefined) return [`there is no flag ${token.rawName}`]
    const isGiven = token.value !== undefined && token.value !== ''
    if (takes[token.name] === 'nothing') return isGiven ? [`${token.rawName} takes no value`] : []
    // a flag that follows at once is no value
    return isGiven && !token.value.startsWith('-') ? [] : [`${token.rawName} needs a value`]
  })
  const textOf = (flag: string) => {
    const value = values[flag]
    return typeof value === 'string' ? value : undefined
  }
  return { help: values.help === true, textOf, has: (flag) => values[flag] === true, words: positionals, faults }
}

/** Ends the process: with 0 and the usage where help is asked for, with 2 and every fault where there are some. */
export function endUnlessClear({ help, faults }: Pick<CommandLine, 'help' | 'faults'>, usage: string): void {
  if (help) end(0, usage)
  if (faults.length > 0) end(2, `${faults.join('\n')}\n\n${usage}`)
}

/** Help is what was asked for; all else is an error. */
export function end(code: number, text: string): never {
  const stream = code === 0 ? process.stdout : process.stderr
  stream.write(`${text}\n`)
  process.exit(code)
}
