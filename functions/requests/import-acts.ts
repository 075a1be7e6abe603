/** An import as it is begun, told of, read anew and applied. */

import type { ImportKind } from '../../shared-domain/import/choices.ts'
import { type Import, isUnderWay, nothingCounted, type SaidOfImport } from '../../shared-domain/import/import.ts'
import { Refused, refused } from '../ground/errors.ts'
import { importFor, importsFor } from '../questions/imports.ts'
import { keepImport, rememberMapping, type StoredImport } from '../store/imports.ts'
import type { Uploads } from '../store/uploads.ts'
import { importInEnglish } from './import-view.ts'
import type { Recorder, Request } from './request.ts'

export { mostUploadMegabytes } from '../store/uploads.ts'

interface Beginning extends Pick<Import, 'id' | 'mode' | 'goodOnly'> {
  readonly kind: ImportKind
  readonly bytes: Uint8Array<ArrayBuffer>
}

/** Larger ones do not fit in a request, and are sent by the form. */
const mostInRequest = 4_000_000

const fileOf = (by: Recorder, id: string) => `files/${by.organisation.name}/${id}`

export async function begun(by: Recorder, { bytes, ...asked }: Beginning) {
  const uploads = await uploadsOf(by)
  const one: Import = {
    ...asked,
    ...{ by: by.caller.personId, at: by.now, state: 'awaiting file', said: {}, questions: [], looked: null },
    ...{ counts: nothingCounted, page: 0, faults: [], refused: null, rest: [] },
  }
  await kept(by, one, { revision: 0, goesOn: false })
  const isSent = bytes.length > 0 && bytes.length <= mostInRequest
  // the bucket tells the worker that it has come
  if (isSent) await uploads.send(fileOf(by, asked.id), bytes)
  return { ...importInEnglish(one, uploads, by), upload: isSent ? null : uploads.form(fileOf(by, asked.id)) }
}

async function uploadsOf({ uploads }: Recorder): Promise<Uploads> {
  if (uploads === undefined) throw new Error('this door takes no files')
  return uploads()
}

/** The form of a page, which leads back to the page once the file is there. */
export async function formFor(by: Recorder, id: string, goTo: string) {
  const uploads = await uploadsOf(by)
  return { form: uploads.form(fileOf(by, id), goTo), origin: uploads.origin }
}

export async function listed(by: Recorder) {
  const [uploads, found] = await Promise.all([uploadsOf(by), importsFor(by)])
  return { items: found.map((one) => ({ ...importInEnglish(one, uploads, by), upload: null })), next: null }
}

export async function shownTo(request: Request<unknown>) {
  const [uploads, found] = await Promise.all([uploadsOf(request), importFor(request, request.id)])
  const isAwaited = found.state === 'awaiting file'
  return {
    ...importInEnglish(found, uploads, request),
    upload: isAwaited ? uploads.form(fileOf(request, found.id)) : null,
  }
}

/** Answers count for the file from now on, and a mapping for files with the same headings too. */
export async function said(request: Request<SaidOfImport>) {
  const found = await importFor(request, request.id)
  if (isUnderWay(found.state) || found.state === 'applied' || found.state === 'awaiting file') throw notNow(found)
  const { mapping, units = {} } = request.body
  if (mapping !== undefined && found.looked !== null) {
    const fields = Object.fromEntries(found.looked.headings.map((heading, i) => [heading, mapping[i] ?? null]))
    await rememberMapping(request.organisation, found.kind, { fields, units })
  }
  const by = request.caller.personId
  const next = { ...found, said: { ...found.said, ...request.body }, ...anew, by, state: 'checking' as const }
  await kept(request, next, { revision: found.revision, goesOn: true })
  return shownTo(request)
}

const anew = { counts: nothingCounted, page: 0, faults: [], refused: null, questions: [], rest: [] }

/** A page that was left open must not begin twice what another has begun. */
export async function applied(request: Request<{ readonly goodOnly: boolean }>) {
  const found = await importFor(request, request.id)
  const { goodOnly } = request.body
  if (found.state === 'applying' || found.state === 'applied') return shownTo(request)
  if (found.state !== 'checked') throw notNow(found)
  if (found.counts.faulty > 0 && !goodOnly) throw notGood(found)
  // the rows are taken in by the rights of whoever says so
  const by = request.caller.personId
  const next = { ...found, ...anew, by, mode: 'apply' as const, goodOnly, state: 'applying' as const }
  await kept(request, next, { revision: found.revision, goesOn: true })
  return shownTo(request)
}

const notNow = ({ state }: StoredImport) =>
  refused({ code: 'import-not-ready', text: `This is not done to a file that is ${state}. Look at it again.` })

const notGood = ({ counts }: StoredImport) =>
  refused({
    code: 'rows-not-good',
    text: `${counts.faulty} rows are not good. Mend them, or take the good ones alone with goodOnly.`,
  })

async function kept(
  by: Recorder,
  one: Import,
  { revision, goesOn }: { readonly revision: number; readonly goesOn: boolean },
): Promise<void> {
  const { revision: _, ...plain } = one as StoredImport
  const written = await keepImport(by.organisation, {
    import: plain,
    revision,
    ...(goesOn ? { goesOn: { at: by.now } } : {}),
  })
  if (written === undefined) throw new Refused({ kind: 'try again' })
}
