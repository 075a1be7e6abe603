/**
 * What a notice says, as blocks: to whom, what to do, each stick with why, the errand, the number, the safety words.
 */

import { isOfCrew } from '../../shared-domain/notices/confirmations.ts'
import type {
  InvitationTold,
  LateLoan,
  NoticeKind,
  ProposalTold,
  StickLine,
} from '../../shared-domain/notices/notice.ts'
import { isDated, mayBeUsed } from '../../shared-domain/state/use.ts'
import { worstHoldFirst } from '../../shared-domain/state/worst-hold.ts'
import { effectIn, wayIn } from '../../shared-domain/wording.ts'
import type { Notice } from '../store/notices.ts'
import { confirmationPath } from '../web/confirmation-link.ts'
import { asPage, asText, type Block, bytesOf, type Row } from './layout.ts'
import type { MailWording } from './wording.ts'

export interface Message {
  readonly subject: string
  readonly text: string
  readonly html: string
}

/** A long digest is cut so that no mail client clips it (trials put the clip at about 100 KB); the page shows all. */
const mostSticksShown = 90
const mostLinesShown = 300
const mostBytes = 100_000
const bytesOfThePage = 3000
const mostHoldsShown = 12
const mostHoldsInALine = 3
const mostPeopleShown = 60
const mostWaysShown = 30

/** Where the links of a mail lead; `answersUrl` is that of the link to confirm it, where that is asked for. */
export interface Links {
  readonly pagesUrl: string
  readonly answersUrl: string
}

export function messageOf(notice: Notice, wording: MailWording, links: Links): Message {
  const blocks = blocksOf(notice, links, wording)
  const subject = `${subjectOf(notice, wording)} [${notice.number}]`
  return { subject, text: asText(blocks), html: asPage(subject, blocks, wording.language) }
}

function subjectOf(notice: Notice, { say }: MailWording): string {
  const { kind, lines, report, proposal, calibration, reminder, invitation, fingerprint, cause, more = 0 } = notice
  const { missed: one, recall } = notice
  if (report?.unknownNumber !== undefined) return say('subject report, unknown number', { stick: report.unknownNumber })
  if (proposal !== undefined) return say(`subject proposal, ${proposal.state}`, { what: ofWhat(proposal, say) })
  if (calibration !== undefined)
    return say(`subject calibration${whenOut(calibration)}`, calibrationValues(calibration))
  if (kind === 'not delivered' && one !== undefined && lines.length === 0)
    return say(`subject not delivered, ${invitation === undefined ? 'no stick' : 'invitation'}`, { name: one.name })
  if (invitation !== undefined) return say(`subject invitation, ${invitation.why}`, invitation)
  if (fingerprint !== undefined) return say('subject fingerprint', fingerprint)
  if (recall !== undefined) return say(`subject recall, ${recall.by}`, { sticks: lines.length + more, ...recall })
  if (reminder !== undefined) return say('subject reminder', { by: reminder.by, subject: remindedSubject(lines, say) })
  const sticks = lines.length + more
  if (cause !== undefined && (kind === 'hold' || kind === 'return')) {
    if (sticks > 1) return say(`subject ${kind} since ${cause}`, { sticks })
    if (cause === 'rules') return say(`subject ${kind} since rules, one`, { stick: lines[0]?.stickId ?? '' })
  }
  if (kind === 'unanswered' && sticks > 1) return say('subject unanswered, several', { sticks })
  if (kind === 'hold' && lines[0]?.status === 'awaiting first test')
    return say('subject hold, untested', { stick: lines[0].stickId })
  if (namesItself(kind)) throw new Error(`a notice of a ${kind} names none`)
  return kind === 'digest' ? digestSubject(lines, say) : say(`subject ${kind}`, { stick: lines[0]?.stickId ?? '' })
}

type NamesItself = 'proposal' | 'calibration' | 'reminder' | 'recall' | 'invitation' | 'fingerprint'

/** Kinds whose notices say what they are about in a part of their own. */
function namesItself(kind: NoticeKind): kind is NamesItself {
  return ['proposal', 'calibration', 'reminder', 'recall', 'invitation', 'fingerprint'].includes(kind)
}

/** Notices that tell of each stick in one line. */
const isList = ({ kind }: Pick<Notice, 'kind'>) => isMorning(kind) || kind === 'recall'

