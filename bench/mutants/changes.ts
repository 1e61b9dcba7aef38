import ts from 'typescript'

/** A change of one node: `of` gives way to the text `to`. */
export interface Change {
  readonly kind: string
  readonly of: ts.Node
  readonly to: string
}

/** What is usually mutated (Offutt and others 1996: operators of arithmetic, relation, logic, and statements), from memory. */
export const changesOf = (node: ts.Node): Change[] => [
  ...operatorChanges(node),
  ...conditionChanges(node),
  ...literalChanges(node),
  ...blockChanges(node),
  ...callChanges(node),
]

const K = ts.SyntaxKind

const ARITHMETIC = new Map<ts.SyntaxKind, string>([
  [K.PlusToken, '-'],
  [K.MinusToken, '+'],
  [K.AsteriskToken, '/'],
  [K.SlashToken, '*'],
  [K.PercentToken, '*'],
  [K.AsteriskAsteriskToken, '*'],
  [K.LessThanLessThanToken, '>>'],
  [K.GreaterThanGreaterThanToken, '<<'],
  [K.GreaterThanGreaterThanGreaterThanToken, '<<'],
  [K.AmpersandToken, '|'],
  [K.BarToken, '&'],
  [K.CaretToken, '&'],
])

const ASSIGNMENT = new Map<ts.SyntaxKind, string>([
  [K.PlusEqualsToken, '-='],
  [K.MinusEqualsToken, '+='],
  [K.AsteriskEqualsToken, '/='],
  [K.SlashEqualsToken, '*='],
  [K.QuestionQuestionEqualsToken, '='],
  [K.AmpersandEqualsToken, '|='],
  [K.BarEqualsToken, '&='],
])

const RELATION = new Map<ts.SyntaxKind, readonly string[]>([
  [K.LessThanToken, ['<=', '>=']],
  [K.LessThanEqualsToken, ['<', '>']],
  [K.GreaterThanToken, ['>=', '<=']],
  [K.GreaterThanEqualsToken, ['>', '<']],
  [K.EqualsEqualsEqualsToken, ['!==']],
  [K.ExclamationEqualsEqualsToken, ['===']],
])

const LOGIC = new Map<ts.SyntaxKind, string>([
  [K.AmpersandAmpersandToken, '||'],
  [K.BarBarToken, '&&'],
  [K.QuestionQuestionToken, '&&'],
])

const isText = (node: ts.Node): boolean =>
  ts.isStringLiteralLike(node) ||
  ts.isTemplateExpression(node) ||
  (ts.isBinaryExpression(node) && (isText(node.left) || isText(node.right)))

const operatorChanges = (node: ts.Node): Change[] => {
  if (ts.isBinaryExpression(node)) {
    const of = node.operatorToken
    const arithmetic = isText(node) ? undefined : ARITHMETIC.get(of.kind)
    return [
      ...(arithmetic === undefined ? [] : [{ kind: 'arithmetic', of, to: arithmetic }]),
      ...one('assignment', of, ASSIGNMENT.get(of.kind)),
      ...one('logic', of, LOGIC.get(of.kind)),
      ...(RELATION.get(of.kind) ?? []).map(to => ({ kind: 'relation', of, to })),
    ]
  }
  if (ts.isPrefixUnaryExpression(node)) {
    const operand = node.operand.getText()
    if (node.operator === K.ExclamationToken) return [{ kind: 'not', of: node, to: `(${operand})` }]
    if (node.operator === K.MinusToken) return [{ kind: 'sign', of: node, to: `(${operand})` }]
    if (node.operator === K.TildeToken) return [{ kind: 'sign', of: node, to: `(${operand})` }]
    if (node.operator === K.PlusPlusToken) return [{ kind: 'step', of: node, to: `--${operand}` }]
    if (node.operator === K.MinusMinusToken) return [{ kind: 'step', of: node, to: `++${operand}` }]
  }
  if (ts.isPostfixUnaryExpression(node)) {
    const to = node.operator === K.PlusPlusToken ? '--' : '++'
    return [{ kind: 'step', of: node, to: `${node.operand.getText()}${to}` }]
  }
  return []
}

const one = (kind: string, of: ts.Node, to: string | undefined): Change[] =>
  to === undefined ? [] : [{ kind, of, to }]

const both = (of: ts.Expression): Change[] => ['true', 'false'].map(to => ({ kind: 'condition', of, to }))

const conditionChanges = (node: ts.Node): Change[] => {
  if (ts.isIfStatement(node)) return both(node.expression)
  if (ts.isConditionalExpression(node)) return both(node.condition)
  if (ts.isWhileStatement(node) || ts.isDoStatement(node))
    return [{ kind: 'condition', of: node.expression, to: 'false' }]
  if (ts.isForStatement(node) && node.condition)
    return [{ kind: 'condition', of: node.condition, to: 'false' }]
  if (ts.isCaseClause(node) && node.statements.length > 0)
    return [{ kind: 'case', of: node, to: `case ${node.expression.getText()}:` }]
  return []
}

const isName = (node: ts.Node): boolean => ts.isPropertyAssignment(node.parent) && node.parent.name === node

const literalChanges = (node: ts.Node): Change[] => {
  if (node.kind === K.TrueKeyword) return [{ kind: 'truth', of: node, to: 'false' }]
  if (node.kind === K.FalseKeyword) return [{ kind: 'truth', of: node, to: 'true' }]
  if (ts.isStringLiteralLike(node) && node.text !== '' && !isName(node))
    return [{ kind: 'text', of: node, to: "''" }]
  if (ts.isTemplateExpression(node)) return [{ kind: 'text', of: node, to: "''" }]
  if (ts.isArrayLiteralExpression(node) && node.elements.length > 0)
    return [{ kind: 'list', of: node, to: '[]' }]
  if (ts.isObjectLiteralExpression(node) && node.properties.length > 0)
    return [{ kind: 'object', of: node, to: '{}' }]
  return []
}

const blockChanges = (node: ts.Node): Change[] => {
  if (ts.isBlock(node) && node.statements.length > 0) return [{ kind: 'block', of: node, to: '{}' }]
  if (ts.isArrowFunction(node) && !ts.isBlock(node.body))
    return [{ kind: 'block', of: node.body, to: 'undefined' }]
  if (ts.isPropertyAccessExpression(node) && node.questionDotToken)
    return [{ kind: 'optional', of: node.questionDotToken, to: '.' }]
  return []
}

const METHODS = new Map([
  ['startsWith', 'endsWith'],
  ['endsWith', 'startsWith'],
  ['toUpperCase', 'toLowerCase'],
  ['toLowerCase', 'toUpperCase'],
  ['some', 'every'],
  ['every', 'some'],
  ['min', 'max'],
  ['max', 'min'],
  ['floor', 'ceil'],
  ['ceil', 'floor'],
])

const LEFT_OUT = new Set(['trim', 'filter', 'sort', 'reverse', 'toReversed', 'toSorted', 'slice', 'subarray'])

const callChanges = (node: ts.Node): Change[] => {
  if (!ts.isCallExpression(node) || !ts.isPropertyAccessExpression(node.expression)) return []
  const { name, expression } = node.expression
  return [
    ...one('call', name, METHODS.get(name.text)),
    ...one('call', node, LEFT_OUT.has(name.text) ? expression.getText() : undefined),
  ]
}
