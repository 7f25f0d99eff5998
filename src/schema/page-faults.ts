// Bad pages are refused, and before anything is written: each root field looks at all connections beneath it. A page goes
// forwards (`first`, `after`) or backwards (`last`, `before`), and has at most MAX_PAGE things.
import SchemaBuilder, { BasePlugin, type PothosOutputFieldConfig, type SchemaTypes } from '@pothos/core'
import {
  type FieldNode,
  type GraphQLFieldResolver,
  type GraphQLNamedType,
  type GraphQLResolveInfo,
  getNamedType,
  isInterfaceType,
  isObjectType,
  Kind,
  type SelectionSetNode,
  valueFromASTUntyped,
} from 'graphql'
import { Forbidden, InvalidInput, type Issue, issue, Refusal, Unauthenticated } from '../errors.ts'
import { Context } from './context.ts'
import { isCounted } from './counted.ts'
import { isCursor, type Paged, pagedShape } from './cursors.ts'

/** Most entries of one page of a connection. */
export const MAX_PAGE = 200
/** Entries of a page where the caller does not say. */
export const DEFAULT_PAGE = 50

const ARGUMENTS = ['first', 'last', 'after', 'before'] as const
type Page = Partial<Record<(typeof ARGUMENTS)[number], unknown>>

/**
 * What is wrong with the arguments of one page, which stand under `prefix` (such as `brews.`), of a list that is paged by the
 * given columns; `owner` says whose list it is, to be asked where it matters.
 */
function faultsOfPage(
  page: Page,
  prefix: string,
  { pagedBy: columns, most = MAX_PAGE }: Paged,
  owner: () => string,
): Issue[] {
  const issues = (['first', 'last'] as const).flatMap((name) => {
    const count = page[name]
    if (typeof count !== 'number' || (count >= 0 && count <= most)) return []
    const limit = count < 0 ? 'at least 0' : `at most ${most}`
    return [issue(`${prefix}${name}`, 'OUT_OF_RANGE', `is ${count}; expected ${limit}`)]
  })
  const both = (name: keyof Page, other: keyof Page) =>
    page[name] === undefined || page[other] === undefined
      ? []
      : [
          issue(
            `${prefix}${name}`,
            'NOT_BOTH',
            `\`${other}\` is given too: a page goes forwards (\`first\`, \`after\`) or backwards (\`last\`, \`before\`)`,
          ),
        ]
  issues.push(
    ...both('last', 'first'),
    ...both('before', 'first'),
    ...both('after', 'last'),
    ...both('before', 'after'),
  )
  for (const name of ['after', 'before'] as const) {
    const cursor = page[name]
    if (cursor === undefined || isCursor(cursor, columns, owner())) continue
    issues.push(issue(`${prefix}${name}`, 'BAD_CURSOR', `"${String(cursor).slice(0, 60)}" is no cursor of this list`))
  }
  return issues
}

/** What is wrong with all pages that a root field asks for; paths begin below the field. */
function faultsOfPages(info: GraphQLResolveInfo, owner: () => string): Issue[] {
  return info.fieldNodes.flatMap((node) => new PageWalk(info, owner).field(node, info.parentType, []))
}

/** The distributor whose lists a request reads. Throws `Unauthenticated` where it shows no key. */
function ownerIn(context: object): string {
  if (!(context instanceof Context)) throw new Error('pages are asked for without a context')
  return context.distributorId
}

/** What a refused field says is wrong, as issues. Rethrows what has nothing to do with its arguments. */
function issuesOf(error: unknown): readonly Issue[] {
  if (error instanceof InvalidInput) return error.issues
  if (error instanceof Forbidden || error instanceof Unauthenticated) throw error
  return error instanceof Refusal ? [issue('', error.code, error.message)] : []
}

class PageWalk {
  readonly #info: GraphQLResolveInfo
  /** Selections that were looked at: a fragment may stand in many places. */
  readonly #seen = new Set<SelectionSetNode>()

  readonly #owner: () => string

  constructor(info: GraphQLResolveInfo, owner: () => string) {
    this.#info = info
    this.#owner = owner
  }