/** Lists of what comes due. */
const isMorning = (kind: NoticeKind) => kind === 'digest' || kind === 'reminder'

function remindedSubject(lines: readonly StickLine[], say: MailWording['say']): string {
  const dated = lines.filter(({ status }) => isDated(status))
  const held = lines.length - dated.length
  if (dated.length === 0) return say('subject held', { held })
  const subject = datedSubject(dated, say)
  return held === 0 ? subject : say('subject and held', { subject, held })
}

const whenOut = ({ daysLeft }: NonNullable<Notice['calibration']>) => (daysLeft < 0 ? ', out' : '')
const calibrationValues = ({ instrumentId: id, through: on }: NonNullable<Notice['calibration']>) => ({ id, on })

function digestSubject(lines: readonly StickLine[], say: MailWording['say']): string {
  const labels = lines.filter(hasLateLabel).length
  const others = lines.filter((line) => !line.onlyLabel || line.status === 'overdue')
  if (others.length === 0) return say('subject labels', { labels })
  const subject = othersSubject(others, say)
  return labels === 0 ? subject : say('subject and labels', { subject, labels })
}

/** Of what must not be used whatever its date, its hold is what counts. */
const hasLateLabel = ({ wrongLabel, status }: StickLine) => wrongLabel !== undefined && isDated(status)

function othersSubject(lines: readonly StickLine[], say: MailWording['say']): string {
  const lent = lines.filter((line) => line.loan !== undefined).length
  const dated = lines.filter((line) => !line.onlyLoan || line.status === 'overdue')
  if (dated.length === 0) return say('subject lent', { lent })
  const subject = datedSubject(dated, say)
  return lent === 0 ? subject : say('subject and lent', { subject, lent })
}

function datedSubject(lines: readonly StickLine[], say: MailWording['say']): string {
  const looks = lines.filter(isToBeLookedOver)
  if (looks.length === 0) return testsSubject(lines, say)
  if (looks.length === lines.length) return looksSubject(looks, say)
  const subject = testsSubject(
    lines.filter((line) => !isToBeLookedOver(line)),
    say,
  )
  return say('subject and looks', { subject, looks: looks.length })
}

/** Wherever it lies: no test has run out. */
const isToBeLookedOver = ({ duty }: StickLine) => duty === 'look'

function looksSubject(lines: readonly StickLine[], say: MailWording['say']): string {
  const late = lines.filter((line) => line.status === 'overdue').length
  const looks = lines.length
  return late > 0 ? say('subject not looked over', { late }) : say('subject look', { looks })
}

function testsSubject(lines: readonly StickLine[], say: MailWording['say']): string {
  const overdue = lines.filter((line) => line.status === 'overdue').length
  const soon = lines.length - overdue
  if (overdue === 0) return say('subject due', { soon })
  return soon === 0 ? say('subject overdue', { overdue }) : say('subject overdue and due', { overdue, soon })
}

function blocksOf(notice: Notice, { pagesUrl, answersUrl }: Links, wording: MailWording): Block[] {
  const { say } = wording
  const { lines, to, number, day, more: without = 0 } = notice
  const roster = `${pagesUrl}/roster`
  const before: Block[] = [
    { kind: 'paragraph', text: say('greeting', { name: to.name }) },
    ...whatToDo(notice, wording).map((text): Block => ({ kind: 'paragraph', text, strong: true })),
    ...asked(notice, wording),
    ...invited(notice, pagesUrl, wording),
    ...fingerprinted(notice, wording),
    ...recalled(notice, pagesUrl, wording),
    ...since(notice, wording),
    ...reported(notice, wording),
    ...putRight(notice, wording),
    ...proposed(notice, pagesUrl, wording),
    ...usedOn(notice, wording),
    ...passedOn(notice, wording),
    ...silent(notice, wording),
    ...missed(notice, wording),
    ...totals(notice, wording),
    ...toConfirm(notice, answersUrl, wording),
  ]
  const after: Block[] = [
    ...rules(notice, wording),
    ...errand(notice, wording),
    ...(notice.kind === 'invitation' ? [] : [{ kind: 'link' as const, text: say('roster'), href: roster }]),
    { kind: 'small', text: say('number', { number, day }) },
    { kind: 'small', text: say('safety') },
  ]
  const room = mostBytes - bytesOfThePage - bytesOf([...before, ...after])
  const stick = (line: StickLine): Block => {
    const { stickId } = line
    const href = `${pagesUrl}/sticks/${encodeURIComponent(stickId)}`
    if (isList(notice)) return { kind: 'line', noun: say('stick'), stickId, href, text: inOneLine(line, wording) }
    return { kind: 'stick', noun: say('stick'), stickId, href, rows: stickRows(notice, line, wording) }
  }
  const ordered = lines.toSorted((a, b) => Number(a.liesAt === 'bench') - Number(b.liesAt === 'bench'))
  const shown = within(room, ordered.slice(0, isList(notice) ? mostLinesShown : mostSticksShown).map(stick))
  const more = lines.length - shown.length + without
  const others: Block[] = more === 0 ? [] : [{ kind: 'link', text: say('more sticks', { more }), href: roster }]
  return [...before, ...shown, ...others, ...after]
}

