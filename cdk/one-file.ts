/** What a function loads before its first event, joined into one file, since each further file costs a start. */
import { readFileSync, writeFileSync } from 'node:fs'
import { basename, join, relative } from 'node:path'
import { build, type Metafile, type Plugin } from 'esbuild'

export const asModules = { format: 'esm', platform: 'node', target: 'node24' } as const

// packages written for require() meet an ES module here, and would fail only once deployed
const requireForPackages = "import{createRequire}from'node:module';const require=createRequire(import.meta.url);"

/**
 * All that is loaded before the first event becomes one file: each further file costs a start as much as two kilobytes.
 * What is loaded later finds there what it shares with it, by the old names of its parts.
 */
export async function inOneFile(folder: string, { outputs }: Metafile): Promise<void> {
  const first = relative('', join(folder, 'index.mjs'))
  const eager = loadedAtStart(outputs, first)
  const parts = [...eager].map((path, at) => ({ path, names: outputs[path]?.exports ?? [], at }))
  /** Two parts may export different things by one name. */
  const within = (name: string, at: number) => (parts[at]?.path === first ? name : `${name}_${at}`)
  const taken = parts.map(({ path, names, at }) => {
    const from = `'./${basename(path)}'`
    return `import ${from};export {${names.map((name) => `${name} as ${within(name, at)}`).join(',')}} from ${from}`
  })
  await build({
    stdin: { contents: taken.join('\n'), resolveDir: folder },
    outfile: first,
    allowOverwrite: true,
    bundle: true,
    minify: true,
    charset: 'utf8',
    ...asModules,
    banner: { js: requireForPackages },
    plugins: [onlyEager(eager)],
    logLevel: 'silent',
  })
  for (const { path, names, at } of parts.filter((one) => one.path !== first)) {
    const shared = names.map((name) => `${within(name, at)} as ${name}`)
    writeFileSync(path, `export {${shared.join(',')}} from './index.mjs'`)
  }
  for (const path of Object.keys(outputs).filter((one) => one.endsWith('.mjs') && !eager.has(one)))
    writeFileSync(path, requireForPackages + readFileSync(path, 'utf8'))
}

/** What is imported later, or is data, stays beside. */
const onlyEager = (eager: ReadonlySet<string>): Plugin => ({
  name: 'only what is loaded at the start',
  setup: ({ onResolve }) => {
    onResolve({ filter: /^\.\// }, ({ path, kind, resolveDir }) => {
      const isEager = kind === 'import-statement' && eager.has(relative('', join(resolveDir, path)))
      return isEager ? undefined : { path, external: true }
    })
  },
})

function loadedAtStart(outputs: Metafile['outputs'], first: string): ReadonlySet<string> {
  const files = new Set([first])
  // a set is walked on through what is added to it meanwhile
  for (const file of files) {
    for (const { path, kind } of outputs[file]?.imports ?? [])
      if (kind === 'import-statement' && path.endsWith('.mjs') && path in outputs) files.add(path)
  }
  return files
}
