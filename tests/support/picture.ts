/** Pages of a PDF as pictures, and what decoders of two makers read in them. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { createCanvas } from '@napi-rs/canvas'
import jsqr from 'jsqr'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'

interface Picture {
  readonly data: Uint8ClampedArray
  readonly width: number
  readonly height: number
}

/** A page as a printer shows it. */
export async function pictureOf(bytes: Uint8Array, number = 1, dotsPerInch = 150): Promise<Picture> {
  const page = await (await getDocument({ data: Uint8Array.from(bytes), verbosity: 0 }).promise).getPage(number)
  const viewport = page.getViewport({ scale: dotsPerInch / 72 })
  const canvas = createCanvas(Math.ceil(viewport.width), Math.ceil(viewport.height))
  const context = canvas.getContext('2d')
  context.fillStyle = '#fff'
  context.fillRect(0, 0, canvas.width, canvas.height)
  // the canvas of Node stands in for that of a browser
  await page.render({ canvas: null, canvasContext: context as never, viewport }).promise
  const { data, width, height } = context.getImageData(0, 0, canvas.width, canvas.height)
  return { data: new Uint8ClampedArray(data), width, height }
}

const wasm = createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm')
prepareZXingModule({ overrides: { wasmBinary: Uint8Array.from(readFileSync(wasm)).buffer }, fireImmediately: false })

/** What two decoders of other makers read in a picture; undefined where one reads nothing. */
export async function codesIn(picture: Picture): Promise<(string | undefined)[]> {
  const { data, width, height } = picture
  // a package of two forms: either is the function or has it
  const decode = ('default' in jsqr ? jsqr.default : jsqr) as unknown as typeof import('jsqr').default
  const image = { data: new Uint8ClampedArray(data), width, height, colorSpace: 'srgb' } as Parameters<
    typeof readBarcodes
  >[0]
  const [other] = await readBarcodes(image, { formats: ['QRCode'] })
  return [decode(data, width, height)?.data, other?.text]
}
