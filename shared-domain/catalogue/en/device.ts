/** Sentences of what a device keeps: reports that are not sent yet, and a list for where there is no link. */
import { lines } from '../lines.ts'

export const device = {
  'device banner': 'Kept on this phone',
  'device waits': 'Not sent yet, kept on this phone: {$count}',
  'device waits for others': lines(
    'Kept on this phone for somebody else: {$count}. It is sent when that person signs in here with a link.',
  ),
  'device send now': 'Send now',
  'device sign in': 'Sign in and send',
  'device no link': lines(
    'No link to the service. It is sent when the link is back and one of these pages is open. Nobody knows of it until',
    'then.',
  ),
  'device session over': 'Your sign-in has ended. Nothing is lost: sign in, and it is sent.',
  'device service trouble':
    'The service could not take it just now (answer {$status}). It stays on this phone and is tried again.',
  'device sent': 'Sent and recorded: {$about}, entered {$when}.',
  'device not taken': 'Not taken: {$about}, entered {$when}.',
  'device stays until': 'It stays on this phone until it is taken or you throw it away. Nobody knows of it until then.',
  'device send again': 'Send it again',
  'device throw away': 'Throw it away',
  'device throw away surely': 'Yes, throw it away. Nobody is told of it.',
  'device answered': 'The service did not say why.',

  'device sending': 'Kept on this phone. Sending …',
  'device kept': 'Kept, not sent yet',
  'device kept what': '{$about}, entered {$when}.',
  'device nobody knows': lines(
    'Nobody knows of it yet. If it is about danger, put the stick out of use and tell your foreman now, by voice or',
    'radio.',
  ),
  'device sent later':
    'This phone sends it with the hour at which you entered it, when the link is back and one of these pages is open.',
  'device sent by the next': lines(
    'Nobody is signed in on this phone. It is sent under the name of whoever signs in here next, with the hour at',
    'which you entered it.',
  ),
  'device may be lost': lines(
    'This browser may clear it by itself, after some days, or as soon as a private window is closed. Send it as soon',
    'as you can.',
  ),
  'device go on': 'Go on',
  'device not kept': 'Not sent, and not kept',
  'device not kept, do': lines(
    'Leave this page open and press the button again when there is a link. If it is about danger, put the stick out of',
    'use and tell your foreman now, by voice or radio.',
  ),
  'device full':
    'The storage of this phone is full. What was kept before stays kept. Nothing new is kept until there is room.',
  'device keeps nothing': lines(
    'This browser keeps nothing for these pages, as a private window may. What you enter without a link is lost when',
    'you leave the page.',
  ),
  'device later build': lines(
    'This page is older than what this phone keeps. What was kept stays kept; nothing new is kept. Load the page again',
    'with a link.',
  ),
  'device older pages': lines(
    'The pages that open without a link are of an older build on this phone. What was kept stays kept. Load this page',
    'again with a good link.',
  ),
  'device no pages': lines(
    'In this browser no page opens without a link. Reports are kept all the same, as long as this page is open.',
  ),
  'device clock ahead': lines(
    'The clock of this phone is ahead by about {$minutes} min. Hours that you left empty were put right; an hour that',
    'you typed stands as typed.',
  ),
  'device clock behind': lines(
    'The clock of this phone is behind by about {$minutes} min. Hours that you left empty were put right; an hour that',
    'you typed stands as typed.',
  ),

  'device without link': 'No link',
  'device without link, do': lines(
    'The page that you asked for could not be had. Below stands what this phone keeps, and a form to report what is',
    'wrong.',
  ),
  'device try again': 'Try the page again',
  'device report': 'Say at once when something is wrong',
  'device which stick': 'Number of the stick',
  'device keep it': 'Keep it, and send it with the link',
  'device list as of': 'As known on {$when}, {$hours} h {$minutes} min ago. What happened since is not in it.',
  'device list too old': 'The list is of {$when}, more than a day old. How the sticks stand is unknown: ask the bench.',
  'device no list': 'This phone keeps no list of your sticks. Ask the bench before you use one.',
  'device unknown': 'unknown: ask the bench',
  'device not on list': 'A stick that is not on this list: ask the bench before you use it.',
  'device reported here': 'DO NOT USE. Something was reported of it on this phone.',
  'device leaving': lines(
    'Not sent yet, kept on this phone: {$count}. If you sign out now, it stays here and is sent when its author signs',
    'in on this phone again. Nobody knows of it until then.',
  ),
  'device leave anyway': 'Sign out all the same',
} as const

export type DeviceSentences = typeof device
