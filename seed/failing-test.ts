/**
 * `npm run failing-test -- S-0002 [ready.json]`: records on the running demo a bench test of today with one place over
 * its limit on one quarter turn, and prints the answer. For trying out what a failure does. It states no hour, since an
 * hour that is yet to come at the stick’s depot would be refused.
 */
import { existsSync, readFileSync } from 'node:fs'
import type { CalendarDate } from '../shared-domain/calendar.ts'
import { benchTestOf } from './bench.ts'
import { demoSticks } from './history.ts'

const [stickId = 'S-0002', readyFile = 'ready.json'] = process.argv.slice(2)
if (!existsSync(readyFile)) stop(`There is no ${readyFile}: start the demo with npm start -- --ready-file ${readyFile}`)
const { api, tokens } = JSON.parse(readFileSync(readyFile, 'utf8')) as { api: string; tokens: Record<string, string> }
const headers = { authorization: `Bearer ${tokens.bench}`, 'content-type': 'application/json' }

const stick = demoSticks.find(({ id }) => id === stickId)
if (stick === undefined) stop(`The demo has no stick ${stickId}; its roster names those it has.`)
const asked = await fetch(`${api}/v1/sticks/${stickId}`, { headers }).catch(() =>
  stop(`Nothing answers at ${api}: is the demo that wrote ${readyFile} still running?`),
)
const known = (await asked.json()) as { on: CalendarDate }

const { at: _invented, ...test } = benchTestOf({
  stick,
  testedOn: known.on,
  testedBy: 'Ines Roth',
  key: `failing ${stickId} ${crypto.randomUUID()}`,
  reason: 'periodic',
  yearsInService: 5,
  instrumentId: 'INS-1',
  blemishes: [{ at: 0.4, quarterTurn: 90, dryMicroamps: 1, wetMicroamps: 25 }],
})
const answer = await fetch(`${api}/v1/sticks/${stickId}/bench-tests`, {
  method: 'POST',
  headers,
  body: JSON.stringify(test),
})
console.log(JSON.stringify(await answer.json(), null, 2))

function stop(why: string): never {
  console.error(why)
  process.exit(1)
}
