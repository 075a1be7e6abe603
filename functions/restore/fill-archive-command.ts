/**
 * `npm run fill-archive -- --table NAME [--endpoint URL] --organisation X --from FILE --seal S`: fills an organisation
 * that has nothing from its archive. Broken off, it may be given again.
 */
import { createReadStream } from 'node:fs'
import { systemClock } from '../ground/clock.ts'
import { end } from '../ground/command-line.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { isOrganisation, NoArchive } from './archive.ts'
import { fillFrom } from './fill-archive.ts'
import { unpackedLines } from './packed.ts'
import { scanOf } from './scan.ts'

const { client, table, textOf, ...named } = tableByFlags(
  {
    command: 'npm run fill-archive -- --organisation X --from FILE --seal S',
    purpose:
      'Fills an organisation that has nothing from its archive. The whole file is checked first. What may have been ' +
      'sent already is not sent again: see npm run unknown. Broken off, it may be given again.',
  },
  {
    usage: {
      organisation: '--organisation X  its name, as it was where the archive was taken',
      from: '--from FILE       the archive',
      seal: '--seal S          as it was printed where the archive was taken: not as somebody sends it with the file',
    },
    faults: (given) => [
      ...(isOrganisation(given('organisation')) ? [] : ['--organisation X is missing, or is no name']),
      ...(given('from') === undefined ? ['--from FILE is missing'] : []),
      ...(/^[0-9a-f]{64}$/.test(given('seal') ?? '') ? [] : ['--seal S: expected 64 of 0-9, a-f']),
    ],
  },
)

await onTable(named, async () => {
  const [organisation, seal, from] = [textOf('organisation') ?? '', textOf('seal') ?? '', textOf('from') ?? '']
  const lines = () => unpackedLines(createReadStream(from))
  const scan = scanOf(client, named.name)
  const done = await fillFrom({ table, organisation, seal, lines, scan, now: systemClock() }).catch(asSentence)
  if (done === 'not empty') return end(1, `${organisation} has something already. Nothing was changed.`)
  if (done === 'filled before')
    return end(1, `${organisation} was filled from this archive before. Nothing was changed.`)
  console.log(`${done.items} items filled in, ${done.sticks} sticks folded anew.`)
  console.log(`${done.unknown} notices are unknown whether sent, and are not sent again by themselves.`)
  if (done.taken > 0) console.log(`${done.taken} mail addresses belong to another organisation by now.`)
  console.log('Go on with npm run prove, with the fingerprint that the owners were mailed last.')
})

function asSentence(error: unknown): never {
  if (!(error instanceof NoArchive)) throw error
  return end(1, `${from()}: ${error.message}. Nothing was changed.`)
}

function from(): string {
  return textOf('from') ?? ''
}
