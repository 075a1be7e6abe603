/** What of a fact is hashed: nobody's name as it reads, and everything that counts. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as z from 'zod'
import { hashing } from '../../../functions/ground/hashing.ts'
import { benchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import type { Instant } from '../../../shared-domain/calendar.ts'
import * as bodies from '../../../shared-domain/fact-bodies.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { pathsThatName } from '../../../shared-domain/proof/named.ts'
import {
  type EditionRecords,
  type FactRecord,
  type KeptTexts,
  leafOf,
  pointersIn,
  saltsOf,
  sealedRecord,
  withAt,
  withoutText,
} from '../../../shared-domain/proof/record.ts'
import { demonstration, procedure, stick } from '../../../shared-domain/registers.ts'
import { tries } from '../../support/tier.ts'
import { aDemonstration, anInstrument, aProcedure, aTest, day, happened, history } from '../../support/trade.ts'

const noon = '2026-03-02T12:00:00.000Z' as Instant
const occurred = { factId: '00000000-0000-4000-8000-00000000c0de', occurredOn: day('2026-03-02') }

/** Something of each kind in which everybody is named who can be. */
const named: { readonly [kind in Happening['kind']]: Happening } = {
  registered: happened.registered(),
  tested: happened.tested('pass', {
    ...aTest({ note: 'told by Vera' }),
    examination: { gloss: 'sound', defects: [{ kind: 'scratch', open: false, note: 'seen by Vera' }] },
    wet: {
      water: 'distilled',
      appearance: 'beads',
      readings: [],
      driedAndRepeated: { appearance: 'film', readings: [], note: 'dried by Vera' },
    },
  }),
  'tested before': {
    kind: 'tested before',
    before: {
      factId: occurred.factId,
      testedOn: occurred.occurredOn,
      passed: true,
      testedBy: 'Vera',
      instrumentId: 'the meter of Vera',
      note: 'Vera had it',
    },
  },
  'test before counted': {
    kind: 'test before counted',
    counting: { factId: occurred.factId, counts: occurred.factId, reason: 'Vera saw the paper' },
  },
  'corrective step': { kind: 'corrective step', step: { ...occurred, kind: 'cleaned', by: 'Vera', note: 'so Vera' } },
  used: { kind: 'used', use: { ...occurred, days: 1, conditions: [], note: 'with Vera' } },
  'defect reported': { kind: 'defect reported', defect: { ...occurred, kind: 'tingle', note: 'Vera felt it' } },
  moved: {
    kind: 'moved',
    move: { ...occurred, to: { lentTo: 'Vera', returnBy: day('2026-04-01') }, note: 'by Vera' },
  },
  released: { kind: 'released', release: { ...occurred, note: 'Vera looked' } },
  'certificate received': {
    kind: 'certificate received',
    certificate: { ...occurred, issuedBy: 'Vera', number: '7', note: 'from Vera' },
  },
  'condition checked': { kind: 'condition checked', check: { ...occurred, by: 'Vera', sound: true, note: 'Vera' } },
  'judged again': {
    ...(happened.judgedAgain(2, 'pass') as Extract<Happening, { kind: 'judged again' }>),
    again: { factId: occurred.factId, reason: 'Vera said so' },
  },
  corrected: { kind: 'corrected', corrects: occurred.factId, reason: 'a slip of Vera', instead: null },
  removed: { kind: 'removed', removal: { ...occurred, reason: 'Vera decided', note: 'Vera' } },
  'label changed': { kind: 'label changed', label: { ...occurred, kind: 'taken off', note: 'Vera' } },
  'records restored': happened.restored(),
  'paper looked at': { kind: 'paper looked at', look: { ...occurred, note: 'Vera read it' } },
}

const editions: EditionRecords = {
  procedure: { id: 'PRC-1', edition: '2026-03-02#0001', body: { ...aProcedure, approvedBy: 'Vera' } },
  instruments: [{ id: 'INS-1', edition: '2026-03-02#0001', body: anInstrument }],
  demonstration: { id: 'DEM-1', edition: '2026-03-02#0001', body: { ...aDemonstration, by: 'Vera', grounds: 'Vera' } },
}

