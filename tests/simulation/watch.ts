/** What must hold at any time, asked of the service as people ask it, and held against the model. */
import type { buildFeed } from '../../functions/feed/feed.ts'
import { hashOf } from '../../functions/store/sign-ins.ts'
import type { Chance } from '../../seed/chance.ts'
import { pick } from '../faults/plan.ts'
import { subjectFor } from '../support/sign-in.ts'
import * as fleet from './fleet.ts'
import { Broken } from './hearing.ts'
import { type Day, isKept, type ModelStatus, plus, toldDaysBefore } from './model.ts'
import type { StickThere } from './there.ts'
import type { World } from './world.ts'

const listed: readonly ModelStatus[] = [
  'overdue',
  'on hold',
  'due soon',
  'awaiting first test',
  'in service',
  'removed from service',
  'scrapped',
]

const isForGood = (status: ModelStatus) => status === 'removed from service' || status === 'scrapped'

export function watchOf(world: World, chance: Chance) {
  const feeds = new Map<string, string>()

  /** A stick as its own address shows it. */
  async function checkStick(stick: StickThere): Promise<void> {
    world.tally.looks += 1
    const { json } = await world.answered('GET', `/v1/sticks/${stick.id}`, undefined, 'owner')
    const { status, dueOn } = world.there.rightOf(stick)
    if (json.status !== status) throw new Broken(`${stick.id} reads ${json.status}, and is ${status}: ${json.why}`)
    if (isKept(status) && json.dueOn !== dueOn)
      throw new Broken(`${stick.id} reads as due ${json.dueOn}, and is due ${dueOn}`)
    const { label } = world.there.lifeThere(stick)
    const isWrong = label !== null && (!isKept(status) || world.there.showsTooLate(stick))
    if ((json.label?.shows ?? null) !== label || (json.label?.isWrong ?? false) !== isWrong)
      throw new Broken(
        `the label of ${stick.id} reads ${JSON.stringify(json.label)}, and is ${label}, wrong: ${isWrong}`,
      )
  }

  /** Every stick on exactly the lists that its standing says. */
  async function checkLists(): Promise<void> {
    world.tally.looks += 1
    const lies = new Map<string, string[]>()
    for (const status of listed) {
      for (const { stickId } of await rowsOf(`status=${encodeURIComponent(status)}`))
        lies.set(stickId, [...(lies.get(stickId) ?? []), status])
    }
    checkLies(lies, () => true)
    for (const crewId of world.there.crews.keys()) await checkCrew(crewId)
  }

  /** The list that people open first: all but what is out of service for good. */
  async function checkRoster(): Promise<void> {
    world.tally.looks += 1
    const lies = new Map<string, string[]>()
    for (const { stickId, status } of await rowsOf('')) lies.set(stickId, [...(lies.get(stickId) ?? []), status])
    checkLies(lies, (status) => !isForGood(status))
  }

  function checkLies(lies: ReadonlyMap<string, readonly string[]>, isListed: (status: ModelStatus) => boolean): void {
    for (const stick of world.there.sticks.values()) {
      const { status } = world.there.rightOf(stick)
      const expected = isListed(status) ? status : ''
      const on = lies.get(stick.id)?.join(', ') ?? ''
      if (on !== expected) throw new Broken(`${stick.id} is ${status}, and lies on the lists: ${on || 'none'}`)
    }
  }

  async function rowsOf(query: string): Promise<{ stickId: string; status: string; dueOn: string | null }[]> {
    const rows = []
    for (let cursor: string | null = ''; cursor !== null; ) {
      const more: string = cursor === '' ? '' : `&cursor=${encodeURIComponent(cursor)}`
      const { json } = await world.answered('GET', `/v1/roster?limit=100&${query}${more}`, undefined, 'owner')
      rows.push(...json.items)
      cursor = json.next
    }
    return rows
  }

  async function checkCrew(crewId: string): Promise<void> {
    const rows = await rowsOf(`crew=${crewId}`)
    const theirs = [...world.there.sticks.values()].filter(
      (stick) => world.there.placeOf(stick).crew === crewId && !isForGood(world.there.rightOf(stick).status),
    )
    const expected = theirs
      .map(({ id }) => id)
      .sort()
      .join(' ')
    const shown = rows
      .map(({ stickId }) => stickId)
      .sort()
      .join(' ')
    if (expected !== shown) throw new Broken(`of ${crewId} are ${expected}, and its list shows ${shown}`)
  }

  /**
   * On the morning's digest: each step of the ladder that has come was told, to everybody who has had the stick since.
   */
  function checkLadder(depotId: string, today: Day): void {
    for (const stick of world.there.sticks.values()) {
      const { status, dueOn } = stick.known
      const place = world.there.placeOf(stick)
      if (place.depotId !== depotId || dueOn === null || !isKept(status)) continue
      const rung = lastRung(dueOn, plus(today, { days: -1 }))
      if (rung === null || today < plus(stick.datedSince, { days: 2 })) continue
      const last = world.heard.told.get(`${stick.id} ${dueOn}`)
      if (last === undefined || last < rung)
        throw new Broken(`${stick.id} is due ${dueOn}: nobody was told since ${rung}, last ${last ?? 'never'}`)
      if (place.crew === null || stick.withCrewSince >= rung) continue
      for (const { email } of world.there.crews.get(place.crew)?.recipients ?? []) {
        if (email === undefined || world.bad.has(email)) continue
        const theirs = world.heard.told.get(`${stick.id} ${dueOn} ${email}`)
        if (theirs === undefined || theirs < rung)
          throw new Broken(
            `${stick.id} is due ${dueOn}: ${email} was not told since ${rung}, last ${theirs ?? 'never'}`,
          )
      }
    }
  }

  /** A label that shows too late a date is told of within a morning, and again every week. */
  function checkLabels(depotId: string, today: Day): void {
    for (const stick of world.there.sticks.values()) {
      const { lateLabelSince: since } = stick
      if (since === null || today < plus(since, { days: 3 })) continue
      if (world.there.placeOf(stick).depotId !== depotId) continue
      const { label } = world.there.lifeThere(stick)
      const last = world.heard.labelTold.get(`${stick.id} ${label}`)
      if (last === undefined || last < plus(today, { days: -9 }))
        throw new Broken(`the label of ${stick.id} shows ${label}, wrong since ${since}, last told ${last ?? 'never'}`)
    }
  }

  const owner = {
    organisation: fleet.organisation,
    personId: 'owner',
    subject: hashOf(subjectFor([fleet.organisation, 'owner'])),
  }

  /** What people look at. */
  async function checkPages(): Promise<void> {
    const { service } = world
    const build = service.build()
    const stick = pick(chance, [...world.there.sticks.values()])
    const { status } = world.there.rightOf(stick)
    const page = await service.invoke(async (table) => {
      const pages = build.buildPages({
        open: (organisation) => build.openOrganisation(table, organisation),
        clock: service.clock,
        origin: 'https://pages.example',
        sessionOf: async () => ({ ...owner, hasAuthenticator: true, issuedAt: service.clock() }),
      })
      const answers = [await pages.request(`/sticks/${stick.id}`), await pages.request('/roster')]
      return answers.every((one) => one.status === 200) ? Promise.all(answers.map((one) => one.text())) : null
    })
    if (page === null) return
    const [ofStick = '', roster = ''] = page
    const lead = /<p class="lead">(.*?)<\/p>/s.exec(ofStick)?.[1] ?? ''
    if (!lead.includes(status)) throw new Broken(`the page of ${stick.id} says ${lead}, and it is ${status}`)
    for (const [, id = '', row = ''] of roster.matchAll(/<a href="\/sticks\/([^"]+)">(.*?)<\/tr>/gs)) {
      const right = world.there.sticks.get(id)
      if (right !== undefined && !row.includes(world.there.rightOf(right).status))
        throw new Broken(`the roster page shows ${id} otherwise than ${world.there.rightOf(right).status}`)
    }
    await checkFeed(pick(chance, [...world.there.crews.keys()]))
  }

  async function checkFeed(crewId: string): Promise<void> {
    const url =
      feeds.get(crewId) ?? (await world.answered('POST', `/v1/crews/${crewId}/feeds`, undefined, 'owner')).json.url
    feeds.set(crewId, url)
    const { service } = world
    const text = await service.invoke(async (table) => {
      const feed = service
        .build()
        .buildFeed({ table, clock: service.clock, from: 'notices@quarterturn.example' } as Parameters<
          typeof buildFeed
        >[0])
      const answer = await feed.request(new URL(url).pathname)
      return answer.status === 200 ? answer.text() : null
    })
    if (text === null) return
    const entries = text
      .replaceAll(/\r?\n[ \t]/g, '')
      .split('BEGIN:VEVENT')
      .slice(1)
    for (const stick of world.there.sticks.values()) {
      const { status, dueOn } = world.there.rightOf(stick)
      const entry = entries.find((one) => one.includes(`Stick ${stick.id}:`))
      if (entry === undefined) continue
      if (!isKept(status) && !entry.includes('STATUS:CANCELLED'))
        throw new Broken(`the calendar of ${crewId} shows ${stick.id}, which is ${status}`)
      if (isKept(status) && !entry.includes((dueOn ?? '').replaceAll('-', '')))
        throw new Broken(`the calendar of ${crewId} does not show ${stick.id} on ${dueOn}`)
    }
  }

  /** Nothing that was accepted is lost, and each state is the replay of its facts. */
  async function checkKept(stick: StickThere): Promise<void> {
    world.tally.proofs += 1
    const kept = new Set<string>()
    for (let cursor: string | null = ''; cursor !== null; ) {
      const more: string = cursor === '' ? '' : `&cursor=${encodeURIComponent(cursor)}`
      const { json } = await world.answered('GET', `/v1/sticks/${stick.id}/facts?limit=100${more}`, undefined, 'owner')
      for (const { factId } of json.items) kept.add(factId)
      cursor = json.next
    }
    const lost = stick.factIds.find((factId) => !kept.has(factId))
    if (lost !== undefined) throw new Broken(`${stick.id}: the fact ${lost} was accepted and is gone`)
    const { service } = world
    const proof = await service.invoke((table) =>
      service.build().proveStick(service.build().openOrganisation(table, fleet.organisation), stick.id),
    )
    if (proof !== null && proof.faults.length > 0) throw new Broken(`${stick.id}: ${proof.faults.join('; ')}`)
  }

  return { checkStick, checkRoster, checkLists, checkLadder, checkLabels, checkPages, checkKept }
}

/** The last day up to this one on which the ladder speaks of a due date. */
function lastRung(dueOn: Day, until: Day): Day | null {
  const steps = [...toldDaysBefore.map((days) => plus(dueOn, { days: -days })), plus(dueOn, { days: 1 })]
  for (let day = plus(dueOn, { days: 7 }); day <= until; day = plus(day, { days: 7 })) steps.push(day)
  return (
    steps
      .filter((day) => day <= until)
      .sort()
      .at(-1) ?? null
  )
}
