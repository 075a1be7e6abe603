/** A plan as it is asked for and told of, and the settings of a bench as they are kept. */
import { settingsFrom } from '../../shared-domain/plan/settings.ts'
import type { PlanSettingsBody } from '../../shared-domain/plan-body.ts'
import { notFound, Refused } from '../ground/errors.ts'
import { checkMayPlan, depotsPlannedBy, planFor } from '../questions/plans.ts'
import { todayAt } from '../questions/today.ts'
import { type KeptSettings, keepPlanHead, keepPlanSettings, planSettingsOf } from '../store/plans.ts'
import { planInEnglish } from './plan-view.ts'
import type { Recorder, Request } from './request.ts'

interface Asking {
  readonly id: string
  readonly depotId: string | undefined
}

export async function asked(by: Recorder, { id, depotId }: Asking) {
  if (depotId !== undefined) await checkMayPlan(by, 'plan a bench', depotId)
  const depotIds = depotId === undefined ? await depotsPlannedBy(by, 'plan a bench') : [depotId]
  const state = depotIds.length === 0 ? 'planned' : 'waiting'
  const head = { id, by: by.caller.personId, at: by.now, state, depotIds, places: [] } as const
  const revision = await keepPlanHead(by.organisation, { head, revision: 0, goesOn: depotIds.length > 0 })
  if (revision === undefined) throw new Refused({ kind: 'try again' })
  return planInEnglish({ head: { ...head, revision }, depots: [] })
}

export const shownPlan = async (request: Request<unknown>) => planInEnglish(await planFor(request, request.id))

export async function shownSettings(request: Request<unknown>) {
  await checkMayPlan(request, 'read a plan', request.id)
  const kept = await planSettingsOf(request.organisation, request.id)
  if (kept === undefined)
    throw notFound({ is: 'none: name', name: JSON.stringify(request.id), things: 'bench settings' })
  return settingsView(request.id, kept)
}

export async function settingsKept(request: Request<PlanSettingsBody>) {
  const { id: depotId, organisation, caller, now } = request
  await checkMayPlan(request, 'plan a bench', depotId)
  const before = await planSettingsOf(organisation, depotId)
  const { today } = await todayAt(request, depotId)
  const kept: KeptSettings = {
    number: (before?.number ?? 0) + 1,
    recordedAt: now,
    recordedBy: caller.personId,
    settings: settingsFrom(request.body, today),
  }
  if (!(await keepPlanSettings(organisation, depotId, kept))) throw new Refused({ kind: 'try again' })
  return { status: before === undefined ? 201 : 200, body: settingsView(depotId, kept) }
}

const settingsView = (depotId: string, { number, recordedAt, recordedBy, settings }: KeptSettings) => ({
  depotId,
  edition: number,
  recordedAt,
  recordedBy,
  ...settings,
})
