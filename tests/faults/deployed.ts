/**
 * Every function of the service, as one build of it: what runs in one process, and what another build can be loaded
 * beside.
 */
export { buildAnswers } from '../../functions/answers/answers.ts'
export { buildApi } from '../../functions/api/api.ts'
export { deliverUnsent } from '../../functions/deliver-notices/deliver-notices.ts'
export { deliverFromQueue } from '../../functions/deliver-notices/from-queue.ts'
export { sesMailer } from '../../functions/deliver-notices/mail.ts'
export { accountPace } from '../../functions/deliver-notices/pace.ts'
export { buildFeed } from '../../functions/feed/feed.ts'
export { takeAll } from '../../functions/feedback/feedback.ts'
export { followUp } from '../../functions/follow-up/follow-up.ts'
export { writeStillOwed } from '../../functions/follow-up/still-owed.ts'
export { tellFromQueue, tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
export { handOn } from '../../functions/hand-on/hand-on.ts'
export { buildPages } from '../../functions/pages/pages.ts'
export { proveStick } from '../../functions/prove-states/prove-states.ts'
export { reindex } from '../../functions/reindex/reindex.ts'
export { openOrganisation } from '../../functions/store/organisation.ts'
export { openTable } from '../../functions/store/table.ts'
export { sweep } from '../../functions/sweep/sweep.ts'
export { confirmationPath } from '../../functions/web/confirmation-link.ts'
