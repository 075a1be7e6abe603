/**
 * What a verdict rests on, kept small beside it: the highest reading of each surface state and the limit that it was
 * held to. By that alone a test can be judged again once its instrument is found to have read wrong.
 */
import { type InstrumentError, trueMicroamps } from '../recall/error.ts'
import type { Procedure } from '../registers.ts'
import type { SurfaceState } from '../words.ts'
import { standing } from './limits.ts'

export interface Highest {
  readonly state: SurfaceState
  readonly microamps: number
  /** null where no limit covered the stick */
  readonly limit: number | null
  readonly source: string
}

export interface Measured {
  readonly comparison: Procedure['comparison']
  readonly decision: Procedure['decision']
  readonly expandedUncertaintyPercent?: number
  readonly highest: readonly Highest[]
  /** the test holds withstand results, of which an error of the current says nothing */
  readonly withstood?: true
}

/** A reading put right by the error of its instrument, held to its limit once more. */
export interface PutRight {
  readonly state: SurfaceState
  readonly readMicroamps: number
  /** null where the current may have been any */
  readonly trueMicroamps: number | null
  readonly limitMicroamps: number
  /** the limit less the true reading; negative where that is over it */
  readonly marginMicroamps: number | null
  readonly source: string
  readonly conforms: boolean
}

export type WithError =
  /** nothing can be said: the error is not known, or what was measured is no current of a known limit */
  { readonly passes: null } | { readonly passes: boolean; readonly readings: readonly PutRight[] }

/** The highest reading decides: a larger reading never conforms where a smaller one does not. */
export function judgedWithError(measured: Measured | undefined, error: InstrumentError | null): WithError {
  if (measured === undefined || error === null || measured.withstood) return { passes: null }
  const readings = measured.highest.flatMap((one) => putRight(one, measured, error))
  if (readings.length === 0 || readings.length < measured.highest.length) return { passes: null }
  return { passes: readings.every(({ conforms }) => conforms), readings }
}

function putRight(
  { state, microamps, limit, source }: Highest,
  measured: Measured,
  error: InstrumentError,
): PutRight[] {
  if (limit === null) return []
  const { comparison, decision, expandedUncertaintyPercent } = measured
  const found = trueMicroamps(microamps, error)
  const isKnown = Number.isFinite(found)
  const rule = { procedure: { comparison, decision }, expandedUncertaintyPercent }
  return [
    {
      state,
      readMicroamps: microamps,
      trueMicroamps: isKnown ? found : null,
      limitMicroamps: limit,
      marginMicroamps: isKnown ? Math.round((limit - found) * 1e9) / 1e9 : null,
      source,
      conforms: standing(found, { microamps: limit }, rule) === 'conforms',
    },
  ]
}
