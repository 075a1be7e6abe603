/** The little of the package that is compared with; it brings no types of its own. */
declare module 'ml-regression-theil-sen' {
  export class TheilSenRegression {
    constructor(x: readonly number[], y: readonly number[])
    readonly slope: number
  }
}
