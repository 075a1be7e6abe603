/** An auditor's folder, unpacked somewhere and checked there by the file that it brings. */
import { execFile } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { unzipSync } from 'fflate'

export type FilesOfFolder = Record<string, Uint8Array>

/** What a door answers, as the files that it packs. */
export const filesOf = async (answer: Response): Promise<FilesOfFolder> =>
  unzipSync(new Uint8Array(await answer.arrayBuffer()))

/** What the folder's own check says, run where nothing of this project lies beside it. */
export async function saidOf(files: FilesOfFolder, ...fingerprint: string[]): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'folder-'))
  try {
    for (const [name, bytes] of Object.entries(files)) writeFileSync(join(folder, name), bytes)
    const run = promisify(execFile)(process.execPath, [join(folder, 'verify.mjs'), ...fingerprint], { cwd: folder })
    return (await run.catch((error: { stdout: string }) => error)).stdout
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
