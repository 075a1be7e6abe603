/** Bundles every functions/<name>/index.ts to dist/functions/<name>/index.mjs, as it is deployed. */
import { globSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build, type Plugin } from 'esbuild'

export interface Bundle {
  readonly name: string
  readonly file: string
  readonly bytes: number
}

// packages written for require() meet an ES module here, and would fail only once deployed
const requireForPackages = "import{createRequire}from'node:module';const require=createRequire(import.meta.url);"

/**
 * What the composer of mails has for mails that ours are not, by its file. An HTTP client fetches what a mail names from
 * elsewhere; a table of a thousand types guesses at attachments that do not state theirs. Together they took half the mailer's
 * start.
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

export async function bundleFunctions(source = 'functions', out = 'dist/functions'): Promise<Bundle[]> {
  const entries = globSync(join(source, '*/index.ts'))
  if (entries.length === 0) throw new Error(`no ${source}/<name>/index.ts to bundle`)
  rmSync(out, { recursive: true, force: true })
  const { metafile } = await build({
    entryPoints: entries.map((entry) => ({ in: entry, out: join(basename(dirname(entry)), 'index') })),
    outdir: out,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    minify: true,
    metafile: true,
    format: 'esm',
    platform: 'node',
    target: 'node24',
    mainFields: ['module', 'main'],
    conditions: ['module'],
    banner: { js: requireForPackages },
    alias: {
      '@aws-sdk/credential-provider-node': fileURLToPath(new URL('./credentials-from-environment.ts', import.meta.url)),
    },
    // beside the bundle, and read as data: V8 would compile it as source at every start
    loader: { '.generated.json': 'copy' },
    assetNames: '[dir]/[name]',
    outbase: source,
    plugins: [mailsAsOursAre],
    logLevel: 'silent',
  })
  const bundles = Object.entries(metafile.outputs).filter(([file]) => file.endsWith('.mjs'))
  return bundles.map(([file, { bytes }]) => ({ name: basename(dirname(file)), file, bytes }))
}

if (import.meta.main) {
  for (const { name, bytes } of await bundleFunctions()) console.log(`${name}: ${Math.round(bytes / 1024)} KB`)
}
