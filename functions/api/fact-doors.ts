/** The doors through which a fact about a stick comes in: who may hand in what, and what becomes of it. */
import type * as z from 'zod'
import { type BenchTest, benchTest } from '../../shared-domain/bench-test/bench-test.ts'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import {
  certificate,
  conditionCheck,
  correctiveStep,
  defect,
  type Happening,
  type Move,
  move,
  release,
  use,
} from '../../shared-domain/facts.ts'
import type { Role } from '../../shared-domain/words.ts'
import { invalid, notAllowed } from '../platform/errors.ts'
import { judged } from './judging.ts'
import type { Entry } from './record.ts'
import { referenceFaults } from './references.ts'
import { benchAndAbove, everybody, type Request } from './request.ts'

interface FactDoor {
  readonly summary: string
  readonly allowed: readonly Role[]
  readonly body: z.ZodType
  /** of a request whose body was parsed by this very door's schema */
  readonly entry: (request: Request<never>) => Promise<Entry>
}

/** The last word of each path. */
export const factDoors = {
  'bench-tests': {
    summary: 'Record a bench test: the verdict with every reason, and where the stick stands now',
    allowed: benchAndAbove,
    body: benchTest,
    entry: async ({ body, organisation }: Request<BenchTest>): Promise<Entry> => ({
      factId: body.factId,
      occurredOn: body.testedOn,
      dateField: 'testedOn',
      at: body.at,
      kind: 'tested',
      body,
      happening: ({ state }) => judged(organisation, body, state),
    }),
  },
  'corrective-steps': door({
    summary: 'Record that it was cleaned, waxed, refinished or repaired',
    allowed: benchAndAbove,
    body: correctiveStep,
    happening: (step) => ({ kind: 'corrective step', step }),
  }),
  uses: door({
    summary: 'Record days of use; kept even for a stick that is not in service, and then told at once',
    allowed: everybody,
    body: use,
    happening: (use) => ({ kind: 'used', use }),
  }),
  defects: door({
    summary: 'Report a defect from use: the stick is on hold until examined and tested',
    allowed: everybody,
    body: defect,
    happening: (defect) => ({ kind: 'defect reported', defect }),
  }),
  moves: door({
    summary: 'Record that it was issued, stored, brought to the bench, lent, missed, found or scrapped',
    allowed: everybody,
    body: move,
    check: checkMove,
    happening: (move) => ({ kind: 'moved', move }),
  }),
  certificates: door({
    summary: 'Record the maker’s certificate that came with it',
    allowed: benchAndAbove,
    body: certificate,
    happening: (certificate) => ({ kind: 'certificate received', certificate }),
  }),
  'condition-checks': door({
    summary: 'Record a look at its presence and condition; what is not sound holds it as a report from use does',
    allowed: benchAndAbove,
    body: conditionCheck,
    happening: (check) => ({ kind: 'condition checked', check }),
  }),
  releases: door({
    summary: 'A second person lets a stick go back that failed and passed since',
    allowed: benchAndAbove,
    body: release,
    happening: (release) => ({ kind: 'released', release }),
  }),
} satisfies Record<string, FactDoor>

export type FactDoorName = keyof typeof factDoors

interface Occurrence {
  readonly factId: string
  readonly occurredOn: CalendarDate
  readonly at?: string | undefined
}

function door<Body extends Occurrence>(one: {
  readonly summary: string
  readonly allowed: readonly Role[]
  readonly body: z.ZodType<Body>
  readonly check?: (request: Request<Body>) => Promise<void>
  readonly happening: (body: Body) => Happening
}) {
  return {
    ...one,
    entry: async (request: Request<Body>): Promise<Entry> => {
      const { factId, occurredOn, at } = request.body
      const happening = one.happening(request.body)
      return {
        factId,
        occurredOn,
        dateField: 'occurredOn',
        at,
        kind: happening.kind,
        body: request.body,
        // not before the stick is known to exist and to be the caller's
        happening: async () => {
          await one.check?.(request)
          return happening
        },
      }
    },
  }
}

async function checkMove({ caller, organisation, body }: Request<Move>): Promise<void> {
  if (caller.role === 'crew' && body.to !== 'missing')
    throw notAllowed('A crew may report a stick missing; other moves are recorded by the bench.')
  const unknown = await referenceFaults(organisation, 'moves', body)
  if (unknown.length > 0) throw invalid(...unknown)
}
