/** Bundles every functions/<name>/index.ts to dist/functions/<name>/index.mjs, as it is deployed. */
import { globSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

export interface Bundle {
  readonly name: string
  readonly file: string
  readonly bytes: number
}

// packages written for require() meet an ES module here, and would fail only once deployed
const requireForPackages = "import{createRequire}from'node:module';const require=createRequire(import.meta.url);"

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
    logLevel: 'silent',
  })
  return Object.entries(metafile.outputs).map(([file, { bytes }]) => ({ name: basename(dirname(file)), file, bytes }))
}

if (import.meta.main) {
  for (const { name, bytes } of await bundleFunctions()) console.log(`${name}: ${Math.round(bytes / 1024)} KB`)
}
