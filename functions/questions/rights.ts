/** Refusals of what the caller may not do, in the same words wherever it is asked. */
import { type Action, may, mayAtAll, type Subject } from '../../shared-domain/rights.ts'
import { notAllowed, type Refused } from '../ground/errors.ts'
import type { Caller } from './identity.ts'

const whose = {
  stick: 'This stick belongs to another crew or depot.',
  crew: 'This crew is not yours.',
  notice: 'This notice is about another crew or depot.',
} as const

export const notYours = (what: keyof typeof whose): Refused => notAllowed(whose[what])

export function checkRole({ role }: Caller, action: Action): void {
  if (!mayAtAll(role, action)) throw notAllowed(`This is not for the role ${role}.`)
}

export function checkMayStick(caller: Caller, action: Action, stick: Subject): void {
  if (!may(caller, action, stick)) throw notYours('stick')
}

export function checkMayCrew(caller: Caller, action: Action, crew: Subject): void {
  if (!may(caller, action, crew)) throw notYours('crew')
}
