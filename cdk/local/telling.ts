/** The words of `npm start` to the person at the terminal: what it does now, what went wrong, what to open first. */
import type { Progress } from '../../seed/load.ts'
import type { Flags } from './flags.ts'

/** The part of a terminal, or of a pipe, that is written to. */
export interface Screen {
  readonly isTTY?: boolean
  readonly write: (text: string) => unknown
}

export interface Teller {
  readonly line: (text: string) => void
  /** Progress stands in place on a terminal. A pipe gets one line for each step of the loading. */
  readonly progress: (progress: Progress) => void
}

const clearLine = '\r\u001b[K'

export function teller(screen: Screen): Teller {
  let inPlace = false
  let toldTo = 0

  function line(text: string): void {
    screen.write(`${inPlace ? clearLine : ''}${text}\n`)
    inPlace = false
  }

  function progress(now: Progress): void {
    if (!screen.isTTY) {
      if (now.to !== toldTo) line(`${monthsOf(now)} …`)
      toldTo = now.to
      return
    }
    screen.write(`${clearLine}${monthsOf(now)}, ${now.done} of ${now.requests} entries`)
    inPlace = true
  }

  return { line, progress }
}

const monthsOf = ({ from, to, months }: Progress) => `demo: months ${from} to ${to} of ${months}`

/** `isThere`: an earlier start has kept data. */
export function whatIsKept({ memory, fresh }: Pick<Flags, 'memory' | 'fresh'>, isThere: boolean): string {
  if (memory) return 'Nothing is kept after the end (--memory).'
  if (!isThere) return 'The data are kept in .local/ for the next start.'
  if (fresh) return 'The data kept in .local/ are thrown away (--fresh).'
  return 'The data kept in .local/ are used again (--fresh begins anew). The mailbox begins empty: mails are not kept.'
}

export interface Opened {
  readonly api: string
  readonly mailbox: string
  readonly table: { readonly name: string; readonly endpoint: string }
}

export function openFirst({ api, mailbox, table }: Opened): string {
  return `
Ready. Open first:
  Roster   ${api}/roster
  Mailbox  ${mailbox}   every mail that the service sends
  API      ${api}   its contract: /v1/openapi.json

README.md has a walk of two minutes through the demo.
A second terminal can check the table: npm run prove -- --table ${table.name} --endpoint ${table.endpoint}
Stop with Ctrl-C.`
}

/** A sentence for a person, where the system gives a code. */
export function explained(error: unknown): string {
  const { code, message, port } = error as NodeJS.ErrnoException & { port?: number }
  if (code === 'EADDRINUSE') return `Port ${port} is in use. Choose another with --port, or leave --port out.`
  if (code === 'EACCES' && port !== undefined) {
    return `Port ${port} is not open to this user. Choose another with --port, from 1024 on.`
  }
  return message
}