const kinds = Object.keys(named) as Happening['kind'][]

function recordOf(kind: Happening['kind']): FactRecord {
  const [fact] = history(['2026-03-02', named[kind]])
  const hands = ['Vera', { personId: 'vera' }]
  const whole = {
    ...fact,
    recordedBy: 'vera',
    approvedBy: 'vera',
    placed: { by: 'vera', at: noon },
    standsFor: { factId: occurred.factId, recordedAt: noon, hands },
  } as RecordedFact
  return { organisation: 'demo', stickId: 'S-1', fact: whole, ...(kind === 'tested' ? { editions } : {}) }
}

let salts = 0
const nextSalt = () => (salts++).toString(16).padStart(64, '0')
const keptOf = (record: FactRecord): KeptTexts => ({ salts: saltsOf(record, nextSalt) })
const at = (record: object, pointer: string) =>
  pointer
    .slice(1)
    .split('/')
    .reduce<unknown>((so, step) => (so as Record<string, unknown>)[step], record)

describe.each(kinds)('a fact of the kind "%s"', (kind) => {
  const record = recordOf(kind)
  const kept = keptOf(record)
  const leaf = leafOf(hashing, record, kept)

  test('names nobody in what is hashed', () => {
    expect(JSON.stringify(record).toLowerCase()).toContain('vera')
    expect(JSON.stringify(sealedRecord(hashing, record, kept)).toLowerCase()).not.toContain('vera')
  })

  test.each(pointersIn(record))(
    'is the same leaf without the text at %s, and another one with another text',
    (pointer) => {
      const other = withAt(record, pointer.split('/').slice(1), 'Wanda') as FactRecord
      const left = withoutText(hashing, record, { kept, pointer })
      expect(leafOf(hashing, other, kept)).not.toBe(leaf)
      expect(leafOf(hashing, other, left)).toBe(leaf)
      expect(left.salts[pointer]).toBeUndefined()
      expect(left.erased?.[pointer]).not.toBe(kept.salts[pointer])
    },
  )

  test('is the same leaf once all of it is erased and gone', () => {
    const pointers = pointersIn(record)
    const left = pointers.reduce((so, pointer) => withoutText(hashing, record, { kept: so, pointer }), kept)
    const gone = pointers.reduce(
      (so, pointer) => withAt(so, pointer.slice(1).split('/'), undefined) as FactRecord,
      record,
    )
    expect(left.salts).toEqual({})
    expect(JSON.stringify(gone).toLowerCase()).not.toContain('vera')
    expect(leafOf(hashing, gone, left)).toBe(leaf)
  })

  test('is another leaf where a text was written in that nobody kept apart', () => {
    const [pointer = ''] = pointersIn(record)
    const { [pointer]: _, ...others } = kept.salts
    expect(leafOf(hashing, record, { salts: others })).not.toBe(leaf)
  })
})

test('a change of anything else in a fact, of its stick or of its organisation is another leaf', () => {
  const changes = fc.constantFrom(
    '/organisation',
    '/stickId',
    '/fact/seq',
    '/fact/factId',
    '/fact/occurredOn',
    '/fact/recordedAt',
    '/fact/within/latest',
    '/fact/kind',
    '/fact/judgement/verdict',
    '/fact/pinned/procedureEdition',
    '/fact/test/instrumentId',
    '/fact/test/dry/readings/0/leakageMicroamps',
    '/fact/test/examination/gloss',
    '/editions/procedure/body/decision',
    '/editions/instruments/0/body/calibrationDueOn',
  )
  fc.assert(
    fc.property(
      changes,
      fc.oneof(fc.string(), fc.double({ noNaN: true, noDefaultInfinity: true })),
      (pointer, value) => {
        const record = recordOf('tested')
        const kept = keptOf(record)
        fc.pre(at(record, pointer) !== value && typeof at(record, pointer) !== 'undefined')
        const other = withAt(record, pointer.slice(1).split('/'), value) as FactRecord
        expect(leafOf(hashing, other, kept)).not.toBe(leafOf(hashing, record, kept))
      },
    ),
    { numRuns: tries(300, 60) },
  )
})

