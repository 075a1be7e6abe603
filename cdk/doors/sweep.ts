import { Duration } from 'aws-cdk-lib'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { alarm, any, timesSaid } from '../constructs/alarm.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

/** The hourly look at who must be told what. */
export function sweepDoor(parent: Construct, shared: Shared): void {
  const { table } = shared
  const scope = new Construct(parent, 'Sweep')
  const { run } = scheduledFunction(scope, {
    ...shared,
    name: 'sweep',
    description: 'Writes the notices that have come due: digests, reminders',
    timeout: Duration.minutes(5),
    memoryMegabytes: 1024,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, 'by-depot-next-tell'),
      WriteTable: [['dynamodb:PutItem'], [table.tableArn]],
    },
    runs: {
      description: 'Looks every hour for depots whose morning has come',
      expression: 'cron(0 * * * ? *)',
      every: Duration.hours(1),
      payload: { kind: 'sweep' },
      worthStartingFor: Duration.hours(1),
    },
    errorsMean: {
      meansForPeople: 'crews may not hear in time that a stick comes due or is overdue.',
      firstThingToDo: 'read the log of the sweep; a later run catches up all by itself once it works again.',
    },
    silence: {
      rings: Duration.hours(3),
      means: {
        meansForPeople: 'no crew hears this morning that a stick comes due or is overdue.',
        firstThingToDo: 'see whether the schedule of the sweep is switched on; its next run catches up all by itself.',
      },
    },
  })
  const untold = timesSaid(run.logGroup, { name: 'NobodyToTell', words: `"${alarmWords.nobodyToTell}"` })
  alarm(scope, 'NobodyToTell', {
    operators: shared.operators,
    bell: any(untold),
    means: {
      meansForPeople: 'a stick comes due or is overdue, and neither its crew nor anybody above it can be mailed.',
      firstThingToDo: 'find its number in the log of the sweep, tell its people, and enter a manager with an address.',
    },
  })
}
