/** The code of a paper that is printed: issued with its first print, and the same on later ones while it counts. */
import type { Asker } from '../questions/asker.ts'
import type { PaperToDraw } from '../questions/papers.ts'
import { endsLabelCode } from '../questions/public-looks.ts'
import { aboutLabel, issuePaperCode, paperCodeOf } from '../store/paper-codes.ts'

/** The end of the code's address, after that of the pages; undefined for papers that bear none. */
export async function codePathFor({ organisation, caller, now }: Asker, paper: PaperToDraw) {
  if (paper.kind !== 'certificate' && paper.kind !== 'label') return undefined
  const { stickId, state } = paper.known.stick
  const about = paper.kind === 'label' ? aboutLabel : paper.known.test.fact.factId
  const letter = paper.kind === 'label' ? 's' : 'c'
  const labelFactId = state.label?.factId ?? null
  for (let tries = 0; tries < 5; tries++) {
    const before = await paperCodeOf(organisation, { stickId, about })
    if (before !== undefined && !(paper.kind === 'label' && endsLabelCode(state, before)))
      return `/${letter}/${before.code}`
    const to = { stickId, about, issuedAt: now, issuedBy: caller.personId, labelFactId }
    const issued = await issuePaperCode(organisation, to, before)
    if (issued !== undefined) return `/${letter}/${issued.code}`
  }
  throw new Error('the code of a paper was replaced again and again')
}
