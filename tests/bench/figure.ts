/**
 * What a file `NAME.figure.ts` beside this one exports as `figure`; its name is the figure's. A file `NAME.figures.ts`
 * exports several as `figures`, by what follows `NAME/` in their names.
 */
export interface Figure {
  /** what the value is a ratio to; a time says so, and of what */
  readonly unit: string
  readonly better: 'lower' | 'higher'
  readonly goal: number
  /** what the floor is counted in, milliseconds unless said otherwise */
  readonly floorIn?: string
  readonly measure: (rounds: number) => Measured | Promise<Measured>
}

export interface Measured {
  /**
   * a ratio to the floor, which moves less from machine to machine than a time does, unless people count the seconds
   */
  readonly value: number
  /** a floor that grows would flatter the ratio, and shows here */
  readonly floor: number
}
