/** Templates for whoever begins with an empty spreadsheet: headings that are understood, and one row as an example. */
import type { ImportKind } from './choices.ts'

export interface ImportTemplate {
  readonly headings: readonly string[]
  /** invented, and right in form; what it names has to be on the registers */
  readonly example: readonly string[]
}

const template = (...columns: readonly (readonly [heading: string, cell: string])[]): ImportTemplate => ({
  headings: columns.map(([heading]) => heading),
  example: columns.map(([, cell]) => cell),
})

export const templates: { readonly [kind in ImportKind]: ImportTemplate } = {
  sticks: template(
    ['Stick', 'S-0001'],
    ['Construction', 'foam-filled FRP tube'],
    ['Working length (m)', '2.4'],
    ['Diameter (mm)', '32'],
    ['Primary protection', 'yes'],
    ['Crew', 'CR-1'],
    ['Lot', 'L-7'],
    ['Line kV', '69'],
    ['In service since', '2024-03-02'],
    ['Sections', ''],
  ),
  'bench-tests': template(
    ['Stick', 'S-0001'],
    ['Tested on', '2024-05-14'],
    ['Hour', ''],
    ['Result', 'yes'],
    ['Tested by', 'Lea Quint'],
    ['Reason', 'periodic'],
    ['Instrument', ''],
    ['Note', ''],
  ),
  uses: template(
    ['Stick', 'S-0001'],
    ['Date', '2026-02-03'],
    ['Hour', ''],
    ['Days', '2'],
    ['Conditions', 'wet'],
    ['Note', ''],
  ),
  moves: template(
    ['Stick', 'S-0001'],
    ['Date', '2026-02-03'],
    ['Hour', '14:20'],
    ['Crew', 'CR-1'],
    ['Store', ''],
    ['Bench', ''],
    ['Lent to', ''],
    ['Return by', ''],
    ['What', ''],
    ['Note', ''],
  ),
  people: template(
    ['Person', 'E-1001'],
    ['Name', 'Lea Quint'],
    ['Email', 'lea.quint@demo-utility.example'],
    ['Role', 'bench'],
    ['Depots', 'DEP-1; DEP-2'],
    ['Crew', ''],
    ['Language', 'en'],
    ['Units', 'metric'],
    ['Until', ''],
  ),
  crews: template(
    ['Crew id', 'CR-1'],
    ['Crew', 'Line crew one'],
    ['Depot', 'DEP-1'],
    ['Name', 'Lea Quint'],
    ['Email', 'lea.quint@demo-utility.example'],
    ['Phone', ''],
    ['Role', 'foreman'],
    ['Language', 'en'],
    ['Units', 'metric'],
  ),
  instruments: template(
    ['Instrument', 'INS-1'],
    ['Span (m)', '0.3'],
    ['Calibrated on', '2026-01-12'],
    ['Calibration due on', '2027-01-11'],
    ['Expanded uncertainty', '3'],
    ['Kilovolts', ''],
    ['Hertz', ''],
    ['Found out of tolerance', 'no'],
  ),
}

/** The template as a file: no cell of ours needs a quote. */
export const templateFile = ({ headings, example }: ImportTemplate): string =>
  `\uFEFF${[headings, example].map((cells) => `${cells.join(',')}\r\n`).join('')}`
