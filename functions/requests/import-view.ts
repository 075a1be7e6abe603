/** An import as the API tells of it, its faults in English. */
import { imports } from '../../shared-domain/catalogue/en/imports.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import type { Import } from '../../shared-domain/import/import.ts'
import { fileFaultIn, rowFaultIn } from '../../shared-domain/import/told.ts'
import { wordingIn } from '../../shared-domain/wording.ts'
import type { Uploads } from '../store/uploads.ts'
import type { Recorder } from './request.ts'

/** The rows that are handed back, for as long as a link holds. */
export const restLink = (uploads: Uploads, by: Recorder, { id, rest, state }: Import) =>
  state === 'applied' && rest.length > 0
    ? uploads.link(`rest/${by.organisation.name}/${id}.csv`, `rest-${id}.csv`)
    : null

const wording = wordingIn<typeof imports & typeof refusing>(english, 'metric', { ...imports, ...refusing })

export function importInEnglish(one: Import, uploads: Uploads, by: Recorder) {
  const { id, kind, mode, goodOnly, state, at, counts, questions, looked, faults, refused: why, said } = one
  return {
    ...{ id, kind, mode, goodOnly, state, by: one.by, at, counts, said, questions, columns: looked },
    faults: faults.map((fault) => {
      const { row, column, field, came } = fault
      return { row, column, field, came, text: rowFaultIn(wording, fault) }
    }),
    refused:
      why === null
        ? null
        : { code: why.is.replace('file: ', '').replaceAll(' ', '-'), text: fileFaultIn(wording, why) },
    rest: restLink(uploads, by, one),
  }
}
