/** Stories of the demo sticks worth looking at, by number. All other sticks lead quiet lives. */
import {
  checkForgotten,
  checkPieceLow,
  cracked,
  driedAndRepeated,
  dulled,
  notSettled,
  overWetted,
  spanMissed,
  tapWater,
  thinOverlap,
  wetLeftOut,
  withoutTurn,
} from './bench.ts'
import type { Diary } from './diary.ts'
import type { Blemish } from './readings.ts'

type Story = (diary: Diary) => void

/** Water in a joint: high at one place on every quarter turn, worse wet. */
const joint: Blemish = { at: 0.58, dryMicroamps: 3.2, wetMicroamps: 17.5 }
/** Dirt or a worn patch on the surface: high at one place on one quarter turn, and only wet. */
const patch: Blemish = { at: 0.4, quarterTurn: 90, dryMicroamps: 0.4, wetMicroamps: 14.5 }
/** Moisture inside: high already dry. */
const inside: Blemish = { at: 0.7, dryMicroamps: 9.5, wetMicroamps: 19 }
/** A joint not yet over its limit: the next test will tell. */
const ageing: Blemish = { at: 0.58, dryMicroamps: 0.6, wetMicroamps: 4.2 }

/** An uneventful beginning: entered, tested, used. */
function begin(d: Diary, days: number): void {
  d.enter(days, 1100 + (days % 7) * 210)
  d.test(days - 4)
  d.use(days - 40, 3)
}

function failedTwice(d: Diary, failedAgo: number): void {
  begin(d, failedAgo + 560)
  d.toBench(failedAgo + 1)
  d.test(failedAgo, { blemishes: [joint] })
  d.step(failedAgo - 9, 'refinished', 'sanded along 0.6 m and two coats given')
  d.test(failedAgo - 15, { reason: 'repair', blemishes: [{ ...joint, wetMicroamps: 14 }] })
}

const removed: Record<number, Story> = {
  // the one to show: drifted, failed at its joint, refinished, failed at the same joint, removed for good
  42: (d) => {
    d.enter(880, 2600)
    d.test(876, { reason: 'periodic' })
    d.use(820, 4, ['wet'])
    d.toBench(506)
    d.test(505, { blemishes: [ageing] })
    d.toCrew(504)
    d.use(430, 12, ['wet', 'high duty'])
    d.toBench(124)
    d.test(123, { blemishes: [joint] })
    d.step(114, 'refinished', 'sanded along 0.6 m and two coats given')
    d.test(108, { reason: 'repair', blemishes: [joint] })
  },
  77: (d) => {
    begin(d, 700)
    d.toBench(61)
    d.test(60, { blemishes: [patch] })
    d.step(58, 'cleaned', 'solvent wipe, then wax')
    d.test(57, { reason: 'retest', blemishes: [patch] })
  },
  131: (d) => {
    begin(d, 810)
    d.toBench(301)
    d.test(300, { blemishes: [inside] })
    d.step(280, 'repaired', 'end cap resealed')
    d.test(272, { reason: 'repair', blemishes: [inside] })
  },
  204: (d) => {
    begin(d, 650)
    d.test(90, { blemishes: [joint] })
    d.test(89, { reason: 'retest', blemishes: [joint] })
    d.step(80, 'waxed')
    d.step(79, 'cleaned')
    d.test(77, { reason: 'retest', blemishes: [joint] })
  },
}

const scrapped: Record<number, Story> = {
  18: (d) => {
    failedTwice(d, 240)
    d.move(200, 'scrapped', 'cut in three and binned')
  },
  150: (d) => {
    begin(d, 760)
    d.defect(330, 'gouge', 'dragged along the bucket edge, fibres showing')
    d.toBench(329)
    d.move(325, 'scrapped', 'not worth repairing')
  },
}

const onHold: Record<number, Story> = {
  9: (d) => {
    begin(d, 720)
    d.toBench(6)
    d.test(5, { blemishes: [joint] })
  },
  33: (d) => {
    begin(d, 690)
    d.toBench(29)
    d.test(28, { blemishes: [patch] })
    d.step(12, 'refinished')
  },
  64: (d) => {
    begin(d, 640)
    d.toBench(22)
    d.test(21, { blemishes: [patch] })
    d.step(20, 'waxed')
    d.test(19, { reason: 'retest' })
  },
  97: (d) => {
    begin(d, 600)
    d.defect(3, 'tingle', 'felt through the glove in drizzle')
  },
  112: (d) => {
    begin(d, 580)
    d.move(17, 'missing', 'not on the truck after the storm work')
  },
  143: (d) => {
    begin(d, 560)
    d.move(40, 'missing')
    d.move(8, 'found', 'behind the stores')
  },
  170: (d) => {
    begin(d, 670)
    d.toBench(10)
    d.test(9, { change: spanMissed })
  },
  221: (d) => {
    begin(d, 710)
    d.toBench(15)
    d.test(14, { change: cracked })
  },
}

