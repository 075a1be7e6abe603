/**
 * A person's name is taken out of facts, for good: where a fact names them, and where somebody wrote of them in words
 * of their own. What is left beside the fact proves that nothing else of it was altered. A fact that has no place in
 * the tree yet is left for another run, since nothing would prove it afterwards.
 */
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { type FactRecord, pointersIn, textAt, withAt, withoutText } from '../../shared-domain/proof/record.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { hashing } from '../ground/hashing.ts'
import { factRecord } from '../questions/fact-records.ts'
import { goneText } from '../store/journal-names.ts'
import type { Organisation } from '../store/organisation.ts'
import { refoldedWrite } from '../store/sticks.ts'
import type { Write } from '../store/table.ts'
import { erasedWrite, type PlacedFact, placedFactsOf } from '../store/tree.ts'

/** Somebody, by the name that others wrote, and by their number on the register of people. */
export interface SomebodyNamed {
  readonly name: string
  readonly personId?: string | undefined
}

export interface Erased {
  readonly texts: number
  /** facts that name the person and have no place in the tree yet */
  readonly left: number
}

/** A transaction takes 100 items, and 4 MB. */
const mostTogether = 8

export async function eraseName(organisation: Organisation, stickId: string, who: SomebodyNamed): Promise<Erased> {
  const placed = await placedFactsOf(organisation, stickId)
  const named = await Promise.all(placed.map(async (one) => ({ one, ...(await without(organisation, one, who)) })))
  const erased = named.filter(({ texts, one }) => texts > 0 && one.inTree !== undefined)
  const left = named.filter(({ texts, one }) => texts > 0 && one.inTree === undefined).length
  for (let i = 0; i < erased.length; i += mostTogether) {
    const some = erased.slice(i, i + mostTogether)
    await write(
      organisation,
      some.map(({ after }) => erasedWrite(organisation, after)),
    )
  }
  if (erased.length > 0) await refold(organisation, stickId)
  return { texts: erased.reduce((sum, { texts }) => sum + texts, 0), left }
}

async function write({ table }: Organisation, writes: readonly Write[]): Promise<void> {
  if (!(await table.transact(writes)).done) throw new Error('others were writing at the same time: run it again')
}

/** The state holds who tested and who has the stick on loan. */
async function refold(organisation: Organisation, stickId: string): Promise<void> {
  const [stored, facts] = await Promise.all([organisation.sticks.stored(stickId), organisation.sticks.facts(stickId)])
  if (stored !== undefined)
    await write(organisation, [refoldedWrite(organisation, stored, replay(facts, stored.stickId))])
}

async function without(organisation: Organisation, placed: PlacedFact, who: SomebodyNamed) {
  const { stickId, fact, inTree } = placed
  let record: FactRecord = await factRecord(organisation, stickId, fact)
  let kept = inTree
  let texts = 0
  for (const pointer of pointersIn(record)) {
    const text = textAt(record, pointer)
    if (!pointer.startsWith('/fact/') || !names(text, who)) continue
    texts += 1
    if (kept !== undefined) kept = { ...kept, ...withoutText(hashing, record, { kept, pointer }) }
    record = withAt(record, pointer.split('/').slice(1), inPlaceOf(text, who)) as FactRecord
  }
  return { texts, after: { ...placed, fact: record.fact as RecordedFact, inTree: kept } }
}

/** Tells whether a text names somebody, by the name or by the number. */
export function names(text: unknown, { name, personId }: SomebodyNamed): boolean {
  if (Array.isArray(text)) return text.some((one) => names(one, { name, personId }))
  if (typeof text === 'string') return text === personId || text.toLowerCase().includes(name.toLowerCase())
  return typeof text === 'object' && text !== null && 'personId' in text && text.personId === personId
}

/** The others who had a hand in something stay. */
function inPlaceOf(text: unknown, who: SomebodyNamed): unknown {
  return Array.isArray(text) ? text.map((one) => (names(one, who) ? goneText : one)) : goneText
}
