/** Refusals of what the caller may not do, in the same words wherever it is asked. */
import { type Action, may, mayAtAll, type Subject } from '../../shared-domain/rights.ts'
import { notAllowed, type Refused } from '../ground/errors.ts'
import type { Caller } from './identity.ts'

export const notYours = (what: 'stick' | 'crew' | 'notice'): Refused => notAllowed({ is: `not allowed: ${what}` })

export function checkRole({ role }: Caller, action: Action): void {
  if (!mayAtAll(role, action)) throw notAllowed({ is: 'not allowed: role', role })
}

export function checkMayStick(caller: Caller, action: Action, stick: Subject): void {
  if (!may(caller, action, stick)) throw notYours('stick')
}

export function checkMayCrew(caller: Caller, action: Action, crew: Subject): void {
  if (!may(caller, action, crew)) throw notYours('crew')
}
