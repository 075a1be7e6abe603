/**
 * A person's name is taken out of what lies beside the journal. Its bucket keeps no versions, so what is written over
 * is gone. In the journal itself stands a hash, which says nothing without its salt.
 */
import type { OpenBucket } from '../store/bucket.ts'
import { folderOfNames, type NamesBeside, readNames } from '../store/journal-names.ts'
import { names, type SomebodyNamed } from './erase-name.ts'

const atOnce = 16

/** Answers how many texts went. */
export async function eraseBeside(
  bucket: Pick<OpenBucket, 'keys' | 'text' | 'put'>,
  organisation: string,
  who: SomebodyNamed,
): Promise<number> {
  const keys = await bucket.keys(folderOfNames(organisation))
  let texts = 0
  for (let i = 0; i < keys.length; i += atOnce) {
    const erased = await Promise.all(
      keys.slice(i, i + atOnce).map(async (key) => {
        const before = readNames((await bucket.text(key)) ?? '{"salts":{},"texts":{}}')
        const { left, gone } = without(before, who)
        if (gone > 0) await bucket.put(key, `${JSON.stringify(left)}\n`)
        return gone
      }),
    )
    texts += erased.reduce((sum, one) => sum + one, 0)
  }
  return texts
}

function without({ salts, texts }: NamesBeside, who: SomebodyNamed): { left: NamesBeside; gone: number } {
  const gone = Object.keys(texts).filter((pointer) => names(texts[pointer], who))
  const stays = <T>(all: Readonly<Record<string, T>>) =>
    Object.fromEntries(Object.entries(all).filter(([pointer]) => !gone.includes(pointer)))
  return { left: { salts: stays(salts), texts: stays(texts) }, gone: gone.length }
}
