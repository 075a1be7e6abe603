/** Word of danger about a stick: anybody may bring it, of any stick. What is wrong is one tap, and where another. */
import { stickParts } from '../../../shared-domain/fact-bodies.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { dangers } from '../../../shared-domain/state/worst-hold.ts'
import { defectKinds } from '../../../shared-domain/words.ts'
import { beginsWith } from '../../questions/told-of.ts'
import type { PageWording } from '../wording.ts'
import { placeOn } from '../words.ts'
import type { Act } from './act.ts'
import type { Field, Option } from './form.ts'
import { backToStick, noteField, whenFields } from './parts.ts'
import { pictureOfDefect } from './pictures.ts'
import { onward, saidPage } from './said.ts'

/** Kinds that are felt or seen under voltage stand first. */
export const defectsByDanger = [...defectKinds].sort((a, b) => rankOf(a) - rankOf(b))
function rankOf(kind: string): number {
  const place = dangers.indexOf(kind)
  return place < 0 ? dangers.length : place
}

export const reportDanger: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/defects' },
  isFact: true,
  takesHourOfEntering: true,
  form: async ({ by, params, wording }) => {
    const { id: stick = '' } = params
    const { say, word } = wording
    const { day, entry } = await beginsWith(by, stick)
    return {
      act: 'report',
      title: say('report danger', { stick }),
      lead: say('report follows'),
      fields: [
        {
          name: '/kind',
          kind: 'pick',
          looks: 'tiles',
          label: say('what is wrong'),
          options: defectsByDanger.map(
            (kind): Option => [kind, word('defect', kind), undefined, pictureOfDefect(kind)],
          ),
        },
        placeField(entry, wording),
        noteField(say),
        { kind: 'group', folded: true, legend: say('another day'), fields: whenFields(day, say) },
      ],
      send: say('report it'),
      back: backToStick(stick, say),
    }
  },
  goTo: onward('report'),
  done: (acting, way) =>
    saidPage(acting, { way, title: acting.wording.say('reported', { stick: acting.params.id ?? '' }) }),
}

/** The length is not told to whoever may not see the stick. */
function placeField(entry: Stick | undefined, wording: PageWording): Field {
  const { say } = wording
  const parts = entry === undefined ? stickParts.map((part) => partOption(part, say)) : spansOf(entry, wording)
  return {
    name: '/place',
    kind: 'pick',
    looks: 'stick',
    isJson: true,
    label: say('where on it'),
    hint: say(entry === undefined ? 'where hint, parts' : 'where hint'),
    options: [['', say('no one place')], ...parts],
    value: '',
    optional: true,
  }
}

const partOption = (part: (typeof stickParts)[number], say: PageWording['say']): Option => [
  JSON.stringify({ part }),
  say(`short part ${part}`),
  say(`part ${part}`),
]

/** Parts as many as fit beside each other on a phone, each wide enough for a gloved finger. */
const partsOfStick = 6
const partsOfSection = 3

function spansOf({ workingLengthMetres, sections }: Stick, wording: PageWording): Option[] {
  if (sections === undefined) return cut(workingLengthMetres, partsOfStick).map((span) => spanOption(span, wording))
  return sections.flatMap(({ name: section, lengthMetres }) =>
    cut(lengthMetres, partsOfSection).map((span) => spanOption({ ...span, section }, wording)),
  )
}

interface Span {
  readonly fromMetres: number
  readonly toMetres: number
  readonly section?: string
}

/** In whole millimetres, as places are compared. */
function cut(lengthMetres: number, parts: number): Span[] {
  const at = (part: number) => Math.round((lengthMetres * 1000 * part) / parts) / 1000
  return Array.from({ length: parts }, (_, part) => ({ fromMetres: at(part), toMetres: at(part + 1) }))
}

function spanOption(span: Span, { say }: PageWording): Option {
  const { section, fromMetres, toMetres: to } = span
  const from = Math.round(fromMetres * 100) / 100
  const text = say('short span', { from, to: Math.round(to * 100) / 100 })
  return [
    JSON.stringify(span),
    section === undefined ? text : say('short span of section', { section, span: text }),
    placeOn(span, say),
  ]
}
