/** The rule packs of this build, and what holds of the employer’s layer before anybody entered one. */
import { jpOrdinance351 } from './jp-ordinance-351.ts'
import { ruOrder261 } from './ru-order-261.ts'
import type { RulePack } from './rule-pack.ts'
import { ufc356001Section54 } from './ufc-3-560-01-5-4.ts'
import { us29Cfr1910269j } from './us-29-cfr-1910-269-j.ts'
import { usMo200 } from './us-mo-200.ts'

export const rulePacks: readonly RulePack[] = [us29Cfr1910269j, ufc356001Section54, usMo200, jpOrdinance351, ruOrder261]

/** A clock is known by its requirement's name: no two may share one. */
export const shorteningName = (rule: string) => `${rule}-shortened`

/** Three days: a longer weekend than that is no answer. */
export const mostConfirmHours = 72

/** Where no policy says otherwise, or none is in force. */
export const confirmHoursWithoutPolicy = 4
