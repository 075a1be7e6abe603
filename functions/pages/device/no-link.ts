/** The page that opens without a link: the sticks as they were known and when, and a form to report on any. */
import {
  ageInMinutes,
  isTooOld,
  type KeptLine,
  type KeptList,
  lineCounts,
} from '../../../shared-domain/device/kept-list.ts'
import type { Device } from './banner.ts'
import { deviceNow } from './link.ts'
import { element, paragraph } from './markup.ts'
import { whenInWords } from './told.ts'

/** Answers whether the page has a place for the list. */
export function showKeptList({ say, told }: Device, list: KeptList | null): boolean {
  const place = document.getElementById('device-list')
  if (place === null) return false
  if (list === null) {
    place.replaceChildren(paragraph(say('device no list')))
    return true
  }
  const now = deviceNow()
  const age = ageInMinutes(list, now) ?? 0
  const when = whenInWords(list.fetchedAt, told)
  const head = isTooOld(list, now)
    ? say('device list too old', { when })
    : say('device list as of', { when, hours: Math.floor(age / 60), minutes: age % 60 })
  place.replaceChildren(
    element('h2', {}, list.crew),
    paragraph(element('strong', {}, head)),
    element('ul', {}, ...list.lines.map((line) => lineShown(line, lineCounts(line, list, now), say('device unknown')))),
    paragraph(say('device not on list')),
  )
  return true
}

function lineShown({ stick, says }: KeptLine, counts: boolean, unknown: string): HTMLElement {
  return element('li', {}, element('strong', {}, stick), ` ${counts ? says : unknown}`)
}

/** The day in the form is that of the device, for there is no other; the hour is put right when it is sent. */
export function fillToday(): string {
  const now = new Date()
  const two = (count: number) => String(count).padStart(2, '0')
  const today = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`
  for (const day of document.querySelectorAll<HTMLInputElement>('form.act input[name="/occurredOn"]'))
    day.value ||= today
  return today
}
