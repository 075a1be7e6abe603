/** The report of a recall as a file for spreadsheets: every stick that the reader may read, with its arithmetic. */
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type RecallProgress, recallFor, type StickOfRecall, sticksOfRecallFor } from '../questions/recalls.ts'
import { type CellOfFile, headersOfFile, lineOf } from './roster-file.ts'
import type { PageWording } from './wording.ts'
import { type Names, namesIn, where } from './words.ts'

const mostRows = 10_000
const rowsAtOnce = 100

export async function recallFile(asker: Asker, id: string, wording: PageWording): Promise<Response> {
  const [{ recall }, directory] = await Promise.all([recallFor(asker, id), directoryFor(asker)])
  const names = namesIn(directory)
  const lines = [lineOf(headingsIn(wording))]
  let after: string | null = ''
  while (after !== null && lines.length <= mostRows) {
    const page = await sticksOfRecallFor(asker, { id, after, limit: rowsAtOnce })
    lines.push(...page.sticks.map((one) => lineOf(cellsOf(one, { recall, names }, wording))))
    after = page.next
  }
  const name = after === null ? `recall-${recall.id}.csv` : `recall-${recall.id}-first-${mostRows}.csv`
  return new Response(`\uFEFF${lines.join('')}`, { headers: headersOfFile(name) })
}

const headingsIn = ({ say }: PageWording): CellOfFile[] => [
  say('file stick'),
  say('file outcome'),
  say('status'),
  say('file confirmed'),
  say('where'),
  say('crew'),
  say('file state of wet'),
  say('file read'),
  say('file truly'),
  say('file limit'),
  say('file margin'),
  say('why'),
]

interface Around {
  readonly recall: RecallProgress['recall']
  readonly names: Names
}

/** Of a stick read dry and wet the reading stands that is nearest to its limit, or furthest over it. */
function cellsOf(one: StickOfRecall, { recall, names }: Around, wording: PageWording): CellOfFile[] {
  const { say, word, hold } = wording
  const { stored, standing, outcome, isKnown } = one
  const { crewId } = stored.state
  const isNotFound = outcome === 'held' && recall.closed?.notFound.includes(stored.stickId) === true
  const [worst] = [...one.readings].sort((a, b) => (a.marginMicroamps ?? -1e9) - (b.marginMicroamps ?? -1e9))
  return [
    stored.stickId,
    say(`outcome ${isNotFound ? 'not found' : outcome}`),
    word('status', standing.status),
    outcome === 'held' ? say(isKnown ? 'file is known' : 'file is not known') : null,
    where(stored.state, names, wording),
    crewId === null ? null : names.crew(crewId),
    worst === undefined ? null : word('state', worst.state),
    worst?.readMicroamps ?? null,
    worst?.trueMicroamps ?? null,
    worst?.limitMicroamps ?? null,
    worst?.marginMicroamps ?? null,
    one.hold === undefined ? null : hold(one.hold).text,
  ]
}
