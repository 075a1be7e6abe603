/** The lesser facts about a stick: all but the bench test, whose answer tells its verdict. */
import type * as z from 'zod'
import { Refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import type { FactEntry } from '../recording/entry.ts'
import { type FactDoorName, factDoors } from '../recording/fact-kinds.ts'
import type { Outcome } from '../recording/outcome.ts'
import { isReferring, referencesOf } from '../recording/references.ts'
import type { Answer } from './problem.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'
import { seenOrRecorded } from './sticks.ts'

const lesserDoors = (Object.keys(factDoors) as FactDoorName[]).filter((door) => door !== 'bench-tests')

export const stepRoutes: Route[] = lesserDoors.map((door) =>
  route({
    method: 'POST',
    path: `/v1/sticks/:id/${door}`,
    summary: factDoors[door].summary,
    action: factDoors[door].action,
    ...('danger' in factDoors[door] && factDoors[door].danger ? { danger: true as const } : {}),
    body: factDoors[door].body as z.ZodType<never>,
    first: (request) => mayReport(request, door),
    ...(isReferring(door) ? { references: referencesOf(door) } : {}),
    answer: 'step',
    handle: (request) => step(request, door),
  }),
)

/** Word of danger is anybody's to bring, of any number. */
async function mayReport(request: Request<unknown>, door: FactDoorName): Promise<void> {
  const { to, sound } = fieldsOf(request.body)
  const isDanger = door === 'defects' || (door === 'condition-checks' && sound === false)
  if (isDanger || (door === 'moves' && (to === 'missing' || to === 'found'))) return
  await seenOrRecorded(request)
}

async function step(request: Request<never>, door: FactDoorName): Promise<Answer> {
  const entry = await factDoors[door].entry(request)
  if (!entry.danger) return recordedAnswer(entry, (await (await recording()).record(request, request.id, entry))[0])
  try {
    return recordedAnswer(entry, (await (await recording()).record(request, request.id, entry))[0])
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'not found') throw error
    return unplacedAnswer(entry, await (await recording()).keepUnplaced(request, { number: request.id, door, entry }))
  }
}

/** A reporter who may not see the stick learns that the report is kept, and nothing of the stick. */
function recordedAnswer({ factId }: FactEntry, { news, maySee, remarks, stick, standing, today }: Outcome): Answer {
  const said = remarks.length === 0 ? {} : { remarks }
  const shown = maySee ? { stick: stickView(stick, standing, today) } : { stickId: stick.stickId, recorded: true }
  return { status: news ? 201 : 200, body: { factId, ...shown, ...said } }
}

/** Nobody can say yet which stick must not be used. */
function unplacedAnswer({ factId, remarks }: FactEntry, number: string): Answer {
  return {
    status: 202,
    body: {
      factId,
      number,
      recorded: true,
      told: 'No stick has this number. The managers are told, and find out which stick is meant. Do not use it.',
      ...(remarks?.length ? { remarks } : {}),
    },
  }
}
