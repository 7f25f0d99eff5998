// Shapes of answers that several parts of a season ask for.
import { z } from 'zod'

/** A thing with a name. */
export const named = z.object({ id: z.string(), name: z.string() })

/** A page of a connection, read as the list of its things. */
export function pageOf<Node>(node: z.ZodType<Node>) {
  return z
    .object({ edges: z.array(z.object({ node })) })
    .transform(({ edges }): Node[] => edges.map((edge) => edge.node))
}

/** Where only the act counts. */
export const anything = z.unknown()
