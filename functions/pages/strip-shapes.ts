/** How a survey is drawn, whoever draws it: the shape of each mark, and where along its band each reading stands. */
import type { Cell, Mark, Strip } from '../../shared-domain/bench-test/strip.ts'

interface Shape {
  /** a path on a square of 20 */
  readonly d: string
  readonly isFull?: true
}

/** The shape of a mark, so that nobody has to tell shades apart; what conforms has none. */
export const shapeOfMark: { readonly [mark in Mark]: Shape | null } = {
  conforms: null,
  'over limit': { d: 'M10 2 19 18H1z', isFull: true },
  'in guard band': { d: 'M10 3 18 17H2z' },
  'not settled': { d: 'M2 12c3-8 5-8 8 0s5 8 8 0' },
  'no limit': { d: 'M3 10a7 7 0 1 0 14 0a7 7 0 1 0-14 0M5 15 15 5' },
  'not read': { d: 'm4 4 12 12M16 4 4 16' },
  'overlap too small': { d: 'M7 2v16M13 2v16' },
}

/** What lies over its neighbours is drawn after them. */
export function inDrawingOrder(cells: readonly Cell[]): number[] {
  return [...cells.keys()].sort((a, b) => Number(isNarrow(cells[a])) - Number(isNarrow(cells[b])))
}

const isNarrow = (cell: Cell | undefined) => cell?.mark === 'overlap too small'

interface DrawnCell {
  readonly x: string
  readonly width: string
  /** its classes in the stylesheet */
  readonly look: string
  readonly mark: Mark
}

/** Readings overlap: each is drawn to the middle of what it shares with its neighbours. */
export function drawnAt(cells: readonly Cell[], i: number, strip: Pick<Strip, 'lengthMetres' | 'limitMicroamps'>) {
  const cell = cells[i]
  if (cell === undefined) return null
  const left = middle(cells[i - 1]?.toMetres, cell.fromMetres)
  const right = middle(cells[i + 1]?.fromMetres, cell.toMetres)
  const drawn: DrawnCell = {
    x: percent(left, strip),
    width: percent(Math.max(0.004, right - left), strip),
    look: `${classOf(cell.mark)} ${shadeOf(shareOf(cell, strip))}`,
    mark: cell.mark,
  }
  return drawn
}

export function middle(neighbour: number | undefined, own: number): number {
  return neighbour === undefined ? own : (neighbour + own) / 2
}

function percent(metres: number, { lengthMetres }: Pick<Strip, 'lengthMetres'>): string {
  return `${Math.round((metres / lengthMetres) * 10_000) / 100}%`
}

/** The stylesheet has a shade for each twentieth of the limit. */
export const shadeOf = (share: number) => `shade-${Math.round(share * 20)}`

/** How much of its limit a reading takes, for its shade; 1 is the limit. */
export function shareOf({ leakageMicroamps }: Cell, { limitMicroamps }: Pick<Strip, 'limitMicroamps'>): number {
  if (leakageMicroamps === null || limitMicroamps === null) return 0
  return Math.min(1, leakageMicroamps / limitMicroamps)
}

export const classOf = (mark: Mark) => mark.replaceAll(' ', '-')
