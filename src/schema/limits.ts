// How much one query may ask for. Depth, breadth and cost are judged before anything is fetched (Pothos' complexity
// plugin); text that is too long or nested to be parsed safely is refused before it is parsed.
import { GraphQLError, Lexer, Source, TokenKind } from 'graphql'
import { catalogueEntry } from '../error-catalogue.ts'

/** Levels of fields within fields. */
export const MAX_DEPTH = 16
/** Fields of a whole query, fragments counted wherever they are used. */
export const MAX_BREADTH = 600
/** What a query may cost where nothing else is set, in values: lists and pages by their length, questions to the planner by what they take (costs.ts). */
export const MAX_COMPLEXITY = 100_000
/** Values that an answer about the schema itself may hold: some megabytes. */
export const MAX_SCHEMA_VALUES = 50_000
/** Words and signs of a query's text. */
export const MAX_TOKENS = 10_000
/** Brackets within brackets of a query's text. */
const MAX_NESTING = 100
/** Bytes of a query's text in UTF-8, comments and all. */
export const MAX_QUERY_BYTES = 64 * 1024
/** Bytes of a request's body. */
export const MAX_BODY_BYTES = 256 * 1024

const OPENING: ReadonlySet<string> = new Set([TokenKind.BRACE_L, TokenKind.BRACKET_L, TokenKind.PAREN_L])
const CLOSING: ReadonlySet<string> = new Set([TokenKind.BRACE_R, TokenKind.BRACKET_R, TokenKind.PAREN_R])

/** Throws a GraphQLError where the text of a query is too long or too deeply nested; faults of syntax too. */
export function refuseHugeText(text: string): void {
  if (Buffer.byteLength(text) > MAX_QUERY_BYTES)
    throw refusedText('QUERY_TOO_LARGE', `The query has more than ${MAX_QUERY_BYTES.toLocaleString('en')} bytes.`)
  const lexer = new Lexer(new Source(text))
  let nesting = 0
  for (let tokens = 0; lexer.advance().kind !== TokenKind.EOF; tokens += 1) {
    if (tokens === MAX_TOKENS)
      throw refusedText('QUERY_TOO_LARGE', `The query has more than ${MAX_TOKENS} words and signs.`)
    if (OPENING.has(lexer.token.kind)) nesting += 1
    else if (CLOSING.has(lexer.token.kind)) nesting -= 1
    if (nesting > MAX_NESTING)
      throw refusedText('QUERY_TOO_DEEP', `The query is nested more than ${MAX_NESTING} levels deep.`)
  }
}

/** The refusal of a query by its text alone. */
export function refusedText(code: 'QUERY_TOO_LARGE' | 'QUERY_TOO_DEEP', message: string): GraphQLError {
  const { kind, action } = catalogueEntry(code)
  return new GraphQLError(message, {
    extensions: {
      code,
      kind,
      action,
      issues: [{ path: 'query', code, message, action }],
      http: { spec: true, status: 400 },
    },
  })
}
