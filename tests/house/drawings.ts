/**
 * `npm run drawings`: writes drawings.md beside this file, as the code has it. With --check it fails where the page
 * says otherwise.
 */
import { existsSync, globSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join, normalize, sep } from 'node:path'
import ts from 'typescript'
import {
  accountKey,
  addressPointer,
  codePointer,
  feedPointer,
  journalMark,
  type Keys,
  keysOf,
  mailTaken,
  restoredMark,
  subjectPointer,
} from '../../functions/store/keys.ts'
import type { Key } from '../../functions/store/table.ts'
import { type Entity, entities, type IndexName, indexes } from '../../functions/store/table-shape.ts'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { noticeEvents, noticeLife, noticeStates, queuedIn } from '../../shared-domain/notices/life.ts'

const page = 'tests/house/drawings.md'

export interface Import {
  readonly from: string
  readonly to: string
}

const tops = ['shared-domain', 'functions', 'cdk', 'seed', 'tests'] as const

/** Every file of the house, and what each imports of the others: types too, and what is loaded later. */
export function importsOf(root: string): { readonly files: readonly string[]; readonly imports: readonly Import[] } {
  const files = tops
    .flatMap((top) => globSync(`${top}/**/*.ts`, { cwd: root }))
    .map((file) => file.split(sep).join('/'))
    .filter((file) => !file.includes('node_modules/'))
    .sort()
  const known = new Set(files)
  const imports = files.flatMap((from) => {
    const { importedFiles } = ts.preProcessFile(readFileSync(join(root, from), 'utf8'))
    return importedFiles
      .map(({ fileName }) =>
        normalize(join(dirname(from), fileName))
          .split(sep)
          .join('/'),
      )
      .filter((to) => known.has(to))
      .map((to) => ({ from, to }))
  })
  return { files, imports }
}

/** The first of these folders that the file lies in. */
const folderOf = (file: string, depth: number) => file.split('/').slice(0, -1).slice(0, depth).join('/')

interface Arrow {
  readonly from: string
  readonly to: string
  readonly by: readonly Import[]
}

/** Which folder imports which, and by which files. */
export function arrowsBetween(imports: readonly Import[], placeOf: (file: string) => string | undefined): Arrow[] {
  const placed = imports.flatMap((one) => {
    const [from, to] = [placeOf(one.from), placeOf(one.to)]
    return from === undefined || to === undefined || from === to ? [] : [{ from, to, one }]
  })
  return [...Map.groupBy(placed, ({ from, to }) => `${from} → ${to}`).values()]
    .map((group) => ({ from: group[0]?.from ?? '', to: group[0]?.to ?? '', by: group.map(({ one }) => one) }))
    .sort((a, b) => (`${a.from} ${a.to}` < `${b.from} ${b.to}` ? -1 : 1))
}

/** Without those that follow from two others. */
function withoutDetours(arrows: readonly Arrow[]): Arrow[] {
  const leadsTo = (from: string, to: string, passed: readonly string[]): boolean =>
    arrows.some(
      (one) =>
        one.from === from && !passed.includes(one.to) && (one.to === to || leadsTo(one.to, to, [...passed, one.to])),
    )
  return arrows.filter(
    ({ from, to }) =>
      !arrows.some((first) => first.from === from && first.to !== to && leadsTo(first.to, to, [from, first.to])),
  )
}

/** The domain's folders from the ground up: each may import what stands before it. */
export const domainFloors = [
  'catalogue',
  'recall',
  'policy',
  'bench-test',
  'state',
  'fleet',
  'slips',
  'loosening',
  'notices',
  'device',
  'bench-entry',
  'proof',
  'import',
  'plan',
] as const
const domainFloor = (file: string) => domainFloors.find((floor) => file.startsWith(`shared-domain/${floor}/`))

export function arrowsOfDomain(imports: readonly Import[]): { readonly down: Arrow[]; readonly up: Arrow[] } {
  const height = (floor: string) => (domainFloors as readonly string[]).indexOf(floor)
  const all = arrowsBetween(imports, domainFloor)
  const isUp = ({ from, to }: Arrow) => height(to) > height(from)
  return { down: all.filter((one) => !isUp(one)), up: all.filter(isUp) }
}

/** Of mermaid's own words some are no names of nodes, so each has a letter before it. */
const node = (name: string) => `n_${name.replaceAll(/\W/g, '_')}`
const box = (name: string) => `  ${node(name)}["${name}"]`
const arrow = ({ from, to, by }: Arrow, line = '-->') => {
  const told = new Set(by.map((one) => one.to))
  const alone = told.size === 1 ? `|"${[...told][0]?.split('/').at(-1)} alone"|` : ''
  return `  ${node(from)} ${line}${alone} ${node(to)}`
}
const drawn = (...lines: readonly string[]) => ['```mermaid', ...lines, '```'].join('\n')
const table = (head: readonly string[], rows: readonly (readonly string[])[]) =>
  [head, head.map(() => '---'), ...rows].map((cells) => `| ${cells.join(' | ')} |`).join('\n')

