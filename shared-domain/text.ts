/** Text that people write and other people read: a name on one line, a remark, and what of a remark can be shown. */
import * as z from 'zod'
import { expecting } from './fault.ts'

/** Classes of letters take long to make, and most functions read no text of people's. */
function lazily(make: () => RegExp): () => RegExp {
  let made: RegExp | undefined
  return () => {
    made ??= make()
    return made
  }
}

/** Control characters, halves of a pair, private letters and places where no letter is: none of them can be shown. */
const noLetters = String.raw`\p{Cs}\p{Co}\p{Noncharacter_Code_Point}\uFFF9-\uFFFD`
/** Characters that turn the order of what is read. */
const overrides = String.raw`\u202A-\u202E\u2066-\u2069`
/** A whole alphabet that no screen shows. */
const tags = String.raw`\u{E0000}-\u{E007F}`

/** Tabs and line breaks are a remark's own. */
const unshowable = lazily(() => new RegExp(String.raw`[${noLetters}${overrides}${tags}]|(?![\t\n\r])\p{Cc}`, 'gu'))

/**
 * Letters that a name may not hold. Control characters and line breaks would become headers. Overrides of writing
 * direction and letters that nobody sees make one name look like another, or like none.
 */
const hidden = lazily(
  () =>
    new RegExp(
      String.raw`[\p{Cc}\p{Cn}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}\u2800${noLetters}${overrides}]`,
      'u',
    ),
)

/**
 * Scripts that cannot be written without the two joiners; between letters of others nobody sees them. At the end of a
 * word only Malayalam writes one, for a consonant without its vowel.
 */
const joinedScripts = [
  'Arabic Syriac Mandaic Mongolian Phags_Pa Nko Adlam Devanagari Bengali Gurmukhi Gujarati Oriya Tamil Telugu',
  'Kannada Malayalam Sinhala Tibetan Khmer Myanmar',
]
  .flatMap((scripts) => scripts.split(' '))
  .map((script) => String.raw`\p{Script_Extensions=${script}}`)
  .join('')
const joiner = lazily(
  () => new RegExp(String.raw`(?<=[${joinedScripts}])[\u200C\u200D](?=[${joinedScripts}])|(?<=\u0D4D)\u200D`, 'gu'),
)
/** Pictures are made of several by a joiner, and turned to colour or black by what follows them: both are seen. */
const partOfPicture = lazily(
  () =>
    new RegExp(
      [
        /(?<=\p{Extended_Pictographic})[\uFE0E\uFE0F]/u,
        /(?<=\p{Extended_Pictographic}|\p{Emoji_Modifier}|\uFE0F)\u200D(?=\p{Extended_Pictographic})/u,
        /(?<=[0-9#*])\uFE0F(?=\u20E3)/u,
      ]
        .map(({ source }) => source)
        .join('|'),
      'gu',
    ),
)

/** No script stacks more marks on one letter; more of them run over the lines around. */
const tooManyMarks = /\p{M}{5}/u

function readsAsItLooks(text: string): boolean {
  return (
    /[\p{L}\p{N}]/u.test(text) &&
    !tooManyMarks.test(text) &&
    !hidden().test(text.replaceAll(joiner(), '').replaceAll(partOfPicture(), ''))
  )
}

/** Text for people on one line: kept as typed. */
export const line = (most: number) =>
  z
    .string()
    .max(most, { abort: true })
    .refine(readsAsItLooks, expecting({ is: 'right: a line', most }))

/** A remark: may be empty and may have several lines. */
export const note = z
  .string()
  .max(4000, { abort: true })
  .refine((text) => text.search(unshowable()) < 0, expecting({ is: 'right: text that shows' }))

/** A report of danger is never refused for its letters: what cannot be shown is left out of it. */
export function shownText(text: string): { readonly text: string; readonly leftOut: boolean } {
  const shown = text.replaceAll(unshowable(), '')
  return { text: shown, leftOut: shown !== text }
}
