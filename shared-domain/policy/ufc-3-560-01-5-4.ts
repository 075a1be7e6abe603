import { constructions } from '../words.ts'
import type { Requirement } from './requirement.ts'
import { everyStick, type RulePack } from './rule-pack.ts'

/**
 * UFC 3-560-01, section 5-4. 5-4.3 asks for records of tests of all live-line tools, and no paragraph that was read
 * speaks of primary protection. The section therefore binds every stick, relied on for protection or not.
 */
const cited = (paragraph: string): Requirement['source'] => ({
  cited: `UFC 3-560-01, ${paragraph}`,
  edition: '6 December 2006 with Change 1; superseded in part by Change 2 of 28 March 2008',
  jurisdiction: 'United States, military installations',
  confidence: 'read in a copy of the rule',
})

export const ufc356001Section54: RulePack = {
  id: 'ufc-3-560-01-5-4',
  title: 'Live-line tools of the United States military, UFC 3-560-01 section 5-4 (2006, superseded in part)',
  caveat:
    'Superseded in part: Change 2 of 28 March 2008 exists and was not read, and no later edition was either. Of ' +
    'section 5-4, paragraphs 5-4.6.3 to 5-4.8, parts of 5-4.11 and 5-4.12 to 5-4.12.1 were not read. It names ' +
    'frequent use and long storage and nothing between: occasional use runs like frequent use here. 5-4.2 ' +
    'authorises no wood; an employer bound by it sets woodForbidden. Local codes and the current edition decide.',
  calibrationCap: { id: 'ufc-3-560-01-5-5-1-1-calibration', months: 12, cited: 'UFC 3-560-01, 5-5.1.1' },
  requirements: [
    {
      id: 'ufc-3-560-01-5-4-10-dry',
      words:
        'tested dry along the whole working length at most every 6 months in frequent use, 12 months in long storage',
      source: cited('5-4.10'),
      evidence: ['dry test'],
      interval: { months: 6 },
      byClass: { frequent: { months: 6 }, occasional: { months: 6 }, stored: { months: 12 } },
      // 5-4.9 and 5-4.10 mean a cleaning other than the daily wipe, which nobody records as a step
      stops: ['cleaned', 'waxed', 'repaired', 'refinished'],
      appliesTo: everyStick,
      legalMaximum: true,
    },
    {
      id: 'ufc-3-560-01-5-4-11-wet',
      words: 'tested wet along the whole working length at most every 2 years',
      source: cited('5-4.11'),
      evidence: ['wet test'],
      interval: { months: 24 },
      stops: ['repaired', 'refinished'],
      appliesTo: { ...everyStick, constructions: constructions.filter((one) => one !== 'wood') },
      legalMaximum: true,
    },
    {
      id: 'ufc-3-560-01-5-4-1-certificate',
      words: 'covered by its maker’s certificate of withstand (per foot: FRP 100 kV for 5 min, wood 75 kV for 3 min)',
      source: cited('5-4.1'),
      evidence: ['certificate'],
      interval: null,
      appliesTo: everyStick,
      legalMaximum: false,
      // a certificate is asked of new tools: a fleet that is older than its records has none to show
      optional: true,
    },
  ],
}
