import { everyStick, type RulePack } from './rule-pack.ts'

/** TM 5-684 / NAVFAC MO-200 / AFJMAN 32-1082, 15-18d: a tool that is not in use is looked at at least once a month. */
export const usMo200: RulePack = {
  id: 'us-mo-200',
  title: 'Idle live-line tools of the United States military, TM 5-684 / NAVFAC MO-200, 15-18d (1996)',
  caveat:
    'Asks for a look at idle stock and for no bench test: set it beside a rule that does. Later editions were not ' +
    'read. 15-1 of the manual lets the most stringent rule stand where manuals differ. Local codes and the current ' +
    'edition decide.',
  requirements: [
    {
      id: 'us-mo-200-15-18d-idle',
      words: 'looked over at most a month apart while it lies in store',
      source: {
        cited: 'TM 5-684 / NAVFAC MO-200, 15-18d',
        edition: '29 November 1996',
        jurisdiction: 'United States, military installations',
        confidence: 'read in a copy of the rule',
      },
      evidence: ['condition check'],
      interval: null,
      byClass: { frequent: null, occasional: null, stored: { months: 1 } },
      appliesTo: everyStick,
      legalMaximum: true,
    },
  ],
}
