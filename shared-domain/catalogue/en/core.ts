/** The sentences on a stick that every reader may meet. */
import { holds } from './holds.ts'
import { misfits } from './misfits.ts'
import { places } from './places.ts'
import { reasons } from './reasons.ts'
import { whys } from './whys.ts'

export const core = { ...places, ...reasons, ...holds, ...whys, ...misfits } as const
