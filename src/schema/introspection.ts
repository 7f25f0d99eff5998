// Which callers may read the schema through the API, and how much of it at once: fields under `__schema` and `__type` are GraphQL's
// own, which the complexity plugin does not see. The schema is all in memory, so what an answer holds is counted exactly.
import {
  type ExecutionArgs,
  type FieldNode,
  type FragmentDefinitionNode,
  type GraphQLObjectType,
  type GraphQLResolveInfo,
  type GraphQLSchema,
  getNamedType,
  getOperationAST,
  isObjectType,
  Kind,
  type OperationDefinitionNode,
  SchemaMetaFieldDef,
  type SelectionSetNode,
  TypeMetaFieldDef,
  TypeNameMetaFieldDef,
} from 'graphql'
import { InvalidInput, issue } from '../errors.ts'
import type { Context } from './context.ts'
import { MAX_BREADTH, MAX_DEPTH, MAX_SCHEMA_VALUES } from './limits.ts'

/** Characters of a text that count as one value more. */
const CHARACTERS_A_VALUE = 80

const ROOTS = new Map([SchemaMetaFieldDef, TypeMetaFieldDef].map((field) => [field.name, field]))

/**
 * Throws `Unauthenticated` where the query looks at the schema without a key and the schema is not `open`, `InvalidInput`
 * where it asks for more of it than any query may.
 */
export function judgeIntrospection(context: Context, args: ExecutionArgs, open: boolean): void {
  const operation = getOperationAST(args.document, args.operationName)
  if (!operation) return
  const look = new Look(args, operation)
  const roots = look.fieldsOf(operation.selectionSet).filter(({ name }) => ROOTS.has(name.value))
  if (roots.length === 0) return
  if (!open) context.requireKey()
  look.refuseHuge(roots)
}

/** Whether an operation asks for more than the schema: whatever does needs a key. */
export function asksForRecords(args: ExecutionArgs): boolean {
  const operation = getOperationAST(args.document, args.operationName)
  if (!operation) return false
  const fields = new Look(args, operation).fieldsOf(operation.selectionSet)
  return fields.some(({ name }) => !ROOTS.has(name.value) && name.value !== TypeNameMetaFieldDef.name)
}

/** One query's look at the schema. */
class Look {
  readonly #schema: GraphQLSchema
  readonly #operation: OperationDefinitionNode
  readonly #variables: Readonly<Record<string, unknown>>
  readonly #fragments = new Map<string, FragmentDefinitionNode>()
  readonly #fields = new Map<SelectionSetNode, readonly FieldNode[]>()
  readonly #sizes = new Map<SelectionSetNode, { depth: number; breadth: number }>()
  readonly #counts = new Map<SelectionSetNode, Map<unknown, number>>()

  constructor({ schema, document, variableValues }: ExecutionArgs, operation: OperationDefinitionNode) {
    this.#schema = schema
    this.#operation = operation
    this.#variables = variableValues ?? {}
    for (const definition of document.definitions)
      if (definition.kind === Kind.FRAGMENT_DEFINITION) this.#fragments.set(definition.name.value, definition)
  }

  /** The fields of a selection, those of its fragments among them, each as often as it is named. */
  fieldsOf(selections: SelectionSetNode): readonly FieldNode[] {
    const known = this.#fields.get(selections)
    if (known) return known
    const fields: FieldNode[] = []
    for (const each of selections.selections) {
      if (each.kind === Kind.FIELD) fields.push(each)
      else {
        const inner = each.kind === Kind.INLINE_FRAGMENT ? each : this.#fragments.get(each.name.value)
        if (inner) for (const field of this.fieldsOf(inner.selectionSet)) fields.push(field)
      }
      // Fragments of fragments grow by powers: what is refused anyway need not be listed to its end.
      if (fields.length > MAX_BREADTH) break
    }
    this.#fields.set(selections, fields)
    return fields
  }