function house(imports: readonly Import[]): string {
  const arrows = arrowsBetween(imports, (file) => folderOf(file, 1))
  return `## The house

Which top folder imports which. \`cdk/\` names the files of the functions by their paths, and imports of them only what
is data.

${drawn('flowchart TD', ...tops.map(box), ...arrows.map((one) => arrow(one)))}`
}

const rooms = ['ground', 'store', 'web', 'questions', 'recording', 'telling', 'anew', 'requests'] as const
const functionFolder = (file: string) => /^functions\/([^/]+)\//.exec(file)?.[1]

function functionRooms({ files, imports }: ReturnType<typeof importsOf>): string {
  const arrows = arrowsBetween(imports, functionFolder)
  const among = arrows.filter(({ from }) => (rooms as readonly string[]).includes(from))
  const doors = [...new Set(files.flatMap((file) => functionFolder(file) ?? []))].filter(
    (folder) => !(rooms as readonly string[]).includes(folder),
  )
  const uses = (door: string, room: string) => (arrows.some(({ from, to }) => from === door && to === room) ? '●' : '')
  return `## The rooms of \`functions/\`

What the doors share, and what stands on what. An arrow that follows from two others is left out; all rooms import
\`shared-domain/\`.

${drawn('flowchart TD', ...rooms.map(box), ...withoutDetours(among).map((one) => arrow(one)))}

Which door imports which room:

${table(
  ['door', ...rooms],
  doors.map((door) => [`\`${door}\``, ...rooms.map((room) => uses(door, room))]),
)}`
}

function domain(imports: readonly Import[]): string {
  const { down, up } = arrowsOfDomain(imports)
  const files = up.flatMap(({ by }) => by.map(({ from, to }) => `- \`${from}\` imports \`${to}\``))
  return `## The folders of \`shared-domain/\`

Each stands on those below it. The files beside the folders are left out: some are words that all folders share, some
put the folders together, such as \`shared-domain/decide.ts\` and \`shared-domain/correcting.ts\`. A broken line runs
up.

${drawn(
  'flowchart TD',
  ...domainFloors.toReversed().map(box),
  ...withoutDetours(down).map((one) => arrow({ ...one, by: [] })),
  ...up.map((one) => arrow({ ...one, by: [] }, '-.->')),
)}

${up.length === 0 ? 'No arrow runs up.' : `What runs up, by file:\n\n${files.join('\n')}`}`
}

/** The key of each kind of item, made by the keys themselves. */
export function keysDrawn(): { readonly [entity in Entity]: Key } {
  const keys: Keys = keysOf('{organisation}')
  const day = '{day}' as CalendarDate
  return {
    stick: keys.state('{stick}'),
    fact: keys.fact('{stick}', 1),
    guard: keys.guard('{factId}'),
    likeness: keys.likeness('{stick}', '{hash}'),
    told: keys.told('{stick}', day, '{round}'),
    // the kinds of registers are names like any other here
    register: keys.registerHead('{register}' as 'depot', '{id}'),
    edition: { pk: keys.editions('{register}' as 'depot', '{id}'), sk: '{edition}' },
    'depot pointer': keys.depotPointer('{depot}'),
    notice: keys.notice('{number}'),
    owners: keys.owners(),
    'still owed': keys.stillOwed('{factId}', 1),
    'told in person': keys.toldInPerson('{number}', 1),
    feedback: keys.feedback('{number}', '{event}'),
    'mail taken': mailTaken,
    'journal mark': journalMark,
    restored: restoredMark,
    'marked address': keys.mark('{address}'),
    mark: keys.markHistory('{address}', '{instant}', 'MARKED#{number}'),
    'mark cleared': keys.markHistory('{address}', '{instant}', 'CLEARED'),
    feed: keys.feed('{crew}', '{feed}'),
    'feed pointer': feedPointer('{secret hash}'),
    'paper code': keys.paperCode('{stick}', '{test or label}'),
    'paper code pointer': codePointer('{code hash}'),
    'unplaced report': keys.unplacedReport('{factId}'),
    proposal: keys.proposal('{proposal}'),
    reindexed: keys.reindexed('{depot}'),
    'crew followed': keys.crewFollowed('{crew}'),
    'edition correction': keys.editionCorrection('{factId}'),
    'recalls binding': keys.recallsBinding(),
    recall: keys.recall('{factId}'),
    reminder: keys.reminder('{factId}'),
    'newest reminders': keys.newestReminders(),
    subject: subjectPointer('{subject hash}'),
    'sign-in': keys.signIn('{person}'),
    address: addressPointer('{address hash}'),
    'sign-in act': keys.signInAct('{person}', '{factId}'),
    'accounts owed': keys.accountsOwed('{person}'),
    account: accountKey('{address hash}'),
    tree: keys.treePointer(),
    'tree head': keys.treeHead(),
    'tree leaf': keys.treeLeaf(1),
    'day head': keys.dayHead(day),
    import: keys.import('{import}'),
    'import mapping': keys.importMapping('{kind}'),
    plan: keys.plan('{plan}'),
    'depot plan': keys.depotPlan('{depot}', 'NEWEST'),
    'plan settings': { pk: keys.planSettings('{depot}'), sk: '{number}' },
    refilled: keys.refilled(),
  }
}

