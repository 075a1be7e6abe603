/** A person's sessions are ended, or they are set free to sign in by another account. */
import { notAllowed } from '../../ground/errors.ts'
import { entryFor } from '../../questions/registers.ts'
import { mayChange, registerAt } from '../registers/registers.ts'
import type { Act, Acting } from './act.ts'
import { donePage } from './parts.ts'

const pathOf = ({ params }: Acting) => `/registers/people/${encodeURIComponent(params.id ?? '')}`

/** The name of the person whom the address names: nobody types a reason for what would be refused. */
async function nameIn({ by, params }: Acting): Promise<string> {
  const id = params.id ?? ''
  const entry = await entryFor(by, { kind: 'person', id })
  if (!mayChange(by.caller, registerAt('people'), { ...entry, id, depotId: null }))
    throw notAllowed({ is: 'not allowed: such an entry' })
  return (entry.body as { readonly name: string }).name // the register decides the body's type
}

function actOf(path: 'free' | 'sign-out', words: Words): Act {
  return {
    route: { method: 'POST', path: `/v1/people/:id/sign-in/${path}` },
    isFact: true,
    form: async (acting) => {
      const { say } = acting.wording
      return {
        title: say(words.title, { name: await nameIn(acting) }),
        lead: say(words.follows),
        fields: [{ name: '/reason', kind: 'line', label: say('reason') }],
        send: say(words.send),
        back: { path: pathOf(acting), text: say('back without') },
      }
    },
    done: async (acting) => {
      const { say } = acting.wording
      const onward = { path: pathOf(acting), text: say('to their entry') }
      return donePage({ title: say(words.done), text: say(words.told), onward }, acting.wording)
    },
  }
}

type Words = typeof freeing | typeof signingOut
const freeing = {
  title: 'bind anew whom',
  follows: 'bind anew follows',
  send: 'bind anew',
  done: 'bound anew',
  told: 'bind anew told',
} as const
const signingOut = {
  title: 'sign out whom',
  follows: 'sign out follows',
  send: 'sign them out',
  done: 'they are signed out',
  told: 'sign out told',
} as const

export const setPersonFree = actOf('free', freeing)
export const signPersonOut = actOf('sign-out', signingOut)
