/** The flags of `npm start`. */
import { parseArgs } from 'node:util'
import { parseInstant } from './clock.ts'

export interface Flags {
  readonly help: boolean
  readonly memory: boolean
  readonly fresh: boolean
  readonly demo: boolean
  readonly port: number | undefined
  readonly now: number | undefined
  readonly readyFile: string | undefined
}

export const usage = `npm start -- [--memory] [--fresh] [--no-demo] [--port N] [--now INSTANT] [--ready-file F]
Builds the service and runs it on this machine, until Ctrl-C.
Without a flag the data stay in .local/ for the next start.
  --memory        keep nothing after the end
  --fresh         begin with empty data
  --no-demo       two organisations with their people and rules, and nothing else
  --port N        where the API and the pages listen, 1 to 65535; else a free port
  --now INSTANT   where the clock starts, such as 2026-03-02T08:00:00-06:00; else the real time
  --ready-file F  write addresses, tokens and the table's name there as JSON once all is up
  --help, -h      print this`

/** All that is wrong with the flags, in one error. */
export function parseFlags(argv: readonly string[]): Flags {
  const { values, tokens } = parseArgs({
    args: [...argv],
    strict: false,
    tokens: true,
    options: {
      help: { type: 'boolean', short: 'h' },
      memory: { type: 'boolean' },
      fresh: { type: 'boolean' },
      'no-demo': { type: 'boolean' },
      port: { type: 'string' },
      now: { type: 'string' },
      'ready-file': { type: 'string' },
    },
  })
  const withoutValue = ['help', 'memory', 'fresh', 'no-demo']
  const known = [...withoutValue, 'port', 'now', 'ready-file']
  const faults: string[] = []
  for (const token of tokens) {
    if (token.kind === 'positional') faults.push(`${token.value} is no flag`)
    if (token.kind === 'option' && !known.includes(token.name)) faults.push(`there is no flag ${token.rawName}`)
    if (token.kind === 'option' && token.value !== undefined && withoutValue.includes(token.name)) {
      faults.push(`${token.rawName} takes no value`)
    }
  }
  const text = (name: 'port' | 'now' | 'ready-file') => {
    const value = values[name]
    if (value === undefined) return undefined
    // a flag that follows at once is no value
    if (typeof value === 'string' && value !== '' && !value.startsWith('-')) return value
    faults.push(`--${name} needs a value`)
    return undefined
  }
  const port = text('port')
  if (port !== undefined && !(/^\d{1,5}$/.test(port) && Number(port) >= 1 && Number(port) <= 65_535)) {
    faults.push(`--port ${port}: expected a number from 1 to 65535`)
  }
  const now = text('now')
  if (now !== undefined && parseInstant(now) === undefined) {
    faults.push(`--now ${now}: expected an instant with its offset, such as 2026-03-02T08:00:00-06:00`)
  }
  const readyFile = text('ready-file')
  if (faults.length > 0) throw new Error(faults.join('\n'))
  return {
    help: values.help === true,
    memory: values.memory === true,
    fresh: values.fresh === true,
    demo: values['no-demo'] !== true,
    port: port === undefined ? undefined : Number(port),
    now: parseInstant(now),
    readyFile,
  }
}
