/** Who reads a page: whoever is signed in, by their own entry; else the language that a browser asks for. */
import type { Reader } from '../../shared-domain/wording.ts'
import { type Language, languages, type Role } from '../../shared-domain/words.ts'

/** A signed-in person as the pages name them. */
export interface Who {
  readonly name: string
  /** what the organisation calls itself */
  readonly organisation: string
  readonly role: Role
  /** by what a device knows whose reports it keeps */
  readonly ids?: { readonly organisation: string; readonly person: string }
}

export function pageReaderOf(request: Request, entry: Reader = {}): Reader {
  const asked = languageAsked(request.headers.get('accept-language') ?? '')
  return { language: entry.language ?? asked, units: entry.units ?? 'metric' }
}

/**
 * The language liked best of those that are spoken (RFC 9110, section 12.5.4); English where the header names none. A
 * language counts in all its regions.
 */
export function languageAsked(header: string): Language {
  const asked = header.split(',').flatMap((part) => {
    const [tag = '', ...parameters] = part.split(';').map((piece) => piece.trim().toLowerCase())
    const language = languages.find((one) => tag === one || tag.startsWith(`${one}-`))
    return language === undefined ? [] : [{ language, weight: weightOf(parameters) }]
  })
  const [first] = asked.filter(({ weight }) => weight > 0).sort((a, b) => b.weight - a.weight)
  return first?.language ?? 'en'
}

/** What is no weight is none. */
function weightOf(parameters: readonly string[]): number {
  const stated = parameters.find((one) => one.startsWith('q='))
  if (stated === undefined) return 1
  const weight = Number(stated.slice(2))
  return weight >= 0 && weight <= 1 ? weight : 0
}
