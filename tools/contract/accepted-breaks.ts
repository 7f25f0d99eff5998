// Changes of the schema since its release that break clients and were accepted all the same. Empty after a release.

export interface AcceptedBreak {
  /** The change in the words of `npm run schema:check`. */
  change: string
  /** Why, and what clients do instead. */
  why: string
}

export const ACCEPTED_BREAKS: readonly AcceptedBreak[] = []
