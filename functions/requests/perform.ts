/**
 * A request of whoever is known already, through whatever door it came: what they may do, what they sent, one handler.
 */
import { checkRole } from '../questions/rights.ts'
import { checked, type Sent } from './checked.ts'
import type { Answer } from './problem.ts'
import type { Recorder, Route } from './request.ts'

/** @throws Refused, whose refusal each door tells in its own way */
export async function perform(route: Route, by: Recorder, sent: Sent): Promise<Answer> {
  checkRole(by.caller, route.action)
  return route.handle(await checked(route, by, sent))
}