/** Which kinds of items lie in each index. A test holds this and the keys against what the API wrote. */
export const kindsIn: { readonly [index in IndexName]: readonly Entity[] } = {
  'by-depot-next-tell': ['stick'],
  'by-depot-standing': ['stick'],
  'by-crew-standing': ['stick'],
  'by-depot-return': ['stick'],
  'by-instrument': ['fact'],
  'by-lot': ['stick'],
  'notices-by-queue': [
    'fact',
    'notice',
    'still owed',
    'edition correction',
    'recall',
    'accounts owed',
    'import',
    'plan',
  ],
  'notices-by-stick': ['notice', 'told'],
  'notices-by-crew': ['notice', 'told'],
  'notices-by-mailbox': ['notice'],
}

function tableOfItems(): string {
  const keys = keysDrawn()
  const names = Object.keys(indexes) as IndexName[]
  const inIndexes = entities.filter((entity) => names.some((name) => kindsIn[name].includes(entity)))
  const label = (name: IndexName) => {
    const { partition, sort, projection } = indexes[name]
    return (
      `  ${node(name)}(["${name}<br/>${partition}, ` +
      `${sort}<br/>${projection === 'ALL' ? 'whole items' : 'keys only'}"])`
    )
  }
  return `## The table

One table for all organisations; each kind of item, and its key:

${table(
  ['item', 'partition key', 'sort key'],
  entities.map((entity) => [entity, `\`${keys[entity].pk}\``, `\`${keys[entity].sk}\``]),
)}

Its indexes, with the attributes that are their keys, and the items that lie in each:

${drawn(
  'flowchart LR',
  ...inIndexes.map((entity) => `  ${node(entity)}["${entity}"]`),
  ...names.map(label),
  ...names.flatMap((name) => kindsIn[name].map((entity) => `  ${node(entity)} --> ${node(name)}`)),
)}`
}

function noticesLife(): string {
  const at = (state: (typeof noticeStates)[number]) => `s${noticeStates.indexOf(state)}`
  const queuesOf = (state: (typeof noticeStates)[number]) => {
    // only where, not when
    const asked = (['hold', 'digest'] as const).map((kind) => queuedIn(state, { kind, owedAt: '' as never }))
    const waits = [...new Set(asked.flatMap((one) => one?.queue ?? []))]
    return waits.length === 0 ? '' : `<br/>waits in ${waits.join(' or ')}`
  }
  const steps = noticeStates.flatMap((from) =>
    noticeEvents.flatMap((event) => {
      const to = noticeLife[from][event]
      return to === null ? [] : [{ from, to, event }]
    }),
  )
  const lines = [...Map.groupBy(steps, ({ from, to }) => `  ${at(from)} --> ${at(to)}`)].map(
    ([line, all]) => `${line}: ${all.map(({ event }) => event).join(' / ')}`,
  )
  return `## The life of a notice

Its states, where it waits in each (urgent kinds in a queue of their own), and what leads from one to the next. No other
event changes anything (\`shared-domain/notices/life.ts\`).

${drawn(
  'stateDiagram-v2',
  ...noticeStates.map((state) => `  state "${state}${queuesOf(state)}" as ${at(state)}`),
  `  [*] --> ${at('owed')}`,
  ...lines,
)}`
}

interface Step {
  readonly who: string
  readonly toWhom: string
  readonly does: string
  /** where that is written */
  readonly file: string
  /** a name in that file by which it is found */
  readonly name: string
}

