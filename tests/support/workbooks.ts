/** Workbooks made by hand, part by part, so that each can be wrong in one way. */
import { strToU8, type Zippable, zipSync } from 'fflate'

const relationships = 'http://schemas.openxmlformats.org/package/2006/relationships'
const documentOf = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
const typeOf = 'application/vnd.openxmlformats-officedocument.spreadsheetml'

interface Handmade {
  /** the content of `sheetData` */
  readonly rows?: string
  readonly sharedStrings?: string
  readonly styles?: string
  /** the attributes of the workbook's properties */
  readonly properties?: string
  readonly sheets?: string
  readonly more?: Zippable
}

const part = (path: string, kind: string) => `<Override PartName="/xl/${path}" ContentType="${typeOf}.${kind}+xml"/>`
const relation = (id: string, kind: string, target: string) =>
  `<Relationship Id="${id}" Type="${documentOf}/${kind}" Target="${target}"/>`

const toWorkbook = relation('rId1', 'officeDocument', 'xl/workbook.xml')

const dateStyles =
  '<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs count="3">' +
  '<xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="22"/></cellXfs></styleSheet>'

export function partsOfWorkbook({
  rows = '',
  sharedStrings = '<sst/>',
  styles = dateStyles,
  properties = '',
  sheets = '<sheet name="Sheet" sheetId="1" r:id="rId1"/>',
  more = {},
}: Handmade = {}): Zippable {
  return {
    '[Content_Types].xml': strToU8(
      `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">${[
        part('workbook.xml', 'sheet.main'),
        part('worksheets/sheet1.xml', 'worksheet'),
        part('sharedStrings.xml', 'sharedStrings'),
        part('styles.xml', 'styles'),
      ].join(
        '',
      )}<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/></Types>`,
    ),
    '_rels/.rels': strToU8(`<Relationships xmlns="${relationships}">${toWorkbook}</Relationships>`),
    'xl/workbook.xml': strToU8(
      `<workbook xmlns:r="${documentOf}"><workbookPr ${properties}/><sheets>${sheets}</sheets></workbook>`,
    ),
    'xl/_rels/workbook.xml.rels': strToU8(
      `<Relationships xmlns="${relationships}">${[
        relation('rId1', 'worksheet', 'worksheets/sheet1.xml'),
        relation('rId2', 'sharedStrings', 'sharedStrings.xml'),
        relation('rId3', 'styles', 'styles.xml'),
      ].join('')}</Relationships>`,
    ),
    'xl/sharedStrings.xml': strToU8(sharedStrings),
    'xl/styles.xml': strToU8(styles),
    'xl/worksheets/sheet1.xml': strToU8(`<worksheet><sheetData>${rows}</sheetData></worksheet>`),
    ...more,
  }
}

export const handmadeWorkbook = (one: Handmade = {}): Uint8Array => zipSync(partsOfWorkbook(one))

/** A cell of text as it stands. */
export const inline = (at: string, text: string) => `<c r="${at}" t="inlineStr"><is><t>${text}</t></is></c>`
