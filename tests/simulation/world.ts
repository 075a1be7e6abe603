/** A utility over years: the service in one process, and beside it the model. Whatever is done here is done to both. */
import type { Notice } from '../../functions/store/notices.ts'
import { chanceOf, uuidOf, whole } from '../../seed/chance.ts'
import { instantOf } from '../../shared-domain/calendar.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { pick } from '../faults/plan.ts'
import { type Deployed, hour, minute, type Service, serviceOf } from '../faults/service.ts'
import { type FakeTable, fakeTable } from '../support/fake-table.ts'
import { found } from '../support/sign-in.ts'
import { clockwork } from './clockwork.ts'
import * as fleet from './fleet.ts'
import { answerMillis, Broken, hearing, soonMillis } from './hearing.ts'
import {
  clockAt,
  type Deed,
  dayAt,
  isCalledBack,
  isKept,
  type ModelRecall,
  type ModelRules,
  mayBeUsed,
} from './model.ts'
import { type StickThere, type Told, there as thereBy } from './there.ts'
import { noTrouble, type Trouble, troubleBy } from './trouble.ts'

export interface Plan {
  readonly seed: string
  readonly faults: boolean
  readonly deployed: Deployed
  /** a planted fault stands between the service and its table, or in place of one of its functions */
  readonly table?: (table: FakeTable) => FakeTable
  readonly service?: (service: Service) => Service
}

export type World = Awaited<ReturnType<typeof openWorld>>

const begin = Date.parse('2026-01-05T00:00:00.000Z')

