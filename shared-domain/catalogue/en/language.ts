/** English, as every reader has it who asked for no other language. Records keep the words of the trade in English. */
import type { Spoken } from '../languages.ts'
import { core } from './core.ts'

export const english: Spoken = {
  language: 'en',
  locale: 'en-GB',
  unitNames: { foot: 'ft', feet: 'ft', inches: 'in' },
  until: 'to',
  vocabulary: {},
  core,
}
