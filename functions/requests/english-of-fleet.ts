/** Advice on a fleet in English: loaded with the first request for it. */
import { fleet } from '../../shared-domain/catalogue/en/fleet.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import type { SaidOf } from '../../shared-domain/catalogue/say.ts'
import { wordingIn } from '../../shared-domain/wording.ts'

const wording = wordingIn<typeof fleet>(english, 'metric', fleet)

export const saidOfFleet = (says: SaidOf<typeof fleet>): string => wording.told({ code: says.is, says })
