/** The rule packs of this build, and the employer’s settings that hold before anybody entered a policy. */
import { jpOrdinance351 } from './jp-ordinance-351.ts'
import { ruOrder261 } from './ru-order-261.ts'
import type { RulePack } from './rule-pack.ts'
import { ufc356001Section54 } from './ufc-3-560-01-5-4.ts'
import { us29Cfr1910269j } from './us-29-cfr-1910-269-j.ts'
import { usMo200 } from './us-mo-200.ts'

export const rulePacks: readonly RulePack[] = [us29Cfr1910269j, ufc356001Section54, usMo200, jpOrdinance351, ruOrder261]

/** A clock is known by its requirement's name: no two may share one. */
export const shorteningName = (rule: string) => `${rule}-shortened`

/** Three days: even a long weekend is no reason to answer later. */
export const mostConfirmHours = 72

/** The hours that hold where no policy says otherwise, or none is in force. */
export const confirmHoursWithoutPolicy = 4
