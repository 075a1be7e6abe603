/** The single words of the trade in Spanish: one for every value that a record can hold, by type and by table. */
import { expect, test } from 'vitest'
import type { BenchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import { english } from '../../../shared-domain/catalogue/en/language.ts'
import { spanish } from '../../../shared-domain/catalogue/es/language.ts'
import { vocabulary } from '../../../shared-domain/catalogue/es/vocabulary.ts'
import { speechIn } from '../../../shared-domain/catalogue/say.ts'
import type { Addressee, ProposalTold } from '../../../shared-domain/notices/notice.ts'
import { rulePacks } from '../../../shared-domain/policy/packs.ts'
import type { Procedure, WithstandTest } from '../../../shared-domain/registers.ts'
import { entrySlipNames, type SlipName, slipNames } from '../../../shared-domain/slip.ts'
import {
  type Detail,
  type EntryDifference,
  entryDifferences,
  type Identity,
  identities,
} from '../../../shared-domain/state/hold.ts'
import {
  appearances,
  type Construction,
  constructions,
  defectKinds,
  demonstrationKinds,
  type EvidenceKind,
  evidenceKinds,
  type Role,
  type ServiceClass,
  type Status,
  type StoppingEvent,
  type SurfaceState,
  serviceClasses,
  statuses,
  stoppingEvents,
  surfaceStates,
  testReasons,
  useConditions,
  type Verdict,
  verdicts,
  waters,
} from '../../../shared-domain/words.ts'
import { messages, neededBy } from './messages.ts'

type Wet = NonNullable<BenchTest['wet']>
type Outcome = NonNullable<BenchTest['withstand']>[number]['outcome']
type LineOrPhase = Extract<WithstandTest['voltage'], { readonly of: string }>['of']
type When = BenchTest['instrumentChecks'][number]['when']
type RegisterKind = Exclude<ProposalTold['kind'], 'stick' | 'correction' | 'tests before'>
type Each<Word extends string> = { readonly [word in Word]: string }

/** What the domain can record, kind by kind: a value without a word fails to compile here. */
interface Words {
  readonly status: Each<Status>
  readonly construction: Each<Construction>
  readonly entry: Each<EntryDifference>
  readonly identity: Each<Identity>
  readonly defect: Each<BenchTest['examination']['defects'][number]['kind']>
  readonly what: Each<SlipName>
  readonly water: Each<Wet['water']>
  readonly appearance: Each<Wet['appearance']>
  readonly reason: Each<BenchTest['reason']>
  readonly outcome: Each<Outcome>
  readonly comparison: Each<Procedure['comparison']>
  readonly when: Each<When>
  readonly step: Each<NonNullable<Detail['step']>>
  readonly event: Each<StoppingEvent>
  readonly verdict: Each<Verdict>
  readonly state: Each<SurfaceState>
  readonly evidence: Each<EvidenceKind>
  readonly service: Each<ServiceClass>
  readonly stop: Each<StoppingEvent>
  readonly condition: Each<(typeof useConditions)[number]>
  readonly demonstration: Each<(typeof demonstrationKinds)[number]>
  readonly age: Each<WithstandTest['when']>
  readonly voltage: Each<LineOrPhase>
  readonly role: Each<Addressee['role'] | Role>
  readonly register: Each<RegisterKind>
  readonly things: Each<string>
  readonly duty: Each<string>
}
const words = vocabulary satisfies Words
const listed = <Word extends string>(all: Each<Word>) => Object.keys(all)

/** The same from the lists that the domain itself goes by. */
const values: { readonly [kind in keyof Words]: readonly string[] } = {
  status: statuses,
  construction: constructions,
  entry: entryDifferences,
  identity: identities,
  defect: defectKinds,
  what: [...Object.values(slipNames), ...Object.values(entrySlipNames)],
  water: waters,
  appearance: appearances,
  reason: testReasons,
  outcome: listed<Outcome>({ withstood: '', flashover: '', puncture: '', tracking: '', heating: '' }),
  comparison: listed<Procedure['comparison']>({ 'not more than': '', 'less than': '' }),
  when: listed<When>({ before: '', after: '' }),
  step: listed<NonNullable<Detail['step']>>({ refinished: '', repaired: '' }),
  event: stoppingEvents,
  verdict: verdicts,
  state: surfaceStates,
  evidence: evidenceKinds,
  service: serviceClasses,
  stop: stoppingEvents,
  condition: useConditions,
  demonstration: demonstrationKinds,
  age: listed<WithstandTest['when']>({ new: '', 'in service': '' }),
  voltage: listed<LineOrPhase>({ 'line voltage': '', 'phase voltage': '' }),
  role: listed<Addressee['role'] | Role>({ crew: '', foreman: '', bench: '', manager: '', owner: '' }),
  register: listed<RegisterKind>({
    depot: '',
    crew: '',
    person: '',
    instrument: '',
    procedure: '',
    demonstration: '',
    policy: '',
    organisation: '',
  }),
  // held to the paths of the API by its own tests
  things: Object.keys(vocabulary.things),
  duty: rulePacks.flatMap(({ requirements }) => requirements.map(({ words: asked }) => asked)),
}
const kinds = Object.keys(values) as (keyof Words)[]

test('it has the kinds that records have, and messages ask for no other', () => {
  expect(Object.keys(vocabulary).sort()).toEqual([...kinds].sort())
  const asked = messages.flatMap(({ en, es }) => [...neededBy(en), ...neededBy(es)])
  const named = asked.flatMap(({ told, options }) => (told === 'word' || told === 'words' ? [options.of ?? ''] : []))
  expect([...new Set(named)].sort()).toEqual([...kinds].sort())
})

/** A rule says what it asks in a sentence, with its figures. */
const sentence = /^\p{Lower}[^{}$]+[^.{}$]$/u

test.each(kinds)('%s: a Spanish word for every one, that is not the English, and for nothing else', (kind) => {
  const own: { readonly [english: string]: string } = words[kind]
  expect(Object.keys(own).sort()).toEqual([...values[kind]].sort())
  for (const [inEnglish, word] of Object.entries(own)) {
    expect(word).toMatch(
      kind === 'duty'
        ? sentence
        : /^\p{Letter}[\p{Letter}\p{Mark} ]*\p{Letter}$|^\p{Letter}[\p{Letter} ]*FRP[\p{Letter} ]*$/u,
    )
    expect(word).not.toBe(inEnglish)
  }
})

test('words that tell one thing from another are told apart', () => {
  for (const kind of kinds) {
    const own = Object.values<string>(words[kind])
    expect(new Set(own).size, kind).toBe(own.length)
  }
})

test('a Spanish reader is told the Spanish word, an English one the word of the record', () => {
  const [inSpanish, inEnglish] = [spanish, english].map((one) => speechIn(one, 'metric', one.vocabulary))
  for (const kind of kinds)
    for (const value of values[kind]) {
      expect(inSpanish?.word(kind, value)).toBe((words[kind] as { readonly [english: string]: string })[value])
      expect(inEnglish?.word(kind, value)).toBe(value)
    }
})
