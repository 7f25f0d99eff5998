// How large a parsed query may be before it is held against the schema: that takes time by pairs of fields of one name and of fragments,
// so that a text of some kilobytes could keep the server busy for a quarter of a second.
import {
  type DocumentNode,
  type FieldNode,
  type FragmentDefinitionNode,
  type GraphQLError,
  Kind,
  type SelectionSetNode,
  specifiedRules,
  validate,
} from 'graphql'
import type { Plugin } from 'graphql-yoga'
import { MAX_BREADTH, refusedText } from './limits.ts'

/** Operations and fragments of a text, together. */
export const MAX_DEFINITIONS = 100
/** Fields of all operations of a text, together. */
export const MAX_FIELDS = 2 * MAX_BREADTH
/** Times that one operation may name what is answered once, its fragments counted. */
export const MAX_REPEATS = 50
/** Faults of a query that are listed; the rest shows once these are mended. */
const MOST_FAULTS = 20

/** Throws a GraphQLError where the operations have too many parts, as one by one or together. Circles of fragments are gone through once. */
export function refuseHugeShape(document: DocumentNode): void {
  if (document.definitions.length > MAX_DEFINITIONS)
    throw tooLarge(`has more than ${MAX_DEFINITIONS} operations and fragments`)
  const fragments = new Map<string, FragmentDefinitionNode>()
  for (const each of document.definitions)
    if (each.kind === Kind.FRAGMENT_DEFINITION) fragments.set(each.name.value, each)
  let fields = 0
  for (const each of document.definitions) {
    if (each.kind !== Kind.OPERATION_DEFINITION) continue
    fields += new Shape(fragments).fieldsIn([{ selectionSet: each.selectionSet, within: undefined }])
    if (fields > MAX_FIELDS) throw tooLarge(`has operations with more than ${MAX_FIELDS} fields together`)
  }
}

/** Lists no more faults of a query than one reads: each takes as long as a small query. */
export const fewFaults: Plugin = {
  onValidate({ setValidationFn }) {
    setValidationFn((schema, document, rules = specifiedRules) =>
      validate(schema, document, rules, { maxErrors: MOST_FAULTS }),
    )
  },
}

/** Fragments that a selection is part of. */
interface Within {
  name: string
  outer: Within | undefined
}

/** Fields that stand in one place of the answer, with the fragments that name them. */
interface Part {
  selectionSet: SelectionSetNode
  within: Within | undefined
}

/** The fields of one operation, where the answer has them: what is named twice in one place is answered once. */
class Shape {
  readonly #fragments: ReadonlyMap<string, FragmentDefinitionNode>
  #fields = 0

  constructor(fragments: ReadonlyMap<string, FragmentDefinitionNode>) {
    this.#fragments = fragments
  }

  /** How many fields there are in the parts of one place, and within them. Throws where these are too many. */
  fieldsIn(parts: readonly Part[]): number {
    const places = new Map<string, Part[]>()
    const known = new Set<string>()
    for (const part of parts) this.#gather(part, places, known)
    for (const inner of places.values()) this.fieldsIn(inner)
    return this.#fields
  }

  #gather({ selectionSet, within }: Part, places: Map<string, Part[]>, known: Set<string>): void {
    for (const each of selectionSet.selections) {
      if (each.kind === Kind.FIELD) this.#name(each, within, places)
      else if (each.kind === Kind.INLINE_FRAGMENT)
        this.#gather({ selectionSet: each.selectionSet, within }, places, known)
      else this.#spread(each.name.value, within, places, known)
    }
  }

  /** Each fragment is looked at once in a place, and not within itself. */
  #spread(name: string, within: Within | undefined, places: Map<string, Part[]>, known: Set<string>): void {
    const fragment = this.#fragments.get(name)
    if (!fragment || known.has(name)) return
    known.add(name)
    for (let outer = within; outer; outer = outer.outer) if (outer.name === name) return
    this.#gather({ selectionSet: fragment.selectionSet, within: { name, outer: within } }, places, known)
  }

  #name(field: FieldNode, within: Within | undefined, places: Map<string, Part[]>): void {
    this.#fields += 1
    if (this.#fields > MAX_BREADTH) throw tooLarge(`asks for more than ${MAX_BREADTH} fields`)
    const name = field.alias?.value ?? field.name.value
    const place = places.get(name) ?? []
    places.set(name, place)
    // Leaves have nothing within: an empty part counts them.
    place.push({ selectionSet: field.selectionSet ?? NOTHING, within })
    if (place.length > MAX_REPEATS) throw tooLarge(`names ${name.slice(0, 60)} more than ${MAX_REPEATS} times`)
  }
}

const NOTHING: SelectionSetNode = { kind: Kind.SELECTION_SET, selections: [] }

function tooLarge(what: string): GraphQLError {
  return refusedText('QUERY_TOO_LARGE', `The query ${what}.`)
}