  /** Throws `InvalidInput` where the fields are nested too deeply, are too many, or answer too many values. */
  refuseHuge(roots: readonly FieldNode[]): void {
    const { depth, breadth } = this.#sizeOf(roots)
    if (breadth > MAX_BREADTH)
      throw refused('QUERY_TOO_LARGE', `asks for more than ${MAX_BREADTH} fields of the schema`)
    if (depth > MAX_DEPTH) throw refused('QUERY_TOO_DEEP', `is ${depth} levels deep; at most ${MAX_DEPTH}`)
    let values = 0
    for (const root of roots) values += this.#valuesOfRoot(root)
    if (values > MAX_SCHEMA_VALUES)
      throw refused('QUERY_TOO_COSTLY', `asks for more than ${MAX_SCHEMA_VALUES} values of the schema`)
  }

  #sizeOf(fields: readonly FieldNode[]): { depth: number; breadth: number } {
    const size = { depth: 0, breadth: 0 }
    for (const { selectionSet } of fields) {
      const inner = selectionSet ? this.#sizeOfSelection(selectionSet) : { depth: 0, breadth: 0 }
      size.breadth += 1 + inner.breadth
      size.depth = Math.max(size.depth, 1 + inner.depth)
    }
    return size
  }

  #sizeOfSelection(selections: SelectionSetNode): { depth: number; breadth: number } {
    let size = this.#sizes.get(selections)
    if (!size) {
      size = this.#sizeOf(this.fieldsOf(selections))
      this.#sizes.set(selections, size)
    }
    return size
  }

  #valuesOfRoot(field: FieldNode): number {
    if (field.name.value === SchemaMetaFieldDef.name)
      return this.#valuesOf(SchemaMetaFieldDef.type, this.#schema, field)
    const name = field.arguments?.find((argument) => argument.name.value === 'name')?.value
    const asked =
      name?.kind === Kind.VARIABLE ? this.#variables[name.name.value] : name?.kind === Kind.STRING ? name.value : ''
    return this.#valuesOf(TypeMetaFieldDef.type, this.#schema.getType(String(asked)), field)
  }

  /** Values that a field answers, itself counted, with long texts counted more than once. Stops counting above the limit. */
  #valuesOf(type: Parameters<typeof getNamedType>[0], value: unknown, { selectionSet }: FieldNode): number {
    if (Array.isArray(value)) {
      let sum = 1
      for (const each of value) {
        sum += this.#valuesOfOne(type, each, selectionSet)
        if (sum > MAX_SCHEMA_VALUES) break
      }
      return sum
    }
    return this.#valuesOfOne(type, value, selectionSet)
  }

  #valuesOfOne(
    type: Parameters<typeof getNamedType>[0],
    value: unknown,
    selections: SelectionSetNode | undefined,
  ): number {
    if (typeof value === 'string') return 1 + Math.floor(value.length / CHARACTERS_A_VALUE)
    const named = getNamedType(type)
    if (!selections || !isObjectType(named) || value === null || value === undefined) return 1
    const counts = this.#counts.get(selections) ?? new Map<unknown, number>()
    this.#counts.set(selections, counts)
    const known = counts.get(value)
    if (known !== undefined) return known
    let sum = 1
    for (const field of this.fieldsOf(selections)) {
      sum += this.#valuesOfField(named, value, field)
      if (sum > MAX_SCHEMA_VALUES) break
    }
    counts.set(value, sum)
    return sum
  }

  #valuesOfField(parent: GraphQLObjectType, source: unknown, field: FieldNode): number {
    const definition = parent.getFields()[field.name.value]
    if (!definition?.resolve) return 1
    const info: GraphQLResolveInfo = {
      fieldName: field.name.value,
      fieldNodes: [field],
      returnType: definition.type,
      parentType: parent,
      path: { prev: undefined, key: field.name.value, typename: parent.name },
      schema: this.#schema,
      fragments: {},
      rootValue: undefined,
      operation: this.#operation,
      variableValues: {},
    }
    const value: unknown = definition.resolve(source, { includeDeprecated: true }, undefined, info)
    return this.#valuesOf(definition.type, value, field)
  }
}

function refused(code: 'QUERY_TOO_DEEP' | 'QUERY_TOO_LARGE' | 'QUERY_TOO_COSTLY', message: string): InvalidInput {
  return new InvalidInput([issue('query', code, message)])
}