/** Something happened, it was dealt with as the rules ask, and the stick is in service again. */
const recovered: Record<number, Story> = {
  7: (d) => {
    visited(d, 840, 210, () => d.test(210, { change: checkForgotten }))
    again(d, 209)
  },
  24: (d) => {
    visited(d, 830, 180, () => d.test(180, { blemishes: [patch] }))
    d.step(178, 'cleaned', 'road film along one side')
    d.test(177, { reason: 'retest' })
    d.release(176)
    d.toCrew(176)
  },
  29: (d) => {
    begin(d, 770)
    d.defect(260, 'tingle', 'felt while turning a clamp')
    d.toBench(259)
    d.test(257, { reason: 'defect' })
    d.toCrew(256)
  },
  47: (d) => {
    visited(d, 800, 150, () => d.test(150, { change: overWetted }))
    again(d, 149)
  },
  58: (d) => {
    visited(d, 780, 140, () => d.test(140, { change: driedAndRepeated }))
    d.toCrew(139)
  },
  66: (d) => {
    visited(d, 790, 220, () => d.test(220, { change: spanMissed }))
    again(d, 219)
  },
  // the second instrument had run out a fortnight before and nobody had looked
  82: (d) => {
    visited(d, 890, 550, () => d.test(550, { instrumentId: 'INS-2' }))
    d.test(538, { reason: 'retest' })
    d.toCrew(537)
  },
  99: (d) => {
    begin(d, 750)
    d.move(200, 'missing', 'left at a pole, perhaps')
    d.move(190, 'found', 'handed in at the gate')
    d.toBench(189)
    d.test(187, { reason: 'resumption' })
    d.toCrew(186)
  },
  108: (d) => {
    visited(d, 820, 240, () => d.test(240, { change: cracked }))
    d.step(226, 'repaired', 'fitting renewed')
    d.test(222, { reason: 'repair' })
    d.toCrew(221)
  },
  117: (d) => {
    visited(d, 850, 130, () => d.test(130, { change: withoutTurn(270) }))
    again(d, 129)
  },
  126: (d) => {
    visited(d, 740, 100, () => d.test(100, { change: tapWater }))
    again(d, 99)
  },
  135: (d) => {
    visited(d, 730, 160, () => d.test(160, { change: dulled }))
    d.step(150, 'refinished', 'chalky after years on the roof rack')
    d.test(144, { reason: 'repair' })
    d.toCrew(143)
  },
  146: (d) => {
    visited(d, 795, 85, () => d.test(85, { change: notSettled }))
    again(d, 84)
  },
  159: (d) => {
    visited(d, 765, 230, () => d.test(230, { change: checkPieceLow }))
    again(d, 228)
  },
  168: (d) => {
    visited(d, 860, 170, () => d.test(170, { blemishes: [patch] }))
    d.step(169, 'waxed', 'waxed first; that alone does not count')
    d.step(168, 'cleaned')
    again(d, 167)
  },
  177: (d) => {
    begin(d, 540)
    d.lend(400, 'Fennick Isles Electric', 340)
    d.toCrew(345)
  },
  186: (d) => {
    begin(d, 400)
    d.lend(30, 'Fennick Isles Electric', -45)
  },
  198: (d) => {
    visited(d, 720, 110, () => d.test(110, { change: thinOverlap }))
    again(d, 109)
  },
  207: (d) => {
    begin(d, 500)
    d.toOtherCrew(390, 'CR-8')
  },
  216: (d) => {
    begin(d, 660)
    d.defect(95, 'drop', 'fell from the bucket, about 9 m')
    d.toBench(94)
    d.test(92, { reason: 'defect' })
    d.toCrew(91)
  },
  230: (d) => {
    begin(d, 620)
    d.defect(305, 'flashover', 'arc along the lower half, jumper slipped')
    d.toBench(304)
    d.step(299, 'refinished')
    d.test(293, { reason: 'repair' })
    d.toCrew(292)
  },
  234: (d) => {
    visited(d, 700, 75, () => d.test(75, { change: wetLeftOut }))
    again(d, 74)
  },
}

/** Entered long ago, brought to the bench now; `what` happens there. */
function visited(d: Diary, entered: number, days: number, what: () => void): void {
  begin(d, entered)
  d.toBench(days + 1)
  what()
}

function again(d: Diary, days: number): void {
  d.test(days, { reason: 'retest' })
  d.toCrew(days - 1)
}

export const stories: Readonly<Record<number, Story>> = { ...removed, ...scrapped, ...onHold, ...recovered }

/** Sticks whose last test ran out: number and how many days ago. The crew of 181 used its stick all the same. */
export const overdueBy: Readonly<Record<number, number>> = { 5: 9, 51: 24, 96: 47, 138: 80, 181: 16, 226: 131 }

/** Sticks whose test runs out soon: number and in how many days. */
export const daysUntilDue: Readonly<Record<number, number>> = {
  2: 5,
  20: 9,
  37: 12,
  55: 16,
  71: 19,
  90: 23,
  104: 27,
  122: 30,
  139: 34,
  157: 38,
  174: 42,
  193: 46,
  210: 50,
  229: 54,
}

/** New sticks that have not seen a bench: number and how many days ago they came. The last ends the history. */
export const newSince: Readonly<Record<number, number>> = { 237: 26, 238: 19, 239: 5, 240: 0 }

/** Spares that lie in a yard's store. */
export const inStore: readonly number[] = [12, 31, 53, 69, 88, 110, 127, 149, 173, 196, 219, 233]
