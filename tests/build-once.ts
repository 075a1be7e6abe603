/** Builds and synthesises once for all suites of a run. */
import { join } from 'node:path'
import { root, synthesise } from '../cdk/local/template/synthesise.ts'

export default async function buildOnce(): Promise<() => void> {
  const product = await synthesise()
  const fixtures = await synthesise(join(root, 'tests/stack/fixtures/functions'))
  // the workers are started after this and inherit it
  process.env.QUARTERTURN_TEMPLATE = product.folder
  process.env.QUARTERTURN_BUNDLES = product.bundles
  process.env.QUARTERTURN_FIXTURES = fixtures.folder
  return () => {
    product.remove()
    fixtures.remove()
  }
}
