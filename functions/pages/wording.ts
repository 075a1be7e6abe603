/** The sentences of pages, in the language of whoever reads them. */

import { bench, benchQueue } from '../../shared-domain/catalogue/en/bench.ts'
import { charts } from '../../shared-domain/catalogue/en/charts.ts'
import { device } from '../../shared-domain/catalogue/en/device.ts'
import { fleet } from '../../shared-domain/catalogue/en/fleet.ts'
import { forms } from '../../shared-domain/catalogue/en/forms.ts'
import { furtherPages } from '../../shared-domain/catalogue/en/further-pages.ts'
import { imports } from '../../shared-domain/catalogue/en/imports.ts'
import { instruments } from '../../shared-domain/catalogue/en/instruments.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { morning } from '../../shared-domain/catalogue/en/morning.ts'
import { noticeLog } from '../../shared-domain/catalogue/en/notice-log.ts'
import { outlook } from '../../shared-domain/catalogue/en/outlook.ts'
import { pages } from '../../shared-domain/catalogue/en/pages.ts'
import { papers } from '../../shared-domain/catalogue/en/papers.ts'
import { personSignIn } from '../../shared-domain/catalogue/en/person-sign-in.ts'
import { places } from '../../shared-domain/catalogue/en/places.ts'
import { plan } from '../../shared-domain/catalogue/en/plan.ts'
import { proof } from '../../shared-domain/catalogue/en/proof.ts'
import { recalls } from '../../shared-domain/catalogue/en/recalls.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import { registers } from '../../shared-domain/catalogue/en/registers.ts'
import { signIn } from '../../shared-domain/catalogue/en/sign-in.ts'
import { truck } from '../../shared-domain/catalogue/en/truck.ts'
import { warnings } from '../../shared-domain/catalogue/en/warnings.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import type { Reader, Wording } from '../../shared-domain/wording.ts'
import { type Speakers, wordingFor } from '../web/wording.ts'

export const pageSentences = {
  ...places,
  ...pages,
  ...furtherPages,
  ...morning,
  ...outlook,
  ...instruments,
  ...charts,
  ...fleet,
  ...imports,
  ...noticeLog,
  ...ways,
  ...forms,
  ...truck,
  ...recalls,
  ...refusing,
  ...registers,
  ...personSignIn,
  ...signIn,
  ...warnings,
  ...device,
  ...proof,
  ...papers,
  ...plan,
  ...benchQueue,
  ...bench,
} as const

export type PageSentences = typeof pageSentences
export type PageWording = Wording<PageSentences>

const speakers: Speakers<PageSentences> = {
  en: async () => ({ spoken: english, own: pageSentences }),
  es: async () => {
    const [
      { spanish },
      { truckInSpanish },
      { deviceInSpanish },
      { formsInSpanish },
      { morningInSpanish },
      { pagesInSpanish },
      { furtherPagesInSpanish },
      { outlookInSpanish },
      { instrumentsInSpanish },
      { noticeLogInSpanish },
      { personSignInInSpanish },
      { placesInSpanish },
      { proofInSpanish },
      { refusingInSpanish },
      { registersInSpanish },
      { signInInSpanish },
      { warningsInSpanish },
      { waysInSpanish },
    ] = await Promise.all([
      import('../../shared-domain/catalogue/es/language.ts'),
      import('../../shared-domain/catalogue/es/truck.ts'),
      import('../../shared-domain/catalogue/es/device.ts'),
      import('../../shared-domain/catalogue/es/forms.ts'),
      import('../../shared-domain/catalogue/es/morning.ts'),
      import('../../shared-domain/catalogue/es/pages.ts'),
      import('../../shared-domain/catalogue/es/further-pages.ts'),
      import('../../shared-domain/catalogue/es/outlook.ts'),
      import('../../shared-domain/catalogue/es/instruments.ts'),
      import('../../shared-domain/catalogue/es/notice-log.ts'),
      import('../../shared-domain/catalogue/es/person-sign-in.ts'),
      import('../../shared-domain/catalogue/es/places.ts'),
      import('../../shared-domain/catalogue/es/proof.ts'),
      import('../../shared-domain/catalogue/es/refusals.ts'),
      import('../../shared-domain/catalogue/es/registers.ts'),
      import('../../shared-domain/catalogue/es/sign-in.ts'),
      import('../../shared-domain/catalogue/es/warnings.ts'),
      import('../../shared-domain/catalogue/es/ways.ts'),
    ])
    return {
      spoken: spanish,
      own: {
        ...placesInSpanish,
        ...pagesInSpanish,
        ...furtherPagesInSpanish,
        ...morningInSpanish,
        ...outlookInSpanish,
        ...instrumentsInSpanish,
        ...noticeLogInSpanish,
        ...waysInSpanish,
        ...formsInSpanish,
        ...truckInSpanish,
        ...refusingInSpanish,
        ...personSignInInSpanish,
        ...registersInSpanish,
        ...signInInSpanish,
        ...warningsInSpanish,
        ...deviceInSpanish,
        ...proofInSpanish,
        ...(await fleetWorkInSpanish()),
      },
    }
  },
}

/** Pages of many sticks at once: files, recalls, charts, the year and plans; and what is printed. */
async function fleetWorkInSpanish() {
  const [imports, recalls, charts, fleet, papers, plan, bench] = await Promise.all([
    import('../../shared-domain/catalogue/es/imports.ts'),
    import('../../shared-domain/catalogue/es/recalls.ts'),
    import('../../shared-domain/catalogue/es/charts.ts'),
    import('../../shared-domain/catalogue/es/fleet.ts'),
    import('../../shared-domain/catalogue/es/papers.ts'),
    import('../../shared-domain/catalogue/es/plan.ts'),
    import('../../shared-domain/catalogue/es/bench.ts'),
  ])
  return {
    ...imports.importsInSpanish,
    ...recalls.recallsInSpanish,
    ...charts.chartsInSpanish,
    ...fleet.fleetInSpanish,
    ...papers.papersInSpanish,
    ...plan.planInSpanish,
    ...bench.benchQueueInSpanish,
    ...bench.benchInSpanish,
  }
}

export function pageWordingFor(reader: Reader): Promise<PageWording> {
  return wordingFor(speakers, reader)
}
