/** Pictures of the bench: the place that is read next, and the strip as it fills. No markup is parsed. */
import type { ReadingPlace } from '../../../shared-domain/bench-entry/reading.ts'
import type { marks, Strip, Turn } from '../../../shared-domain/bench-test/strip.ts'
import { quarterTurns } from '../../../shared-domain/words.ts'
import { drawnAt, inDrawingOrder, shapeOfMark } from '../strip-shapes.ts'
import type { BenchWords } from './bench-told.ts'
import { element } from './markup.ts'

const space = 'http://www.w3.org/2000/svg'

function drawn(tag: string, attributes: Readonly<Record<string, string | number>>, ...children: readonly Node[]) {
  const made = document.createElementNS(space, tag)
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value))
  made.append(...children)
  return made
}

const written = (text: string, attributes: Readonly<Record<string, string | number>>) => {
  const made = drawn('text', attributes)
  made.textContent = text
  return made
}

/** The stick lies from 40 to 290 of 300 units, its working end with the nought on the left. */
const [stickFrom, stickTo] = [40, 290]

export function placeDrawn({ fromMetres, toMetres, quarterTurn }: ReadingPlace, lengthMetres: number, label: string) {
  const x = (metres: number) => stickFrom + ((stickTo - stickFrom) * metres) / lengthMetres
  const side = drawn(
    'svg',
    { viewBox: '0 0 300 64', class: 'side', 'aria-hidden': 'true' },
    drawn('path', { d: `M${stickFrom} 15h${stickTo - stickFrom}v14h-${stickTo - stickFrom}z`, class: 'stick' }),
    // the working end: an eye, and the nought
    drawn('path', { d: 'M40 22H28m0 0a9 9 0 1 0-18 0a9 9 0 1 0 18 0', class: 'hook' }),
    written('0', { x: stickFrom, y: 60, class: 'nought' }),
    drawn('rect', { x: x(fromMetres), y: 5, width: x(toMetres) - x(fromMetres), height: 34, class: 'here' }),
  )
  return element('div', { class: 'drawing', role: 'img', 'aria-label': label }, side, turnDrawn(quarterTurn))
}

/** The stick from its working end: nought is up, and turns go on clockwise. */
function turnDrawn(turn: number): SVGElement {
  const dots = quarterTurns.map((one) => {
    const angle = ((one - 90) * Math.PI) / 180
    const [x, y] = [32 + 20 * Math.cos(angle), 32 + 20 * Math.sin(angle)]
    return drawn('circle', { cx: x, cy: y, r: one === turn ? 9 : 3, class: one === turn ? 'here' : 'dot' })
  })
  return drawn(
    'svg',
    { viewBox: '0 0 64 64', class: 'end', 'aria-hidden': 'true' },
    drawn('circle', { cx: 32, cy: 32, r: 20, class: 'stick' }),
    ...dots,
  )
}

export interface StripShown {
  readonly element: HTMLElement
  readonly show: (strip: Strip) => void
}

/** A band is drawn anew only where something of it changed. */
export function stripShown(name: string, words: BenchWords): StripShown {
  const { say, capital } = words
  const caption = element('figcaption', {})
  const bands = quarterTurns.map((turn) => ({ turn, was: '', svg: drawn('svg', { class: 'band' }) }))
  const rows = bands.map(({ turn, svg }) =>
    element('div', { class: 'turn' }, element('span', { class: 'degrees' }, `${turn}°`), svg),
  )
  const axis = element('div', { class: 'axis' })
  const scale = element('div', { class: 'scale', 'aria-hidden': 'true' }, ...rows, axis)
  const figure = element('figure', { class: 'strip' }, caption, scale)
  return {
    element: figure,
    show: (strip) => {
      const { limitMicroamps: limit, lengthMetres } = strip
      const said = limit === null ? say('bench no limit') : say('bench limit', { limit })
      caption.replaceChildren(element('strong', {}, capital(name)), ` ${said}`)
      const steps = [0, 0.5, 1].map((share) => words.length(Math.round(lengthMetres * share * 100) / 100))
      axis.replaceChildren(...steps.map((step) => element('span', {}, step)))
      for (const band of bands) {
        const turn = strip.turns.find(({ quarterTurn }) => quarterTurn === band.turn)
        const now = JSON.stringify([turn, limit])
        if (turn === undefined || now === band.was) continue
        band.was = now
        band.svg.replaceChildren(...cellsDrawn(turn, strip))
      }
    },
  }
}

function cellsDrawn({ cells }: Turn, strip: Strip): Node[] {
  return inDrawingOrder(cells).flatMap((i) => {
    const one = drawnAt(cells, i, strip)
    if (one === null) return []
    const { x, width, look, mark } = one
    const shape = shapeOfMark[mark]
    const inner = element('i', { class: look })
    if (shape !== null) inner.append(shapeDrawn(shape))
    return [drawn('foreignObject', { x, width, height: '100%' }, inner)]
  })
}

const shapeDrawn = ({ d, isFull }: NonNullable<(typeof shapeOfMark)[(typeof marks)[number]]>) =>
  drawn('svg', { viewBox: '0 0 20 20', 'aria-hidden': 'true' }, drawn('path', isFull ? { d, class: 'full' } : { d }))
