/** A test is sent through the same door as every bench test, under its own id: sent twice it is one fact. */
import { type BenchDraft, draftToSend } from '../../../shared-domain/bench-entry/draft.ts'
import type { NewestTest } from '../../../shared-domain/bench-entry/sheet.ts'
import { bodyOfDraft } from '../../../shared-domain/bench-entry/test-of-draft.ts'
import type { DeviceAnswer } from '../../../shared-domain/device/waiting-report.ts'
import { askLink, sendForm } from './link.ts'

export type BenchAnswered =
  | DeviceAnswer
  /** somebody recorded another test of the stick, of which the author of this one has not heard */
  | { readonly is: 'another test'; readonly newest: NewestTest }

export const benchPath = (stickId: string) => `/bench/${encodeURIComponent(stickId)}`

export const testPath = (stickId: string, factId: string) =>
  `/sticks/${encodeURIComponent(stickId)}/bench-tests/${encodeURIComponent(factId)}`

interface Another {
  readonly is?: string
  readonly newest?: NewestTest
}

interface Sending {
  /** Keeps the hour before it goes, so that sent again it is the same test. */
  readonly keep: (ready: BenchDraft) => Promise<void>
}

export async function sendDraft(draft: BenchDraft, { keep }: Sending): Promise<BenchAnswered> {
  const link = await askLink()
  if (link === null) return { is: 'no link' }
  if (link.who === null) return { is: 'no session' }
  const ready = draftToSend(draft, link.secondsOff)
  await keep(ready)
  const body = new URLSearchParams({
    factId: ready.factId,
    enteredAt: ready.happenedAt ?? ready.begunAt,
    knows: ready.knows ?? '',
    test: JSON.stringify(bodyOfDraft(ready)),
  })
  const { answer, said } = await sendForm(benchPath(ready.stickId), body)
  const { is, newest } = (said ?? {}) as Another // the service wrote it so
  return is === 'another test' && newest !== undefined ? { is, newest } : answer
}
