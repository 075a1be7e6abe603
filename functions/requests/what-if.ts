/**
 * A fact asked about without recording it: what would follow by the same doors, rights and rules. Nothing is written.
 */
import * as z from 'zod'
import { expecting, type Fault } from '../../shared-domain/fault.ts'
import { invalid, Refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import { checkRole } from '../questions/rights.ts'
import { type FactDoorName, factDoors } from '../recording/fact-kinds.ts'
import { isReferring, referenceFaults } from '../recording/references.ts'
import type { Organisation } from '../store/organisation.ts'
import { shownReason } from './english.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'
import { seen } from './sticks.ts'

const names = Object.keys(factDoors) as [FactDoorName, ...FactDoorName[]]

/** A supposed fact needs no id of its own. */
const idOfNoFact = '00000000-0000-4000-8000-000000000000'
const supposed = (fact: unknown) =>
  typeof fact === 'object' && fact !== null && !Array.isArray(fact) ? { factId: idOfNoFact, ...fact } : fact

const question = z.lazy(() =>
  z.discriminatedUnion(
    'kind',
    // the list has one for each door, which its type does not say
    names.map((kind) =>
      z.strictObject({ kind: z.literal(kind), fact: z.preprocess(supposed, factDoors[kind].body) }),
    ) as unknown as [z.ZodObject<{ kind: z.ZodLiteral<FactDoorName>; fact: z.ZodType }>],
    expecting({ is: 'right: one of', values: names.join(', ') }),
  ),
)
type Question = z.output<typeof question>

export const whatIfRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/sticks/:id/what-if',
    summary:
      'What would follow from a fact, without recording it: `kind` is the last word of its path, `fact` what would ' +
      'be sent there; its day may lie ahead. `questions` ask about likely slips, and change nothing of the answer',
    action: 'ask what would follow',
    body: question,
    first: seen,
    references: referencesOfFact,
    answer: 'would follow',
    handle: whatIf,
  }),
]

async function referencesOfFact(organisation: Organisation, body: unknown): Promise<Fault[]> {
  const { kind, fact } = fieldsOf(body)
  return isReferring(kind) ? (await referenceFaults(organisation, kind, fact)).map(inFact) : []
}

const inFact = <At extends { readonly pointer: string }>(at: At): At => ({ ...at, pointer: `/fact${at.pointer}` })

async function whatIf(request: Request<Question>) {
  const { kind, fact } = request.body
  const door = factDoors[kind]
  checkRole(request.caller, door.action)
  const would = await oneLevelDown(async () => {
    const entry = await door.entry({ ...request, body: fact as never })
    return (await recording()).wouldFollow(request, request.id, entry)
  })
  const stick = stickView(would.stick, would.standing, would.day)
  const { shownQuestion } = await import('./english-of-edits.ts')
  const questions = would.questions.map((one) => inFact(shownQuestion(one)))
  if (would.fact.kind !== 'tested') return { status: 200, body: { stick, questions } }
  const { verdict, reasons, worst } = would.fact.judgement
  return { status: 200, body: { verdict, reasons: reasons.map(shownReason), worst, stick, questions } }
}

/** The fact's own door names its faults from the top of the fact: here the fact lies one level down. */
async function oneLevelDown<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'invalid') throw error
    throw invalid(...error.refusal.faults.map(inFact))
  }
}
