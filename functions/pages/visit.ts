/** A visit to a page by somebody who is signed in: who it is, what they may do, and in which words they read. */
import type { Context } from 'hono'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { Reader } from '../../shared-domain/wording.ts'
import type { WallClock } from '../ground/clock.ts'
import type { Asker } from '../questions/asker.ts'
import { type Session, signedIn } from '../questions/signed-in.ts'
import { pageReaderOf, type Who } from '../web/reader.ts'
import { type FirstWording, firstWordingFor } from './first-wording.ts'
import type { SessionOf } from './session.ts'
import type { PageWording } from './wording.ts'

export interface VisitParts {
  /** an organisation's items, opened anew for each page */
  readonly open: (organisation: string) => Asker['organisation']
  readonly clock: WallClock
  /** passed in, so that a test need not sign in */
  readonly sessionOf: SessionOf
  /** passed in, so that a test may speak otherwise */
  readonly wordingFor?: (reader: Reader) => Promise<PageWording>
}

export interface Visit {
  readonly session: Session
  readonly asker: Asker
  readonly who: Who
  /** the last day on which the person counts, where the register says so */
  readonly lastDay: CalendarDate | null
  readonly wording: FirstWording
  /** the wording with the sentences of all pages */
  readonly wholly: () => Promise<PageWording>
}

export interface Visits {
  /** null where nobody is signed in; asked once for each request */
  readonly of: (context: Context) => Promise<Visit | null>
  /** the words for whoever asks, signed in or not */
  readonly wordingOf: (context: Context) => Promise<FirstWording>
  /** the words that the browser asks for, where nothing more can be found out */
  readonly wordingAsked: (context: Context) => Promise<FirstWording>
}

const everySentence = async (reader: Reader) => (await import('./wording.ts')).pageWordingFor(reader)

export function visitsOf(parts: VisitParts): Visits {
  const wordingFor: (reader: Reader) => Promise<FirstWording> = parts.wordingFor ?? firstWordingFor
  const { wordingFor: whollyFor = everySentence } = parts
  const known = new WeakMap<Request, Promise<Visit | null>>()

  async function visit(context: Context): Promise<Visit | null> {
    const session = await parts.sessionOf(context)
    if (session === null) return null
    const [organisation, now] = [parts.open(session.organisation), parts.clock()]
    // every page asks for these next
    for (const kind of ['depot', 'crew', 'policy'] as const) organisation.registers.readAhead(kind)
    const found = await signedIn(session, organisation, now)
    if (found === null) return null
    const { caller, name, organisation: called, reader, lastDay } = found
    const pageReader = pageReaderOf(context.req.raw, reader)
    return {
      session,
      asker: { organisation, caller, now },
      lastDay,
      who: {
        name,
        organisation: called,
        role: caller.role,
        ids: { organisation: organisation.name, person: caller.personId },
      },
      wording: await wordingFor(pageReader),
      wholly: () => whollyFor(pageReader),
    }
  }

  function of(context: Context): Promise<Visit | null> {
    const { raw } = context.req
    const asked = known.get(raw) ?? visit(context)
    known.set(raw, asked)
    return asked
  }

  const wordingAsked = (context: Context) => wordingFor(pageReaderOf(context.req.raw))

  return {
    of,
    wordingOf: async (context) => (await of(context))?.wording ?? wordingAsked(context),
    wordingAsked,
  }
}
