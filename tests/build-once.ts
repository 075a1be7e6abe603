/** Builds and synthesises once for all suites of a run. */
import { synthesise } from '../cdk/local/template/synthesise.ts'

export default async function buildOnce(): Promise<() => void> {
  const { folder, remove } = await synthesise()
  // the workers are started after this and inherit it
  process.env.QUARTERTURN_TEMPLATE = folder
  return remove
}
