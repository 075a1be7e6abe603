/** All that a device needs to take down a test of one stick, link or no link. */
import type { BenchTest } from '../bench-test/bench-test.ts'
import type { JudgedBy } from '../bench-test/judge.ts'
import type { AtTheBench } from '../bench-test/next-place.ts'
import type { CalendarDate } from '../calendar.ts'
import type { DevicePerson } from '../device/waiting-report.ts'
import type { Demonstration, Instrument, Procedure, Stick } from '../registers.ts'
import type { testReasons } from '../words.ts'

export interface NewestTest {
  readonly factId: string
  readonly on: CalendarDate
  /** whoever recorded it, as the record names them */
  readonly recordedBy: string
}

interface Named<Body> {
  readonly id: string
  readonly body: Body
}

export interface BenchSheet {
  readonly shape: 1
  readonly stickId: string
  /** the stick's entry of today */
  readonly stick: Stick
  /** today where the stick lies */
  readonly today: CalendarDate
  readonly procedures: readonly Named<Procedure>[]
  readonly instruments: readonly Named<Instrument>[]
  /** what the employer demonstrated, on which a test may rely */
  readonly demonstrations: readonly { readonly id: string; readonly kind: Demonstration['kind'] }[]
  /** the stick's newest test, by which it is seen whether somebody recorded another meanwhile; null before the first */
  readonly newest: NewestTest | null
  /** tests on record that prove something and have readings, the newest first: slips are found beside them */
  readonly earlier: readonly BenchTest[]
  /** values that the form begins with; empty where somebody has to choose */
  readonly begins: {
    readonly instrumentId: string
    readonly procedureId: string
    readonly reason: (typeof testReasons)[number] | ''
    readonly tester: string
  }
  readonly who: DevicePerson
}

/** What the test of a draft is judged by, as far as it is chosen. */
export interface ChosenAtBench {
  readonly at: AtTheBench
  readonly by: JudgedBy
}
