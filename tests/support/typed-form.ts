/** What a browser sends of a form that nobody changed, read off its markup. */

export type Fields = [name: string, value: string][]

const plain = (text: string) =>
  text
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')

const control = new RegExp(
  [
    /<input (?<input>[^>]*)>/,
    /<textarea [^>]*name="(?<area>[^"]*)"[^>]*>(?<text>[^<]*)<\/textarea>/,
    /<select [^>]*name="(?<select>[^"]*)"[^>]*>(?<options>.*?)<\/select>/,
  ]
    .map(({ source }) => source)
    .join('|'),
  'gs',
)

const attribute = (tag: string, name: string) => new RegExp(`(?:^|\\s)${name}="([^"]*)"`).exec(tag)?.[1]

export function typedForm(markup: string): Fields {
  const form = /<form class="act".*?<\/form>/s.exec(markup)?.[0] ?? ''
  return [...form.matchAll(control)].flatMap(({ groups = {} }): Fields => {
    const { input, area, text = '', select, options = '' } = groups
    if (area !== undefined) return [[plain(area), plain(text)]]
    if (select !== undefined)
      return [[plain(select), plain(/<option value="([^"]*)" selected/.exec(options)?.[1] ?? '')]]
    if (input === undefined) return []
    const isTicked = !/type="(checkbox|radio)"/.test(input) || /\schecked/.test(input)
    return isTicked ? [[plain(attribute(input, 'name') ?? ''), plain(attribute(input, 'value') ?? '')]] : []
  })
}

/** The same with some of it typed over; null leaves a box unticked. */
export function typedOver(
  fields: Fields,
  over: { readonly [name: string]: string | readonly string[] | null },
): Fields {
  const others = fields.filter(([name]) => !(name in over))
  const typed = Object.entries(over).flatMap(([name, value]): Fields => {
    if (value === null) return []
    return typeof value === 'string' ? [[name, value]] : value.map((one) => [name, one])
  })
  return [...others, ...typed]
}
