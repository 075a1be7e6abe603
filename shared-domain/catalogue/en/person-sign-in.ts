/**
 * Sentences of how a person signs in, on the page of their entry, and of what others do about it. They are loaded with
 * the first such page.
 */
import { lines } from '../lines.ts'

export const personSignIn = {
  'their sign-in': 'Sign-in',
  'not bound': 'Not bound yet: the first sign-in on a page by the address above is theirs.',
  'bound since': 'Bound to the account by which they signed in first, {$when}.',
  'was set free': '{$when}: {$who} had them bound to a new sign-in.',
  'was signed out': '{$when}: {$who} signed them out everywhere.',
  'bind anew': 'Bind to a new sign-in',
  'bind anew whom': 'Bind {$name} to a new sign-in',
  'bind anew follows': lines(
    'Do this when they have another account at the sign-in service, or never used their first password. Every session',
    'and token of theirs ends. Whoever signs in next by the address on their entry is bound to them: see first that',
    'the mailbox is theirs. A first password that was never used is sent again.',
  ),
  'bound anew': 'They can sign in anew',
  'bind anew told': 'Their next sign-in on a page, by the address on their entry, counts. Tell them.',
  'sign them out': 'Sign out everywhere',
  'sign out whom': 'Sign {$name} out everywhere',
  'sign out follows': lines(
    'Ends every session of theirs, on every phone and computer, and every access token that a program holds for them.',
    'Do this when a phone is lost. They can sign in again at once: to end that too, give their entry a last day.',
  ),
  'they are signed out': 'They are signed out everywhere',
  'sign out told': 'What they have open asks for the sign-in at its next page. Programs need a new token.',
  'to their entry': 'To their entry',
} as const
