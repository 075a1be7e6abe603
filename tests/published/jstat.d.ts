/** The little of the package that is compared with; it brings no types of its own. */
declare module 'jstat' {
  const jstat: {
    readonly binomial: { pdf(found: number, of: number, share: number): number }
    readonly beta: { inv(probability: number, alpha: number, beta: number): number }
    readonly hypgeom: { pdf(found: number, all: number, marked: number, drawn: number): number }
  }
  export default jstat
}