export async function openWorld({ seed, faults, deployed, ...planted }: Plan) {
  const chance = chanceOf(seed)
  const bare = fakeTable()
  const table = planted.table?.(bare) ?? bare
  const touched = new Set<StickThere>()
  const bad: ReadonlySet<string> = new Set(faults ? ['dee@crew-2.example'] : [])
  const tally = {
    days: 0,
    facts: 0,
    corrections: 0,
    undone: 0,
    edits: 0,
    recalls: 0,
    recallsClosed: 0,
    deployments: 0,
    mails: 0,
    sweeps: 0,
    idleSweeps: 0,
    looks: 0,
    proofs: 0,
  }
  let trouble: Trouble = noTrouble
  let isLookedAt = false
  let broken: string | null = null

  const ownService = serviceOf(deployed, {
    table,
    plan: {
      at: (...asked) => (isLookedAt ? undefined : trouble.at(...asked)),
      atOther: (step) => (isLookedAt ? undefined : trouble.atOther(step)),
      isAway: (what) => trouble.isAway(what),
    },
    chance: chanceOf(`${seed} order`),
    begin,
    organisation: fleet.organisation,
    composes: false,
    bounces: (email) => bad.has(email),
    onWrite: (items, changed) => time.noteWritten([...items, ...changed]),
    onLeaving: checkMail,
    onAccepted: takeMail,
  })
  const service = planted.service?.(ownService) ?? ownService
  const { now } = service
  const there = thereBy(
    {
      monthsBetweenTests: 24,
      shortenedTo12: chance() < 0.5,
      order261: chance() < 0.3,
      noWood: false,
      release: chance() < 0.3,
      shelfMonths: chance() < 0.8 ? fleet.shelfMonths : null,
      recalls: [],
    },
    now,
  )
  // what nothing could be sent or told in is nobody's fault, nor what has to come again after it
  const excuseSince = (since: number) => (faults ? answerMillis : 0) + 2 * outageSince(since)
  const heard = hearing({ there, now, bad, excuseSince })
  const isAnythingAway = () => trouble.isAway('mail') || trouble.isAway('items')
  const time = clockwork({ service, table, there, heard, chance, isAnythingAway, tally })

  function outageSince(from: number): number {
    const spans = trouble.outages.map((one) => Math.min(one.until, now()) - Math.max(one.from, from))
    return spans.reduce((sum, span) => sum + Math.max(0, span), 0)
  }

  /** In the middle of a function's work, which would take what is thrown for its own. */
  function breaks(what: string): void {
    broken ??= what
  }

  /** Nothing unfit may read as fit in a mail that leaves. */
  function checkMail({ kind, lines, number }: Notice): void {
    if (!tellOfUse.includes(kind)) return
    for (const { stickId, status } of lines) {
      const stick = there.sticks.get(stickId)
      const right = stick === undefined ? status : there.rightOf(stick).status
      if (mayBeUsed(status) && !isKept(right))
        breaks(`the ${kind} ${number} says that ${stickId} is ${status}, and it is ${right}`)
    }
  }

  function takeMail(notice: Notice): void {
    const { kind, number, to, answerKey } = notice
    tally.mails += 1
    const times = service.accepted.get(number) ?? 0
    const excused = trouble.unknownlySent(number)
    if (times > 1 + excused) breaks(`sent ${times} times: ${kind} ${number}, and its mark failed ${excused} times`)
    heard.hear(notice)
    // half of the people press the button, most of them within hours
    if (answerKey === undefined || bad.has(to.email) || chance() < 0.5) return
    time.appoint(now() + whole(chance, 1, 400) * minute, async () => {
      await service.press(notice)
      heard.confirmed(notice)
    })
  }

  async function walkTo(until: number): Promise<void> {
    await time.walkTo(until)
    heard.check()
    if (broken !== null) throw new Broken(broken)
  }

  async function answered(method: string, path: string, body: unknown, personId: string) {
    const { status, text } = await asked(method, path, body, personId)
    if (status > 202) throw new Broken(`${method} ${path} by ${personId}: ${status} ${text}`)
    return { status, json: JSON.parse(text) }
  }

  async function asked(method: string, path: string, body: unknown, personId: string) {
    const answer = await service.ask(method, path, body, personId)
    return { status: answer.status, text: await answer.text() }
  }

  /** An entry, by two where it loosens. */
  async function enter(path: string, body: unknown, who = 'mia'): Promise<void> {
    tally.edits += 1
    const { status, json } = await answered('PUT', path, body, who)
    if (status === 202 && json.proposal !== undefined)
      await answered('POST', `/v1/proposals/${json.proposal.id}/approve`, {}, who === 'owner' ? 'mia' : 'owner')
  }

  async function enterStick(id: string, wood: boolean, crew: string): Promise<void> {
    const lot = pick(chance, fleet.lots)
    await enter(`/v1/sticks/${id}`, fleet.stickEntry(wood, crew, lot), 'owner')
    const day = dayAt(now(), fleet.zoneOf(there.crews.get(crew)?.depotId ?? ''))
    there.add({ id, wood, deeds: [{ at: now(), day, did: 'entered', wood, crew, lot }] })
  }

  /** A fact handed in at its door, of now or of so many hours ago. */
  async function record(stick: StickThere, { door, body, did, by = 'ines', hoursAgo = 0 }: HandedIn): Promise<void> {
    const { zone, crew } = there.placeOf(stick)
    const at = Math.floor((now() - hoursAgo * hour) / minute) * minute
    const day = dayAt(at, zone)
    const factId = uuidOf(`${seed} ${stick.id} ${stick.factIds.length}`)
    const when = door === 'bench-tests' ? { testedOn: day } : { occurredOn: day }
    const handedIn = { factId, ...when, at: clockAt(at, zone), ...body }
    const { status } = await answered('POST', `/v1/sticks/${stick.id}/${door}`, handedIn, by)
    if (status > 201) throw new Broken(`${door} of ${stick.id} was not recorded: ${status}`)
    stick.factIds.push(factId)
    stick.deeds.push({ at, day, factId, ...did } as Deed & Told)
    tally.facts += 1
    touched.add(stick)
    if (there.placeOf(stick).crew !== crew) stick.withCrewSince = there.placeOf(stick).today
    heard.lookAt(stick, soonMillis)
  }

  /** A slip is withdrawn, replaced or moved, by two where it has to be. What the rules refuse changes nothing. */
  async function correct({ stick, slip, to, instead }: Correcting): Promise<void> {
    const factId = uuidOf(`${seed} correction ${tally.corrections} ${now()}`)
    const replacement =
      instead === undefined
        ? null
        : { factId: uuidOf(`${factId} instead`), ...whenOf(stick, slip, instead.door), ...instead.body }
    const body = { factId, corrects: slip.factId, reason: 'A slip', replacement, ...(to && { stickId: to.id }) }
    const { status, text } = await asked('POST', '/v1/corrections', body, 'mia')
    if (status === 409 || status === 422) return
    if (status > 202) throw new Broken(`a correction of ${stick.id}: ${status} ${text}`)
    if (status === 202) {
      const path = `/v1/corrections/${factId}/approvals`
      const byOwner = await asked('POST', path, {}, 'owner')
      // who had approved what was a slip by now does not say so too
      if (byOwner.status === 403)
        await answered('POST', path, {}, fleet.managerOf[there.placeOf(stick).depotId ?? ''] ?? 'max')
      else if (byOwner.status > 200) throw new Broken(`${path}: ${byOwner.status} ${byOwner.text}`)
    } else if (takesBack(slip, instead) && !isKept(there.rightOf(stick).status)) {
      throw new Broken(`one person took back what spoke against ${stick.id}: ${text}`)
    }
    // sent again it is answered by what stands
    const { json } = await answered('POST', '/v1/corrections', body, 'mia')
    tally.corrections += 1
    const touchedNow = to === undefined ? [stick] : [stick, to]
    const crews = touchedNow.map((one) => there.placeOf(one).crew)
    const before = there.lifeThere(stick)
    const wasGone = before.removed || before.scrapped
    const at = stick.deeds.indexOf(slip)
    const standsInstead = { ...slip, ...instead?.did, factId: json.instead?.factId } as Deed & Told
    stick.deeds.splice(at, 1, ...(instead === undefined ? [] : [standsInstead]))
    stick.factIds.push(factId, ...(instead === undefined ? [] : [String(replacement?.factId)]))
    stick.life = undefined
    if (wasGone) noteUndone(stick, before)
    if (to !== undefined) {
      to.deeds.push(standsInstead)
      to.factIds.push(json.instead.factId)
    }
    for (const [i, one] of touchedNow.entries()) {
      if (there.placeOf(one).crew !== crews[i]) one.withCrewSince = there.placeOf(one).today
      touched.add(one)
      heard.lookAt(one, soonMillis)
    }
  }

  function noteUndone(stick: StickThere, before: { readonly removed: boolean; readonly scrapped: boolean }): void {
    const after = there.lifeThere(stick)
    if (!(before.removed && !after.removed) && !(before.scrapped && !after.scrapped)) return
    tally.undone += 1
    stick.deeds.push({ at: now(), day: there.placeOf(stick).today, did: 'undone' })
  }

  function whenOf(stick: StickThere, { at }: Deed, door: string) {
    const { zone } = there.placeOf(stick)
    const day = dayAt(at, zone)
    return { ...(door === 'bench-tests' ? { testedOn: day } : { occurredOn: day }), at: clockAt(at, zone) }
  }

  /** Whatever changes for all sticks at once. */
  function followRules(): void {
    time.listsAreBehind()
    for (const stick of there.sticks.values()) heard.lookAt(stick, 2 * soonMillis)
  }

  async function changeRules(next: Partial<ModelRules>): Promise<void> {
    const rules = { ...there.rules(), ...next }
    await enter('/v1/policies/employer', fleet.policyOf(rules))
    there.bind(rules)
    followRules()
  }

  /** Called back at once, whoever reads; lists and people follow. Answers its id, and itself. */
  async function recall(cause: object, asModel: (at: number) => ModelRecall) {
    tally.recalls += 1
    const factId = uuidOf(`${seed} recall ${tally.recalls}`)
    await answered('POST', '/v1/recalls', { factId, cause, reason: 'Found out' }, 'mia')
    const opened = asModel(now())
    there.bind({ ...there.rules(), recalls: [...there.rules().recalls, opened] })
    for (const stick of there.sticks.values()) touched.add(stick)
    followRules()
    return [factId, opened] as const
  }

  /** Whoever closes it names all that it still holds; without the last of them it is not closed. */
  async function closeRecall(id: string, recall: ModelRecall): Promise<void> {
    const held = [...there.sticks.values()].filter((stick) => {
      const life = there.lifeThere(stick)
      return isCalledBack(life, recall) && !life.removed && !life.scrapped
    })
    const path = `/v1/recalls/${id}/close`
    const naming = (notFound: readonly StickThere[]) => ({
      factId: uuidOf(`${id} closed ${notFound.length}`),
      notFound: notFound.map((stick) => stick.id),
    })
    if (held.length > 0) {
      const { status, text } = await asked('POST', path, naming(held.slice(0, -1)), 'mia')
      if (status < 400) throw new Broken(`closed without ${held.at(-1)?.id}, which it holds: ${text}`)
    }
    await answered('POST', path, naming(held), 'mia')
    tally.recallsClosed += 1
  }

  function deploy(build: Deployed, monthsBetweenTests: number): void {
    tally.deployments += 1
    service.deploy(build)
    there.bind({ ...there.rules(), monthsBetweenTests })
    followRules()
  }

  async function moveCrew(id: string, depotId: string): Promise<void> {
    const known = there.crews.get(id)
    if (known === undefined) throw new Error(`no crew ${id}`)
    await enter(`/v1/crews/${id}`, { ...known, depotId })
    there.crews.set(id, { ...known, depotId })
    followRules()
    // until its sticks are rewritten, hours are read by the clock of the depot that the crew has left
    await walkTo(now() + untilRewritten)
  }

  async function changePerson(id: string, person: Person): Promise<void> {
    await enter(`/v1/people/${id}`, person, 'owner')
    there.people.set(id, person)
    heard.left(person.email)
  }

  /** Looked at while nothing fails and indexes show all that was written. */
  async function calmly(look: () => Promise<void>): Promise<void> {
    isLookedAt = true
    service.calm()
    table.settled()
    try {
      await look()
    } finally {
      isLookedAt = false
      service.calm(!faults)
    }
  }

  const first = { ...fleet.policyOf(there.rules()), effectiveFrom: '2020-01-01' }
  const { name, email } = fleet.owner
  const personIds = Object.keys(fleet.people)
  await found(bare, { organisation: fleet.organisation, name, email, personIds, at: instantOf(now()) })
  await enter('/v1/policies/employer', first, 'owner')
  for (const [id, depot] of Object.entries(fleet.depots)) await enter(`/v1/depots/${id}`, depot, 'owner')
  for (const [id, person] of there.people) await enter(`/v1/people/${id}`, person, 'owner')
  for (const [id, crew] of there.crews) await enter(`/v1/crews/${id}`, crew, 'owner')
  await enter('/v1/instruments/INS-1', fleet.calibration('2025-12-01', fleet.firstCalibratedUntil), 'owner')
  await enter('/v1/procedures/PRC-1', fleet.procedure, 'owner')
  if (faults) trouble = troubleBy(seed, now)
  else service.calm()

  return {
    ...{ service, there, heard, tally, bad, touched, now, walkTo, calmly },
    ...{
      answered,
      enter,
      enterStick,
      record,
      correct,
      changeRules,
      recall,
      closeRecall,
      deploy,
      moveCrew,
      changePerson,
    },
    trouble: () => trouble,
    /** Nothing is under way, and nothing was away of late. */
    isQuiet: () => !time.isWaiting() && outageSince(now() - 48 * hour) === 0,
    hadOutageSince: (from: number) => outageSince(from) > 0,
  }
}

/** The lists are looked through every five minutes. */
const untilRewritten = 11 * minute

const tellOfUse: readonly Notice['kind'][] = ['return', 'digest', 'date brought forward']

type Did = Deed extends infer One ? (One extends Deed ? Omit<One, 'at' | 'day'> : never) : never

/** What was a slip, and what stands in its place: nothing, another of its kind, or the same on another stick. */
export interface Correcting {
  readonly stick: StickThere
  readonly slip: Deed & Told
  readonly to?: StickThere
  readonly instead?: Pick<HandedIn, 'door' | 'body' | 'did'>
}

/** It spoke against the stick, and what stands instead does not. */
function takesBack(slip: Deed, instead: Correcting['instead']): boolean {
  const speaksAgainst = (one: Did | Deed) =>
    ['reported', 'missed', 'found', 'removed'].includes(one.did) ||
    (one.did === 'looked over' && !one.sound) ||
    (one.did === 'tested' && one.result !== 'passes')
  return speaksAgainst(slip) && (instead === undefined || !speaksAgainst(instead.did))
}

export interface HandedIn {
  readonly door: string
  readonly body: object
  readonly did: Did
  readonly by?: string
  readonly hoursAgo?: number
}
