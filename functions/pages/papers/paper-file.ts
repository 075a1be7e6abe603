/** Papers to print, as files. What makes them is loaded with the first: it is longer than all else here. */
import { localDateAt } from '../../../shared-domain/calendar.ts'
import { labelSheets } from '../../../shared-domain/label-sheets.ts'
import type { Asker } from '../../questions/asker.ts'
import type { Directory } from '../../questions/directory.ts'
import type { PaperToDraw } from '../../questions/papers.ts'
import { secureHeaders } from '../../web/web-page.ts'
import { type PageWording, pageWordingFor } from '../wording.ts'
import { depotNameOf, namesIn } from '../words.ts'
import { certificateNumber, certificateTitle, drawCertificate } from './certificate.ts'
import { drawLabel, drawRuler } from './labels.ts'
import { drawn, type Paper, type PaperOptions } from './pdf.ts'
import type { Printing } from './printing.ts'
import { drawTag } from './tag.ts'
import { drawBenchList, drawWorksheet } from './worksheet.ts'

export interface PaperFile {
  readonly name: string
  readonly bytes: Uint8Array<ArrayBuffer>
}

export interface Drawn {
  readonly paper: PaperToDraw
  readonly directory: Directory
  /** the end of its code's address */
  readonly codePath: string | undefined
}

/** The words of whoever prints, and the address of the pages, without a slash at its end. */
interface PrintedBy {
  readonly wording: PageWording
  readonly origin: string
}

export async function paperFile(
  asker: Asker,
  { paper, directory, codePath }: Drawn,
  { wording, origin }: PrintedBy,
): Promise<PaperFile> {
  const names = namesIn(directory)
  const place = paper.kind === 'bench list' ? null : depotNameOf(paper.known.stick.depotId, names)
  const codeUrl = codePath === undefined ? undefined : `${origin}${codePath}`
  const printing = { wording, organisation: asker.organisation.name, place, at: asker.now, codeUrl, names }
  const { title, number, draw, size } = planOf(paper, printing)
  const { say, language, units } = wording
  const options: PaperOptions = {
    title,
    language,
    size: size ?? (units === 'metric' ? 'A4' : 'letter'),
    at: asker.now,
    lettersMissing: say('paper letters missing'),
    ...(paper.kind === 'label'
      ? {}
      : { footer: (page: number, pages: number) => say('paper page of', { paper: title, page, pages }) }),
  }
  const day = localDateAt(asker.now, paper.known.zone)
  return {
    name: `${paper.kind.replace(' ', '-')}-${number ?? nameOf(paper)}-${day}.pdf`,
    bytes: await drawn(options, draw),
  }
}

const nameOf = ({ kind, known }: PaperToDraw) => (kind === 'bench list' ? known.depotId : known.stick.stickId)

interface Plan {
  readonly title: string
  readonly draw: (sheet: Paper) => void
  readonly number?: string
  readonly size?: PaperOptions['size']
}

function planOf(paper: PaperToDraw, printing: Printing & { readonly names: ReturnType<typeof namesIn> }): Plan {
  const { wording, names } = printing
  const { say } = wording
  switch (paper.kind) {
    case 'certificate': {
      const number = certificateNumber(paper.known)
      const title = `${certificateTitle(paper.known, wording)} ${number}`
      return { title, number, draw: (sheet) => drawCertificate(sheet, paper.known, printing) }
    }
    case 'tag': {
      const title = say('tag title', { stick: paper.known.stick.stickId })
      return { title, draw: (sheet) => drawTag(sheet, paper.known, printing) }
    }
    case 'label':
      return labelPlan(paper, printing)
    case 'worksheet': {
      const title = say('sheet title', { stick: paper.known.stick.stickId })
      return { title, draw: (sheet) => drawWorksheet(sheet, paper.known, printing) }
    }
    case 'bench list': {
      const title = say('bench list title', { depot: names.depot(paper.known.depotId) })
      return { title, draw: (sheet) => drawBenchList(sheet, paper.known, printing) }
    }
  }
}

function labelPlan({ known, asked }: PaperToDraw & { readonly kind: 'label' }, { wording, codeUrl }: Printing): Plan {
  const { stick, standing, last } = known
  const sheet = labelSheets[asked.sheet]
  const testedOn = last?.fact.judgement.verdict === 'pass' ? last.fact.occurredOn : null
  return {
    title: wording.say('label title', { stick: stick.stickId }),
    size: sheet.paper,
    draw: (page) => {
      const label = { stickId: stick.stickId, standing, testedOn, codeUrl }
      // a place past the end of this sheet is its last
      const place = Math.min(asked.place, sheet.columns * sheet.rows) - 1
      drawLabel(page, label, { on: { sheet, place }, wording })
      drawRuler(page, wording)
    },
  }
}

/** A paper for a program that asks: in English and metres, as all that the API says. */
export const paperFileInEnglish =
  (origin: string) =>
  async (asker: Asker, drawn: Drawn): Promise<PaperFile> =>
    paperFile(asker, drawn, { wording: await pageWordingFor({ language: 'en' }), origin })

export async function paperShown(asker: Asker, drawn: Drawn, by: PrintedBy): Promise<Response> {
  const { name, bytes } = await paperFile(asker, drawn, by)
  return new Response(bytes, {
    headers: {
      ...secureHeaders,
      'content-type': 'application/pdf',
      'content-disposition': `inline; filename="${name}"`,
      vary: 'accept-language',
    },
  })
}
