/** Sentences about who is signed in to the pages, and of the ways in and out. */
import { lines } from '../lines.ts'

export const signIn = {
  'signed in as': '{$name}, {$organisation}',
  'sign in': 'Sign in',
  'sign out': 'Sign out',

  'signed out': 'You are signed out',
  'signed out here': 'Nobody can go on under your name in this browser.',
  'you are signed in as': 'You are signed in as {$name} of {$organisation}.',
  'out here': 'Sign out of this browser',
  'out here does':
    'Ends your session here, and the one at the sign-in service. Do this on a computer that others use too.',
  'out everywhere': 'Sign out everywhere',
  'out everywhere does': lines(
    'Ends every session under your name, on every phone and computer, and every access token that a program holds for',
    'you. Do this when a phone is lost, or when somebody may know your password; then change the password at the',
    'sign-in service.',
  ),

  'typed is lost': 'You were no longer signed in',
  'typed is lost, do': 'Nothing was recorded, and what you typed is lost. Sign in, then enter it again.',
  'not from here': 'This was not sent from our own form',
  'not from here, do': 'Nothing was recorded. Open the page anew, and send the form from there.',

  'not signed in': 'You are not signed in',
  'sign-in no good': lines(
    'This sign-in was not begun in this browser, was used before, took longer than ten minutes, or was broken off.',
    'Begin it anew.',
  ),
  'sign-in anew': 'Sign in anew',
  'as somebody else': 'Sign in as somebody else',

  'not let in': 'The sign-in service knows you, this service does not',
  'in no address': 'The sign-in service tells no e-mail address of yours. Ask whoever looks after it.',
  'in address not verified':
    'The sign-in service has not confirmed that {$email} is your address. Confirm it there, then sign in again.',
  'in nobody has the address':
    'Nobody is entered with the address {$email}. Ask a manager or owner of your organisation to enter you with it.',
  'in several have the address':
    'More than one person is entered with the address {$email}. Ask a manager or owner to give each their own.',
  'in not begun':
    'The entry with the address {$email} has not begun yet. Ask a manager or owner from which day it counts.',
  'in ended': 'The entry with the address {$email} has ended. Ask a manager or owner if you should still be let in.',
  'in bound to another sign-in': lines(
    'Whoever has the address {$email} signs in by another account. Use that account, or ask a manager or owner to',
    'undo the link to it.',
  ),

  authenticator: 'Set up an authenticator app',
  'authenticator why': lines(
    'Managers and owners decide about sticks that others hold. Besides the password they enter a code from an app on',
    'their phone. Until it is set up, no page opens.',
  ),
  'authenticator step app': lines(
    'Open an authenticator app on your phone. Any that makes codes of six digits by time will do; if you have none,',
    'install one.',
  ),
  'authenticator step secret': 'Add an account there. Type in this secret, or open the link on the phone itself:',
  'authenticator link': 'Open in the app on this device',
  'authenticator step code': 'Type in the six digits that the app shows now.',
  'authenticator code': 'Code from the app',
  'authenticator send': 'Finish and go on',
  'authenticator wrong': lines(
    'This code does not fit. Check that the phone’s clock is right, wait for the next code in the app, and type that',
    'in.',
  ),
  'authenticator lost': lines(
    'If the phone is lost later, a manager or owner makes your account at the sign-in service anew, and you set this',
    'up again. Keep the secret where only you can reach it, and you can set up another phone by yourself.',
  ),
} as const
