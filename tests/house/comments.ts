/** The comments of a source file, and whether each opens with its subject. */
import ts from 'typescript'
import type { Source } from './measures.ts'

export interface Comment {
  readonly path: string
  readonly line: number
  readonly lines: number
  readonly text: string
}

/** Pronouns, question words, prepositions and conjunctions: a reader cannot know yet what such an opening is about. */
const openings = new Set(
  [
    'it its itself they them their theirs this that these those he him his she her we us our you your',
    'one ones each either neither both another other others such same',
    'who whom whose which what whatever whoever where wherever when whenever while whether why how',
    'of in on at by for from to with without within into onto over under above below after before beside besides',
    'between behind beyond as about against among amid per since until till through throughout than like unlike',
    'off out up down near across along around except',
    'and or but nor so if unless because although though yet also else',
  ].flatMap((line) => line.split(' ')),
)

export function opensWithoutSubject({ text }: Comment): boolean {
  const first = /^[`“"'(]*([\p{L}’']+)/u.exec(text)?.[1] ?? ''
  return openings.has(first.toLowerCase())
}

const directive = /^(@|biome-|eslint-|Stryker|v8 |c8 |\$)/

/** Comments without their marks and without orders to tools; lines of `//` below each other are one comment. */
export function commentsOf({ path, text }: Source): readonly Comment[] {
  const file = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)
  const lineAt = (position: number) => file.getLineAndCharacterOfPosition(position).line
  const comments: Comment[] = []
  let last: ts.CommentRange | undefined
  for (const range of commentRanges(file)) {
    const gap = last === undefined ? '' : text.slice(last.end, range.pos)
    const isLine = range.kind === ts.SyntaxKind.SingleLineCommentTrivia
    const goesOn = isLine && last?.kind === range.kind && /^\s*$/.test(gap) && gap.split('\n').length === 2
    last = range
    const words = text
      .slice(range.pos, range.end)
      .replace(/^\/\*\*?|\*\/$|^\/\//g, '')
      .replace(/^\s*\*\s?/gm, '')
      .trim()
    const lines = lineAt(range.end) - lineAt(range.pos) + 1
    const before = goesOn ? comments.pop() : undefined
    if (before !== undefined)
      comments.push({ ...before, lines: before.lines + lines, text: `${before.text}\n${words}` })
    else comments.push({ path, line: lineAt(range.pos) + 1, lines, text: words })
  }
  return comments.filter(({ text }) => text !== '' && !directive.test(text))
}

function commentRanges(file: ts.SourceFile): readonly ts.CommentRange[] {
  const { text } = file
  const found = new Map<number, ts.CommentRange>()
  const visit = (node: ts.Node): void => {
    const leading = ts.getLeadingCommentRanges(text, node.getFullStart()) ?? []
    const trailing = ts.getTrailingCommentRanges(text, node.getEnd()) ?? []
    for (const range of [...leading, ...trailing]) found.set(range.pos, range)
    for (const child of node.getChildren(file)) visit(child)
  }
  visit(file)
  return [...found.values()].sort((a, b) => a.pos - b.pos)
}
