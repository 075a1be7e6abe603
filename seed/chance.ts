/** Chance that falls the same way every time: a text in, numbers out. Nothing here asks a clock or the machine. */
import { createHash } from 'node:crypto'

/** Numbers from 0 up to 1. */
export type Chance = () => number

/** The generator known as mulberry32, started from a text. */
export function chanceOf(text: string): Chance {
  let state = createHash('sha256').update(text).digest().readUInt32LE(0)
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296
  }
}

export function drawBetween(chance: Chance, from: number, to: number): number {
  return from + chance() * (to - from)
}

/** A whole number, both ends included. */
export function whole(chance: Chance, from: number, to: number): number {
  return from + Math.floor(chance() * (to - from + 1))
}

export function oneOf<T>(chance: Chance, choices: readonly [T, ...T[]]): T {
  return choices[Math.floor(chance() * choices.length)] ?? choices[0]
}

/** A UUID of version 8, the one left to whoever makes it (RFC 9562, section 5.8). */
export function uuidOf(text: string): string {
  const hex = createHash('sha256').update(`fact ${text}`).digest('hex')
  const variant = ((Number.parseInt(hex.charAt(16), 16) & 3) | 8).toString(16)
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    variant + hex.slice(17, 20),
    hex.slice(20, 32),
  ].join('-')
}