function within(room: number, blocks: readonly Block[]): readonly Block[] {
  let bytes = 0
  const over = blocks.findIndex((block, i) => {
    bytes += bytesOf([block]) + 1
    return i > 0 && bytes > room
  })
  return over < 0 ? blocks : blocks.slice(0, over)
}

function whatToDo(notice: Notice, { say }: MailWording): string[] {
  const { kind, lines, cameBackBy = 'other', report, proposal, calibration, invitation, fingerprint } = notice
  if (proposal !== undefined) {
    const { state, by, decidedBy = '' } = proposal
    return [say(`do proposal, ${state}`, { what: ofWhat(proposal, say), by, decidedBy })]
  }
  if (calibration !== undefined) return [say(`do calibration${whenOut(calibration)}`, calibrationValues(calibration))]
  if (invitation !== undefined) {
    if (kind === 'not delivered') return [say('do not delivered, invitation')]
    return [say(`do invitation, ${invitation.why}`, invitation)]
  }
  if (fingerprint !== undefined) return [say('do fingerprint', fingerprint)]
  if (kind === 'reminder') return reminderToDo(lines, say)
  if (kind === 'recall') return [recallToDo(notice, say)]
  if (namesItself(kind)) return []
  const [first] = lines
  // a reader with no stick in hand is told what to see to
  const ofCrew = isOfCrew(notice.to)
  if (kind === 'report') return [say(`do report${whatOfReport(report, first)}`)]
  if (kind === 'digest') return digestToDo(lines, { ofCrew, isAll: true }, say)
  if (kind === 'hold' && lines.length > 1 && !ofCrew) return [say('do hold, several, of crews')]
  if ((kind === 'hold' || kind === 'return' || kind === 'unanswered') && lines.length > 1)
    return [say(`do ${kind}, several`)]
  if (kind === 'return') return [say(`do return by ${cameBackBy}`)]
  if (kind === 'hold' && first !== undefined && isMissing(first)) return [say('do hold, missing')]
  if (kind === 'hold' && first?.liesAt === 'bench') return [say('do hold, at the bench')]
  if (kind === 'hold' && first?.liesAt === 'store') return [say('do hold, in store')]
  if (kind === 'removal' && first?.liesAt === 'bench') return [say('do removal, at the bench')]
  if (kind === 'used while unfit' && first !== undefined && mayBeUsed(first.status))
    return [say('do used while unfit, fit since')]
  if (kind === 'used while unfit' && first?.liesAt === 'bench') return [say('do used while unfit, at the bench')]
  if ((kind === 'hold' || kind === 'removal' || kind === 'used while unfit') && !ofCrew)
    return [say(`do ${kind}, of a crew`)]
  if (kind === 'not delivered' && first !== undefined && lines.every(({ status }) => !mayBeUsed(status)))
    return [say(`do not delivered, stop${lines.length === 1 ? '' : ', several'}`)]
  if (kind === 'date brought forward' && first?.status === 'overdue') return [say('do date brought forward, past')]
  return [say(`do ${kind}`)]
}

function recallToDo({ to, lines, more = 0 }: Notice, say: MailWording['say']): string {
  return say(`do recall${isOfCrew(to) ? '' : ', of crews'}${lines.length + more === 1 ? ', one' : ''}`)
}

