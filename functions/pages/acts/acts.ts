/** Every act that pages offer, by its address. What an act needs is loaded when somebody first asks for it. */
import type { Act } from './act.ts'

type Load = () => Promise<Act>

const registers = [
  'depots',
  'crews',
  'people',
  'instruments',
  'procedures',
  'policies',
  'sticks',
  'demonstrations',
  'organisations',
]

/** A register has two: a new entry, and a new edition of one. */
const ofRegister = (path: string): [address: string, load: Load][] => [
  [`/enter/${path}`, async () => (await import('./entry.ts')).entering(path)],
  [`/registers/${path}/:id/edition`, async () => (await import('./entry.ts')).changing(path)],
]

export const acts: Readonly<Record<string, Load>> = {
  '/sticks/:id/report': async () => (await import('./report.ts')).reportDanger,
  '/sticks/:id/missing': async () => (await import('./missing.ts')).reportMissing,
  '/sticks/:id/look': async () => (await import('./look.ts')).lookOver,
  '/sticks/:id/hand-over': async () => (await import('./hand-over.ts')).handOver,
  '/sticks/:id/use': async () => (await import('./use.ts')).logUse,
  '/sticks/:id/step': async () => (await import('./step.ts')).recordStep,
  '/sticks/:id/remove': async () => (await import('./remove.ts')).removeStick,
  '/sticks/:id/release': async () => (await import('./release.ts')).releaseStick,
  '/sticks/:id/paper': async () => (await import('./paper.ts')).lookAtPaper,
  '/sticks/:id/facts/:factId/withdraw': async () => (await import('./correct.ts')).withdraw,
  '/sticks/:id/facts/:factId/other-stick': async () => (await import('./correct.ts')).moveToOtherStick,
  '/sticks/:id/facts/:factId/replace': async () => (await import('./correct.ts')).replace,
  '/remind': async () => (await import('./remind.ts')).remindReaders,
  '/count-before': async () => (await import('./count-before.ts')).countBefore,
  '/move': async () => (await import('./move.ts')).moveSticks,
  '/proposals/:id/approve': async () => (await import('./decide-proposal.ts')).approveChange,
  '/proposals/:id/decline': async () => (await import('./decide-proposal.ts')).declineChange,
  '/recall/lot': async () => (await import('./recall.ts')).recallLot,
  '/recall/order': async () => (await import('./recall.ts')).recallOrder,
  '/recall/instrument': async () => (await import('./recall.ts')).recallInstrument,
  '/recalls/:id/close': async () => (await import('./recall.ts')).closingRecall,
  '/notices/:id/told': async () => (await import('./told.ts')).tellInPerson,
  '/crews/:id/feeds': async () => (await import('./feeds.ts')).makeFeed,
  '/crews/:id/feeds/:feedId/revoke': async () => (await import('./feeds.ts')).revokeFeed,
  '/marked-addresses/clear': async () => (await import('./clear-address.ts')).clearAddress,
  '/registers/people/:id/sign-in/free': async () => (await import('./person-sign-in.ts')).setPersonFree,
  '/registers/people/:id/sign-in/sign-out': async () => (await import('./person-sign-in.ts')).signPersonOut,
  ...Object.fromEntries(registers.flatMap(ofRegister)),
}
