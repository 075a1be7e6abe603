import type { Requirement } from './requirement.ts'
import type { RulePack } from './rule-pack.ts'

/**
 * 29 CFR 1910.269(j)(2)(iii): tools used for primary employee protection are taken out of service every 2 years, and
 * whenever a defect or contamination is found, for examination, cleaning, repair and testing. 29 CFR 1926.957(b)(3)
 * ("Biennial inspection and testing") says the same for construction. The text gives no way of counting the 2 years.
 * Months to the day, clamped, is the reading that can never end later than the anniversary.
 */
const biennial = {
  source: {
    cited: '29 CFR 1910.269(j)(2)(iii)',
    edition: 'an extract of the code later than January 2017',
    jurisdiction: 'United States, federal',
    confidence: 'read in a copy of the rule',
  },
  interval: { months: 24 },
  stops: ['repaired', 'refinished', 'suspicion'],
  // a tool without defect or contamination is cleaned and waxed
  waxing: '29 CFR 1910.269(j)(2)(iii)(B)',
  legalMaximum: true,
} as const satisfies Partial<Requirement>

export const us29Cfr1910269j: RulePack = {
  id: 'us-29-cfr-1910-269-j',
  title: 'Live-line tools, 29 CFR 1910.269(j) and 1926.957',
  caveat:
    'The notes to the paragraph and the standards they point to were not read. State plans, local rules and the ' +
    'current edition decide.',
  requirements: [
    {
      ...biennial,
      stops: [...biennial.stops],
      id: 'us-29-cfr-1910-269-j-frp',
      words: 'examined, cleaned and tested dry and wet along the whole working length at most every 2 years',
      evidence: ['examination', 'dry test', 'wet test'],
      // (iii)(C)(2): hollow tube and wood never qualify
      examinationOnly: ['FRP rod', 'foam-filled FRP tube'],
      appliesTo: { primaryProtectionOnly: true, constructions: ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube'] },
    },
    {
      ...biennial,
      stops: [...biennial.stops],
      id: 'us-29-cfr-1910-269-j-wood',
      words: 'examined, cleaned and tested along the whole working length at most every 2 years',
      evidence: ['examination', 'dry test'],
      appliesTo: { primaryProtectionOnly: true, constructions: ['wood'] },
    },
  ],
}