function since({ cause, lines }: Notice, { say }: MailWording): Block[] {
  if (cause === undefined) return []
  return [{ kind: 'paragraph', text: say(lines.length === 1 ? `since ${cause}, one` : `since ${cause}`) }]
}

/** `isAll`: nothing else is told of beside these lines. */
function digestToDo(
  lines: readonly StickLine[],
  { ofCrew, isAll }: { readonly ofCrew: boolean; readonly isAll: boolean },
  say: MailWording['say'],
): string[] {
  const dated = lines.filter((line) => !(line.onlyLoan || line.onlyLabel) || line.status === 'overdue')
  const tests = dated.filter((line) => !isToBeLookedOver(line))
  return [
    ...(tests.length === 0 ? [] : [testsToDo(tests, { isAll: isAll && tests.length === lines.length, ofCrew }, say)]),
    ...(tests.length === dated.length ? [] : [say(tests.length === 0 ? 'do look' : 'do look too')]),
    ...(lines.some((line) => line.loan !== undefined) ? [say('do digest, lent')] : []),
    ...(lines.some(hasLateLabel) ? [say('do digest, label')] : []),
  ]
}

/** `isAll`: nothing else is listed, for another reason than its test. */
function testsToDo(
  tests: readonly StickLine[],
  { isAll, ofCrew }: { readonly isAll: boolean; readonly ofCrew: boolean },
  say: MailWording['say'],
): string {
  const whose = ofCrew ? '' : ', of crews'
  const many = tests.length === 1 ? ', one' : ''
  const overdue = tests.filter(({ status }) => status === 'overdue').length
  if (overdue === 0) return say(`do digest${whose}${many}`)
  if (overdue === tests.length && isAll) return say(`do digest, all overdue${whose}${many}`)
  return say(`do digest, some overdue${whose}`)
}

function reminderToDo(lines: readonly StickLine[], say: MailWording['say']): string[] {
  const dated = lines.filter(({ status }) => isDated(status))
  const held = dated.length < lines.length ? [say('do reminder, held')] : []
  return [...digestToDo(dated, { ofCrew: true, isAll: held.length === 0 }, say), ...held]
}

function asked({ reminder }: Notice, { say }: MailWording): Block[] {
  if (reminder === undefined) return []
  const { by, on, at, note } = reminder
  return [
    { kind: 'paragraph', text: say('reminder asked', { by, on, at }) },
    ...(note === undefined ? [] : [{ kind: 'paragraph' as const, text: say('reminder note', { by, note }) }]),
  ]
}

function invited({ kind, invitation }: Notice, pagesUrl: string, wording: MailWording): Block[] {
  if (invitation === undefined || kind !== 'invitation') return []
  const { say } = wording
  const { why, organisation, by, ask, role, may, until } = invitation
  const paragraph = (text: string): Block => ({ kind: 'paragraph', text })
  return [
    ...(by === undefined ? [] : [paragraph(say('invited by', { by }))]),
    { kind: 'link', text: say('sign in'), href: `${pagesUrl}/roster` },
    paragraph(why === 'entered' ? say('sign in first') : say('sign in as before')),
    paragraph(say(`may as ${role}`)),
    { kind: 'list', items: may.map((one) => say(`may ${one}`)) },
    ...reachOf(invitation, wording).map(paragraph),
    ...(until === undefined ? [] : [paragraph(say('may until', { on: until }))]),
    paragraph(ask === undefined ? say('ask anybody', { organisation }) : say('ask somebody', ask)),
  ]
}

function recalled({ recall, to }: Notice, pagesUrl: string, { say }: MailWording): Block[] {
  if (recall === undefined) return []
  const { id, by, named, reason, openedBy } = recall
  // how far it is, a crew may not read
  const mayFollow = !isOfCrew(to) || to.manages || to.owns
  return [
    { kind: 'paragraph', text: say(`recall because, ${by}`, { named, reason, by: openedBy }) },
    ...(mayFollow
      ? [{ kind: 'link' as const, text: say('recall page'), href: `${pagesUrl}/recalls/${encodeURIComponent(id)}` }]
      : []),
  ]
}

function fingerprinted({ fingerprint, day: on }: Notice, { say }: MailWording): Block[] {
  if (fingerprint === undefined) return []
  const { records, root } = fingerprint
  // people compare long numbers in groups
  const groups = root.match(/.{1,8}/g)?.join(' ') ?? root
  const texts = [say('fingerprint records', { records, on }), say('fingerprint', { groups }), say('fingerprint check')]
  return texts.map((text) => ({ kind: 'paragraph', text }))
}