  field(node: FieldNode, parent: GraphQLNamedType, steps: readonly string[]): Issue[] {
    const field = isObjectType(parent) || isInterfaceType(parent) ? parent.getFields()[node.name.value] : undefined
    if (!field) return []
    const type = getNamedType(field.type)
    const prefix = steps.map((step) => `${step}.`).join('')
    const own = type.name.endsWith('Connection')
      ? faultsOfPage(this.#pageOf(node), prefix, pagedShape.parse(type.extensions), this.#owner)
      : []
    return [...own, ...(node.selectionSet ? this.#selections(node.selectionSet, type, steps) : [])]
  }

  #selections(selectionSet: SelectionSetNode, type: GraphQLNamedType, steps: readonly string[]): Issue[] {
    if (this.#seen.has(selectionSet)) return []
    this.#seen.add(selectionSet)
    return selectionSet.selections.flatMap((selection) => {
      if (selection.kind === Kind.FIELD)
        return this.field(selection, type, [...steps, (selection.alias ?? selection.name).value])
      const fragment = selection.kind === Kind.INLINE_FRAGMENT ? selection : this.#info.fragments[selection.name.value]
      if (!fragment) return []
      const condition = fragment.typeCondition && this.#info.schema.getType(fragment.typeCondition.name.value)
      return this.#selections(fragment.selectionSet, condition ?? type, steps)
    })
  }

  /** The arguments of a page as they are given; null counts as not given. */
  #pageOf({ arguments: given = [] }: FieldNode): Page {
    const page: Page = {}
    for (const name of ARGUMENTS) {
      const node = given.find((argument) => argument.name.value === name)
      const value = node && valueFromASTUntyped(node.value, this.#info.variableValues)
      if (value !== undefined && value !== null) page[name] = value
    }
    return page
  }
}

const PLUGIN = 'pageFaults'
/** The plugin's name, for the builder's list. */
export default PLUGIN

class PageFaultsPlugin<Types extends SchemaTypes> extends BasePlugin<Types> {
  override wrapResolve(
    resolver: GraphQLFieldResolver<unknown, Types['Context'], object>,
    { kind }: PothosOutputFieldConfig<Types>,
  ): GraphQLFieldResolver<unknown, Types['Context'], object> {
    if (kind === 'Query') return refusingWithOthers(resolver)
    return kind === 'Mutation' ? refusing(resolver) : resolver
  }

  override wrapSubscribe(
    subscriber: GraphQLFieldResolver<unknown, Types['Context'], object> | undefined,
  ): GraphQLFieldResolver<unknown, Types['Context'], object> | undefined {
    return subscriber && refusing(subscriber)
  }
}

/** The field is refused before it does anything. */
function refusing<Resolver extends GraphQLFieldResolver<unknown, object, object>>(resolver: Resolver) {
  return (...[parent, args, context, info]: Parameters<Resolver>) => {
    const [first, ...others] = faultsOfPages(info, () => ownerIn(context))
    if (first) throw new InvalidInput([first, ...others])
    return resolver(parent, args, context, info)
  }
}

/** The field, which only reads, is refused with all that is wrong: its pages, and what it says of its other arguments. */
function refusingWithOthers<Resolver extends GraphQLFieldResolver<unknown, object, object>>(resolver: Resolver) {
  return (...[parent, args, context, info]: Parameters<Resolver>) => {
    const [first, ...others] = faultsOfPages(info, () => ownerIn(context))
    return first
      ? refuse([first, ...others], () => resolver(parent, emptyPageOf(args), context, info))
      : resolver(parent, args, context, info)
  }
}

/** The arguments of a field with a page of nothing in place of the page that they ask for, if they ask for one. */
function emptyPageOf<Args extends object>(args: Args): Args {
  const asked = ARGUMENTS.filter((name) => name in args)
  return asked.length === 0
    ? args
    : { ...args, ...Object.fromEntries(asked.map((name) => [name, undefined])), first: 0 }
}

async function refuse([first, ...others]: [Issue, ...Issue[]], read: () => unknown): Promise<never> {
  let found: readonly Issue[] = []
  try {
    const page = await read()
    // Each thing of several by id is read by itself; one that no one waits for would end the process where it is refused.
    if (Array.isArray(page)) await Promise.all(page)
    // A list of which only the count is asked for looks at its filter when it counts.
    if (isCounted(page) && typeof page.totalCount === 'function') await page.totalCount()
  } catch (error) {
    found = issuesOf(error)
  }
  throw new InvalidInput([first, ...others, ...found])
}

declare global {
  export namespace PothosSchemaTypes {
    export interface Plugins<Types extends SchemaTypes> {
      pageFaults: PageFaultsPlugin<Types>
    }
  }
}

SchemaBuilder.registerPlugin(PLUGIN, PageFaultsPlugin)
