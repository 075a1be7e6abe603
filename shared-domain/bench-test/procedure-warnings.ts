/** Warnings about a procedure that is taken all the same: whoever puts it in force should look at them. */
import type { Limit, Procedure } from '../registers.ts'
import { type SurfaceState, surfaceStates } from '../words.ts'

export interface Warning {
  readonly code: 'limit-above-check-piece' | 'no-check-piece'
  /** words for people */
  readonly text: string
  /** the pointer into the procedure's own body */
  readonly pointer: string
}

/**
 * A check shows that the instrument reads true as far as the check piece goes, and not beyond it (common practice). A
 * reading near a limit above that was never shown to be true.
 */
export function procedureWarnings({ checks, limits }: Pick<Procedure, 'checks' | 'limits'>): Warning[] {
  const highest = (state: SurfaceState) =>
    Math.max(0, ...checks.filter((piece) => piece.state === state).map((piece) => piece.expectedMicroamps))
  return [
    ...limits.flatMap((limit, index) => aboveCheckPiece(limit, index, highest(limit.state))),
    ...surfaceStates
      .filter((state) => highest(state) === 0 && limits.some((limit) => limit.state === state))
      .map((state) => noCheckPiece(state)),
  ]
}

function aboveCheckPiece({ state, microamps }: Limit, index: number, highest: number): Warning[] {
  if (highest === 0 || microamps <= highest) return []
  const text = `The limit of ${microamps} µA, ${state}, is above the ${highest} µA of the check piece: nothing shows that the instrument reads true so high`
  return [{ code: 'limit-above-check-piece', text, pointer: `/limits/${index}` }]
}

function noCheckPiece(state: SurfaceState): Warning {
  const text = `The procedure has limits for ${state} readings and states no check reading for them: every ${state} test by it will prove nothing`
  return { code: 'no-check-piece', text, pointer: '/checks' }
}
