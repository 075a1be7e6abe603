/** Measures of one source file: its lines, functions, names and exports. */
import ts from 'typescript'

export interface Source {
  readonly path: string
  readonly text: string
}

export interface MeasuredFunction {
  readonly name: string
  readonly line: number
  readonly lines: number
  readonly parameters: number
}

export interface Measured {
  readonly path: string
  readonly lines: readonly string[]
  readonly functions: readonly MeasuredFunction[]
  readonly exported: readonly string[]
  /** every name that is declared here */
  readonly names: readonly string[]
}

export function measure({ path, text }: Source): Measured {
  const file = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)
  const functions: MeasuredFunction[] = []
  const names: string[] = []
  const visit = (node: ts.Node): void => {
    const one = functionAt(node)
    if (one !== undefined) functions.push(sized(file, node, one))
    const name = ts.isVariableDeclaration(node) || ts.isParameter(node) || namesItself(node) ? node.name : undefined
    if (name !== undefined && ts.isIdentifier(name)) names.push(name.text)
    ts.forEachChild(node, visit)
  }
  visit(file)
  const lines = text.replace(/\n$/, '').split('\n')
  return { path, lines, functions, names, exported: exportsOf(file) }
}

type Callable = ts.FunctionDeclaration | ts.MethodDeclaration | ts.ArrowFunction | ts.FunctionExpression

function sized(file: ts.SourceFile, node: ts.Node, { name, callable }: { name: string; callable: Callable }) {
  const from = file.getLineAndCharacterOfPosition(node.getStart(file)).line
  const to = file.getLineAndCharacterOfPosition(node.getEnd()).line
  return { name, line: from + 1, lines: to - from + 1, parameters: callable.parameters.length }
}

/** A function or method with a name and a body, or the arrow or function expression that a name is given to. */
function functionAt(node: ts.Node): { readonly name: string; readonly callable: Callable } | undefined {
  if (ts.isFunctionDeclaration(node) || ts.isMethodDeclaration(node))
    return node.body === undefined || node.name === undefined
      ? undefined
      : { name: node.name.getText(), callable: node }
  const isNamed = ts.isVariableDeclaration(node) || ts.isPropertyDeclaration(node) || ts.isPropertyAssignment(node)
  if (!isNamed || node.initializer === undefined) return undefined
  const { initializer, name } = node
  if (!ts.isArrowFunction(initializer) && !ts.isFunctionExpression(initializer)) return undefined
  return { name: name.getText(), callable: initializer }
}

function namesItself(node: ts.Node): node is ts.NamedDeclaration & { readonly name: ts.Identifier } {
  return (
    ts.isFunctionDeclaration(node) ||
    ts.isClassDeclaration(node) ||
    ts.isInterfaceDeclaration(node) ||
    ts.isTypeAliasDeclaration(node) ||
    ts.isMethodDeclaration(node) ||
    ts.isPropertySignature(node)
  )
}

/** The names that a file exports of its own: what it hands on from another file has its one place there. */
function exportsOf(file: ts.SourceFile): readonly string[] {
  return file.statements.flatMap((statement) => {
    if (ts.isExportDeclaration(statement)) {
      const { exportClause, moduleSpecifier } = statement
      if (moduleSpecifier !== undefined || exportClause === undefined || !ts.isNamedExports(exportClause)) return []
      return exportClause.elements.map(({ name }) => name.text)
    }
    const marks = ts.canHaveModifiers(statement) ? (ts.getModifiers(statement) ?? []) : []
    const has = (kind: ts.SyntaxKind) => marks.some((mark) => mark.kind === kind)
    if (!has(ts.SyntaxKind.ExportKeyword) || has(ts.SyntaxKind.DefaultKeyword)) return []
    if (ts.isVariableStatement(statement))
      return statement.declarationList.declarations.flatMap(({ name }) => boundNames(name))
    const { name } = statement as ts.DeclarationStatement
    return name === undefined ? [] : [name.getText(file)]
  })
}

function boundNames(name: ts.BindingName): readonly string[] {
  if (ts.isIdentifier(name)) return [name.text]
  return name.elements.flatMap((element) => (ts.isBindingElement(element) ? boundNames(element.name) : []))
}
