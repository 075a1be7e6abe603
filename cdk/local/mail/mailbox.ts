/** The pages of the local mailbox: a list of the mails, and each mail as its reader would see it. Without a script. */
import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http'
import { html, raw } from 'hono/html'
import type { SettableClock } from '../clock.ts'

export interface KeptMail {
  /** the instant of its acceptance by the local clock, in ISO 8601 */
  readonly at: string
  readonly to: string
  readonly subject: string
  readonly text: string
  readonly html: string
  readonly headers: Readonly<Record<string, string>>
  readonly attachments: readonly { filename: string; contentType: string; size: number; content: string }[]
}

/** The mails in the order of their acceptance. */
export type Kept = readonly { readonly recipients: readonly string[]; readonly mail: () => Promise<KeptMail> }[]

type Markup = ReturnType<typeof html>

interface Page {
  readonly status?: number
  readonly type?: string
  readonly headers?: Readonly<Record<string, string>>
  readonly body: string | Buffer
}

const mostInAList = 100

export function mailbox(kept: Kept, clock: SettableClock): RequestListener {
  async function answer({ url = '/' }: IncomingMessage): Promise<Page> {
    const { pathname, searchParams } = new URL(url, 'http://local')
    if (pathname === '/') return listPage(kept, clock, searchParams)
    const [, number = '', part] = /^\/mails\/(\d+)(?:\/(.+))?$/.exec(pathname) ?? []
    const mail = await kept[Number(number) - 1]?.mail()
    if (mail === undefined || number === '') return notFound()
    if (part === undefined) return mailPage(Number(number), mail)
    if (part === 'body') return bodyOf(mail)
    return attachmentOf(mail, part) ?? notFound()
  }

  return (message, response) => {
    void answer(message)
      .catch((error): Page => ({ status: 500, type: 'text/plain', body: String(error) }))
      .then((page) => send(response, page))
  }
}

function send(
  response: ServerResponse,
  { status = 200, type = 'text/html; charset=utf-8', headers, body }: Page,
): void {
  response
    .writeHead(status, {
      'content-type': type,
      'cache-control': 'no-store',
      'content-security-policy':
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-src 'self'; form-action 'self'",
      'x-content-type-options': 'nosniff',
      ...headers,
    })
    .end(body)
}

async function listPage(kept: Kept, clock: SettableClock, asked: URLSearchParams): Promise<Page> {
  const to = asked.get('to')?.trim().toLowerCase() ?? ''
  const before = Number(asked.get('before') ?? Number.NaN)
  const numbered = kept.map((one, i) => ({ ...one, number: i + 1 })).reverse()
  const wanted = numbered.filter(
    ({ number, recipients }) => !(number >= before) && (to === '' || recipients.includes(to)),
  )
  const shown = await Promise.all(
    wanted.slice(0, mostInAList).map(async ({ number, mail }) => ({ number, ...(await mail()) })),
  )
  const last = shown.at(-1)?.number ?? 0
  const older = new URLSearchParams({ to, before: String(last) }).toString()
  return documentOf(
    'Local mailbox',
    html`<h1>Local mailbox</h1>
<p class="frame"><strong>This page stands in for the mail service on this machine.
It is no part of the product.</strong>
No mail leaves this machine. In use each mail goes to its reader’s own mailbox, and nobody sees the mail of others.</p>
<p>The local clock stands at ${timeOf(clock.now())}; the time beside a mail is when it was sent by that clock.</p>
<form><label>Mails to <input name="to" type="email" value="${to}" placeholder="an e-mail address"></label>
<button>Show</button> <a href="/">All mails, newest first</a></form>
${shown.length === 0 ? html`<p class="empty">No mail${to === '' ? ' yet' : ` to ${to}`}.</p>` : table(shown)}
${wanted.length > shown.length ? html`<p><a href="/?${older}">Older mails</a></p>` : ''}`,
  )
}

type Shown = Pick<KeptMail, 'at' | 'to' | 'subject'> & { readonly number: number }

const table = (mails: readonly Shown[]): Markup => html`<table>
<thead><tr><th scope="col">Sent</th><th scope="col">To</th><th scope="col">Subject</th></tr></thead>
<tbody>${mails.map(
  ({ number, at, to, subject }) => html`
<tr><td>${timeOf(at)}</td><td>${to}</td><td><a href="/mails/${number}">${subject || '(no subject)'}</a></td></tr>`,
)}
</tbody></table>`

