// The schema builder: its plugins and what holds for the whole API. Files beside this one register types and root fields
// on it; schema.ts lists them.
import SchemaBuilder from '@pothos/core'
import ComplexityPlugin, { ComplexityErrorKind } from '@pothos/plugin-complexity'
import ErrorsPlugin from '@pothos/plugin-errors'
import PrismaPlugin from '@pothos/plugin-prisma'
import RelayPlugin, { resolveNodes } from '@pothos/plugin-relay'
import ScopeAuthPlugin from '@pothos/plugin-scope-auth'
import { type GraphQLResolveInfo, getNamedType } from 'graphql'
import { Prisma } from '../database/client.ts'
import { InvalidInput, issue } from '../errors.ts'
import { decodeGlobalId, encodeGlobalId } from '../resolvers/global-id.ts'
import type { Scope } from '../scopes.ts'
import type { Context } from './context.ts'
import { usualCost } from './costs.ts'
import type PrismaTypes from './generated/pothos.ts'
import { getDatamodel } from './generated/pothos.ts'
import { MAX_BREADTH, MAX_DEPTH } from './limits.ts'
import { requireOfKind } from './node-scopes.ts'
import PageFaultsPlugin, { DEFAULT_PAGE, MAX_PAGE } from './page-faults.ts'
import WritersInLinePlugin from './writers-in-line.ts'

/** The kind of what is no id. */
const NO_ID = ''

export interface SchemaShape {
  Context: Context
  PrismaTypes: PrismaTypes
  Scalars: {
    ID: { Input: string; Output: string | number | bigint }
    /** Text from outside that use-cases parse; a DATE column's value or a `YYYY-MM-DD` on the way out. */
    LocalDate: { Input: string; Output: Date | string }
    /** Text from outside that use-cases parse. */
    DateTime: { Input: string; Output: Date | string }
  }
  AuthScopes: {
    /** The key must carry this scope. */
    scope: Scope
    /** Any good key will do. */
    anyKey: boolean
  }
  DefaultFieldNullability: false
  DefaultEdgesNullability: { list: false; items: false }
}

