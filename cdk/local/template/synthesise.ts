/** The build and the template, in a folder of their own, so that stacks started side by side do not meet. */
import { execFile } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { bundleFunctions } from '../../bundle.ts'

/** The folder of the project. @lintignore tests begin there too */
export const root = fileURLToPath(new URL('../../../', import.meta.url))

export interface Synthesised {
  /** the folder with the template and the code it names */
  readonly folder: string
  /** the folder in which that code was built */
  readonly bundles: string
  readonly remove: () => void
}

/**
 * The programs of `npm run synth`, without the checks that it makes besides. `signal` breaks the work off; `flags` are
 * those of `npm run synth`.
 */
export async function synthesise(
  functions = join(root, 'functions'),
  signal?: AbortSignal,
  flags: readonly string[] = [],
): Promise<Synthesised> {
  const place = mkdtempSync(join(tmpdir(), 'quarterturn-'))
  const remove = () => rmSync(place, { recursive: true, force: true })
  try {
    const bundles = join(place, 'functions')
    const folder = join(place, 'cdk.out')
    await bundleFunctions(functions, bundles)
    const args = ['--unchecked', '--bundles', bundles, '--outdir', folder, ...flags]
    await promisify(execFile)(process.execPath, [join(root, 'cdk', 'app.ts'), ...args], { cwd: root, signal })
    return { folder, bundles, remove }
  } catch (error) {
    remove()
    throw error
  }
}
