// Refusals of those who follow: cursors, which are places in lists and in the change feed, and webhooks.
import { WEBHOOK_REFUSALS } from './webhook-codes.ts'

/** By code: the kind, what it means and what the caller can do. */
export const FEED_REFUSALS = {
  ...WEBHOOK_REFUSALS,
  BAD_CURSOR: [
    'INVALID_INPUT',
    'The text is no cursor of the list.',
    'Give a cursor as a page of the same list has it.',
  ],
  CURSOR_TOO_OLD: [
    'CONFLICT',
    'Changes after this cursor are no longer kept.',
    'Start anew: read `snapshot`, and go on from the cursor `changesAfter` that it answers.',
  ],
  CURSOR_LOST: [
    'CONFLICT',
    'The records have no such change: the database was restored, or came back without its last changes.',
    'Start anew: read `snapshot`, and go on from the cursor `changesAfter` that it answers.',
  ],
} as const