/** Whose sticks the abilities are for. */
function reachOf({ role, crew, depots }: InvitationTold, { say, list }: MailWording): string[] {
  if (role === 'crew') return crew === undefined ? [] : [say('reach crew', { crew })]
  if (role === 'owner' || depots.includes('*')) return [say('reach every depot')]
  if (depots.length === 0) return []
  return [say('reach depots', { depots: list(depots) })]
}

function whatOfReport(report: Notice['report'], line: StickLine | undefined) {
  if (report?.unknownNumber !== undefined) return ', unknown number'
  if (report?.passedSince !== undefined) return ', tested since'
  return line !== undefined && !mayBeUsed(line.status) ? ', out of use' : ''
}

function reported({ report }: Notice, { say, day }: MailWording): Block[] {
  if (report === undefined) return []
  const { what, defect = '', on, at, reportedBy: by, note, passedSince, unknownNumber: number } = report
  const when = [day(on), ...(at === undefined ? [] : [at])].join(', ')
  const said =
    what === 'defect' ? say('report defect', { defect, on: when, by }) : say(`report ${what}`, { on: when, by })
  return [
    { kind: 'paragraph', text: said, strong: true },
    ...(number === undefined
      ? []
      : [{ kind: 'paragraph' as const, text: say('report unknown number', { number }), strong: true }]),
    ...(note ? [{ kind: 'paragraph' as const, text: say('report note', { note }) }] : []),
    ...(passedSince === undefined
      ? []
      : [{ kind: 'paragraph' as const, text: say('report passed since', { on: passedSince }) }]),
  ]
}

function putRight({ slip }: Notice, { say }: MailWording): Block[] {
  if (slip === undefined) return []
  const { what, on, from, to, by, reason } = slip
  const texts = [
    say('put right', { what, on }),
    ...(to === undefined ? [] : [say('put right, belongs to', { stick: to })]),
    ...(from === undefined ? [] : [say('put right, came from', { stick: from })]),
    by === undefined ? say('put right because', { reason }) : say('put right by', { by, reason }),
  ]
  return [{ kind: 'paragraph', text: texts.join(' '), strong: true }]
}

function ofWhat({ kind, entryId: id }: ProposalTold, say: MailWording['say']): string {
  return kind === 'policy' ? say('of policy') : say(`of ${kind}`, { id })
}

function proposed({ proposal }: Notice, pagesUrl: string, wording: MailWording): Block[] {
  const { say } = wording
  if (proposal === undefined) return []
  const { ways, fleet, reason, state, id, because } = proposal
  const paragraph = (text: string): Block => ({ kind: 'paragraph', text })
  return [
    ...(because === undefined ? [] : [paragraph(say('proposal because', { because }))]),
    ...ways.slice(0, mostWaysShown).map((way) => paragraph(say('proposal way', { way: wayIn(wording, way) }))),
    ...(fleet === undefined ? [] : effectIn(wording, fleet).map(paragraph)),
    ...(reason === undefined ? [] : [paragraph(say('proposal reason', { reason }))]),
    { kind: 'link', text: say(state === 'open' ? 'proposals, open' : 'proposals'), href: `${pagesUrl}/proposals` },
    ...(state === 'open' ? [{ kind: 'small' as const, text: say('proposal number', { id }) }] : []),
  ]
}

function usedOn({ used }: Notice, { say }: MailWording): Block[] {
  if (used === undefined) return []
  return [
    {
      kind: 'paragraph',
      text: say('used on', { on: used.on, unfit: used.unfitOn, status: used.status }),
      strong: true,
    },
  ]
}

