// Refusals of requests that name their query, or do not where they must, and of tables.
import { TABLE_REFUSALS } from './table-codes.ts'

/** By code: the kind, what it means and what the caller can do. */
export const DOCUMENT_REFUSALS = {
  ...TABLE_REFUSALS,
  DOCUMENT_UNKNOWN: [
    'INVALID_INPUT',
    'No query of the list has this SHA-256.',
    'Ask for the query to be put on the list of trusted documents, or send its text where that is allowed.',
  ],
  DOCUMENT_NOT_TRUSTED: [
    'INVALID_INPUT',
    'Queries are answered from the list of trusted documents alone.',
    'Send "documentId": "sha256:…" without "query", and ask for the query to be put on the list.',
  ],
} as const
