/**
 * The places at which a fact, or an edition that a test was judged by, names a person or holds words of somebody's own.
 * Each text there can be erased one day, so none of them is in the tree as it reads.
 */
import type { Happening } from '../facts.ts'

/** Paths in every fact; `*` is each of a list. */
const inEveryFact = ['recordedBy', 'approvedBy', 'placed/by', 'standsFor/hands'] as const

/** The type makes the table total: a new kind of fact has to say what of it names a person. */
const inFacts: { readonly [kind in Happening['kind']]: readonly string[] } = {
  registered: [],
  tested: ['test/testedBy', 'test/note', 'test/examination/defects/*/note', 'test/wet/driedAndRepeated/note'],
  'tested before': ['before/testedBy', 'before/instrumentId', 'before/note'],
  'test before counted': ['counting/reason'],
  'corrective step': ['step/by', 'step/note'],
  used: ['use/note'],
  'defect reported': ['defect/note'],
  moved: ['move/note', 'move/to/lentTo'],
  released: ['release/note'],
  'certificate received': ['certificate/issuedBy', 'certificate/note'],
  'condition checked': ['check/by', 'check/note'],
  'judged again': ['again/reason'],
  corrected: ['reason'],
  removed: ['removal/reason', 'removal/note'],
  'label changed': ['label/note'],
  'records restored': [],
  'paper looked at': ['look/note'],
}

const inEditions = ['procedure/body/approvedBy', 'demonstration/body/by', 'demonstration/body/grounds'] as const

/** Paths in the record of a fact of this kind. A kind that is none is a stranger's, and is hashed as it is. */
export function pathsThatName(kind: Happening['kind']): string[] {
  const own: readonly string[] | undefined = inFacts[kind]
  return [
    ...inEveryFact.map((path) => `fact/${path}`),
    ...(own ?? []).map((path) => `fact/${path}`),
    ...inEditions.map((path) => `editions/${path}`),
  ]
}
