/** Every route of the API, once: the router, the rights and the document are made from this list. */
import { benchTestRoutes } from './bench-tests.ts'
import { correctionRoutes } from './corrections.ts'
import { exportRoutes } from './exports.ts'
import { feedRoutes } from './feeds.ts'
import { fleetRoutes } from './fleet.ts'
import { importRoutes } from './imports.ts'
import { instrumentRoutes } from './instruments.ts'
import { judgementRoutes } from './judgements.ts'
import { markedAddressRoutes } from './marked-addresses.ts'
import { noticeRoutes } from './notices.ts'
import { outlookRoutes } from './outlook.ts'
import { paperRoutes } from './papers.ts'
import { pastTestRoutes } from './past-tests.ts'
import { personSignInRoutes } from './person-sign-in.ts'
import { planRoutes } from './plans.ts'
import { policyRoutes } from './policies.ts'
import { procedureRoutes } from './procedures.ts'
import { proofRoutes } from './proofs.ts'
import { proposalRoutes } from './proposals.ts'
import { recallRoutes } from './recalls.ts'
import { registerRoutes } from './registers.ts'
import { registrationRoutes } from './registration.ts'
import { reminderRoutes } from './reminders.ts'
import type { Route } from './request.ts'
import { rosterRoutes } from './roster.ts'
import { stepRoutes } from './steps.ts'
import { stickRoutes } from './sticks.ts'
import { toldInPersonRoutes } from './told-in-person.ts'
import { unplacedReportRoutes } from './unplaced-reports.ts'
import { whatIfRoutes } from './what-if.ts'

export const routes: readonly Route[] = [
  ...registerRoutes,
  ...personSignInRoutes,
  ...procedureRoutes,
  ...policyRoutes,
  ...proposalRoutes,
  ...registrationRoutes,
  ...stickRoutes,
  ...proofRoutes,
  ...paperRoutes,
  ...stepRoutes,
  ...unplacedReportRoutes,
  ...benchTestRoutes,
  ...judgementRoutes,
  ...pastTestRoutes,
  ...correctionRoutes,
  ...recallRoutes,
  ...whatIfRoutes,
  ...rosterRoutes,
  ...outlookRoutes,
  ...planRoutes,
  ...fleetRoutes,
  ...instrumentRoutes,
  ...noticeRoutes,
  ...toldInPersonRoutes,
  ...reminderRoutes,
  ...markedAddressRoutes,
  ...feedRoutes,
  ...importRoutes,
  ...exportRoutes,
]
