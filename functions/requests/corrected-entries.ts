/**
 * Corrections of entries by which tests are judged. Another edition stands in place of the slip; its tests are judged
 * anew.
 */
import type * as z from 'zod'
import type { EditionCorrection } from '../../shared-domain/fact-bodies.ts'
import { employerPolicy } from '../../shared-domain/policy/policy.ts'
import { demonstration, type Instrument, instrument, procedure } from '../../shared-domain/registers.ts'
import { Refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import { checkMayEdit } from '../questions/edit-rights.ts'
import { faultsOf } from './faults.ts'
import { proposedView } from './proposals.ts'
import { checkCalibration } from './put-edition.ts'
import { judgeAnewInTime, recording } from './recording.ts'
import type { Request } from './request.ts'

const schemas: { readonly [register in EditionCorrection['corrects']['register']]: z.ZodType } = {
  instrument,
  procedure,
  policy: employerPolicy,
  demonstration,
}

export async function putEntryRight(request: Request<EditionCorrection>) {
  const { corrects, replacement = null } = request.body
  const { register, id } = corrects
  await checkMayEdit(register, { ...request, id, body: replacement })
  const body = { ...request.body, replacement: replacement === null ? null : read(register, replacement) }
  if (register === 'instrument' && replacement !== null)
    // read by its schema
    await inReplacement(() => checkCalibration({ ...request, body: body.replacement as Instrument }))
  const corrected = await (await recording()).correctEdition({ ...request, body })
  if (corrected.outcome === 'proposed') return { status: 202, body: await proposedView(corrected) }
  const { correction, news } = corrected
  const isWhole = await judgeAnewInTime(request, correction.factId)
  const { factId, reason } = correction
  return { status: news ? 201 : 200, body: { factId, corrects, reason, judgedAnew: isWhole ? 'all' : 'goes on' } }
}

function read(register: keyof typeof schemas, replacement: unknown): object {
  const { factId, ...entry } = fieldsOf(replacement)
  const parsed = schemas[register].safeParse(entry)
  if (parsed.success) return { ...fieldsOf(parsed.data), ...(factId === undefined ? {} : { factId }) }
  const { faults, more } = faultsOf(parsed.error, entry)
  throw new Refused({ kind: 'invalid', faults: faults.map(fromTheTop), more })
}

const fromTheTop = <Fault extends { readonly pointer: string }>(one: Fault): Fault => ({
  ...one,
  pointer: `/replacement${one.pointer}`,
})

async function inReplacement(check: () => Promise<void>): Promise<void> {
  await check().catch((error: unknown) => {
    if (!(error instanceof Refused) || error.refusal.kind !== 'invalid') throw error
    throw new Refused({ ...error.refusal, faults: error.refusal.faults.map(fromTheTop) })
  })
}