/** A failing test becomes a mail. */
export const oneReading: readonly Step[] = [
  {
    who: 'bench',
    toWhom: 'API',
    does: 'POST a bench test',
    file: 'functions/requests/bench-tests.ts',
    name: 'benchTestRoutes',
  },
  {
    who: 'API',
    toWhom: 'API',
    does: 'who asks, and is every field in bounds',
    file: 'functions/requests/perform.ts',
    name: 'checkRole',
  },
  { who: 'API', toWhom: 'recording', does: 'record the fact', file: 'functions/recording/record.ts', name: 'record' },
  {
    who: 'recording',
    toWhom: 'table',
    does: 'read the editions of the day',
    file: 'functions/recording/judging.ts',
    name: 'judged',
  },
  {
    who: 'recording',
    toWhom: 'domain',
    does: 'judge the readings: fail, with each reason',
    file: 'shared-domain/bench-test/judge.ts',
    name: 'judge',
  },
  {
    who: 'recording',
    toWhom: 'domain',
    does: 'what follows, asked again until nothing is missing',
    file: 'functions/recording/decided.ts',
    name: 'untilDecided',
  },
  {
    who: 'domain',
    toWhom: 'domain',
    does: 'fold the fact: the stick is on hold',
    file: 'shared-domain/state/fold.ts',
    name: 'append',
  },
  {
    who: 'domain',
    toWhom: 'recording',
    does: 'who is owed word of it',
    file: 'shared-domain/notices/owed.ts',
    name: 'owedAtOnce',
  },
  {
    who: 'recording',
    toWhom: 'table',
    does: 'fact, state and notices in one transaction',
    file: 'functions/store/sticks.ts',
    name: 'openSticks',
  },
  {
    who: 'table',
    toWhom: 'hand-on',
    does: 'the stream tells of new notices',
    file: 'functions/hand-on/hand-on.ts',
    name: 'handOn',
  },
  {
    who: 'hand-on',
    toWhom: 'mailer',
    does: 'their keys, through the urgent queue',
    file: 'functions/deliver-notices/from-queue.ts',
    name: 'deliverFromQueue',
  },
  {
    who: 'mailer',
    toWhom: 'table',
    does: 'claim each notice under a lease',
    file: 'functions/store/notice-life.ts',
    name: 'openNotices',
  },
  {
    who: 'mailer',
    toWhom: 'mailer',
    does: 'write the mail in the language of its reader',
    file: 'functions/deliver-notices/message.ts',
    name: 'messageOf',
  },
  {
    who: 'mailer',
    toWhom: 'crew',
    does: 'the mail, then the mark that it was sent',
    file: 'functions/deliver-notices/mail.ts',
    name: 'sesMailer',
  },
  {
    who: 'crew',
    toWhom: 'table',
    does: 'confirm by the button behind the link',
    file: 'functions/answers/answers.ts',
    name: 'confirm',
  },
  {
    who: 'follow-up',
    toWhom: 'mailer',
    does: 'where nobody confirms: the next person up',
    file: 'functions/follow-up/follow-up.ts',
    name: 'followUp',
  },
]

/** What the way names and the code has not. */
export function lostOf(root: string): string[] {
  return oneReading.flatMap(({ file, name }) => {
    if (!existsSync(join(root, file))) return [`${page}: there is no ${file}`]
    const isThere = new RegExp(`\\b${name}\\b`).test(readFileSync(join(root, file), 'utf8'))
    return isThere ? [] : [`${page}: ${file} has no ${name}`]
  })
}

function wayOfOneReading(): string {
  const people = [...new Set(oneReading.flatMap(({ who, toWhom }) => [who, toWhom]))]
  return `## The way of one reading

A reading over its limit becomes a mail to the crew.

${drawn(
  'sequenceDiagram',
  '  autonumber',
  ...people.map((one) => `  participant ${node(one)} as ${one}`),
  ...oneReading.map(({ who, toWhom, does }) => `  ${node(who)}->>${node(toWhom)}: ${does}`),
)}

${oneReading.map(({ does, file, name }, at) => `${at + 1}. ${does}: \`${name}\` in \`${file}\``).join('\n')}`
}

export function drawings(read: ReturnType<typeof importsOf>): string {
  const head =
    '# Drawings\n\nMade from the code by `npm run drawings`; `npm run check` fails where they say otherwise. Do not ' +
    'edit them by hand.'
  const { imports } = read
  const parts = [house(imports), functionRooms(read), domain(imports), tableOfItems(), noticesLife(), wayOfOneReading()]
  return `${[head, ...parts].join('\n\n')}\n`
}

if (import.meta.main) {
  const read = importsOf('.')
  const text = drawings(read)
  const lost = lostOf('.')
  const isCheck = process.argv.includes('--check')
  if (!isCheck) writeFileSync(page, text)
  const isStale = !existsSync(page) || readFileSync(page, 'utf8') !== text
  if (isStale) console.error(`${page} is not what the code says: npm run drawings writes it`)
  for (const one of lost) console.error(one)
  console.log(`${read.files.length} files`)
  process.exitCode = isStale || lost.length > 0 || read.files.length === 0 ? 1 : 0
}
