/**
 * The buckets of the template, in an emulator inside this process that listens nowhere. With a folder, their objects
 * are kept there as files.
 */
import { existsSync, globSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { buildApp } from 'fauxqs'
import type { Deployed } from '../template/template.ts'

export interface BucketCall {
  readonly method: string
  /** path and query, as they were sent */
  readonly url: string
  readonly headers: Readonly<Record<string, string>>
  readonly body: Buffer
}

export interface BucketAnswer {
  readonly status: number
  readonly headers: Readonly<Record<string, string>>
  readonly body: Buffer
}

export interface Buckets {
  readonly call: (call: BucketCall) => Promise<BucketAnswer>
  readonly stop: () => Promise<void>
}

type Emulator = ReturnType<typeof buildApp>

export async function startBuckets(deployed: Deployed, folder: string | undefined): Promise<Buckets> {
  const app = buildApp({ logger: false, defaultRegion: deployed.region })
  await app.ready()
  for (const { id } of deployed.all('AWS::S3::Bucket')) {
    const bucket = deployed.url(id)
    await ask(app, { method: 'PUT', url: `/${bucket}`, headers: {}, body: Buffer.alloc(0) })
    if (folder !== undefined) await fill(app, bucket, join(folder, bucket))
  }
  return {
    call: async (call) => {
      const answer = await ask(app, call)
      const [, bucket = '', key = ''] = /^\/([^/?]+)\/([^?]+)$/.exec(call.url) ?? []
      if (folder !== undefined && call.method === 'PUT' && key !== '' && answer.status === 200)
        keep(join(folder, bucket, decodeURIComponent(key)), (await got(app, call.url)).body)
      return answer
    },
    stop: () => app.close(),
  }
}

async function ask(app: Emulator, { method, url, headers, body }: BucketCall): Promise<BucketAnswer> {
  const {
    statusCode,
    headers: told,
    rawPayload,
  } = await app.inject({
    method: method as 'GET',
    url,
    // the emulator reads the first part of a host's name as that of a bucket
    headers: { ...headers, host: '127.0.0.1' },
    ...(body.length === 0 ? {} : { payload: body }),
  })
  const given = Object.entries(told).map(([name, value]) => [name, String(value)] as const)
  return { status: statusCode, headers: Object.fromEntries(given), body: rawPayload }
}

const got = (app: Emulator, url: string) => ask(app, { method: 'GET', url, headers: {}, body: Buffer.alloc(0) })

function keep(file: string, body: Buffer): void {
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, body)
}

async function fill(app: Emulator, bucket: string, folder: string): Promise<void> {
  if (!existsSync(folder)) return
  for (const file of globSync('**/*', { cwd: folder })) {
    const path = join(folder, file)
    if (!statSync(path).isFile()) continue
    const url = `/${bucket}/${file.split('/').map(encodeURIComponent).join('/')}`
    await ask(app, { method: 'PUT', url, headers: {}, body: readFileSync(path) })
  }
}
