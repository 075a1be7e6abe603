/** Every route of the API, once: the router, the rights and the document are made from this list. */
import { benchTestRoutes } from './bench-tests.ts'
import { feedRoutes } from './feeds.ts'
import { markedAddressRoutes } from './marked-addresses.ts'
import { noticeRoutes } from './notices.ts'
import { policyRoutes } from './policies.ts'
import { registerRoutes } from './registers.ts'
import type { Route } from './request.ts'
import { rosterRoutes } from './roster.ts'
import { stickRoutes } from './sticks.ts'
import { unplacedReportRoutes } from './unplaced-reports.ts'
import { whatIfRoutes } from './what-if.ts'

export const routes: readonly Route[] = [
  ...registerRoutes,
  ...policyRoutes,
  ...stickRoutes,
  ...unplacedReportRoutes,
  ...benchTestRoutes,
  ...whatIfRoutes,
  ...rosterRoutes,
  ...noticeRoutes,
  ...markedAddressRoutes,
  ...feedRoutes,
]
