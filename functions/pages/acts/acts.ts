/** Every act that pages offer, by its address. What an act needs is loaded when somebody first asks for it. */
import type { Act } from './act.ts'

type Load = () => Promise<{ readonly act: Act }>

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
  [`/enter/${path}`, async () => ({ act: (await import('./entry.ts')).entering(path) })],
  [`/registers/${path}/:id/edition`, async () => ({ act: (await import('./entry.ts')).changing(path) })],
]

export const acts: Readonly<Record<string, Load>> = {
  '/sticks/:id/report': () => import('./report.ts'),
  ...Object.fromEntries(registers.flatMap(ofRegister)),
}
