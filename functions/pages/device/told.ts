/** Data that the page handed its script: who is signed in, the build, the sentences in the reader's language. */

import type { DeviceSentences } from '../../../shared-domain/catalogue/en/device.ts'
import type { DevicePerson } from '../../../shared-domain/device/waiting-report.ts'

export interface PageTold {
  readonly build: string
  readonly language: string
  readonly who: DevicePerson | null
  /** sentences with `{name}` where their values go */
  readonly words: { readonly [name in keyof DeviceSentences]: string }
}

export function readTold(): PageTold | null {
  const text = document.getElementById('device')?.textContent
  return text ? JSON.parse(text) : null // the page wrote it so
}

export type DeviceSay = (name: keyof DeviceSentences, values?: Readonly<Record<string, string | number>>) => string

export function saying({ words }: PageTold): DeviceSay {
  return (name, values = {}) => words[name].replaceAll(/\{(\w+)\}/g, (_, value: string) => String(values[value] ?? ''))
}

/** A moment by the clock of the device, as its owner reads it there. */
export function whenInWords(instant: string, { language }: PageTold): string {
  return new Intl.DateTimeFormat(language, { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(instant))
}
