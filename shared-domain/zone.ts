/**
 * The offset and the name of a time zone's clocks, as the runtime's own data of zones has them. The zone is always
 * named, so that the machine's own is never asked for.
 *
 * A library that puts these into objects of its own took up to a sixth of a function's start.
 */

/** Tells whether the runtime knows such a zone. */
export function isZone(name: string): boolean {
  try {
    return formatOf(name, 'longOffset') !== undefined
  } catch {
    return false
  }
}

/** Milliseconds by which the clocks at `zone` are ahead of UTC at an instant, in milliseconds since 1970. */
export function offsetAt(millis: number, zone: string): number {
  const said = shown(millis, formatOf(zone, 'longOffset'))
  const [, sign, hours, minutes, seconds = '0'] = offset.exec(said) ?? []
  if (sign === undefined) return 0
  const ahead = ((Number(hours) * 60 + Number(minutes)) * 60 + Number(seconds)) * 1000
  return sign === '-' ? -ahead : ahead
}

/** "CST", "GMT+5:45" */
export function nameAt(millis: number, zone: string): string {
  return shown(millis, formatOf(zone, 'short'))
}

/** Seconds stand only where clocks still went by the sun. */
const offset = /^GMT([+-])(\d\d):(\d\d)(?::(\d\d))?$/

/** Words for the zone stand behind the date in what is shown. */
function shown(millis: number, format: Intl.DateTimeFormat): string {
  return format.format(millis).split(', ').at(-1) ?? ''
}

type Style = 'longOffset' | 'short'

/** Formats are made once each: making one takes a hundred times as long as asking it. */
const formats = new Map<string, Intl.DateTimeFormat>()

function formatOf(zone: string, timeZoneName: Style): Intl.DateTimeFormat {
  const key = `${timeZoneName} ${zone}`
  const known = formats.get(key)
  if (known !== undefined) return known
  const made = new Intl.DateTimeFormat('en-US', { timeZone: zone, timeZoneName })
  formats.set(key, made)
  return made
}
