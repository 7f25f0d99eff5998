// Trusted documents: queries that the operator has put on a list, which a caller names by their SHA-256 and need not send; where the
// setting says so, no others are answered.
import { createHash } from 'node:crypto'
import { usePersistedOperations } from '@graphql-yoga/plugin-persisted-operations'
import { type GraphQLSchema, parse, validate } from 'graphql'
import type { GraphQLParams, Plugin } from 'graphql-yoga'
import { z } from 'zod'
import { refusedRequest } from './refusals.ts'

/** Queries by their SHA-256 in hex. */
export type TrustedDocuments = ReadonlyMap<string, string>

/** The name of a document: SHA-256 of its text in UTF-8, in hex. */
export function documentHash(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex')
}

const listShape = z.record(z.string(), z.string())

/**
 * Reads a list: a JSON object with the text of each query under its SHA-256. Throws an error that lists all that is wrong, a query that does
 * not fit the schema among it.
 */
export function readTrustedDocuments(text: string, schema: GraphQLSchema): TrustedDocuments {
  const documents = listShape.parse(JSON.parse(text))
  const faults = Object.entries(documents).flatMap(([hash, query]) => {
    if (hash !== documentHash(query)) return [`${hash}: the SHA-256 of its text is ${documentHash(query)}`]
    return faultsOf(query, schema).map((fault) => `${hash}: ${fault}`)
  })
  if (faults.length > 0) throw new Error(`These trusted documents are not right:\n  ${faults.join('\n  ')}`)
  return new Map(Object.entries(documents))
}

function faultsOf(query: string, schema: GraphQLSchema): string[] {
  try {
    return validate(schema, parse(query)).map(({ message }) => message)
  } catch (error) {
    return [error instanceof Error ? error.message : String(error)]
  }
}

/** Answers queries of the list by name; where `only` is true, no others. */
export function trustedDocuments(documents: TrustedDocuments | undefined, only: boolean): Plugin {
  if (!documents) return {}
  return usePersistedOperations({
    allowArbitraryOperations: !only,
    getPersistedOperation: (hash) => documents.get(hash) ?? null,
    extractPersistedOperationId: nameOf,
    customErrors: {
      notFound: () => refusedRequest('DOCUMENT_UNKNOWN'),
      keyNotFound: () => refusedRequest('BAD_REQUEST'),
      persistedQueryOnly: () => refusedRequest('DOCUMENT_NOT_TRUSTED'),
    },
  })
}

const nameShape = z.union([
  // The draft of persisted documents for GraphQL over HTTP.
  z.object({ documentId: z.string().regex(/^sha256:/) }).transform(({ documentId }) => documentId.slice(7)),
  // What clients have sent for long.
  z
    .object({ extensions: z.object({ persistedQuery: z.object({ version: z.literal(1), sha256Hash: z.string() }) }) })
    .transform(({ extensions }) => extensions.persistedQuery.sha256Hash),
])

/** The SHA-256 by which a request names its query; null where it names none. */
function nameOf(params: GraphQLParams): string | null {
  return nameShape.safeParse(params).data?.toLowerCase() ?? null
}
