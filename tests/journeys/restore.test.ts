/** The table is lost and brought back: the very steps of `npm run drill`, held to what must be so. */
import { beforeAll, describe, expect, test } from 'vitest'
import { type Drilled, drill } from '../drill/drill.ts'
import { faultsOf } from '../drill/faults.ts'

let drilled: Drilled
beforeAll(async () => {
  drilled = await drill(() => undefined)
  // two stacks one after the other, and a template of its own for the second
}, 600_000)

test('all holds: the tingle, the paused mail, no number twice, the proof, and the holds without a journal', () => {
  expect(faultsOf(drilled)).toEqual([])
})

test('the stick that was reported is on hold, and stands as it stood when the table was lost', () => {
  expect(drilled.after.find(({ stickId }) => stickId === 'S-1')).toMatchObject({
    status: 'on hold',
    holds: [{ code: 'defect-reported' }],
  })
  expect(drilled.after).toEqual(drilled.atLoss)
})

test('the time of each step is told', () => {
  expect(drilled.steps.length).toBeGreaterThan(5)
  expect(drilled.steps.every(({ millis }) => millis >= 0)).toBe(true)
})

describe('a fault that is planted is found:', () => {
  const anyNumber = 'ABCD-EFGH-JKMN'
  const planted: readonly [string, (good: Drilled) => Drilled, RegExp][] = [
    ['the tingle is forgotten', (good) => ({ ...good, after: [] }), /tingle/],
    ['a stick stands otherwise', (good) => ({ ...good, after: good.after.slice(1) }), /stands otherwise/],
    ['mail leaves while it is paused', (good) => withMail(good, { paused: [anyNumber] }), /while it was paused/],
    ['a number is mailed twice', (good) => withMail(good, { after: good.mailed.before }), /twice under one number/],
    [
      'what was unknown leaves under its old number',
      (good) => withMail(good, { after: good.sentAnew }),
      /under its old number/,
    ],
    ['what is to be sent anew stays', (good) => withMail(good, { after: [] }), /did not leave/],
    ['a fact has no place in the tree', (good) => ({ ...good, proofs: good.proofs.map(withoutOneLeaf) }), /tree/],
    ['a state is no replay', (good) => ({ ...good, proofs: ['3 sticks, 9 facts: 1 faults'] }), /not proved/],
    [
      'a stick is let go without a journal',
      (good) => ({ ...good, withoutJournal: { held: ['S-1'], codes: ['records-restored'] } }),
      /not every stick/,
    ],
    [
      'it is held for nothing',
      (good) => ({ ...good, withoutJournal: { ...good.withoutJournal, codes: [] } }),
      /for nothing/,
    ],
  ]
  const withoutOneLeaf = (said: string) =>
    said.replace(/^(\d+) facts in/m, (_, leaves) => `${Number(leaves) - 1} facts in`)
  const withMail = (good: Drilled, mailed: Partial<Drilled['mailed']>): Drilled => ({
    ...good,
    mailed: { ...good.mailed, ...mailed },
  })

  test.each(planted)('%s', (_, plant, said) => {
    expect(faultsOf(plant(drilled)).join('\n')).toMatch(said)
  })
})
