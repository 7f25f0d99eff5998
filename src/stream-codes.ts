// Refusals with which a subscription ends before all was heard that it was for.

/** By code: the kind, what it means and what the caller can do. */
export const STREAM_REFUSALS = {
  SERVER_STOPS: [
    'BUSY',
    'The server stops: there may be more to hear.',
    'Subscribe again after `retryAfterSeconds`, or ask for how things stand.',
  ],
  STREAM_KEY_ENDED: [
    'UNAUTHENTICATED',
    'The key of the subscription was revoked, or its time is over: there may be more to hear.',
    'Subscribe again with a key that is good.',
  ],
} as const
