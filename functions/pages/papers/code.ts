/** A code to scan, drawn as one path, so that no printer blurs it. */
import { encode } from 'uqr'
import type { Paper } from './pdf.ts'

interface Code {
  readonly address: string
  readonly alt: string
  /** points, the quiet zone round it among them */
  readonly x: number
  readonly y: number
  readonly side: number
}

/** Modules of a blank edge that decoders need round a code (ISO/IEC 18004). */
const quiet = 4

export function code({ doc, within }: Paper, { address, alt, x, y, side }: Code): void {
  const { data, size } = encode(address, { ecc: 'M', border: 0 })
  const step = side / (size + 2 * quiet)
  const path = data
    .flatMap((row, down) => runsOf(row).map(([from, to]) => `M${from} ${down}H${to}v1H${from}z`))
    .join('')
  const up = doc.page.height
  const bbox = [x, up - y - side, x + side, up - y] as const
  within.add(
    doc.struct('Figure', { alt, bbox }, () => {
      doc
        .save()
        .translate(x + quiet * step, y + quiet * step)
        .scale(step)
      doc.path(path).fill('#000')
      doc.restore()
    }),
  )
}

/** Dark modules side by side are one stroke: where they met, a printer would leave a hair between them. */
function runsOf(row: readonly boolean[]): [from: number, to: number][] {
  const runs: [number, number][] = []
  for (const [i, isDark] of row.entries()) {
    const last = runs.at(-1)
    if (!isDark) continue
    if (last?.[1] === i) last[1] = i + 1
    else runs.push([i, i + 1])
  }
  return runs
}
