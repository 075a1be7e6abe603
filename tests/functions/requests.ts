/** Reads tests/requests.http, and sends its requests to the API on a table in memory. */
import { readFileSync } from 'node:fs'
import { furnish, type House, type Reply, type Who } from './house.ts'

export interface Asked {
  readonly title: string
  readonly method: string
  readonly path: string
  readonly who: Who
  readonly body: string | undefined
}

const [head = '', ...parts] = readFileSync('tests/requests.http', 'utf8').split(/^### /m)

export const tokensNamed = [...head.matchAll(/^@(\S+) =/gm)].map(([, name]) => name)

const form = new RegExp(
  [
    '^(?<title>.+)',
    '(?<method>GET|PUT|POST) \\{\\{api\\}\\}(?<path>/v1/\\S+)',
    'Authorization: Bearer \\{\\{(?<who>.+)\\}\\}',
    '(Content-Type: application/json\n\n(?<body>[\\s\\S]+))?\\s*$',
  ].join('\n'),
)

export const requests: readonly Asked[] = parts.map((part) => {
  const read = form.exec(part)?.groups
  if (read === undefined) throw new Error(`tests/requests.http: this is no request: ${part}`)
  const { title = '', method = '', path = '', who = '', body } = read
  return { title, method, path, who: who as Who, body } // a name that nobody has is answered 401
})

export async function sendAll(house: House): Promise<ReadonlyMap<Asked, Reply>> {
  await furnish(house)
  const replies = new Map<Asked, Reply>()
  for (const one of requests) {
    // by then the indexes show what was written before
    house.at(house.clock())
    replies.set(one, await house.send(one.method, one.path, one.body, one.who))
  }
  return replies
}
