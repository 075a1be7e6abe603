/** Data that the page of the bench handed its script, and how the script says it. */
import type { BenchChoice, BenchTold } from '../../../shared-domain/bench-entry/told.ts'
import type { BenchSentences } from '../../../shared-domain/catalogue/en/bench.ts'
import { dateIn, lengthIn } from '../../../shared-domain/catalogue/values.ts'

export function readBenchTold(): BenchTold | null {
  const text = document.getElementById('bench')?.textContent
  return text ? JSON.parse(text) : null // the page wrote it so
}

export type BenchSay = (name: keyof BenchSentences, values?: Readonly<Record<string, string | number>>) => string

export interface BenchWords {
  readonly say: BenchSay
  readonly figure: (figure: number) => string
  readonly length: (metres: number) => string
  readonly day: (date: string) => string
  /** a moment by the clock of the device, as its owner reads it there */
  readonly when: (instant: string) => string
  readonly capital: (text: string) => string
  readonly word: (choice: BenchChoice, value: string) => string
  readonly options: BenchTold['options']
}

export function benchWords({ words, options, tongue, units }: BenchTold): BenchWords {
  const figures = new Intl.NumberFormat(tongue.locale, { maximumFractionDigits: 6, useGrouping: false })
  const moments = new Intl.DateTimeFormat(tongue.locale, { dateStyle: 'medium', timeStyle: 'short' })
  return {
    options,
    figure: (figure) => figures.format(figure),
    day: (date) => dateIn(tongue, date),
    when: (instant) => moments.format(new Date(instant)),
    capital: (text) => text.charAt(0).toLocaleUpperCase(tongue.locale) + text.slice(1),
    length: (metres) =>
      units === 'metric'
        ? `${figures.format(Math.round(metres * 1000) / 1000)} m`
        : lengthIn({ units, unitNames: tongue.unitNames, isBare: false }, metres),
    word: (choice, value) => options[choice].find(([one]) => one === value)?.[1] ?? value,
    say: (name, values = {}) =>
      words[name].replaceAll(/\{(\w+)\}/g, (_, value: string) => {
        const filled = values[value] ?? ''
        return typeof filled === 'number' ? figures.format(filled) : filled
      }),
  }
}
