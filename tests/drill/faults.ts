/** What must be so after a restore, and is not. */
import { isDeepStrictEqual } from 'node:util'
import type { Drilled } from './drill.ts'

/** Every fact is in the tree, those that the journal brought back too. */
function hasWholeTree(said: string): boolean {
  const facts = /^\d+ sticks, (\d+) facts:/m.exec(said)?.[1]
  return said.includes(`${facts} facts in 1 trees: none was altered, and no head either`)
}

export function faultsOf({ atLoss, after, restored, mailed, proofs, withoutJournal, sentAnew }: Drilled): string[] {
  const codesOf = (stickId: string) => after.find((one) => one.stickId === stickId)?.holds.map(({ code }) => code) ?? []
  const twice = mailed.after.filter((number) => mailed.before.includes(number))
  const isProved = (said: string) => /^\d+ sticks, \d+ facts: every state is the replay of its facts$/m.test(said)
  return [
    ...(codesOf('S-1').includes('defect-reported') ? [] : ['the stick with the tingle is not on hold for it']),
    ...(isDeepStrictEqual(after, atLoss) ? [] : ['a stick stands otherwise than when the table was lost']),
    ...(restored.held.length === 0 ? [] : ['a stick is held though the journal is whole']),
    ...(restored.unknown.length > 0 ? [] : ['nothing was unknown: the drill proves nothing of that']),
    ...(mailed.before.length > 0 ? [] : ['no mail left before the loss: the drill proves nothing of that']),
    ...(mailed.paused.length === 0 ? [] : ['mail left while it was paused']),
    ...(mailed.after.length >= sentAnew.length ? [] : ['what a person had sent anew did not leave']),
    ...(twice.length === 0 ? [] : [`mailed twice under one number: ${twice.join(', ')}`]),
    ...(sentAnew.some((number) => mailed.after.includes(number)) ? ['what was unknown left under its old number'] : []),
    ...(hasWholeTree(proofs.at(-1) ?? '') ? [] : ['not every fact has a place in a tree that holds']),
    ...proofs.filter((said) => !isProved(said)).map((said) => `not proved: ${said}`),
    ...(isDeepStrictEqual(withoutJournal.held, ['S-1', 'S-2', 'S-3'])
      ? []
      : ['without a journal not every stick is held']),
    ...(withoutJournal.codes.includes('records-restored') ? [] : ['without a journal the stick is held for nothing']),
  ]
}
