/**
 * The verdicts whose cost two figures tell: on some 640 readings each, one test that passes and one with six over their
 * limit.
 */
import { type BenchTest, benchTest, type Reading } from '../../shared-domain/bench-test/bench-test.ts'
import { type Editions, judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import { anInstrument, aProcedure, aStick, aTest, day, survey } from '../support/trade.ts'

/** The longest stick people handle: 80 places on four quarter turns, dry and wet. */
const metres = 20
const stick = { ...aStick, workingLengthMetres: metres }
const editions: Editions = {
  stick,
  procedure: aProcedure,
  instruments: [{ effectiveFrom: day('2024-01-01'), body: anInstrument }],
}

/** Dry and wet limits are 10 and 20 µA; real readings wander. */
const wandering = ({ fromMetres, quarterTurn }: Reading) => ((fromMetres * 4 + quarterTurn / 90) % 7) / 4
const fewOver = new Set([2.5, 11, 19.25])

function testOf(overLimit: boolean): BenchTest {
  const reading = (least: number) => (row: Reading) => ({
    leakageMicroamps:
      overLimit && row.quarterTurn === 90 && fewOver.has(row.fromMetres) ? 31.5 : least + wandering(row),
  })
  const dry = { readings: survey(metres, 0, reading(3)) }
  return aTest({
    dry,
    wet: { water: 'distilled', appearance: 'beads', readings: survey(metres, 0, reading(8), true) },
  })
}

export const bodies = [testOf(false), testOf(true)].map((one) => JSON.stringify(one))
export const parsed = () => bodies.map((body) => benchTest.parse(JSON.parse(body)))

const tests = parsed()
export const judge = () => tests.map((one) => judgeByEditions(one, editions))

const told = judge().map(({ verdict, reasons }) => `${verdict} ${reasons.length}`)
if (told.join() !== 'pass 0,fail 6') throw new Error(`not the verdicts these figures are about: ${told.join()}`)
