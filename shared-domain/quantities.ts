/** Units: SI inside; places along a stick are compared in whole millimetres so that 0.1 + 0.2 m is 0.3 m. */

export type Millimetres = number & { readonly __unit: 'mm' }

export function millimetres(metres: number): Millimetres {
  return Math.round(metres * 1000) as Millimetres
}

/** A band holds both its ends. */
export function isInBand(value: number, [from, to]: readonly [number, number]): boolean {
  return from <= value && value <= to
}

export function metres(length: Millimetres): number {
  return length / 1000
}
