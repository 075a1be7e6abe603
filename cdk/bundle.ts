/**
 * Bundles every functions/<name>/index.ts to dist/functions/<name>/index.mjs, as it is deployed. A module that is
 * imported only where it is needed lies in a part beside the bundle, and is compiled when it is asked for.
 */
import { createHash } from 'node:crypto'
import { copyFileSync, globSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { basename, dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build, type Plugin, transform } from 'esbuild'
import { asModules, inOneFile } from './one-file.ts'

export interface Bundle {
  readonly name: string
  readonly file: string
  /** the size of all files that are loaded before the first event */
  readonly bytes: number
}

const refuse = "() => { throw new Error('no function writes a schema as JSON Schema') }"

/** The API's document is written by `npm run openapi`; what zod has for that was a sixth of it in every bundle. */
const schemasAsOursAre: Plugin = {
  name: 'schemas as ours are',
  setup: ({ onLoad }) => {
    onLoad({ filter: /\/zod\/v4\/core\/(to-json-schema|json-schema-processors)\.js$/ }, ({ path }) => {
      const exported = readFileSync(path, 'utf8').matchAll(/^export (?:const|function) (\w+)/gm)
      // every schema asks the makers of methods for its own
      const lines = [...exported].map(
        ([, name = '']) => `export const ${name} = ${name.startsWith('create') ? '() => ' : ''}${refuse}`,
      )
      return { contents: lines.join('\n'), loader: 'js' }
    })
  },
}

/**
 * Files of the mail composer for mails of other kinds than ours. An HTTP client fetches parts of a mail from elsewhere.
 * A table of a thousand types guesses the type of an attachment that states none. Together they took half of a start.
 */
const unused = {
  'fetch/index.js': "export default () => { throw new Error('a mail takes nothing from elsewhere') }",
  'mime-funcs/mime-types.js': `
    const refuse = () => { throw new Error('an attachment states its name and its type') }
    export { refuse as detectMimeType, refuse as detectExtension }`,
} as const

const mailsAsOursAre: Plugin = {
  name: 'mails as ours are',
  setup: ({ onLoad }) => {
    for (const [file, contents] of Object.entries(unused)) {
      const filter = new RegExp(`/nodemailer/.*/${file.replace('.', '\\.')}$`)
      onLoad({ filter }, () => ({ contents, loader: 'js' }))
    }
  },
}

/** Of the functions that messages may call, those that ours do call; ours for dates and lengths come with them. */
const messagesAsOursAre: Plugin = {
  name: 'messages as ours are',
  setup: ({ onLoad }) => {
    onLoad({ filter: /\/messageformat\/lib\/functions\/index\.js$/ }, () => ({
      contents: `
        import { integer, number } from './number.js'
        import { string } from './string.js'
        export const DefaultFunctions = { integer, number, string }`,
      loader: 'js',
    }))
  },
}

/** The table's client keeps addresses that it discovers, which DynamoDB does not ask for: a map does for none. */
const addressesAsOursAre: Plugin = {
  name: 'addresses as ours are',
  setup: ({ onLoad }) => {
    onLoad({ filter: /\/mnemonist\/lru-cache\.js$/ }, () => ({
      contents: 'export default class extends Map { constructor() { super() } peek(key) { return this.get(key) } }',
      loader: 'js',
    }))
  },
}

const sheetsIn = (folder: string) => globSync(join(folder, '*.css'))
/** Files that go along as they stand: what is handed to people, comments and all, and fonts. */
const handedOut = (folder: string) => globSync(join(folder, '*.{mjs,ttf}'))

/** Modules that read files beside them. */
const readers = ['web/house-style.ts', 'pages/layout.ts', 'pages/proof-file.ts', 'pages/papers/fonts.ts']

/** Packages that read a file beside them, and that file: it lies beside the bundle too. */
const besidePackages = { 'highs/build/highs.mjs': 'node_modules/highs/build/highs.wasm' } as const

const filesOfPackages = (inputs: readonly string[]): string[] =>
  Object.entries(besidePackages).flatMap(([reader, file]) =>
    inputs.some((path) => path.endsWith(reader)) ? [file] : [],
  )

const foldersRead = (inputs: readonly string[]): string[] =>
  inputs.filter((path) => readers.some((reader) => path.endsWith(`/${reader}`))).map((path) => dirname(path))

export async function bundleFunctions(source = 'functions', out = 'dist/functions'): Promise<Bundle[]> {
  const entries = globSync(join(source, '*/index.ts'))
  if (entries.length === 0) throw new Error(`no ${source}/<name>/index.ts to bundle`)
  rmSync(out, { recursive: true, force: true })
  return Promise.all(entries.map((entry) => bundle(entry, join(out, basename(dirname(entry))))))
}

/** Functions are built one by one, since each is deployed alone: built together they would share their parts. */
async function bundle(entry: string, folder: string): Promise<Bundle> {
  const { metafile } = await build({
    entryPoints: [entry],
    outdir: folder,
    outExtension: { '.js': '.mjs' },
    chunkNames: 'part-[hash]',
    bundle: true,
    splitting: true,
    minify: true,
    // a sentence in Spanish is longer by a fifth where its letters are escaped
    charset: 'utf8',
    metafile: true,
    ...asModules,
    mainFields: ['module', 'main'],
    conditions: ['module'],
    alias: {
      '@aws-sdk/credential-provider-node': fileURLToPath(new URL('./credentials-from-environment.ts', import.meta.url)),
    },
    // generated data lie beside the bundle and are read as data: V8 would compile source at every start
    loader: { '.generated.json': 'copy' },
    assetNames: '[name]',
    plugins: [addressesAsOursAre, mailsAsOursAre, messagesAsOursAre, schemasAsOursAre],
    logLevel: 'silent',
  })
  // what is read as a file, from beside whatever asks for it, lies beside the bundle too
  const folders = [...new Set([dirname(entry), ...foldersRead(Object.keys(metafile.inputs))])]
  for (const sheet of folders.flatMap(sheetsIn)) {
    const { code } = await transform(readFileSync(sheet, 'utf8'), { loader: 'css', minify: true, charset: 'utf8' })
    writeFileSync(join(folder, basename(sheet)), code)
  }
  for (const file of folders.flatMap(handedOut)) copyFileSync(file, join(folder, basename(file)))
  for (const file of filesOfPackages(Object.keys(metafile.inputs))) copyFileSync(file, join(folder, basename(file)))
  await inOneFile(folder, metafile)
  await bundleDevice(join(dirname(entry), 'device'), join(folder, 'device'))
  const file = join(folder, 'index.mjs')
  return { name: basename(folder), file, bytes: statSync(file).size }
}

/**
 * Scripts that run on a reader's own device lie beside the function that hands them out, with the name of the build:
 * browsers keep for long what has it in its address.
 */
async function bundleDevice(source: string, folder: string): Promise<void> {
  const entryPoints = globSync(join(source, '{page,worker,bench}.ts'))
  if (entryPoints.length === 0) return
  await build({
    entryPoints,
    outdir: folder,
    bundle: true,
    minify: true,
    charset: 'utf8',
    format: 'iife',
    platform: 'browser',
    target: 'es2022',
    logLevel: 'silent',
  })
  const hash = createHash('sha256')
  for (const file of globSync(join(dirname(folder), '**/*.{mjs,js,css,json}')).sort())
    hash.update(relative(folder, file)).update(readFileSync(file))
  writeFileSync(join(folder, 'build'), hash.digest('hex').slice(0, 16))
}

if (import.meta.main) {
  for (const { name, bytes } of await bundleFunctions()) console.log(`${name}: ${Math.round(bytes / 1024)} KB`)
}
