/** A fleet's year as a file for spreadsheets: a line for each figure of the page. */
import { sentenceOfLot } from '../../shared-domain/fleet/told.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type YearAsked, yearAndAdviceFor } from '../questions/fleet.ts'
import { headersOfFile, lineOf } from './roster-file.ts'
import type { PageWording } from './wording.ts'
import { namesIn } from './words.ts'
import { advicePart, yearParts } from './year-parts.ts'

export async function yearFile(asker: Asker, asked: YearAsked, wording: PageWording): Promise<Response> {
  const { say, told } = wording
  const [directory, { year, advice }] = await Promise.all([directoryFor(asker), yearAndAdviceFor(asker, asked)])
  const lines = [lineOf([say('file part'), say('file row'), say('file column'), say('file value')])]
  for (const { title, columns, rows, note } of [
    ...yearParts(year, wording),
    advicePart(advice, namesIn(directory), wording),
  ]) {
    for (const { name, cells } of rows)
      for (const [i, cell] of cells.entries()) lines.push(lineOf([title, name, columns[i] ?? '', cell]))
    if (note !== undefined) lines.push(lineOf([title, null, null, note]))
  }
  for (const one of advice.lots.standingOut) {
    const text = told({ code: 'lot', says: sentenceOfLot(one, advice.lots.looked) })
    lines.push(lineOf([say('part lots'), one.lot, say('year column advice'), text]))
  }
  if (!year.isAll) lines.push(lineOf([null, null, null, say('year cut', { sticks: advice.sticks })]))
  const name = `fleet-${year.year}${year.isAll ? '' : '-not-all'}.csv`
  return new Response(`\uFEFF${lines.join('')}`, { headers: headersOfFile(name) })
}
