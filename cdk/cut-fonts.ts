/**
 * Cuts the font of papers to the scripts that papers can show: Latin with all its accents, Greek, Cyrillic. The whole
 * font is five times as long, and is read each time that a paper is made.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import subsetFont from 'subset-font'

const source = 'node_modules/@expo-google-fonts/noto-sans'
const target = 'functions/pages/papers'

const weights = { 'regular.ttf': '400Regular/NotoSans_400Regular.ttf', 'bold.ttf': '700Bold/NotoSans_700Bold.ttf' }

/** Blocks of Unicode, both ends among them. */
const blocks: readonly (readonly [number, number])[] = [
  [0x20, 0x7e],
  [0xa0, 0x24f], // Latin-1, Latin Extended-A and -B
  [0x2bb, 0x2bd],
  [0x300, 0x36f], // accents that stand by themselves
  [0x370, 0x3ff],
  [0x400, 0x52f],
  [0x1e00, 0x1eff], // Latin Extended Additional, Vietnamese among it
  [0x2010, 0x205e],
  [0x20a0, 0x20bf],
  [0x2116, 0x2122],
  [0x2212, 0x2212],
  [0xfffd, 0xfffd], // stands for what the font has not
]

const letters = blocks
  .flatMap(([from, to]) => Array.from({ length: to - from + 1 }, (_, i) => String.fromCodePoint(from + i)))
  .join('')

for (const [name, file] of Object.entries(weights)) {
  const cut = await subsetFont(readFileSync(join(source, file)), letters, { targetFormat: 'sfnt' })
  writeFileSync(join(target, name), cut)
  console.log(`${name}: ${Math.round(cut.length / 1024)} KB`)
}
