/** The checks of an instrument in a test, each beside what the procedure asked of it. */
import type { Procedure } from '../registers.ts'
import type { BenchTest } from './bench-test.ts'
import { readsTrue } from './trust.ts'

type Check = BenchTest['instrumentChecks'][number]
type Piece = Procedure['checks'][number]

export interface CheckBesideProcedure {
  readonly check: Check
  /** the check piece that was meant; null where the procedure states none for the state */
  readonly piece: Piece | null
  readonly isRight: boolean | null
}

export function checksBeside({ instrumentChecks }: BenchTest, { checks }: Procedure): CheckBesideProcedure[] {
  return instrumentChecks.map((check) => {
    const piece = pieceOf(check, checks)
    const isRight = piece && readsTrue(piece, check) && check.openMicroamps <= piece.openAtMostMicroamps
    return { check, piece, isRight }
  })
}

/** The piece whose figure is nearest is the one that was meant; the judge goes by the same. */
function pieceOf({ state, checkMicroamps }: Check, pieces: readonly Piece[]): Piece | null {
  const away = (piece: Piece) => Math.abs(checkMicroamps - piece.expectedMicroamps)
  const [nearest] = pieces.filter((piece) => piece.state === state).sort((a, b) => away(a) - away(b))
  return nearest ?? null
}
