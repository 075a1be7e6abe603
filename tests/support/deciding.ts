/**
 * A stick's story told fact by fact: `given(…).when(…).then({ status, holds, owed, refused })`. Everybody it can be
 * told to stands on the registers of `trade.ts`; its days are those of UTC, under the rule pack of the US unless told
 * otherwise.
 */
import { expect } from 'vitest'
import { type Accepted, type Decision, decide, type Known, nothingOf } from '../../shared-domain/decide.ts'
import type { Happening, RecordedFact } from '../../shared-domain/facts.ts'
import type { KeptStick } from '../../shared-domain/listing.ts'
import { aCrew, aManager, day, history, usPolicy } from './trade.ts'

export type Told = readonly [on: string, happening: Happening, at?: string]

/** Fields left out are not looked at. */
export interface Expected {
  readonly status?: string
  readonly dueOn?: string | null
  /** codes of the holds */
  readonly holds?: readonly string[]
  /** `kind → address`, each once, in any order */
  readonly owed?: readonly string[]
  /** codes of the reasons; empty where the fact is accepted */
  readonly refused?: readonly string[]
  readonly asksForHour?: boolean
  /** the list the stick lies on */
  readonly list?: string
  readonly nextTellOn?: string | null
}

const registers: Known['registers'] = {
  crews: new Map([
    ['CR-1', aCrew],
    [
      'CR-2',
      { ...aCrew, name: 'Crew two', recipients: [{ name: 'Cy Nemec', email: 'cy@crew-two.example', role: 'crew' }] },
    ],
  ]),
  depotNames: new Map([['DEP-1', 'North yard']]),
  people: [aManager],
  reportedBy: 'Ines Roth',
}

export type More = Partial<Omit<Known, 'registers'>> & { readonly without?: readonly (keyof Known['registers'])[] }

/** A later fact of one day is recorded later. */
export function given(...events: readonly Told[]) {
  return {
    when: (event: Told, more: More = {}) => {
      const facts = history(...events, event)
      const last = facts.at(-1)
      if (last === undefined) throw new Error('a story without facts')
      const before = facts.slice(0, -1)
      const { kept } = before.reduce(tell, { kept: nothingOf('S-1'), facts: [] })
      const decision = decide(kept, last, { ...knownAt(last, before), ...more })
      return {
        decision,
        // biome-ignore lint/suspicious/noThenProperty: it reads as a story, and nobody waits for it
        then: (expected: Expected) => expect(seenIn(decision, expected)).toEqual(asked(expected)),
      }
    },
  }
}

interface Story {
  readonly kept: KeptStick
  readonly facts: readonly RecordedFact[]
}

/** The fact has happened: a story that the rules refuse is told wrongly. */
export function tell({ kept, facts }: Story, fact: RecordedFact): Story {
  const decision = decide(kept, fact, knownAt(fact, facts))
  if (decision.outcome !== 'accepted') throw new Error(`not recorded: ${JSON.stringify(decision)}`)
  return { kept: decision.next, facts: [...facts, fact] }
}

export function knownAt(fact: RecordedFact, history: readonly RecordedFact[]): Known {
  const now = fact.recordedAt
  return { day: day(now.slice(0, 10)), now, rules: usPolicy, rulesThen: usPolicy, registers, history }
}

const asked = (expected: Expected) => ({
  ...expected,
  ...(expected.owed === undefined ? {} : { owed: [...expected.owed].sort() }),
})

function seenIn(decision: Decision, expected: Expected): Expected {
  const seen: { [field in keyof Expected]-?: (of: Accepted | undefined) => unknown } = {
    status: (of) => of?.standing.status,
    dueOn: (of) => of?.standing.dueOn,
    holds: (of) => of?.standing.holds.map(({ code }) => code),
    owed: (of) => of?.owed.map(({ kind, to }) => `${kind} → ${to.email}`).sort(),
    refused: () => (decision.outcome === 'refused' ? decision.reasons.map(({ code }) => code) : []),
    asksForHour: () => decision.outcome === 'hour asked',
    list: (of) => of?.listing.group,
    nextTellOn: (of) => of?.listing.nextTellOn,
  }
  const accepted = decision.outcome === 'accepted' ? decision : undefined
  return Object.fromEntries(
    // `expected` has no other keys
    Object.keys(expected).map((field) => [field, seen[field as keyof Expected](accepted)]),
  )
}
