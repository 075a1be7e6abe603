import { Duration, Stack } from 'aws-cdk-lib'
import { PolicyStatement, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import type { CfnBucket } from 'aws-cdk-lib/aws-s3'
import type { CfnQueuePolicy, Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { acknowledge } from '../constructs/accept.ts'
import { type Grants, houseFunction } from '../constructs/function.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

/** Files that people send, and the rows that are handed back to them. */
const folders = { files: 'files', rest: 'rest' } as const

/**
 * An entry that loosens waits for a second person, who is told what hangs on it: sticks of a crew and tests with an
 * instrument.
 */
const weighedBy = ['by-depot-next-tell', 'by-crew-standing', 'by-instrument'] as const

const mayRun = Duration.minutes(2)

/** Reads files of rows, says what each row would change, and takes them in page by page. */
export function importDoor(parent: Construct, shared: Shared): Queue {
  const scope = new Construct(parent, 'Import')
  const { table, uploads, addresses } = shared
  const queue = queueOfImports(scope, shared)
  const { live } = houseFunction(scope, 'Door', {
    ...shared,
    name: 'import',
    description: 'Reads files of rows that people send, and takes them in',
    timeout: mayRun,
    memoryMegabytes: 1769,
    environment: { TABLE_NAME: table.tableName, UPLOADS_BUCKET: uploads.bucketName, FEEDS_URL: addresses.feeds },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, ...weighedBy),
      WriteTable: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      ReadFiles: [
        ['s3:GetObject'],
        [uploads.arnForObjects(`${folders.files}/*`), uploads.arnForObjects(`${folders.rest}/*`)],
      ],
      HandBack: [['s3:PutObject'], [uploads.arnForObjects(`${folders.rest}/*`)]],
      ...queueGrants(queue),
    },
    errorsMean: {
      meansForPeople: 'a file that somebody sent is not read or not taken in; nothing of it is half written.',
      firstThingToDo: 'read the log of import; the message comes again and goes on where it stopped.',
    },
  })
  acknowledgeFolders(scope, shared, [folders.files, folders.rest])
  fromQueue(scope, 'Sent', { queue, target: live })
  tellOfFiles(shared, queue)
  return queue
}

function queueOfImports(scope: Construct, { operators }: Shared): Queue {
  return workQueue(scope, 'ToImport', {
    operators,
    readerMayRun: mayRun,
    deadLetters: deadLetterQueue(scope, 'NotImported', {
      operators,
      means: {
        meansForPeople: 'a file that somebody sent stands still: its page says that it is being read, and it is not.',
        firstThingToDo: 'read in the log of import why, then send the message back to its queue.',
      },
    }),
    // a large file takes several runs, and each leaves a message for the next
    oldAfter: Duration.minutes(30),
    ageMeans: {
      meansForPeople: 'files that people sent wait to be read.',
      firstThingToDo: 'read the log of import, and whether it is throttled.',
    },
  })
}

/** The bucket tells the queue of each file. Its right to that has to be there before it is told to do so. */
function tellOfFiles({ uploads }: Shared, queue: Queue): void {
  const { account } = Stack.of(queue)
  const { policyDependable } = queue.addToResourcePolicy(
    new PolicyStatement({
      principals: [new ServicePrincipal('s3.amazonaws.com')],
      actions: ['sqs:SendMessage'],
      resources: [queue.queueArn],
      conditions: { StringEquals: { 'aws:SourceAccount': account } },
    }),
  )
  const bucket = uploads.node.defaultChild as CfnBucket
  bucket.notificationConfiguration = {
    queueConfigurations: [
      {
        event: 's3:ObjectCreated:*',
        queue: queue.queueArn,
        filter: { s3Key: { rules: [{ name: 'prefix', value: `${folders.files}/` }] } },
      },
    ],
  }
  const policy = queue.node.tryFindChild('Policy')?.node.defaultChild as CfnQueuePolicy | undefined
  if (policy !== undefined) bucket.addResourceDependency(policy)
  else if (policyDependable !== undefined) uploads.node.addDependency(policyDependable)
}

/** Rights of a door that signs forms and links: a form may do as much as whoever signed it. */
export function uploadGrants(scope: Construct, shared: Shared): Grants {
  acknowledgeFolders(scope, shared, [folders.files, folders.rest])
  return {
    SendFiles: [['s3:PutObject'], [shared.uploads.arnForObjects(`${folders.files}/*`)]],
    FetchRest: [['s3:GetObject'], [shared.uploads.arnForObjects(`${folders.rest}/*`)]],
  }
}

function acknowledgeFolders(scope: Construct, { uploads }: Shared, names: readonly string[]): void {
  const id = Stack.of(scope).getLogicalId(uploads.node.defaultChild as CfnBucket)
  for (const name of names) {
    const resource = `AwsSolutions-IAM5[Resource::<${id}.Arn>/${name}/*]`
    acknowledge(scope, resource, 'objects have no names before they are written')
  }
}