function stickRows({ kind, report }: Notice, line: StickLine, wording: MailWording): Row[] {
  const { say } = wording
  const row = (name: Parameters<typeof nameOf>[0], value: string): Row => ({ name: nameOf(name, say), value })
  const { crewName, dueOn, source } = line
  const staysInUse =
    (kind === 'report' && report?.passedSince !== undefined) || (kind === 'put right' && mayBeUsed(line.status))
  const rows: Row[] = [{ ...row('status', wording.status(line)), strong: true }]
  if (crewName !== null) rows.push(row('crew', crewName))
  if (line.loan !== undefined) rows.push(row('loan', lent(line.loan, say)))
  if (dueOn !== null && isDated(line.status)) rows.push(row('due', due(dueOn, line.daysLeft, say)))
  const label = labelOf(line, say)
  if (label !== null) rows.push(row('label', label))
  const way = kind === 'return' ? wayBack(line, say) : staysInUse ? [] : wayTo(line, say)
  rows.push(...way.map(([name, value]) => row(name, value)))
  // nothing clears what is out of service for good
  const holds = line.status === 'removed from service' || line.status === 'scrapped' ? [] : worstHoldFirst(line.holds)
  if (holds.length === 0) rows.push(row(mayBeUsed(line.status) ? 'how it stands' : 'why', wording.why(line)))
  for (const hold of holds.slice(0, mostHoldsShown)) {
    const { text, clearedBy } = wording.hold(hold)
    rows.push(row('why', `${text}.`), row('cleared by', `${clearedBy}.`))
  }
  const more = holds.length - mostHoldsShown
  if (more > 0) rows.push(row('why', say('more holds', { more })))
  if (source !== null && (kind === 'return' || kind === 'date brought forward')) rows.push(row('rule', source))
  return rows
}

/** What its crew has to know of a stick in the morning: all else is behind its number. */
function inOneLine(line: StickLine, wording: MailWording): string {
  const { say } = wording
  const { crewName, loan, dueOn } = line
  const label = labelOf(line, say)
  const named = (name: Parameters<typeof nameOf>[0], value: string) => `${nameOf(name, say)}: ${value}`
  // a due date says by itself that a test ran out on it
  const isSaid =
    !isToBeLookedOver(line) && (mayBeUsed(line.status) || (isDated(line.status) && ranOutOn(line) === dueOn))
  const parts = [
    wording.status(line),
    ...(isSaid ? [] : whyNot(line, wording).map((why) => named('why', why))),
    ...(dueOn !== null && isDated(line.status) ? [named('due', due(dueOn, line.daysLeft, say))] : []),
    ...(loan === undefined ? [] : [named('loan', lent(loan, say))]),
    ...(label === null ? [] : [named('label', label)]),
    ...(crewName === null ? [] : [named('crew', crewName)]),
    ...wayTo(line, say).map(([name, value]) => named(name, value)),
  ]
  return parts.map((part) => (part.endsWith('.') ? part : `${part}.`)).join(' ')
}

const ranOutOn = ({ why }: StickLine) => (typeof why === 'object' && 'dueOn' in why ? why.dueOn : undefined)

const isMissing = ({ holds }: StickLine) => holds.some(({ code }) => code === 'reported-missing')

/** Where a stick is to be brought; of one that is at the bench, or is missing, what is so. */
function wayTo(
  line: StickLine,
  say: MailWording['say'],
): ['where' | 'once found' | 'bring to' | 'bring when', string][] {
  const { bringTo, liesAt } = line
  if (bringTo === null || isToBeLookedOver(line)) return []
  if (liesAt === 'bench') return [['where', say('at the bench already')]]
  return [...whenTo(line, say), [isMissing(line) ? 'once found' : 'bring to', bringTo]]
}

/** The week of the plan is told of a stick that may be used until then: any other comes in now. */
function whenTo({ plannedOn, dueOn, status }: StickLine, say: MailWording['say']): ['bring when', string][] {
  if (plannedOn === undefined || dueOn === null || !mayBeUsed(status)) return []
  return [['bring when', say('bring in the week', { week: plannedOn, by: dueOn })]]
}

/** Where a stick lies that may be used again. */
function wayBack({ liesAt }: StickLine, say: MailWording['say']): ['where', string][] {
  return liesAt === undefined ? [] : [['where', say(liesAt === 'bench' ? 'to fetch at the bench' : 'in store again')]]
}

/** What it shows, where that was recorded; else what a label with the date of before would be. */
function labelOf({ status, wrongLabel, broughtForwardFrom }: StickLine, say: MailWording['say']): string | null {
  if (wrongLabel !== undefined) return say(isDated(status) ? 'label too late' : 'label still on', { on: wrongLabel })
  return broughtForwardFrom === undefined ? null : say('label wrong', { on: broughtForwardFrom })
}

