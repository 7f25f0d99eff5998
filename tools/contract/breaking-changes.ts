// Would a client that was written for the released schema still work? `npm run schema:check` lists what would not, and ends with 1 where
// something of that is not marked in accepted-breaks.ts. `npm run schema:release` makes the schema of now the released one.
import { readFileSync, writeFileSync } from 'node:fs'
import { buildSchema, findBreakingChanges, type GraphQLSchema } from 'graphql'
import { schemaText } from '../../src/schema/print-schema.ts'
import { ACCEPTED_BREAKS, type AcceptedBreak } from './accepted-breaks.ts'

const RELEASED = new URL('../../src/schema/schema.released.graphql', import.meta.url)
const HEADER =
  '# The API as it was released last: what callers build on. Written by `npm run schema:release`; do not edit.\n'

export interface BreakFaults {
  /** Changes that break clients and are not marked. */
  unmarked: string[]
  /** Marks of changes that there are not (any more). */
  stale: string[]
}

/** What changed for the worse between two schemas, as graphql-js says it, beside what was accepted. */
export function breakFaults(
  released: GraphQLSchema,
  now: GraphQLSchema,
  accepted: readonly AcceptedBreak[],
): BreakFaults {
  const changes = findBreakingChanges(released, now).map(({ description }) => description)
  const marked = new Set(accepted.map(({ change }) => change))
  return {
    unmarked: changes.filter((change) => !marked.has(change)),
    stale: [...marked].filter((change) => !changes.includes(change)),
  }
}

/** The same for the released schema of the repository and the schema of the code. */
export function ownBreakFaults(): BreakFaults {
  return breakFaults(buildSchema(readFileSync(RELEASED, 'utf8')), buildSchema(schemaText()), ACCEPTED_BREAKS)
}

if (import.meta.url === `file://${process.argv[1]}`) {
  if (process.argv[2] === 'release') writeFileSync(RELEASED, schemaText().replace(/^#.*\n/, HEADER))
  const { unmarked, stale } = ownBreakFaults()
  for (const change of unmarked) console.error(`Breaks clients: ${change}`)
  for (const change of stale) console.error(`Marked in tools/contract/accepted-breaks.ts, but no change: ${change}`)
  if (unmarked.length + stale.length > 0) process.exitCode = 1
  else console.log('Clients of the released schema go on working.')
}
