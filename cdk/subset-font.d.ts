/** What of subset-font is used here; the package has no types of its own. */
declare module 'subset-font' {
  export default function subsetFont(font: Uint8Array, text: string, options: { targetFormat: 'sfnt' }): Promise<Buffer>
}
