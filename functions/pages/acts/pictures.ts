/**
 * Small pictures of what can be wrong with a stick, and of how it is used: a stick lying across, and on it what is to
 * be seen. Each stands beside its word, never in its place.
 */
import { html, raw } from 'hono/html'
import type { defectKinds, useConditions } from '../../../shared-domain/words.ts'
import type { Markup } from '../../web/web-page.ts'

const rod = 'M4 12h56v8H4z'
const line = (d: string) => `<path d="${d}"/>`
const full = (d: string) => `<path class="full" d="${d}"/>`
const dot = (x: number, y: number, r = 1.6) => `<circle class="full" cx="${x}" cy="${y}" r="${r}"/>`
const dashed = (d: string) => `<path stroke-dasharray="3 3" d="${d}"/>`

const defects: { readonly [kind in (typeof defectKinds)[number]]: string } = {
  contamination: line(rod) + [18, 24, 31, 37, 44].map((x, i) => dot(x, i % 2 === 0 ? 15 : 17.5)).join('') + dot(30, 25),
  tracking: line(rod) + line('M14 16h6l4-3 5 6 6-5 5 4h9M24 13l3-1M29 19l-3 1M40 18l4-3'),
  burn: line(rod) + full('M26 12h13v8H26z') + line('M32.5 10c-5-2-4-5 0-9 4 4 5 7 0 9z'),
  blister: line('M4 12h18c2-9 17-9 19 0h19v8H4z'),
  crack: line(rod) + line('M35 9l-5 6 5 2-5 6'),
  delamination: line('M4 12h34l20-7M4 20h34l20 7M34 16h24M4 12v8'),
  scratch: line(rod) + line('M22 19l6-6M29 19l6-6M36 19l6-6'),
  gouge: line('M4 12h22l6 6 6-6h22v8H4z'),
  dent: line('M4 12h18q10 7 20 0h18v8H4z'),
  'lost gloss': dashed(rod) + line('M32 2v6M26 5h12M22 27l20-4'),
  fitting: line('M4 12h34v8H4zM38 16h7M45 9v14M45 9c12-3 14 7 6 10'),
  tingle: line(rod) + line('M18 9l3-3-3-3M30 9l3-3-3-3M42 9l3-3-3-3M18 29l3-3-3-3M30 29l3-3-3-3M42 29l3-3-3-3'),
  drop: line('M8 5l46 9-1.5 6-46-9z') + line('M4 29h56M26 20v6M23 24l3 3 3-3'),
  flashover: line(rod) + full('M38 1L25 17h7l-5 14 14-18h-8z'),
  other: line('M4 20h56v8H4z') + line('M28 6c0-6 9-6 9 0 0 4-4.5 3-4.5 7') + dot(32.5, 16),
}

export const conditionsOfUse: { readonly [condition in (typeof useConditions)[number] | 'dry']: string } = {
  dry: line(rod) + line('M26 26l4 4 8-9'),
  wet: line(rod) + full('M20 1c4 5 4 8 0 8s-4-3 0-8zM32 1c4 5 4 8 0 8s-4-3 0-8zM44 1c4 5 4 8 0 8s-4-3 0-8z'),
  salt: line(rod) + line('M8 26c4-4 8 4 12 0s8 4 12 0 8 4 12 0 8 4 12 0'),
  contaminated: line(rod) + [16, 23, 30, 37, 44].map((x, i) => dot(x, i % 2 === 0 ? 8 : 5)).join(''),
  'high duty': line(rod) + line('M32 20v5M24 25h16l3 6H21z'),
}

export const whatHappened = {
  danger: line('M32 2L60 30H4zM32 12v9') + dot(32, 25.5, 2),
  missing: dashed(rod) + line('M28 7c0-5 8-5 8 0 0 3-4 2-4 4'),
  found: line(rod) + line('M22 5l6 4 12-8'),
  look: `${line('M8 16c12-14 36-14 48 0-12 14-36 14-48 0z')}<circle cx="32" cy="16" r="5"/>`,
  use: line(rod) + line('M46 12c0-6 8-6 8 0M10 20v6h8v-6'),
  handedOver: line(rod) + line('M18 7h26l-6-5M44 7l-6 5'),
} as const

export const picture = (shape: string): Markup =>
  html`<svg class="picture" viewBox="0 0 64 32" aria-hidden="true">${raw(shape)}</svg>`

export const pictureOfDefect = (kind: (typeof defectKinds)[number]): Markup => picture(defects[kind])
