/** The sticks of the reader's crew as a device keeps them: one line each, with what to do in the reader's language. */
import type { KeptLine, KeptList } from '../../shared-domain/device/kept-list.ts'
import { orderOn, toOrder } from '../../shared-domain/state/order.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { type CrewLine, type CrewLines, crewLinesFor } from '../questions/crew.ts'
import type { FirstWording } from './first-wording.ts'
import type { Visit } from './visit.ts'
import { depotNameOf, namesIn, saidOrder, whyOf } from './words.ts'

type Names = ReturnType<typeof namesIn>

/** More than a crew carries; whoever carries more asks the bench about the rest. */
const most = 200

/** Somebody without a crew has no sticks on it: it says only whose device it is. */
export async function listForDevice({ asker, who, lastDay, wording }: Visit): Promise<Omit<KeptList, 'fetchedAt'>> {
  const { crewId, personId } = asker.caller
  const sheet = crewId === null ? null : await crewLinesFor(asker, crewId)
  const depot = sheet?.directory.depots.find(({ id }) => id === sheet.crew.depotId)
  return {
    shape: 1,
    by: who.ids ?? { organisation: asker.organisation.name, person: personId },
    lastDay,
    zone: depot?.timeZone ?? 'UTC',
    crew: sheet?.crew.name ?? who.name,
    asOf: asker.now,
    lines: sheet === null ? [] : linesOf(sheet, wording),
  }
}

function linesOf({ lines, directory }: CrewLines, wording: FirstWording): KeptLine[] {
  const names = namesIn(directory)
  return lines.slice(0, most).map((line) => lineOf(line, names, wording))
}

/** The order that the page of the crew gives, with why it must not be used, in one line. */
function lineOf({ stored, standing }: CrewLine, names: Names, wording: FirstWording): KeptLine {
  const { stickId: stick, state, depotId } = stored
  const { status, dueOn } = standing
  const { line, errand } = orderOn(toOrder(standing, state, depotNameOf(depotId, names)))
  const isUsable = mayBeUsed(status)
  const order = saidOrder(line, wording)
  const sentences = isUsable
    ? [`${order}.`, saidOrder(errand, wording)]
    : [`${order.toLocaleUpperCase(wording.language)}.`, whyOf(standing, wording), saidOrder(errand, wording)]
  return { stick, through: isUsable ? dueOn : null, says: sentences.join(' ') }
}
