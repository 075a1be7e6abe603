/**
 * The proof of a stick as a folder to keep: what was recorded, as data and as a page that people read, and one file
 * that checks it wherever there is Node.
 */
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { strToU8, zipSync } from 'fflate'
import { localDateAt } from '../../shared-domain/calendar.ts'
import type { Asker } from '../questions/asker.ts'
import { type Directory, directoryFor } from '../questions/directory.ts'
import { type Proved, proofFor } from '../questions/proof.ts'
import type { AsOf } from '../questions/sticks.ts'
import { secureHeaders } from '../web/web-page.ts'
import { proofPage } from './proof-page.ts'
import { type PageWording, pageWordingFor } from './wording.ts'
import { namesIn } from './words.ts'

export interface ProofFile {
  readonly name: string
  readonly bytes: Uint8Array<ArrayBuffer>
}

interface Drawn {
  readonly proved: Proved
  readonly directory: Directory
}

async function fileOf(asker: Asker, { proved, directory }: Drawn, wording: PageWording): Promise<ProofFile> {
  const { proof, found } = proved
  const page = await proofPage(proved, { names: namesIn(directory), organisation: asker.organisation }, wording)
  const { standing, stick, day } = found
  const files = {
    'index.html': page,
    'proof.json': asJson(proof),
    'stick.json': asJson({ stickId: proof.stickId, day, standing, state: stick.state }),
    // the file lies beside the source, and beside the bundle too
    'verify.mjs': readFileSync(join(import.meta.dirname, 'verify.mjs'), 'utf8'),
  }
  const hashes = Object.entries(files).map(([name, text]) => [name, createHash('sha256').update(text).digest('hex')])
  const all = { ...files, 'files.json': asJson(Object.fromEntries(hashes)) }
  const bytes = Object.fromEntries(Object.entries(all).map(([name, text]) => [name, strToU8(text)]))
  return {
    name: `proof-${proof.stickId}-${localDateAt(asker.now, found.zone)}.zip`,
    bytes: Uint8Array.from(zipSync(bytes, { mtime: new Date(asker.now) })),
  }
}

/**
 * For whoever asks by a program: in English, as all that the API says. The API has this file as a bundle of its own, so
 * it is given what was looked up, and refuses nothing itself.
 */
export const proofFileInEnglish = async (asker: Asker, drawn: Drawn): Promise<ProofFile> =>
  fileOf(asker, drawn, await pageWordingFor({ language: 'en' }))

interface Asked extends AsOf {
  readonly stickId: string
}

export async function proofDownload(
  asker: Asker,
  { stickId, ...asOf }: Asked,
  wording: PageWording,
): Promise<Response> {
  const [proved, directory] = await Promise.all([proofFor(asker, stickId, asOf), directoryFor(asker)])
  const { name, bytes } = await fileOf(asker, { proved, directory }, wording)
  return new Response(bytes, {
    headers: { ...secureHeaders, ...asDownload(name), vary: 'accept-language' },
  })
}

const asDownload = (name: string) => ({
  'content-type': 'application/zip',
  'content-disposition': `attachment; filename="${name}"`,
})

const asJson = (value: unknown) => `${JSON.stringify(value, null, 1)}\n`
