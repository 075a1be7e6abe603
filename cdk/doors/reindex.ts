import { Duration } from 'aws-cdk-lib'
import { Construct } from 'constructs'
import { everyFiveMinutes } from '../constructs/alarm.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

/**
 * Rewrites the lists once the rules, or the depot of a crew, have changed, and owes word of what the rules hold now.
 */
export function reindexDoor(parent: Construct, shared: Shared): void {
  const { table } = shared
  scheduledFunction(new Construct(parent, 'Reindex'), {
    ...shared,
    name: 'reindex',
    description: 'Rewrites the lists after a change of the rules or of the depot of a crew, and owes word of it',
    timeout: Duration.minutes(5),
    memoryMegabytes: 1024,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ...readsTable(table),
      ...readsIndexes(
        table,
        'by-depot-next-tell',
        'by-depot-standing',
        'by-crew-standing',
        'by-instrument',
        'by-lot',
        'notices-by-queue',
      ),
      WriteTable: [['dynamodb:PutItem'], [table.tableArn]],
    },
    runs: {
      description: 'Looks whether the rules have changed for a depot, or a crew its depot',
      expression: 'rate(5 minutes)',
      every: everyFiveMinutes,
      payload: { kind: 'reindex' },
      worthStartingFor: Duration.minutes(30),
    },
    errorsMean: {
      meansForPeople:
        'people may not have heard that the rules now hold their sticks; reminders may go by old due dates, or the ' +
        'old depot of a crew.',
      firstThingToDo: 'read the log of reindex; a later run goes on where this one stopped.',
    },
    silence: {
      rings: Duration.hours(1),
      means: {
        meansForPeople:
          'after a change of the rules nobody hears that it holds their sticks, and reminders go by the old due dates.',
        firstThingToDo: 'see whether the schedule of reindex is switched on; its next run goes on where it stopped.',
      },
    },
  })
}