describe('no text of somebody’s own is forgotten', () => {
  /** What people write in words of their own, and names no person: numbers and names of things. */
  const namesThings = new Set([
    'registered: stick/lot',
    'registered: stick/sections/*/name',
    'certificate received: certificate/number',
    'defect reported: defect/place/section',
    'tested: test/dry/readings/*/section',
    'tested: test/wet/readings/*/section',
    'tested: test/wet/driedAndRepeated/readings/*/section',
    'tested: test/withstand/*/section',
    'tested: test/examination/defects/*/section',
    'procedure: title',
    'procedure: limits/*/source',
    'procedure: withstand/*/source',
  ])

  interface Json {
    readonly type?: string
    readonly $ref?: string
    readonly $defs?: Readonly<Record<string, Json>>
    readonly properties?: Readonly<Record<string, Json>>
    readonly items?: Json
    readonly anyOf?: readonly Json[]
    readonly oneOf?: readonly Json[]
    readonly allOf?: readonly Json[]
    readonly enum?: readonly unknown[]
    readonly const?: unknown
    readonly pattern?: string
    readonly format?: string
  }

  /** Paths to every text of a body that is held to no pattern and no list of words. */
  function freeTexts(one: Json, defs: Readonly<Record<string, Json>>, path: string): string[] {
    if (one.$ref !== undefined) return freeTexts(defs[one.$ref.split('/').at(-1) ?? ''] ?? {}, defs, path)
    const further = [...(one.anyOf ?? []), ...(one.oneOf ?? []), ...(one.allOf ?? [])]
    return [
      ...(one.type === 'string' && !one.enum && one.const === undefined && !one.pattern && !one.format ? [path] : []),
      ...further.flatMap((other) => freeTexts(other, defs, path)),
      ...Object.entries(one.properties ?? {}).flatMap(([name, other]) => freeTexts(other, defs, `${path}/${name}`)),
      ...(one.items === undefined ? [] : freeTexts(one.items, defs, `${path}/*`)),
    ]
  }

  function textsOf(schema: z.ZodType, name: string): string[] {
    const json = z.toJSONSchema(schema, { io: 'output', unrepresentable: 'any' }) as Json
    return [...new Set(freeTexts(json, json.$defs ?? {}, name))]
  }

  test.each<[Happening['kind'], string, z.ZodType]>([
    ['registered', 'stick', stick],
    ['tested', 'test', benchTest],
    ['tested before', 'before', bodies.testedBefore],
    ['test before counted', 'counting', bodies.countingBefore],
    ['corrective step', 'step', bodies.correctiveStep],
    ['used', 'use', bodies.use],
    ['defect reported', 'defect', bodies.defect],
    ['moved', 'move', bodies.move],
    ['released', 'release', bodies.release],
    ['certificate received', 'certificate', bodies.certificate],
    ['condition checked', 'check', bodies.conditionCheck],
    ['judged again', 'again', bodies.judgedAgain],
    ['removed', 'removal', bodies.removal],
    ['label changed', 'label', bodies.labelChange],
    ['paper looked at', 'look', bodies.paperLook],
  ])('in a fact of the kind "%s"', (kind, name, schema) => {
    const known = new Set(pathsThatName(kind))
    const texts = textsOf(schema, name)
    const forgotten = texts.filter((path) => !known.has(`fact/${path}`) && !namesThings.has(`${kind}: ${path}`))
    expect(forgotten).toEqual([])
    if (kind !== 'registered') expect(texts.length).toBeGreaterThan(0)
  })

  test.each<['procedure' | 'demonstration', z.ZodType]>([
    ['procedure', procedure],
    ['demonstration', demonstration],
  ])('in an edition of a %s', (register, schema) => {
    const known = new Set(pathsThatName('tested'))
    const forgotten = textsOf(schema, register)
      .map((path) => path.slice(register.length + 1))
      .filter((path) => !known.has(`editions/${register}/body/${path}`) && !namesThings.has(`${register}: ${path}`))
    expect(forgotten).toEqual([])
  })
})
