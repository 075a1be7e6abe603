/** What of pdfkit is used here; the package has no types of its own. */
declare module 'pdfkit' {
  export interface StructureElement {
    add(child: StructureElement): StructureElement
    end(): void
  }
  export interface TextOptions {
    lineBreak?: boolean
    baseline?: 'alphabetic'
  }
  export interface StructureOptions {
    alt?: string
    scope?: 'Column' | 'Row'
    bbox?: readonly [number, number, number, number]
  }
  export default class PDFDocument {
    constructor(options: object)
    page: { width: number; height: number }
    on(event: 'data', heard: (chunk: Uint8Array) => void): this
    on(event: 'end', heard: () => void): this
    registerFont(name: string, bytes: Uint8Array): this
    font(name: string): this
    fontSize(size: number): this
    fillColor(color: string): this
    strokeColor(color: string): this
    lineWidth(width: number): this
    text(text: string, x: number, y: number, options: TextOptions): this
    widthOfString(text: string): number
    path(d: string): this
    rect(x: number, y: number, width: number, height: number): this
    moveTo(x: number, y: number): this
    lineTo(x: number, y: number): this
    fill(color?: string): this
    stroke(): this
    fillAndStroke(fill: string, stroke: string): this
    save(): this
    restore(): this
    translate(x: number, y: number): this
    scale(by: number): this
    addPage(): this
    bufferedPageRange(): { start: number; count: number }
    switchToPage(page: number): this
    struct(type: string, options?: StructureOptions, draw?: () => void): StructureElement
    addStructure(element: StructureElement): void
    markContent(tag: string, options?: object): this
    endMarkedContent(): this
    end(): void
    readonly _font: { readonly font: { hasGlyphForCodePoint(point: number): boolean } }
  }
}