export const builder = new SchemaBuilder<SchemaShape>({
  // Errors first: it turns what the plugins after it throw (such as a missing scope) into members of a mutation's union.
  plugins: [
    ErrorsPlugin,
    ScopeAuthPlugin,
    PrismaPlugin,
    RelayPlugin,
    ComplexityPlugin,
    WritersInLinePlugin,
    PageFaultsPlugin,
  ],
  defaultFieldNullability: false,
  errors: {
    directResult: true,
    defaultUnionOptions: {
      name: ({ fieldName }) => `${capitalised(fieldName)}Result`,
      description: 'What the mutation did, or a typed error that says why it did nothing.',
    },
  },
  scopeAuth: {
    authorizeOnSubscribe: true,
    authScopes: (context) => ({
      scope: (scope) => context.require(scope),
      anyKey: () => context.caller !== undefined,
    }),
  },
  prisma: {
    client: ({ client }) => client,
    dmmf: getDatamodel(),
    exposeDescriptions: true,
    filterConnectionTotalCount: true,
    defaultConnectionSize: DEFAULT_PAGE,
    maxConnectionSize: MAX_PAGE,
  },
  relay: {
    edgesFieldOptions: {
      nullable: { list: false, items: false },
      description: 'The things of this page, each with its cursor.',
    },
    nodeFieldOptions: { nullable: false, description: 'The thing.' },
    cursorFieldOptions: { description: 'Where the thing stands in the whole list; opaque.' },
    pageInfoFieldOptions: { description: 'Whether there is more, and from where to go on.' },
    pageInfoTypeOptions: { description: 'Where a page stands in the whole list.' },
    hasNextPageFieldOptions: { description: 'Whether more things follow this page.' },
    hasPreviousPageFieldOptions: { description: 'Whether there are things before this page.' },
    startCursorFieldOptions: { description: 'Cursor of the first thing of the page. Absent: the page is empty.' },
    endCursorFieldOptions: {
      description:
        'Cursor of the last thing of the page: give it as `after` for the next page. Absent: the page is empty.',
    },
    firstArgOptions: {
      description: `How many things from the start, 0 to ${MAX_PAGE}; ${DEFAULT_PAGE} where neither \`first\` nor \`last\` is given. Not with \`last\` or \`before\`.`,
    },
    lastArgOptions: { description: `How many things from the end, 0 to ${MAX_PAGE}. Not with \`first\` or \`after\`.` },
    afterArgOptions: { description: 'Only things after this cursor. Not with `last` or `before`.' },
    beforeArgOptions: { description: 'Only things before this cursor. Not with `first` or `after`.' },
    nodeTypeOptions: { description: 'A thing that has an id of its own and can be fetched again by it.' },
    idFieldOptions: { description: 'The id of the thing, unique over all kinds of things; opaque.' },
    nodeQueryOptions: {
      description: 'The thing with this id, or nothing. Scope: any key, and what the kind of the thing itself needs.',
      authScopes: { anyKey: true },
      args: { id: { description: 'The id of the thing.' } },
      resolve: (_root, { id }, context, info, resolveNode) => {
        requireOfKind(context, info.schema, isId(id).typename)
        return orNothing(resolveNode(id))
      },
    },
    nodesQueryOptions: {
      nullable: { list: true, items: true },
      description:
        'The things with these ids, in their order; nothing where there is none. At most 100 ids. Scope: any key, and what the kinds of the things themselves need.',
      authScopes: { anyKey: true },
      args: { ids: { description: 'The ids of the things; at most 100.' } },
      resolve: (_root, { ids }, context, info) => {
        if (ids.length > 100) throw new InvalidInput([issue('ids', 'TOO_MANY', `has ${ids.length} ids; at most 100`)])
        return ids.map((id) => nodeOf(context, info, id))
      },
    },
    encodeGlobalID: (kind, id) => encodeGlobalId(kind, String(id)),
    // A text that is no id is refused by its own field: every field of a query looks at the arguments of all, for its cost.
    decodeGlobalID: (text) => {
      const { kind, id } = decodeGlobalId(text) ?? { kind: NO_ID, id: text }
      return { typename: kind, id }
    },
  },
  complexity: {
    defaultComplexity: 1,
    fieldComplexity: (page, _context, { name, type }) =>
      usualCost(page, {
        isEdges: name === 'edges',
        isList: String(type).startsWith('['),
        isPage: getNamedType(type).name.endsWith('Connection'),
      }),
    limit: ({ queryCost }) => ({ depth: MAX_DEPTH, breadth: MAX_BREADTH, complexity: queryCost }),
    complexityError: (kind, { depth, breadth, complexity, maxComplexity }) => {
      if (kind === ComplexityErrorKind.Depth)
        return new InvalidInput([issue('query', 'QUERY_TOO_DEEP', `is ${depth} levels deep; at most ${MAX_DEPTH}`)])
      if (kind === ComplexityErrorKind.Breadth)
        return new InvalidInput([
          issue('query', 'QUERY_TOO_LARGE', `asks for ${breadth} fields; at most ${MAX_BREADTH}`),
        ])
      const message = `may cost as much as ${Math.round(complexity)} values; at most ${maxComplexity}`
      return new InvalidInput([issue('query', 'QUERY_TOO_COSTLY', message)])
    },
  },
})

builder.queryType({
  description:
    'What can be asked. Every field names the scope that the key must carry. One that fails is null and has its error; the others are answered.',
})
builder.subscriptionType({
  description: 'What can be listened to, by server-sent events. Every field names the scope that the key must carry.',
})
builder.mutationType({
  description:
    'What can be done. Every field names the scope that the key must carry, and answers its payload or a typed error.',
})

/** The same id. Throws `InvalidInput` where the text was none. */
function isId<Id extends { typename: string; id: string }>(id: Id): Id {
  if (id.typename === NO_ID) throw new InvalidInput([issue('id', 'BAD_ID', `"${id.id.slice(0, 60)}" is not an id`)])
  return id
}

/** Any thing that has an id of its own, by kind and row; null where there is none. Throws where the caller may not read it. */
export async function thingOf(context: Context, info: GraphQLResolveInfo, kind: string, id: string): Promise<unknown> {
  return nodeOf(context, info, { typename: kind, id })
}

/** One node by itself: the plugin's own way finds all of a list or, where one of them is not there or no id, none. */
async function nodeOf(
  context: Context,
  info: GraphQLResolveInfo,
  id: { typename: string; id: string },
): Promise<unknown> {
  requireOfKind(context, info.schema, isId(id).typename)
  return orNothing(resolveNodes(builder, context, info, [id]).then(([node]) => node))
}

/** A thing, or null where there is none in the caller's records. */
async function orNothing(found: unknown): Promise<unknown> {
  try {
    return await found
  } catch (error) {
    if (error instanceof Prisma.PrismaClientKnownRequestError && error.code === 'P2025') return null
    throw error
  }
}

function capitalised(name: string): string {
  return name.charAt(0).toUpperCase() + name.slice(1)
}
