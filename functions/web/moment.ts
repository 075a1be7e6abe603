/** A moment as people read it: by the clock on the wall there, and what that clock is called. */
import { type Instant, localDateAt, localTimeAt, zoneNameAt } from '../../shared-domain/calendar.ts'

export function momentInWords(at: Instant, zone: string, day: (date: string) => string): string {
  return `${day(localDateAt(at, zone))}, ${localTimeAt(at, zone)} ${zoneNameAt(at, zone)}`
}
