/** Warnings about a procedure that is taken all the same: whoever puts it in force should look at them. */
import type { warnings } from '../catalogue/en/warnings.ts'
import type { SaidOf } from '../catalogue/say.ts'
import type { Limit, Procedure } from '../registers.ts'
import { type SurfaceState, surfaceStates } from '../words.ts'

export interface Warning {
  readonly code: 'limit-above-check-piece' | 'no-check-piece'
  /** the sentence and its values; `warningIn` says it */
  readonly says: SaidOf<typeof warnings>
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
  const says = { is: 'limit above the check piece', microamps, state, highest } as const
  return [{ code: 'limit-above-check-piece', says, pointer: `/limits/${index}` }]
}

function noCheckPiece(state: SurfaceState): Warning {
  return { code: 'no-check-piece', says: { is: 'no check piece', state }, pointer: '/checks' }
}
