/**
 * The shape rises whenever the fold keeps something that it did not keep before: the facts that an earlier build folded
 * are then folded anew.
 */
export const shapeOfState = 13
