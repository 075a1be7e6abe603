/** Builds and synthesises once for all suites of a run, and starts the table that their stacks share. */
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { closers } from '../cdk/local/closers.ts'
import { startDynamoDb } from '../cdk/local/table/dynamodb.ts'
import { root, synthesise } from '../cdk/local/template/synthesise.ts'
import { unpackBrowser } from './browser/browser.ts'
import { usedGrantsFolder } from './stack/used-grants.ts'

export default async function buildOnce(): Promise<() => Promise<void>> {
  const closing = closers()
  const fixturesFolder = join(root, 'tests/stack/fixtures/functions')
  const parts = [startDynamoDb(closing, { parted: true }), synthesise(), synthesise(fixturesFolder)] as const
  // two workers that unpack it at once hand each other half a file
  const [[table, product, fixtures]] = await Promise.all([Promise.all(parts), unpackBrowser()])
  closing.add(product.remove)
  closing.add(fixtures.remove)
  // the workers are started after this and inherit it
  process.env.QUARTERTURN_TABLE = String(table.port)
  process.env.QUARTERTURN_TEMPLATE = product.folder
  process.env.QUARTERTURN_BUNDLES = product.bundles
  process.env.QUARTERTURN_FIXTURES = fixtures.folder
  rmSync(usedGrantsFolder, { recursive: true, force: true })
  process.env.QUARTERTURN_USED_GRANTS = usedGrantsFolder
  return closing.closeAll
}
