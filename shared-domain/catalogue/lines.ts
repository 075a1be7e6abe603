/**
 * A sentence of a catalogue in lines that a screen takes in. Its type is the whole sentence: the values that it needs
 * are read from there.
 */

type Joined<Lines extends readonly string[]> = Lines extends readonly [
  infer Only extends string,
  ...infer More extends readonly string[],
]
  ? More extends readonly []
    ? Only
    : `${Only} ${Joined<More>}`
  : ''

/**
 * Joins the lines with a space.
 * @__NO_SIDE_EFFECTS__
 */
export function lines<const Lines extends readonly string[]>(...all: Lines): Joined<Lines> {
  return all.join(' ') as Joined<Lines>
}
