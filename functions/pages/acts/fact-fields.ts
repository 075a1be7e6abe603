/** The values of a fact as fields of a form, each as it was typed: what may have been typed wrong. */
import type { BenchTest, Reading } from '../../../shared-domain/bench-test/bench-test.ts'
import type { TestedBefore } from '../../../shared-domain/fact-bodies.ts'
import { handedIn, type RecordedFact } from '../../../shared-domain/facts.ts'
import { defectKinds, testReasons, useConditions } from '../../../shared-domain/words.ts'
import { notFound } from '../../ground/errors.ts'
import type { Directory } from '../../questions/directory.ts'
import type { PageWording } from '../wording.ts'
import { placeOn } from '../words.ts'
import type { Field, Option } from './form.ts'

interface Beside {
  readonly directory: Directory
  readonly wording: PageWording
}

type Leaf = `/${string}`

/** @throws Refused where a fact of this kind has no values of its own to be put right */
export function valueFields(fact: RecordedFact, beside: Beside): readonly Field[] {
  const body = handedIn(fact)
  if (body === null) throw notFound({ is: 'none: fact', fact: fact.factId })
  if (fact.kind === 'tested') return testFields(fact.test, beside)
  return fact.kind === 'tested before' ? beforeFields(fact.before, beside) : plainFields(fact, body, beside)
}

function testFields(test: BenchTest, { wording }: Beside): readonly Field[] {
  const { say, word } = wording
  const field = (name: string, label: string, value: unknown): Field => plain(`/replacement/${name}`, label, value)
  return [
    { name: '/replacement/testedOn', kind: 'date', label: say('day of it'), value: test.testedOn },
    { name: '/replacement/at', kind: 'time', label: say('hour'), value: test.at ?? '', optional: true },
    ...(typeof test.testedBy === 'string' ? [field('testedBy', say('tested by'), test.testedBy)] : []),
    {
      ...choice(
        '/replacement/reason',
        say('test reason'),
        options(testReasons, (one) => word('reason', one)),
      ),
      value: test.reason,
    },
    field('instrumentId', say('instrument number'), test.instrumentId),
    field('procedureId', say('procedure number'), test.procedureId),
    ...checkFields(test, wording),
    { name: '/replacement/cleaned', kind: 'yes', label: say('was cleaned box'), value: test.cleaned ? 'yes' : '' },
    { name: '/replacement/waxed', kind: 'yes', label: say('was waxed box'), value: test.waxed ? 'yes' : '' },
    ...(test.dry?.readings ?? []).map((one, i) =>
      reading(`/replacement/dry/readings/${i}`, { ...one, state: 'dry' }, wording),
    ),
    ...(test.wet?.readings ?? []).map((one, i) =>
      reading(`/replacement/wet/readings/${i}`, { ...one, state: 'wet' }, wording),
    ),
  ]
}

function beforeFields(before: TestedBefore, { wording: { say } }: Beside): readonly Field[] {
  return [
    { name: '/replacement/testedOn', kind: 'date', label: say('day of it'), value: before.testedOn },
    { name: '/replacement/at', kind: 'time', label: say('hour'), value: before.at ?? '', optional: true },
    { name: '/replacement/passed', kind: 'yes', label: say('passed before box'), value: before.passed ? 'yes' : '' },
    ...(before.testedBy === undefined ? [] : [plain('/replacement/testedBy', say('tested by'), before.testedBy)]),
    ...(before.note === undefined
      ? []
      : [{ ...plain('/replacement/note', say('field note'), before.note), optional: true as const }]),
  ]
}

function checkFields(test: BenchTest, { say, word }: PageWording): readonly Field[] {
  return test.instrumentChecks.flatMap(({ state, when, openMicroamps, checkMicroamps }, i): Field[] => {
    const at: Leaf = `/replacement/instrumentChecks/${i}`
    const which = { state: say(state), when: word('when', when) }
    return [
      plain(`${at}/openMicroamps`, say('open check field', which), openMicroamps),
      plain(`${at}/checkMicroamps`, say('piece check field', which), checkMicroamps),
    ]
  })
}

