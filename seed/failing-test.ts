/**
 * `node seed/failing-test.ts S-0002 [ready.json]`: records on the running demo a bench test of today with one wet reading
 * over its limit, and prints the answer. For trying out what a failure does.
 */
import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'

const [stickId = 'S-0002', readyFile = 'ready.json'] = process.argv.slice(2)
const { api, tokens } = JSON.parse(readFileSync(readyFile, 'utf8')) as { api: string; tokens: Record<string, string> }
const headers = { authorization: `Bearer ${tokens.bench}`, 'content-type': 'application/json' }

const get = async (path: string) => (await fetch(api + path, { headers })).json()
const { on, workingLengthMetres, sections } = (await get(`/v1/sticks/${stickId}`)) as {
  on: string
  workingLengthMetres: number
  sections: { name: string; lengthMetres: number }[]
}
const lengths = sections.length > 0 ? sections : [{ name: undefined, lengthMetres: workingLengthMetres }]

function survey(
  microamps: number,
  settled?: boolean,
): { quarterTurn: number; fromMetres: number; leakageMicroamps: number }[] {
  return lengths.flatMap(({ name, lengthMetres }) =>
    [0, 90, 180, 270].flatMap((quarterTurn) =>
      Array.from({ length: Math.ceil((lengthMetres - 0.3) / 0.25) + 1 }, (_, i) => {
        const fromMetres = Math.min(i * 250, Math.round(lengthMetres * 1000) - 300) / 1000
        const toMetres = Math.round(fromMetres * 1000 + 300) / 1000
        return { section: name, quarterTurn, fromMetres, toMetres, leakageMicroamps: microamps, settled }
      }),
    ),
  )
}

const wet = survey(9, true)
const bad = wet.find((reading) => reading.quarterTurn === 90 && reading.fromMetres >= 0.5) ?? wet[0]
if (bad !== undefined) bad.leakageMicroamps = 41

const answer = await fetch(`${api}/v1/sticks/${stickId}/bench-tests`, {
  method: 'POST',
  headers,
  body: JSON.stringify({
    factId: randomUUID(),
    testedOn: on,
    testedBy: 'Ines Roth',
    instrumentId: 'INS-1',
    procedureId: 'PRC-1',
    reason: 'periodic',
    instrumentChecks: ['dry', 'wet'].map((state) => ({ state, when: 'before', openMicroamps: 0, checkMicroamps: 99 })),
    examination: { defects: [], gloss: 'sound' },
    cleaned: true,
    waxed: true,
    dry: { readings: survey(4.5) },
    wet: { water: 'distilled', appearance: 'beads', readings: wet },
  }),
})
console.log(JSON.stringify(await answer.json(), null, 2))
