/** Pages without a script, as every door that shows one to people answers them. */
import { html, raw } from 'hono/html'
import type { Language } from '../../shared-domain/words.ts'

export type Markup = ReturnType<typeof html>

/** A page before it is written down. */
export interface WebDocument {
  readonly language: Language
  readonly title: string
  readonly stylesheet: string
  readonly body: Markup
}

function markupOf({ language, title, stylesheet, body }: WebDocument): Markup {
  return html`<!doctype html>
<html lang="${language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${title} – Quarterturn</title>
<link rel="icon" href="data:,">
<style>${raw(stylesheet)}</style>
</head>
<body>
${body}
</body>
</html>`
}

const policy = [
  "default-src 'none'",
  "style-src 'unsafe-inline'",
  'img-src data:',
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ')

export async function webPage(
  page: WebDocument,
  status = 200,
  more: Readonly<Record<string, string>> = {},
): Promise<Response> {
  return new Response(String(await markupOf(page)), {
    status,
    headers: {
      'content-type': 'text/html; charset=utf-8',
      'content-language': page.language,
      vary: 'accept-language',
      'cache-control': 'no-store',
      'content-security-policy': policy,
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'same-origin',
      ...more,
    },
  })
}

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