function reading(at: Leaf, one: Reading & { readonly state: 'dry' | 'wet' }, { say }: PageWording): Field {
  return plain(`${at}/leakageMicroamps`, say('microamps at', { place: placeOn(one, say) }), one.leakageMicroamps)
}

function plain(name: Leaf, label: string, value: unknown): Field {
  return { name, kind: typeof value === 'number' ? 'number' : 'line', label, value: String(value ?? '') }
}

const choice = (name: Leaf, label: string, all: readonly Option[]) => ({
  name,
  kind: 'choice' as const,
  label,
  options: all,
})
const options = <One extends string>(all: readonly One[], text: (one: One) => string): readonly Option[] =>
  all.map((one) => [one, text(one)] as const)

/** Facts of a few values: those that are there, and the day and hour of all. */
function plainFields(fact: RecordedFact, body: object, beside: Beside): readonly Field[] {
  const { say, word } = beside.wording
  const at = (name: string): Leaf => `/replacement/${name}`
  const held = body as Readonly<Record<string, unknown>>
  const texts = (['by', 'reason', 'issuedBy', 'number', 'note'] as const).filter((name) => name in held)
  return [
    { name: at('occurredOn'), kind: 'date', label: say('day of it'), value: String(held.occurredOn) },
    { name: at('at'), kind: 'time', label: say('hour'), value: String(held.at ?? ''), optional: true },
    ...(fact.kind === 'defect reported'
      ? [
          {
            ...choice(
              at('kind'),
              say('what is wrong'),
              options(defectKinds, (one) => word('defect', one)),
            ),
            value: fact.defect.kind,
          },
        ]
      : []),
    ...(fact.kind === 'corrective step'
      ? [
          {
            ...choice(
              at('kind'),
              say('which step'),
              options(steps, (one) => say(`step ${one}`)),
            ),
            value: fact.step.kind,
          },
        ]
      : []),
    ...(fact.kind === 'used'
      ? [
          plain(at('days'), say('use days field'), fact.use.days),
          {
            name: at('conditions'),
            kind: 'choices' as const,
            label: say('conditions of use'),
            options: options(useConditions, (one) => say(`condition ${one}`)),
            values: fact.use.conditions,
          },
        ]
      : []),
    ...(fact.kind === 'moved' ? [moveField(at('to'), fact.move.to, beside)] : []),
    ...(fact.kind === 'label changed' && fact.label.kind === 'fixed'
      ? [{ name: at('shows'), kind: 'date' as const, label: say('label shows field'), value: fact.label.shows }]
      : []),
    ...texts.map((name): Field => ({ ...plain(at(name), say(`field ${name}`), held[name]), optional: true })),
  ]
}

const steps = ['cleaned', 'waxed', 'refinished', 'repaired'] as const

type Destination = (RecordedFact & { kind: 'moved' })['move']['to']

/** Where it went, chosen among places; a loan stays as it was, and is recorded anew where it went wrong. */
function moveField(name: Leaf, to: Destination, { directory: { crews, depots }, wording: { say } }: Beside): Field {
  const all: Option[] = [
    ...crews.map(({ id, name: crew }): Option => [JSON.stringify({ crewId: id }), say('to crew', { name: crew })]),
    ...depots.map(({ id, name: depot }): Option => [JSON.stringify({ store: id }), say('to store', { name: depot })]),
    ...depots.map(({ id, name: depot }): Option => [JSON.stringify({ bench: id }), say('to bench', { name: depot })]),
    [JSON.stringify('missing'), say('it is missing')],
    [JSON.stringify('found'), say('it was found')],
    [JSON.stringify('scrapped'), say('to scrap')],
  ]
  const now = JSON.stringify(to)
  const known = all.some(([value]) => value === now)
  const stays: Option[] = known ? [] : [[now, say('as it was recorded')]]
  return { name, kind: 'choice', label: say('where to'), options: [...stays, ...all], isJson: true, value: now }
}
