// Parsed queries, kept so that a client that repeats its queries does not pay for parsing and validating them each time.
// Bounded by the bytes that they take, not only by their number: queries can be sent without a key.
import type { DocumentNode } from 'graphql'
import type { Plugin } from 'graphql-yoga'
import { LRUCache } from 'lru-cache'

/** Bytes that all kept queries take together, as estimated. */
export const MAX_CACHE_BYTES = 16 * 1024 * 1024
/** Queries that are kept at most. */
const MAX_CACHED = 1024
/** Bytes that a word or sign of a query takes once parsed, validated and run; measured: 220 to 520 for the parsed document alone. */
const BYTES_A_TOKEN = 800

/** Estimated bytes that a parsed query holds: its text, and the words and signs that were made of it. */
export function estimatedBytes(document: DocumentNode, text: string): number {
  let tokens = 0
  for (let token = document.loc?.startToken; token; token = token.next ?? undefined) tokens += 1
  return 2 * text.length + BYTES_A_TOKEN * tokens
}

/** The parsed queries by their texts. What was refused is not in it. */
export class QueryCache {
  readonly #documents = new LRUCache<string, DocumentNode>({
    max: MAX_CACHED,
    maxSize: MAX_CACHE_BYTES,
    sizeCalculation: estimatedBytes,
  })

  /** Estimated bytes of all that is kept. */
  get bytes(): number {
    return this.#documents.calculatedSize
  }

  get size(): number {
    return this.#documents.size
  }

  get(text: string): DocumentNode | undefined {
    return this.#documents.get(text)
  }

  set(text: string, document: DocumentNode): void {
    this.#documents.set(text, document)
  }

  /** Forgets a query that turned out to be refused. */
  forget(document: DocumentNode): void {
    if (document.loc) this.#documents.delete(document.loc.source.body)
  }
}

/** What yoga's parser asks for queries that could not be parsed: none is ever kept. */
export const NO_REFUSED_TEXTS = { get: () => undefined, set: () => undefined }

/** Queries that do not fit the schema are forgotten as soon as that is known. */
export function forgetInvalid(cache: QueryCache): Plugin {
  return {
    onValidate:
      ({ params }) =>
      ({ valid }) => {
        if (!valid) cache.forget(params.documentAST)
      },
  }
}
