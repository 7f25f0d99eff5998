// Pages of the feed and of snapshots: how their arguments say which page, and what their connections have beside edges.
import type { z } from 'zod'
import { builder } from '../builder.ts'
import { type Columns, cursorValues, type Paged } from '../cursors.ts'
import { DEFAULT_PAGE } from '../page-faults.ts'

/** Most entries of one page of these lists. */
export const MOST_CHANGES = 500

/** The arguments of a page, which were found to be right (page-faults.ts). */
export interface PageArgs {
  first?: number | null | undefined
  last?: number | null | undefined
  after?: string | null | undefined
  before?: string | null | undefined
}

/** The arguments that name a page of `plural`. */
export function pageArgs(plural: string) {
  return builder.args((t) => ({
    first: t.int({
      description: `How many ${plural} from the start, 0 to ${MOST_CHANGES}; ${DEFAULT_PAGE} where neither \`first\` nor \`last\` is given. Not with \`last\` or \`before\`.`,
    }),
    last: t.int({
      description: `How many ${plural} from the end, 0 to ${MOST_CHANGES}. Not with \`first\` or \`after\`.`,
    }),
    after: t.string({ description: `Only ${plural} after this cursor. Not with \`last\` or \`before\`.` }),
    before: t.string({ description: `Only ${plural} before this cursor. Not with \`first\` or \`after\`.` }),
  }))
}

/** What a page costs: what is beneath it counts once for each entry. */
export function costOfPage({ first, last }: PageArgs) {
  const asked = first ?? last ?? DEFAULT_PAGE
  return { field: 1, multiplier: Math.min(Math.max(asked, 1), MOST_CHANGES) }
}

/** What the type of such a connection carries. */
export function pagedBy(columns: Columns) {
  return { pagedBy: columns, most: MOST_CHANGES } satisfies Paged
}

/** Which page is asked for; places by the values of their cursors. */
export function pageAsked<Values>({ first, last, after, before }: PageArgs, shape: z.ZodType<Values>) {
  return {
    after: cursorValues(after, shape),
    before: cursorValues(before, shape),
    count: first ?? last ?? DEFAULT_PAGE,
    fromEnd: typeof last === 'number' || typeof before === 'string',
  }
}

/** A page as the schema shows it. */
export interface Page<Node> {
  edges: { cursor: string; node: Node }[]
  pageInfo: {
    hasNextPage: boolean
    hasPreviousPage: boolean
    startCursor: string | null
    endCursor: string | null
  }
  totalCount: () => Promise<number>
}

/** A page of nodes with their cursors. */
export function pageOf<Node>(
  nodes: readonly Node[],
  { hasNext, hasPrevious }: { hasNext: boolean; hasPrevious: boolean },
  cursorOf: (node: Node) => string,
  totalCount: () => Promise<number>,
): Page<Node> {
  const edges = nodes.map((node) => ({ cursor: cursorOf(node), node }))
  return {
    edges,
    pageInfo: {
      hasNextPage: hasNext,
      hasPreviousPage: hasPrevious,
      startCursor: edges[0]?.cursor ?? null,
      endCursor: edges.at(-1)?.cursor ?? null,
    },
    totalCount,
  }
}
