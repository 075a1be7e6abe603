/** What a wrong instrument read, put right by its known error. A negative error reads low. */

export type InstrumentError =
  | { readonly kind: 'percent of reading' | 'offset microamps'; readonly value: number }
  | { readonly kind: 'percent of full scale'; readonly value: number; readonly fullScaleMicroamps: number }

/**
 * The current that was there where the instrument showed `read`. No error makes a current of what cannot be: an
 * instrument that reads by 100 % too low shows nothing, and the current may have been any.
 */
export function trueMicroamps(read: number, error: InstrumentError): number {
  const found = uncorrected(read, error)
  return Number.isFinite(found) ? Math.max(0, rounded(found)) : Number.POSITIVE_INFINITY
}

function uncorrected(read: number, error: InstrumentError): number {
  switch (error.kind) {
    case 'percent of reading':
      return error.value > -100 ? (read * 100) / (100 + error.value) : Number.POSITIVE_INFINITY
    case 'percent of full scale':
      return read - (error.value * error.fullScaleMicroamps) / 100
    case 'offset microamps':
      return read - error.value
  }
}

/** Binary fractions leave a hair beside the figure; no instrument here shows a thousandth of a nanoampere. */
const rounded = (microamps: number) => Math.round(microamps * 1e9) / 1e9
