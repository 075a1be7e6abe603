/** A crew with many sticks on the local stack, some on hold, and what its page takes on its way to a phone. */
import { randomUUID } from 'node:crypto'
import { get } from 'node:http'
import { put } from '../journeys/furnish.ts'
import type { LocalStack } from '../local-stack.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { theStack } from './stack.ts'

/** More than a truck carries. */
const sticks = 60

let laid: Promise<LocalStack> | undefined

/** Once for all figures. */
export function stackWithCrew(): Promise<LocalStack> {
  laid ??= lay()
  return laid
}

async function lay(): Promise<LocalStack> {
  const stack = await theStack()
  for (let i = 0; i < sticks; i++) {
    const path = `/v1/sticks/T-${100 + i}`
    await put(stack, path, { ...aStick, crewId: 'CR-1' })
    await posted(stack, `${path}/bench-tests`, aTest({ testedOn: day('2026-02-10') }))
    const tingle = { factId: randomUUID(), occurredOn: '2026-03-01', kind: 'tingle' }
    if (i % 6 === 0) await posted(stack, `${path}/defects`, tingle)
  }
  await stack.settle()
  return stack
}

async function posted(stack: LocalStack, path: string, body: object): Promise<void> {
  const { status, text } = await stack.call('POST', path, body)
  if (status !== 201) throw new Error(`${path}: ${status} ${text}`)
}

/** The page of the crew with the script that it asks for, each as it is sent to whoever takes it compressed. */
export async function bytesOfCrewPage(): Promise<{ readonly page: number; readonly script: number }> {
  const stack = await stackWithCrew()
  const { cookies } = await stack.signedIn('crew')
  const cookie = [...cookies].map(([name, value]) => `${name}=${value}`).join('; ')
  const page = await sent(`${stack.pages}/crew`, { cookie, 'accept-encoding': 'gzip' })
  const plain = await sent(`${stack.pages}/crew`, { cookie })
  const [, path] = /<script[^>]* src="([^"]+)"/.exec(plain.toString('utf8')) ?? []
  if (path === undefined) throw new Error('the page asks for no script')
  const script = await sent(stack.pages + path, { 'accept-encoding': 'gzip' })
  return { page: page.length, script: script.length }
}

function sent(url: string, headers: Record<string, string>): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    get(url, { headers }, (answer) => {
      const parts: Buffer[] = []
      answer.on('data', (part: Buffer) => parts.push(part))
      answer.on('end', () =>
        answer.statusCode === 200 ? resolve(Buffer.concat(parts)) : reject(new Error(`${url}: ${answer.statusCode}`)),
      )
      answer.on('error', reject)
    }).on('error', reject)
  })
}
