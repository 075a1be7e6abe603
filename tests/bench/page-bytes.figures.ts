/** Kilobytes of one page with all that it asks for, compressed; `page-bytes` is of the largest of all pages. */
import { bytesOfCrewPage } from './crew-of-sticks.ts'
import type { Figure } from './figure.ts'

const crew: Figure = {
  unit: 'kilobytes of the page of a crew of sixty sticks with its script, as they are sent compressed',
  better: 'lower',
  goal: 40,
  floorIn: 'kilobytes of the script',
  measure: async () => {
    const { page, script } = await bytesOfCrewPage()
    return { value: (page + script) / 1024, floor: script / 1024 }
  },
}

export const figures = { crew }
