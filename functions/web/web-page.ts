/** Pages without a script, as every door that shows one to people answers them. */
import { randomBytes } from 'node:crypto'
import { html, raw } from 'hono/html'
import type { Language } from '../../shared-domain/words.ts'
import type { Who } from './reader.ts'

export type Markup = ReturnType<typeof html>

/** A page before it is written down. */
export interface WebDocument {
  readonly language: Language
  readonly title: string
  readonly stylesheet: string
  /** what makes an app of the page where a browser can; none of it is needed to read or use the page */
  readonly app?: WebApp | undefined
  /** `who`: whoever is signed in, on a page that says so */
  readonly body: (who?: Who) => Markup
}

/** Addresses of ours. */
export interface WebApp {
  readonly script: string
  /** that of the page itself, where it has one */
  readonly furtherScript?: string
  readonly manifest: string
  readonly icon: string
}

export interface Answered {
  readonly status?: number
  readonly headers?: Readonly<Record<string, string>>
  readonly who?: Who | undefined
  /** other origins to which a form of this page may lead in the end */
  readonly leadsTo?: readonly string[]
}

export async function webPage(page: WebDocument, answered: Answered = {}): Promise<Response> {
  const { status = 200, headers = {}, who, leadsTo = [] } = answered
  const nonce = randomBytes(16).toString('base64')
  return new Response(String(await markupOf(page, nonce, who)), {
    status,
    headers: {
      'content-type': 'text/html; charset=utf-8',
      'content-language': page.language,
      vary: 'accept-language',
      'content-security-policy': policyWith(nonce, leadsTo, page.app !== undefined),
      ...secureHeaders,
      ...headers,
    },
  })
}

function markupOf(
  { language, title, stylesheet, app, body }: WebDocument,
  nonce: string,
  who: Who | undefined,
): Markup {
  return html`<!doctype html>
<html lang="${language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${title} – Quarterturn</title>
${app === undefined ? html`<link rel="icon" href="data:,">` : appMarkup(app, nonce)}
<style nonce="${nonce}">${raw(stylesheet)}</style>
</head>
<body>
${body(who)}
</body>
</html>`
}

const appMarkup = (
  { script, furtherScript, manifest, icon }: WebApp,
  nonce: string,
) => html`<link rel="icon" href="${icon}">
<link rel="manifest" href="${manifest}">
<script nonce="${nonce}" src="${script}" defer></script>
${furtherScript === undefined ? '' : html`<script nonce="${nonce}" src="${furtherScript}" defer></script>`}`

/**
 * Nothing is loaded from anywhere else. The one stylesheet and the one script are ours: they have the nonce of this
 * answer.
 */
function policyWith(nonce: string, leadsTo: readonly string[], isApp: boolean): string {
  return [
    "default-src 'none'",
    `style-src 'nonce-${nonce}'`,
    ...(isApp ? [`script-src 'nonce-${nonce}'`, "connect-src 'self'", "worker-src 'self'", "manifest-src 'self'"] : []),
    isApp ? "img-src 'self' data:" : 'img-src data:',
    // a browser holds a form's redirects to this too
    ["form-action 'self'", ...leadsTo].join(' '),
    "base-uri 'none'",
    "frame-ancestors 'none'",
  ].join('; ')
}

/** Headers of everything that a browser is answered. */
export const secureHeaders = {
  'cache-control': 'no-store',
  'strict-transport-security': 'max-age=63072000; includeSubDomains',
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), geolocation=(), microphone=()',
  'referrer-policy': 'same-origin',
} as const

/**
 * Headers of an answer whose address is a secret: nothing on the way keeps the answer, and no link followed from it
 * tells where it came from.
 */
export const behindASecret = {
  'cache-control': 'private, no-store',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
  'x-robots-tag': 'noindex',
}
