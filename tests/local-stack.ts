/** The local stack inside a test: the same parts as `npm start`, on free ports, with empty data. */
import { execFile } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import type { LogLine } from '../cdk/local/functions/functions.ts'
import type { KeptMail } from '../cdk/local/mail/mailbox.ts'
import { type RunningStack, startStack as startParts } from '../cdk/local/stack.ts'
import { root, synthesise } from '../cdk/local/template/synthesise.ts'
import { signedInAs, type Visitor } from './support/browser.ts'

export interface StartOptions {
  /** false keeps the data in `folder`, or in a folder of the test's own */
  readonly memory?: boolean
  readonly folder?: string
  /** an instant with its offset */
  readonly now?: string
  readonly port?: number
  /** false leaves out the two organisations and their people */
  readonly furnished?: boolean
  /** a synthesised template other than the product's */
  readonly template?: string
}

export interface Answer {
  readonly status: number
  readonly json: unknown
  readonly text: string
  readonly headers: Headers
}

export interface LocalStack {
  readonly api: string
  readonly pages: string
  readonly mailbox: string
  readonly tokens: Readonly<Record<string, string>>
  /** `role` is the name of a token, a token itself, or empty for none */
  readonly call: (
    method: string,
    path: string,
    body?: unknown,
    role?: string,
    headers?: Record<string, string>,
  ) => Promise<Answer>
  /** a page as a person signed in sees it, a manager unless another is named */
  readonly page: (path: string, person?: string) => Promise<{ readonly status: number; readonly text: string }>
  /** a browser in which the person is signed in to the pages */
  readonly signedIn: (person?: string) => Promise<Visitor>
  /** 15:00 UTC of a date, and everything that brings done */
  readonly day: (date: string) => Promise<void>
  readonly clock: (now: string) => Promise<Answer>
  readonly settle: () => Promise<void>
  /** newest first */
  readonly mail: (to?: string) => Promise<KeptMail[]>
  /** what the functions wrote to their logs */
  readonly logs: () => readonly LogLine[]
  /** compares every stored state with the replay of its facts, and says what it found */
  readonly prove: () => Promise<string>
  /** the parts themselves: queues, functions, the OpenID provider, the template */
  readonly parts: RunningStack
  readonly stop: () => Promise<void>
}

export async function startStack(options: StartOptions = {}): Promise<LocalStack> {
  const own =
    process.env.QUARTERTURN_TEMPLATE === undefined && options.template === undefined ? await synthesise() : undefined
  const template = options.template ?? process.env.QUARTERTURN_TEMPLATE ?? own?.folder ?? ''
  const scratch =
    options.memory === false && options.folder === undefined
      ? mkdtempSync(join(tmpdir(), 'quarterturn-data-'))
      : undefined
  const folder = options.folder ?? scratch
  const lines: LogLine[] = []
  const parts = await startParts({
    template: Promise.resolve(template),
    ...(folder === undefined ? { sharedTable: sharedTable() } : { dataFolder: folder }),
    ...(options.now === undefined ? {} : { now: Date.parse(options.now) }),
    ...(options.port === undefined ? {} : { port: options.port }),
    furnished: options.furnished ?? true,
    lazy: true,
    log: (line) => lines.push(line),
  })

  async function stop(): Promise<void> {
    await parts.stop()
    own?.remove()
    if (scratch !== undefined) rmSync(scratch, { recursive: true, force: true })
  }

  return { ...client(parts), logs: () => lines, prove: () => prove(parts), parts, stop }
}

/** The table that all suites of a run share; a command that starts a stack outside of a run has none. */
function sharedTable(): number | undefined {
  const port = process.env.QUARTERTURN_TABLE
  return port === undefined ? undefined : Number(port)
}

async function prove({ table }: RunningStack): Promise<string> {
  const args = [join(root, 'functions/prove-states/command.ts'), '--table', table.name, '--endpoint', table.endpoint]
  const { stdout } = await promisify(execFile)(process.execPath, args).catch((error) => error as { stdout: string })
  return stdout
}

function client({ api, mailbox, tokens }: RunningStack) {
  async function call(
    method: string,
    path: string,
    body?: unknown,
    role = 'owner',
    headers: Record<string, string> = {},
  ): Promise<Answer> {
    const answer = await fetch(api + path, {
      method,
      redirect: 'manual',
      headers: {
        ...(role === '' ? {} : { authorization: `Bearer ${tokens[role] ?? role}` }),
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    })
    const text = await answer.text()
    return { status: answer.status, json: parsed(text), text, headers: answer.headers }
  }

  const clock = (now: string) => call('PUT', '/local/clock', { now }, '')

  async function settle(): Promise<void> {
    const { status, text } = await call('POST', '/local/settle', {}, '')
    if (status !== 200) throw new Error(`the stack did not settle: ${text}`)
  }

  async function day(date: string): Promise<void> {
    const { status, text } = await clock(`${date}T15:00:00Z`)
    if (status !== 200) throw new Error(`the clock was not set: ${text}`)
    await settle()
  }

  async function mail(to?: string): Promise<KeptMail[]> {
    const query = to === undefined ? '' : `?to=${encodeURIComponent(to)}`
    return ((await call('GET', `/local/mail${query}`, undefined, '')).json as { items: KeptMail[] }).items
  }

  const sessions = new Map<string, Promise<Visitor>>()

  function signedIn(person = 'manager'): Promise<Visitor> {
    const known = sessions.get(person) ?? signedInAs(api, person)
    sessions.set(person, known)
    return known
  }

  async function page(path: string, person = 'manager') {
    const answer = await (await signedIn(person)).get(path)
    return { status: answer.status, text: await answer.text() }
  }

  return { api, pages: api, mailbox, tokens, call, page, signedIn, clock, settle, day, mail }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
