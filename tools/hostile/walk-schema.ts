// Walks the schema: every root field, every place of its arguments where something of the records can be named, and a query for each.
// So a field that is new is asked as all others are.
import {
  type GraphQLField,
  type GraphQLInputType,
  type GraphQLOutputType,
  type GraphQLSchema,
  getNamedType,
  getNullableType,
  isAbstractType,
  isEnumType,
  isInputObjectType,
  isLeafType,
  isListType,
  isRequiredArgument,
  isRequiredInputField,
} from 'graphql'

export const OPERATIONS = ['query', 'mutation', 'subscription'] as const

export interface RootField {
  operation: (typeof OPERATIONS)[number]
  name: string
  field: GraphQLField<unknown, unknown>
  /** The scope that its description names; `any`: any good key. */
  scope: string
}

/** All root fields, in the order of the schema. Throws where a description names no scope. */
export function rootFields(schema: GraphQLSchema): RootField[] {
  const types = [schema.getQueryType(), schema.getMutationType(), schema.getSubscriptionType()]
  return OPERATIONS.flatMap((operation, index) =>
    Object.values(types[index]?.getFields() ?? {}).map((field) => {
      const [, scope, any] = /Scope: (?:`([a-z]+:[a-z]+)`|(any) key)/.exec(field.description ?? '') ?? []
      if (!scope && !any) throw new Error(`the description of ${field.name} names no scope`)
      return { operation, name: field.name, field, scope: scope ?? 'any' }
    }),
  )
}

/** Somewhere in the arguments of a root field. */
export interface Place {
  root: RootField
  /** Names of the argument and of input fields within it. */
  path: readonly string[]
  /** `id`: a global id; `reference`: a text or a number of the caller's own; `text`: any other text. */
  kind: 'id' | 'reference' | 'text'
  /** Names of the input types on the way, the outermost first. */
  types: readonly string[]
}

/** Names of inputs that name things of the records though they are no ids. */
const REFERENCES = /^(externalRef|number|lotCode|reference)$/

/** Every place of a root field where something of the records is named, and of other `texts` where they are asked for; input types are not gone into twice on one way. */
export function placesOf(root: RootField, texts = false): Place[] {
  return root.field.args.flatMap((each) => within(each.type, [each.name], []))

  function within(type: GraphQLInputType, path: string[], types: string[]): Place[] {
    const named = getNamedType(type)
    if (named.name === 'ID') return [{ root, path, types, kind: 'id' }]
    if (isInputObjectType(named) && !types.includes(named.name))
      return Object.values(named.getFields()).flatMap((field) =>
        within(field.type, [...path, field.name], [...types, named.name]),
      )
    if (isLeafType(named) && REFERENCES.test(path.at(-1) ?? '')) return [{ root, path, types, kind: 'reference' }]
    return texts && named.name === 'String' ? [{ root, path, types, kind: 'text' }] : []
  }
}

/** What stands where an argument must be given: `id` gets the place. */
export interface Filling {
  id: (place: Omit<Place, 'kind'>) => string
  leaves: Readonly<Record<string, unknown>>
}

/** Values of leaves that most inputs accept. */
export const PLAIN_LEAVES = {
  String: 'x',
  Int: 1,
  Float: 1,
  Boolean: true,
  LocalDate: '2027-03-02',
  DateTime: '2027-03-02T10:00:00Z',
} as const

/** Variables for a root field: what must be given, and `value` at a place where there is one. */
export function variablesOf(
  root: RootField,
  filling: Filling,
  at?: { place: Place; value: unknown },
): Record<string, unknown> {
  const variables: Record<string, unknown> = {}
  for (const each of root.field.args) {
    const isOnWay = at?.place.path[0] === each.name
    if (isOnWay || isRequiredArgument(each)) variables[each.name] = given(each.type, [each.name], [], isOnWay)
  }
  return variables

  function given(type: GraphQLInputType, path: string[], types: string[], isOnWay: boolean): unknown {
    const nullable = getNullableType(type)
    if (isListType(nullable)) return [given(nullable.ofType, path, types, isOnWay)]
    if (isOnWay && at && at.place.path.length === path.length) return at.value
    if (isInputObjectType(nullable)) {
      const next = isOnWay ? at?.place.path[path.length] : undefined
      const fields = Object.values(nullable.getFields())
      const chosen = nullable.isOneOf
        ? [fields.find(({ name }) => name === next) ?? fields[0]]
        : fields.filter((field) => field.name === next || isRequiredInputField(field))
      return Object.fromEntries(
        chosen.flatMap((field) =>
          field
            ? [[field.name, given(field.type, [...path, field.name], [...types, nullable.name], field.name === next)]]
            : [],
        ),
      )
    }
    if (isEnumType(nullable)) return nullable.getValues()[0]?.name
    const { name } = getNamedType(nullable)
    return name === 'ID' ? filling.id({ root, path, types }) : filling.leaves[name]
  }
}

/** A document that asks a root field, with its variables' types, for all leaves that are `depth` objects deep at most. */
export function documentOf(
  schema: GraphQLSchema,
  { operation, name, field }: RootField,
  given: Iterable<string>,
  depth: number,
): string {
  const names = new Set(given)
  const args = field.args.filter((each) => names.has(each.name))
  const types = args.map((each) => `$${each.name}: ${each.type}`).join(', ')
  const values = args.map((each) => `${each.name}: $${each.name}`).join(', ')
  const head = types ? `${operation} (${types})` : operation
  return `${head} { ${name}${values ? `(${values})` : ''} ${selectionOf(schema, field.type, depth)} }`
}

/**
 * The leaves of a type that need no arguments, and those of what is within it; pages have one entry. `prefix` makes the names of the
 * outermost fields different: members of a union may have fields of one name and several types.
 */
export function selectionOf(schema: GraphQLSchema, type: GraphQLOutputType, depth: number, prefix = ''): string {
  const named = getNamedType(type)
  if (isLeafType(named)) return ''
  if (isAbstractType(named)) {
    const members = schema.getPossibleTypes(named).map((member) => {
      const selection = selectionOf(schema, member, depth, `${member.name}_`)
      return `... on ${member.name} ${selection}`
    })
    return `{ __typename ${members.join(' ')} }`
  }
  const parts = Object.values(named.getFields()).flatMap((field) => {
    if (field.args.some(isRequiredArgument)) return []
    const asked = prefix ? `${prefix}${field.name}: ${field.name}` : field.name
    const within = getNamedType(field.type)
    if (isLeafType(within)) return [asked]
    // The entries of a page are as deep as the page.
    const left = /^(edges|node)$/.test(field.name) ? depth : depth - 1
    if (left < 0) return []
    const args = field.args.some(({ name }) => name === 'first') ? '(first: 1)' : ''
    return [`${asked}${args} ${selectionOf(schema, field.type, left)}`]
  })
  return `{ __typename ${parts.join(' ')} }`
}