function whyNot(line: StickLine, wording: MailWording): string[] {
  if (line.holds.length === 0) return [wording.why(line)]
  const more = line.holds.length - mostHoldsInALine
  return [
    ...worstHoldFirst(line.holds)
      .slice(0, mostHoldsInALine)
      .map((hold) => wording.hold(hold).text),
    ...(more > 0 ? [wording.say('more holds', { more })] : []),
  ]
}

/** Of a digest of several sticks: how many there are of each kind. */
function totals({ kind, lines, more = 0 }: Notice, wording: MailWording): Block[] {
  const sticks = lines.length + more
  if (!isList({ kind }) || sticks < 2) return []
  const counts = [...Map.groupBy(lines, (line) => wording.status(line))].map(
    ([status, some]) => `${status}: ${some.length}`,
  )
  const others = more === 0 ? [] : [wording.say('more sticks', { more })]
  return [{ kind: 'paragraph', text: wording.say('totals', { sticks, counts: [...counts, ...others].join(', ') }) }]
}

/** By which rules the sticks of a digest come due, each once. */
function rules({ kind, lines }: Notice, { say }: MailWording): Block[] {
  const sources = [...new Set(lines.flatMap(({ source }) => source ?? []))]
  if (!isMorning(kind) || sources.length === 0) return []
  return [{ kind: 'small', text: `${say('rule')}: ${sources.join('; ')}` }]
}

function nameOf(
  name:
    | 'status'
    | 'crew'
    | 'loan'
    | 'due'
    | 'label'
    | 'bring to'
    | 'bring when'
    | 'once found'
    | 'where'
    | 'why'
    | 'how it stands'
    | 'cleared by'
    | 'rule',
  say: MailWording['say'],
): string {
  return say(name)
}

function lent({ lentTo: to, returnBy: on, daysLate: days }: LateLoan, say: MailWording['say']): string {
  return say('lent, back days ago', { to, on, days })
}

function due(on: string, daysLeft: number | null, say: MailWording['say']): string {
  if (daysLeft === null) return say('due some day', { on })
  if (daysLeft === 0) return say('due today', { on })
  const days = Math.abs(daysLeft)
  return daysLeft > 0 ? say('due in days', { on, days }) : say('due days ago', { on, days })
}

function silent({ unanswered = [] }: Notice, { say }: MailWording): Block[] {
  return unanswered.length === 0
    ? []
    : [{ kind: 'paragraph', text: say('not confirmed by', { names: unanswered.join(', ') }) }]
}

function passedOn({ passedOnFor = [] }: Notice, { say }: MailWording): Block[] {
  return passedOnFor.length === 0
    ? []
    : [{ kind: 'paragraph', text: say('passed on', { names: passedOnFor.join(', ') }), strong: true }]
}

function missed({ missed: one }: Notice, { say }: MailWording): Block[] {
  if (one === undefined) return []
  return [{ kind: 'paragraph', text: say(`missed ${one.why}`, { name: one.name, email: one.email }), strong: true }]
}

function toConfirm(notice: Notice, answersUrl: string, { say }: MailWording): Block[] {
  const path = confirmationPath(notice)
  if (path === null || notice.answer === undefined) return []
  return [
    { kind: 'button', text: say('confirm'), href: `${answersUrl}${path}` },
    {
      kind: 'small',
      // above a manager there may be nobody
      text:
        notice.to.role === 'manager'
          ? say('confirm at all')
          : say('confirm within', { hours: notice.answer.withinHours }),
    },
  ]
}

function errand({ to: { tellInPerson } }: Notice, { say }: MailWording): Block[] {
  if (tellInPerson.length === 0) return []
  const more = tellInPerson.length - mostPeopleShown
  return [
    { kind: 'paragraph', text: say('tell in person'), strong: true },
    {
      kind: 'list',
      items: [
        ...tellInPerson.slice(0, mostPeopleShown).map(({ name, phone }) => `${name}${leftToRight(name)}, ${phone}`),
        ...(more > 0 ? [say('more people', { more })] : []),
      ],
    },
  ]
}

/** After a name written from right to left a phone number would be shown with its groups in reverse. */
function leftToRight(name: string): string {
  const fromRight =
    /[\p{Script=Arabic}\p{Script=Hebrew}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}\p{Script=Adlam}]/u
  return fromRight.test(name) ? '\u200E' : ''
}
