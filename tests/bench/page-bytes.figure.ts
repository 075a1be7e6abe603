/**
 * What the largest page takes on its way, compressed: each page of a house in which every page has something to show,
 * and those that grow with a fleet at their fullest.
 */
import { randomUUID } from 'node:crypto'
import { everyPage, furnishEveryPage } from '../functions/every-page.ts'
import { type House, openHouse } from '../functions/house.ts'
import { pagesOf } from '../support/pages.ts'
import { aCrew, aDepot, aStick, aTest, day, survey } from '../support/trade.ts'
import type { Figure } from './figure.ts'

export const figure: Figure = {
  unit: 'kilobytes of the largest page, as it is sent to a browser that takes it compressed',
  better: 'lower',
  goal: 60,
  floorIn: 'kilobytes of the smallest page',
  measure: async () => {
    const { items, address } = await furnishEveryPage()
    const house = openHouse(items)
    // a page that the owner, the first of the readers, may open
    const paths = everyPage.flatMap(({ route, at, outcomes }) =>
      route.startsWith('GET ') && outcomes.startsWith('yes') ? [address(at)] : [],
    )
    const grown = await fullest(house)
    const sizes: number[] = []
    for (const path of new Set([...paths, ...grown])) {
      const size = await sentFor(house, path)
      if (size !== null) sizes.push(size)
    }
    return { value: Math.max(...sizes), floor: Math.min(...sizes) }
  },
}

/** None of a file. */
async function sentFor(house: House, path: string): Promise<number | null> {
  const answer = await pagesOf(house, 'owner').request(path, { headers: { 'accept-encoding': 'gzip' } })
  if (!/^text\/html/.test(answer.headers.get('content-type') ?? '')) return null
  const isSent = answer.status === 200 && answer.headers.get('content-encoding') === 'gzip'
  if (!isSent) throw new Error(`${path}: ${answer.status}, or not compressed`)
  return (await answer.arrayBuffer()).byteLength / 1024
}

const workingLengthMetres = 9
const testOf = (over: object) =>
  aTest({
    dry: { readings: survey(workingLengthMetres, 4) },
    wet: { water: 'distilled', appearance: 'beads', readings: survey(workingLengthMetres, 9, undefined, true) },
    ...over,
  })

/** A roster of many crews on hold, a stick of nine metres with a long history and its readings, forty depots ahead. */
async function fullest(house: House): Promise<string[]> {
  for (let i = 0; i < 40; i++) {
    const depot = { ...aDepot, name: `Depot of the ${i}th valley` }
    await house.done('PUT', `/v1/depots/DEP-${100 + i}`, depot)
    await house.done('PUT', `/v1/crews/CR-${100 + i}`, { ...aCrew, name: `Line crew ${i}`, depotId: `DEP-${100 + i}` })
    await house.done('PUT', `/v1/sticks/F-${100 + i}`, { ...aStick, workingLengthMetres, crewId: `CR-${100 + i}` })
    await house.done('POST', `/v1/sticks/F-${100 + i}/bench-tests`, testOf({ testedOn: day('2026-01-10') }))
    const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
    await house.done('POST', `/v1/sticks/F-${100 + i}/defects`, tingle, 'crew')
  }
  for (let i = 0; i < 60; i++) {
    const use = { factId: randomUUID(), occurredOn: '2026-02-20', note: `storm work, line ${i}` }
    await house.done('POST', '/v1/sticks/F-100/uses', use)
  }
  const long = testOf({ at: '08:30' })
  await house.done('POST', '/v1/sticks/F-100/bench-tests', long)
  return [
    '/roster?status=on+hold',
    '/roster?status=on+hold&group=crew',
    '/sticks/F-100',
    `/sticks/F-100/bench-tests/${long.factId}`,
    '/outlook',
    '/notices',
    '/registers/depots',
    '/registers/crews',
  ]
}
