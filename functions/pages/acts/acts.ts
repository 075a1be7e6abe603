/** Every act that pages offer, by its address. What an act needs is loaded when somebody first asks for it. */
import type { Act } from './act.ts'

export const acts: Readonly<Record<string, () => Promise<{ readonly act: Act }>>> = {
  '/sticks/:id/report': () => import('./report.ts'),
}
