/** Figures as fields of a body: between which bounds each may lie, in the unit of its name. */
import * as z from 'zod'
import { expecting } from './fault.ts'

/**
 * The finest figure taken. The table keeps less than JSON can say, and nothing here is measured as finely: a figure
 * nearer to nought than this is a slip of the keyboard or of a program.
 */
const finest = 0.000_001

export const moreThanNought = (most: number) => z.number().min(finest).max(most)

export const noughtOrMore = (most: number) => between(0, most)

/** Figures that may lie on either side of nought, such as degrees. */
export const between = (least: number, most: number) =>
  z
    .number()
    .min(least)
    .max(most)
    .refine(
      (value) => value === 0 || Math.abs(value) >= finest,
      expecting({ is: 'right: no nearer to nought', finest: finest.toFixed(6) }),
    )

/** A place along a stick, from its working end. */
export const placeInMetres = () => noughtOrMore(30)
export const lengthInMetres = () => between(0.1, 30)
/** Places are compared in whole millimetres, and a span of none would never come to a stick's end. */
export const spanInMetres = () => between(0.001, 10)
export const diameterInMillimetres = () => between(1, 500)
export const currentInMicroamps = () => noughtOrMore(1_000_000)
export const limitInMicroamps = () => moreThanNought(1_000_000)
/** The voltage of a line, phase to phase. */
export const lineInKilovolts = () => moreThanNought(1500)
/** The voltage that an instrument applies across its span. */
export const spanInKilovolts = () => moreThanNought(1000)
/** The voltage of a withstand test. */
export const testInKilovolts = () => moreThanNought(10_000)
export const frequencyInHertz = () => moreThanNought(1000)
export const percent = () => noughtOrMore(100)
export const conductivityInMicrosiemensPerCm = () => noughtOrMore(100_000)
export const airInCelsius = () => between(-60, 80)
