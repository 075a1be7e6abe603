/** Pages of the ways in and out: what happened, and what to do. */
import { html } from 'hono/html'
import type { NotLetIn } from '../questions/signed-in.ts'
import type { Who } from '../web/reader.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'
import { documentOf } from './layout.ts'

const plain = (title: string, main: Markup, wording: FirstWording) =>
  documentOf({ title, main: html`<h1>${title}</h1>${main}` }, wording)

const signInLink = (to: string, text: string) =>
  html`<p><a href="/sign-in?to=${encodeURIComponent(to)}">${text}</a></p>`

/** What was typed cannot be kept for somebody of whom nobody knows who they are. */
export function typedIsLost(to: string, wording: FirstWording): WebDocument {
  const { say } = wording
  return plain(say('typed is lost'), html`<p>${say('typed is lost, do')}</p>${signInLink(to, say('sign in'))}`, wording)
}

export function notFromHere(wording: FirstWording): WebDocument {
  const { say } = wording
  return plain(say('not from here'), html`<p>${say('not from here, do')}</p>`, wording)
}

export function noGood(to: string, wording: FirstWording): WebDocument {
  const { say } = wording
  const main = html`<p>${say('sign-in no good')}</p>${signInLink(to, say('sign-in anew'))}`
  return plain(say('not signed in'), main, wording)
}

export function notLetIn({ why, email }: NotLetIn, wording: FirstWording): WebDocument {
  const { say } = wording
  const text = email === null ? say('in no address') : say(`in ${why}`, { email })
  const main = html`<p>${text}</p>
<form method="post" action="/sign-out"><button>${say('as somebody else')}</button></form>`
  return plain(say('not let in'), main, wording)
}

export function signOutPage({ name, organisation }: Who, wording: FirstWording): WebDocument {
  const { say } = wording
  const main = html`<p>${say('you are signed in as', { name, organisation })}</p>
<section aria-labelledby="here"><h2 id="here">${say('out here')}</h2>
<p>${say('out here does')}</p>
<form method="post" action="/sign-out"><button>${say('out here')}</button></form></section>
<section aria-labelledby="everywhere"><h2 id="everywhere">${say('out everywhere')}</h2>
<p>${say('out everywhere does')}</p>
<form method="post" action="/sign-out/everywhere"><button>${say('out everywhere')}</button></form></section>`
  return plain(say('sign out'), main, wording)
}

export function signedOutPage(wording: FirstWording): WebDocument {
  const { say } = wording
  const main = html`<p>${say('signed out here')}</p>${signInLink('/', say('sign in'))}`
  return plain(say('signed out'), main, wording)
}

interface ToSetUp {
  readonly secret: string
  /** the account as the app is to name it */
  readonly account: string
  readonly isWrong: boolean
}

export function authenticatorPage({ secret, account, isWrong }: ToSetUp, wording: FirstWording): WebDocument {
  const { say } = wording
  const label = encodeURIComponent(`Quarterturn:${account}`)
  const link = `otpauth://totp/${label}?secret=${encodeURIComponent(secret)}&issuer=Quarterturn`
  const wrong = isWrong ? html`<div class="trouble" role="alert"><p>${say('authenticator wrong')}</p></div>` : ''
  const marks = isWrong ? html` aria-invalid="true"` : ''
  const main = html`${wrong}<p>${say('authenticator why')}</p>
<ol class="steps"><li>${say('authenticator step app')}</li>
<li>${say('authenticator step secret')}
<p class="secret">${inFours(secret)}</p>
<p><a href="${link}">${say('authenticator link')}</a></p></li>
<li>${say('authenticator step code')}
<form class="act" method="post" action="/sign-in/authenticator"><div class="field">
<label for="code">${say('authenticator code')}</label>
<input id="code" name="code" inputmode="numeric" autocomplete="one-time-code" required${marks}></div>
<p class="send"><button>${say('authenticator send')}</button></p></form></li></ol>
<p>${say('authenticator lost')}</p>`
  return plain(say('authenticator'), main, wording)
}

const inFours = (secret: string) => (secret.match(/.{1,4}/g) ?? []).join(' ')
