/**
 * A slip is put right in one of three ways: it is withdrawn, it belongs to another stick, or a value of it was typed
 * wrong. What was recorded stays to be read, struck.
 */
import { html } from 'hono/html'
import { handedIn, type RecordedFact } from '../../../shared-domain/facts.ts'
import { slipNames } from '../../../shared-domain/slip.ts'
import { idFrom } from '../../ground/derived-id.ts'
import { notFound } from '../../ground/errors.ts'
import { directoryFor } from '../../questions/directory.ts'
import { checkRole } from '../../questions/rights.ts'
import { historyFor } from '../../questions/sticks.ts'
import type { PageWording } from '../wording.ts'
import type { Act, Acting } from './act.ts'
import { valueFields } from './fact-fields.ts'
import type { Field, Form } from './form.ts'
import { backToStick, donePage, toStick } from './parts.ts'

type Say = PageWording['say']

/** The fact as it was recorded, for whoever may correct facts. */
async function factFor({ by, params }: Acting): Promise<RecordedFact> {
  checkRole(by.caller, 'correct a fact')
  const found = (await historyFor(by, params.id ?? '')).find(({ fact }) => fact.factId === params.factId)
  if (found === undefined) throw notFound({ is: 'none: fact', fact: params.factId ?? '' })
  return found.fact
}

const reasonField = (say: Say): Field => ({
  name: '/reason',
  kind: 'line',
  label: say('correct reason'),
  hint: say('correct reason hint'),
})

interface Way {
  readonly name: 'withdraw' | 'other stick' | 'replace'
  readonly fields: (acting: Acting, fact: RecordedFact) => Promise<readonly Field[]>
  /** what stands in the body besides what is asked for */
  readonly fixed: (fact: RecordedFact) => Readonly<Record<string, unknown>>
}

function correcting({ name, fields, fixed }: Way): Act {
  return {
    route: { method: 'POST', path: '/v1/corrections' },
    isFact: true,
    form: async (acting): Promise<Form> => {
      const { params, wording } = acting
      const { say } = wording
      const { id: stick = '' } = params
      const fact = await factFor(acting)
      const what = say('slip of', { what: slipNames[fact.kind], on: fact.occurredOn, stick })
      return {
        title: say(`correct, ${name}`, { stick }),
        lead: html`${what} ${say(`${name} follows`)} ${say('correct follows')}`,
        fields: [...(await fields(acting, fact)), reasonField(say)],
        fixed: { corrects: fact.factId, ...fixed(fact) },
        send: say('put right'),
        back: backToStick(stick, say),
      }
    },
    body: (body, factId) => withOwnId(body as Readonly<Record<string, unknown>>, factId),
    done: async ({ params, wording }, way) => {
      const { id: stick = '' } = params
      const { say } = wording
      const title = say(way === 'waits' ? 'correction waits' : 'corrected', { stick })
      const text = say(way === 'waits' ? 'correction waits told' : 'corrected told')
      return donePage({ title, text, onward: toStick(stick, say) }, wording)
    },
  }
}

/** What stands in the place of a slip is a fact of its own. */
function withOwnId(body: Readonly<Record<string, unknown>>, factId: string): object {
  const { replacement } = body
  if (typeof replacement !== 'object' || replacement === null) return body
  return { ...body, replacement: { ...replacement, factId: idFrom(factId, 'replacement') } }
}

export const withdraw = correcting({
  name: 'withdraw',
  fields: async () => [],
  fixed: () => ({ replacement: null }),
})

export const moveToOtherStick = correcting({
  name: 'other stick',
  fields: async ({ wording: { say } }) => [
    { name: '/stickId', kind: 'line', label: say('right stick'), hint: say('right stick hint') },
  ],
  fixed: () => ({ replacement: null }),
})

export const replace = correcting({
  name: 'replace',
  fields: async ({ by, wording }, fact) => valueFields(fact, { directory: await directoryFor(by), wording }),
  fixed: (fact) => ({ replacement: handedIn(fact) }),
})
