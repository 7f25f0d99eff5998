// An order line in the words of an obstacle; `inNames` puts names in place of the ids.
import type { OrderLine } from '../../planner/documents/index.ts'

/** The line with what it asks for, by ids. */
export function wordsOfLine({ id, quantity, packId, serveOn }: OrderLine): string {
  return `order line "${id}" (${quantity} of pack "${packId}" for ${serveOn})`
}
