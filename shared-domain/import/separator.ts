/** The separator of a file of separated values, told by its first line. */
import { type Separator, separators } from './choices.ts'

/**
 * Answers the mark that stands most often outside quotes in the first line. A guess from later lines is led astray by
 * decimal commas and by commas in notes.
 */
export function separatorOf(text: string): Separator {
  const counts = new Map<string, number>(separators.map((one) => [one, 0]))
  let isQuoted = false
  for (const letter of text) {
    if (letter === '"') isQuoted = !isQuoted
    if (isQuoted) continue
    if (letter === '\n' || letter === '\r') break
    const count = counts.get(letter)
    if (count !== undefined) counts.set(letter, count + 1)
  }
  const most = Math.max(...counts.values())
  return separators.find((one) => counts.get(one) === most) ?? ','
}
