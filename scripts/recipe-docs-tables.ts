/** As much of JSON Schema as the recipe's uses. */
export interface SchemaNode {
  readonly title?: string
  readonly description?: string
  readonly type?: string | readonly string[]
  readonly default?: unknown
  readonly examples?: readonly unknown[]
  readonly enum?: readonly unknown[]
  readonly anyOf?: readonly SchemaNode[]
  readonly required?: readonly string[]
  readonly properties?: Readonly<Record<string, SchemaNode>>
  readonly additionalProperties?: boolean | SchemaNode
  readonly items?: SchemaNode
  readonly $ref?: string
  readonly $defs?: Readonly<Record<string, SchemaNode>>
}

export interface Section {
  readonly heading: string
  readonly node: SchemaNode
  /** Keys that must be there, here or in a base. */
  readonly required: readonly string[]
}

const BLOCKS = ['group', 'source', 'piece', 'align', 'blend', 'deliver', 'report']

/** Where the schema keeps the keys of a block that must be there in the end. */
const COMPLETE: Readonly<Record<string, string>> = { group: 'completeGroup', blend: 'completeBlend' }

/** The blocks of settings in the order in which the page explains them: the recipe itself, then its parts. */
export const sectionsBelow = (schema: SchemaNode): readonly Section[] => [
  {
    heading: 'The recipe',
    node: schema,
    required: [...schema.required!, ...schema.$defs!['complete']!.required!],
  },
  ...BLOCKS.map(name => ({
    heading: schema.$defs![name]!.title!,
    node: schema.$defs![name]!,
    required: schema.$defs![COMPLETE[name] ?? '']?.required ?? schema.$defs![name]!.required ?? [],
  })),
]

/** A heading, a sentence and a table of keys. */
export const sectionOf = ({ heading, node, required }: Section, schema: SchemaNode): string => {
  const rows = Object.entries(node.properties!).map(([key, property]) => {
    const must = required.includes(key) ? ' (must be there)' : ''
    const whole: SchemaNode = { ...referred(property, schema), ...property }
    const cells = [
      `\`${key}\`${must}`,
      valueOf(property, schema),
      defaultOf(whole),
      `${whole.description ?? ''}${examplesOf(whole)}`,
    ]
    return `| ${cells.map(cell => cell.replace(/\|/g, '\\|')).join(' | ')} |`
  })
  return [
    `## ${heading}`,
    '',
    node.description!,
    '',
    '| key | value | default | meaning |',
    '|---|---|---|---|',
    ...rows,
  ].join('\n')
}

const referred = (node: SchemaNode, schema: SchemaNode): SchemaNode =>
  node.$ref === undefined ? node : schema.$defs![node.$ref.replace('#/$defs/', '')]!

const defaultOf = (node: SchemaNode): string =>
  node.default === undefined ? '' : `\`${yamlOf(node.default).replace(/^"|"$/g, '')}\``

const examplesOf = (node: SchemaNode): string => {
  const shown = (node.examples ?? [])
    .filter(example => example !== node.default)
    .map(example => `\`${yamlOf(example)}\``)
  return shown.length === 0 ? '' : ` Example: ${shown.join(', ')}.`
}

/** An example as it would stand in a recipe, on one line. */
const yamlOf = (value: unknown): string => {
  if (Array.isArray(value)) return `[${value.map(yamlOf).join(', ')}]`
  if (value !== null && typeof value === 'object') {
    return `{ ${Object.entries(value)
      .map(([key, inner]) => `${key}: ${yamlOf(inner)}`)
      .join(', ')} }`
  }
  return typeof value === 'string' && /^[0-9]+$|[{}]/.test(value) ? `"${value}"` : String(value)
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'number',
  integer: 'whole number',
  boolean: 'true or false',
  array: 'list',
  object: 'block',
}

const valueOf = (node: SchemaNode, schema: SchemaNode): string => {
  const name = node.$ref?.replace('#/$defs/', '')
  if (name !== undefined && BLOCKS.includes(name)) {
    const title = schema.$defs![name]!.title!.toLowerCase()
    return `[${title}](#${title})`
  }
  const target = referred(node, schema)
  if (target.enum !== undefined) return target.enum.map(word => `\`${String(word)}\``).join(', ')
  if (target.anyOf !== undefined) return target.anyOf.map(branch => valueOf(branch, schema)).join(', or ')
  if (target.type === 'object' && typeof target.additionalProperties === 'object') {
    const inner = valueOf(target.additionalProperties, schema)
    return `for each name: ${inner}`
  }
  if (target.type === 'array') return `list of: ${valueOf(target.items!, schema)}`
  if (name !== undefined) return target.title!.toLowerCase()
  const types = [target.type ?? 'string'].flat()
  return types.length > 1 ? 'text, kept as typed' : (TYPE_WORDS[types[0]!] ?? types[0]!)
}
