/** Raised whenever the fold keeps something that it did not keep before: what an earlier build folded is then folded anew. */
export const shapeOfState = 10
