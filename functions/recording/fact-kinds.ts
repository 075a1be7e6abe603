/** The doors through which a fact about a stick comes in: who may hand in what, and what becomes of it. */
import { createHash } from 'node:crypto'
import type * as z from 'zod'
import { type BenchTest, benchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import {
  certificate,
  conditionCheck,
  correctiveStep,
  defect,
  labelChange,
  type Move,
  move,
  paperLook,
  release,
  removal,
  type TestedBefore,
  testedBefore,
  use,
} from '../../shared-domain/fact-bodies.ts'
import { type Happening, isDanger } from '../../shared-domain/facts.ts'
import { type Action, mayAtAll } from '../../shared-domain/rights.ts'
import { shownText } from '../../shared-domain/text.ts'
import { invalid, notAllowed } from '../ground/errors.ts'
import { checkHandOver } from '../questions/hand-over.ts'
import type { Sending } from './actor.ts'
import type { FactEntry, FoundStick, Remark } from './entry.ts'
import { referenceFaults } from './references.ts'

interface FactDoor {
  readonly summary: string
  /** the least of the rights that something may come in here by */
  readonly action: Action
  readonly body: z.ZodType
  /** a body that comes in here may report danger, which is taken however it is written */
  readonly danger?: true
  /** makes the entry of a request whose body was parsed by this very door's schema */
  readonly entry: (request: Sending<never>) => Promise<FactEntry>
}

/** Doors by the last word of their paths. */
export const factDoors = {
  'bench-tests': {
    summary: 'Record a bench test: the verdict with every reason, and where the stick stands now',
    action: 'record a test',
    body: benchTest,
    entry: async ({ body, organisation }: Sending<BenchTest>): Promise<FactEntry> => ({
      factId: body.factId,
      occurredOn: body.testedOn,
      dateField: 'testedOn',
      at: body.at,
      kind: 'tested',
      body,
      likeness: likenessOf(body),
      happening: ({ judged, ...stick }) => judged(organisation, body, stick),
    }),
  },
  'past-tests': {
    summary:
      'Record a test from before the service was used, of which only the day and the result are known: one that ' +
      'failed holds the stick, and one that passed changes nothing until two people have it count for the due date',
    action: 'record a test' as const,
    body: testedBefore,
    entry: async ({ body }: Sending<TestedBefore>): Promise<FactEntry> => ({
      factId: body.factId,
      occurredOn: body.testedOn,
      dateField: 'testedOn',
      at: body.at,
      kind: 'tested before',
      body,
      happening: async () => ({ kind: 'tested before', before: body }),
    }),
  },
  'corrective-steps': door({
    summary: 'Record that it was cleaned, waxed, refinished or repaired',
    action: 'record a step',
    body: correctiveStep,
    happening: (step) => ({ kind: 'corrective step', step }),
  }),
  uses: door({
    summary:
      'Record days of use, the last of them today at the latest; kept even for a stick that is not in service, and ' +
      'then told at once',
    action: 'record a use',
    body: use,
    happening: (use) => ({ kind: 'used', use }),
  }),
  defects: door({
    summary: 'Report a defect from use, of any stick of the organisation: it is on hold until examined and tested',
    action: 'report danger',
    body: defect,
    danger: true,
    happening: (defect) => ({ kind: 'defect reported', defect }),
  }),
  moves: door({
    summary: 'Record that it was issued, stored, brought to the bench, lent, missed, found or scrapped',
    action: 'report danger',
    body: move,
    danger: true,
    check: checkMover,
    refersTo: checkDestination,
    happening: (move) => ({ kind: 'moved', move }),
  }),
  certificates: door({
    summary: 'Record the maker’s certificate that came with it',
    action: 'record a certificate',
    body: certificate,
    happening: (certificate) => ({ kind: 'certificate received', certificate }),
  }),
  'condition-checks': door({
    summary: 'Record a look at its presence and condition; what is not sound holds it as a report from use does',
    action: 'record a check',
    body: conditionCheck,
    danger: true,
    happening: (check) => ({ kind: 'condition checked', check }),
  }),
  releases: door({
    summary: 'A second person lets a stick go back that failed and passed since',
    action: 'release a stick',
    body: release,
    happening: (release) => ({ kind: 'released', release }),
  }),
  removals: door({
    summary: 'Take it out of service for good by decision, and say why; no test brings it back',
    action: 'remove a stick',
    body: removal,
    happening: (removal) => ({ kind: 'removed', removal }),
  }),
  labels: door({
    summary:
      'Record that its label was fixed, and the date it shows, or taken off; one that shows a later date than it is ' +
      'due is refused, and told of where it becomes so',
    action: 'record a label',
    body: labelChange,
    happening: (label) => ({ kind: 'label changed', label }),
  }),
  'paper-looks': door({
    summary:
      'Record that its records, which were brought back from a backup, were compared with the paper, and that what ' +
      'was missing is recorded by now; a test alone does not clear that doubt',
    action: 'look at the paper',
    body: paperLook,
    happening: (look) => ({ kind: 'paper looked at', look }),
  }),
} satisfies Record<string, FactDoor>

export type FactDoorName = keyof typeof factDoors

interface Occurrence {
  readonly factId: string
  readonly occurredOn: string
  readonly at?: string | undefined
  readonly days?: number | undefined
  readonly by?: string
  readonly note?: string | undefined
}

function door<Body extends Occurrence>(one: {
  readonly summary: string
  readonly action: Action
  readonly body: z.ZodType<Body>
  readonly danger?: true
  /** refuses whoever may not send it */
  readonly check?: (request: Sending<Body>) => void
  /** checks what the body names, once the stick is known */
  readonly refersTo?: (request: Sending<Body>, found: FoundStick) => Promise<void>
  readonly happening: (body: Body) => Happening
}) {
  return {
    ...one,
    entry: async (request: Sending<Body>): Promise<FactEntry> => {
      one.check?.(request)
      const { body, caller } = request
      const { factId, occurredOn, at, days } = body
      const danger = isDanger(one.happening(body))
      const shown = danger ? asShown(body, caller.personId) : { body, remarks: [] }
      const happening = one.happening(shown.body)
      return {
        factId,
        occurredOn,
        dateField: 'occurredOn',
        at,
        ...(days === undefined ? {} : { days }),
        kind: happening.kind,
        body,
        danger,
        remarks: shown.remarks,
        happening: async (found) => {
          await one.refersTo?.(request, found)
          return happening
        },
      }
    },
  }
}

/** Letters that cannot be shown are left out of a report of danger, and the answer says so. */
function asShown<Body extends Occurrence>(body: Body, personId: string): { body: Body; remarks: Remark[] } {
  const note = shownText(body.note ?? '')
  const by = shownText(body.by ?? '')
  const leftOut = [...(note.leftOut ? ['/note'] : []), ...(by.leftOut ? ['/by'] : [])]
  return {
    body: {
      ...body,
      ...(note.leftOut ? { note: note.text } : {}),
      ...(by.leftOut ? { by: by.text.trim() === '' ? personId : by.text } : {}),
    },
    remarks: leftOut.map((pointer) => ({ pointer, text: 'Kept without the letters in it that cannot be shown.' })),
  }
}

/** The likeness is the same for every copy of a test: its id and the order of its rows make no other test of it. */
export function likenessOf({ factId: _, ...test }: BenchTest): string {
  return createHash('sha256')
    .update(canonical(inAnyOrder(test)))
    .digest('base64url')
}

export function inAnyOrder(value: unknown): unknown {
  if (Array.isArray(value)) {
    const rows = value.map(inAnyOrder)
    return rows.map((row) => canonical(row)).sort()
  }
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, inAnyOrder(inner)]))
}

function checkMover({ caller, body }: Sending<Move>): void {
  if (mayAtAll(caller.role, rightTo(body))) return
  throw notAllowed({ is: 'not allowed: move by a crew' })
}

function rightTo({ to }: Move): Action {
  if (to === 'missing' || to === 'found') return 'report danger'
  return typeof to === 'object' && 'crewId' in to ? 'hand over a stick' : 'move a stick'
}

async function checkDestination(request: Sending<Move>, { state }: FoundStick): Promise<void> {
  const { organisation, caller, body } = request
  const { to } = body
  const isByCrew = !mayAtAll(caller.role, 'move a stick')
  if (isByCrew && typeof to === 'object' && 'crewId' in to) await checkHandOver(request, { state, to: to.crewId })
  const unknown = await referenceFaults(organisation, 'moves', body)
  if (unknown.length > 0) throw invalid(...unknown)
}
