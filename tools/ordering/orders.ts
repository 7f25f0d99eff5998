// An order as both sides know it, as lines of text that can be compared, and the queries that read and write it.
import { z } from 'zod'

const FIELDS = 'externalRef number status lines { externalRef status quantity pack { externalRef } }'
const REFUSALS =
  '... on Busy { code } ... on Conflict { code } ... on NotPossible { code } ... on NotFound { code } ... on InvalidInput { issues { code message } }'

/** What is done to an order. */
export type Act = 'placeOrder' | 'amendOrder' | 'cancelOrder'

const TYPES: Readonly<Record<Act, string>> = { placeOrder: 'Place', amendOrder: 'Amend', cancelOrder: 'Cancel' }

/** The mutation of an act, answered as `it`. */
export function mutationOf(act: Act): string {
  const refusals = act === 'cancelOrder' ? REFUSALS.replace('... on NotPossible { code } ', '') : REFUSALS
  return `mutation ($input: ${TYPES[act]}OrderInput!) { it: ${act}(input: $input) { __typename
    ... on OrderPayload { revision order { ${FIELDS} } } ${act === 'placeOrder' ? refusals.replace('... on NotFound { code } ', '') : refusals} } }`
}

/** A page of all orders. */
export const ORDERS = `query ($after: String) { orders(first: 200, after: $after) {
  edges { node { ${FIELDS} } } pageInfo { hasNextPage endCursor } } }`

/** A page of the feed. */
export const CHANGES = `query ($after: String!) { changes(after: $after, first: 100) {
  edges { node { revision n kind entityType externalRef entity { ... on Order { ${FIELDS} } } } } position pageInfo { hasNextPage } } }`

export const orderShape = z.object({
  externalRef: z.string().nullable(),
  number: z.int(),
  status: z.string(),
  lines: z.array(
    z.object({
      ...{ externalRef: z.string().nullable(), status: z.string(), quantity: z.int() },
      pack: z.object({ externalRef: z.string().nullable() }),
    }),
  ),
})
export type Order = z.output<typeof orderShape>

/** Orders by the caller's reference. */
export type Book = Map<string, Order>

/** A book as text, a line for each line of an order. */
export function linesOf(book: Book): string[] {
  return [...book.values()]
    .flatMap(({ externalRef, number, status, lines }) =>
      lines.map((line) =>
        [externalRef, number, status, line.externalRef, line.status, line.quantity, line.pack.externalRef].join(' '),
      ),
    )
    .sort()
}

/** Lines that one of two books has and the other has not, or has otherwise. */
export function differences(name: string, book: Book, other: Book): string[] {
  const [mine, theirs] = [new Set(linesOf(book)), new Set(linesOf(other))]
  return [
    ...[...mine].filter((line) => !theirs.has(line)).map((line) => `only in ${name}: ${line}`),
    ...[...theirs].filter((line) => !mine.has(line)).map((line) => `not in ${name}: ${line}`),
  ]
}
