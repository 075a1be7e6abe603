/** All that records and judges, as one part beside the bundles: whoever only reads starts without it. */
export { overLimitsFor } from '../questions/over-limits.ts'
export { approve, decline } from './approving.ts'
export { edit } from './editions.ts'
export { judged } from './judging.ts'
export { record, wouldFollow } from './record.ts'
export { register } from './registering.ts'
export { keepUnplaced, placeReport } from './unplaced-reports.ts'