function mailPage(number: number, mail: KeptMail): Promise<Page> {
  const { at, to, subject, text, html: body, headers, attachments } = mail
  const attached = attachments.map(
    ({ filename, size }, i) =>
      html`<a href="/mails/${number}/attachments/${i}">${filename || 'without a name'}</a> (${size} bytes) `,
  )
  return documentOf(
    subject,
    html`<p><a href="/">Local mailbox</a></p>
<h1>${subject || '(no subject)'}</h1>
<dl><dt>From</dt><dd>${headers.from ?? ''}</dd><dt>To</dt><dd>${to}</dd><dt>Sent</dt><dd>${timeOf(at)}</dd>
${attachments.length === 0 ? '' : html`<dt>Attached</dt><dd>${attached}</dd>`}</dl>
${
  body === ''
    ? html`<pre>${text}</pre>`
    : html`<iframe src="/mails/${number}/body" title="The mail as its reader sees it"></iframe>
<details><summary>The same mail as plain text</summary><pre>${text}</pre></details>`
}`,
  )
}

/** A mail may run no script and send no form here. Its links open beside it, as in a program for mail. */
function bodyOf({ html: body }: KeptMail): Page {
  const policy = "sandbox allow-popups allow-popups-to-escape-sandbox; default-src 'none'; style-src 'unsafe-inline'"
  return {
    headers: { 'content-security-policy': `${policy}; img-src data:` },
    body: body.replace(/<head>/i, '<head><base target="_blank">'),
  }
}

function attachmentOf({ attachments }: KeptMail, part: string): Page | undefined {
  const found = attachments[Number(/^attachments\/(\d+)$/.exec(part)?.[1] ?? Number.NaN)]
  if (found === undefined) return undefined
  const name = found.filename.replaceAll(/[^\w.-]/g, '_')
  return {
    type: found.contentType,
    headers: { 'content-disposition': `attachment; filename="${name}"` },
    body: Buffer.from(found.content, 'base64'),
  }
}

async function notFound(): Promise<Page> {
  const body = html`<h1>No such mail</h1><p><a href="/">Local mailbox</a></p>`
  return { ...(await documentOf('No such mail', body)), status: 404 }
}

function timeOf(at: string | number): Markup {
  const iso = new Date(at).toISOString()
  return html`<time datetime="${iso}">${iso.slice(0, 10)} ${iso.slice(11, 16)} UTC</time>`
}

async function documentOf(title: string, main: Markup): Promise<Page> {
  const page = await html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${title} – local mailbox</title>
<link rel="icon" href="data:,">
<style>${raw(stylesheet)}</style>
</head>
<body><main>
${main}
</main></body>
</html>`
  return { body: String(page) }
}

// the colours of the product's pages; a dashed frame tells this page from them
const stylesheet = `
:root { color-scheme: light dark; --paper: #fbfaf7; --sheet: #ffffff; --ink: #1d2327; --quiet: #555f66;
  --line: #d9d6cd; --link: #0b4f79 }
@media (prefers-color-scheme: dark) {
  :root { --paper: #14181b; --sheet: #1c2226; --ink: #e8eaeb; --quiet: #aab4ba; --line: #374046;
    --link: #8cc8f0 }
}
* { box-sizing: border-box }
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 16px/1.45 system-ui, "Segoe UI", "Liberation Sans", sans-serif }
main { max-width: 78rem; margin: 0 auto; padding: 1.25rem 1.5rem }
a { color: var(--link) } h1 { font-size: 1.6rem; line-height: 1.2; margin: .25rem 0 1rem }
a:focus-visible, button:focus-visible, input:focus-visible, summary:focus-visible { outline: 3px solid var(--link);
  outline-offset: 2px }
.frame { border: 2px dashed var(--quiet); background: var(--sheet); padding: .75rem 1rem }
form { display: flex; flex-wrap: wrap; gap: .5rem 1rem; align-items: center; margin: 0 0 1rem }
input, button { font: inherit; color: var(--ink); background: var(--sheet); border: 1px solid var(--quiet);
  border-radius: .3rem; padding: .4rem .6rem; min-height: 2.5rem; max-width: 100% }
button { font-weight: 600; cursor: pointer }
table { border-collapse: collapse; width: 100%; background: var(--sheet); border: 1px solid var(--line) }
th, td { text-align: left; vertical-align: top; padding: .6rem .75rem; border-top: 1px solid var(--line);
  overflow-wrap: anywhere }
thead th { font-size: .8rem; color: var(--quiet); border-top: 0 } time { white-space: nowrap }
td a { display: inline-block; min-height: 24px }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .3rem 1.25rem; margin: 0 0 1rem }
dt { color: var(--quiet) }
dd { margin: 0; overflow-wrap: anywhere }
iframe { width: 100%; height: 80vh; border: 1px solid var(--line); background: var(--sheet) }
pre { white-space: pre-wrap; background: var(--sheet); border: 1px solid var(--line); padding: 1rem }
summary { cursor: pointer; min-height: 24px; margin: 1rem 0 }
.empty { background: var(--sheet); border: 1px solid var(--line); padding: 1.25rem }
@media (max-width: 46rem) {
  main { padding: 1rem }
  thead { position: absolute; left: -999rem }
  tr, td { display: block }
  td { border: 0; padding: .15rem .75rem }
  tr { border-top: 1px solid var(--line); padding: .5rem 0 }
}
`
