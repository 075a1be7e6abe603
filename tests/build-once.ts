/** Builds and synthesises once for all suites of a run, and starts the table that their stacks share. */
import { join } from 'node:path'
import { closers } from '../cdk/local/closers.ts'
import { startDynamoDb } from '../cdk/local/table/dynamodb.ts'
import { root, synthesise } from '../cdk/local/template/synthesise.ts'

export default async function buildOnce(): Promise<() => Promise<void>> {
  const closing = closers()
  const fixturesFolder = join(root, 'tests/stack/fixtures/functions')
  const parts = [startDynamoDb(closing, { parted: true }), synthesise(), synthesise(fixturesFolder)] as const
  const [table, product, fixtures] = await Promise.all(parts)
  closing.add(product.remove)
  closing.add(fixtures.remove)
  // the workers are started after this and inherit it
  process.env.QUARTERTURN_TABLE = String(table.port)
  process.env.QUARTERTURN_TEMPLATE = product.folder
  process.env.QUARTERTURN_BUNDLES = product.bundles
  process.env.QUARTERTURN_FIXTURES = fixtures.folder
  return closing.closeAll
}
