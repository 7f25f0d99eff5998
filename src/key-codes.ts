// Refusals for what a request shows beside its query: its key, the key under which it runs once, and an offer that was taken up.

/** By code: the kind, what it means and what the caller can do. */
export const KEY_REFUSALS = {
  KEY_MISSING: ['UNAUTHENTICATED', 'The request carries no key.', 'Send "Authorization: Bearer <key>".'],
  KEY_UNKNOWN: ['UNAUTHENTICATED', 'The key is not known.', 'Ask for a key that is good.'],
  KEY_REVOKED: ['UNAUTHENTICATED', 'The key was revoked.', 'Ask for a new key.'],
  KEY_EXPIRED: [
    'UNAUTHENTICATED',
    'The time of the key is over, or another secret took the place of this one.',
    'Use the secret that took its place, or ask for a new key.',
  ],
  SCOPE_MISSING: ['FORBIDDEN', 'The key does not allow this.', 'Use a key that has the named scope.'],
  KEY_TOO_STRONG_FOR_ADDRESS: [
    'FORBIDDEN',
    'A key in an address may read plans and nothing else: addresses are kept in histories and logs.',
    'Make a key with the scope plan:read alone for the calendar, or send this one as the password.',
  ],
  DOCUMENT_FORBIDDEN: [
    'FORBIDDEN',
    'The key does not allow this document to be read.',
    'Use a key that has the named scope.',
  ],
  KEY_REQUESTS_SPENT: [
    'BUSY',
    'The key has sent as many requests as it may in a minute.',
    'Send the same again after the seconds that are named; the headers RateLimit-Policy and RateLimit say what is left.',
  ],
  KEY_COST_SPENT: [
    'BUSY',
    'The queries of the key have cost as much as they may in a minute.',
    'Send the same again after the seconds that are named, or ask for less; the headers RateLimit-Policy and RateLimit say what is left.',
  ],
  IDEMPOTENCY_KEY_MISSING: [
    'INVALID_INPUT',
    'Mutations with this key need the header Idempotency-Key.',
    'Send Idempotency-Key: "…" with a text that is new for each mutation, and the same when one is repeated.',
  ],
  BAD_IDEMPOTENCY_KEY: [
    'INVALID_INPUT',
    'The header Idempotency-Key is not in quotation marks, is empty, or has more than 255 signs.',
    'Send a text of 1 to 255 printable ASCII signs in quotation marks, such as Idempotency-Key: "a1b2".',
  ],
  NOT_ONE_MUTATION: [
    'INVALID_INPUT',
    'A request with an Idempotency-Key holds exactly one field, which is of a mutation.',
    'Send each mutation in a request of its own, and queries without the header.',
  ],
  IDEMPOTENT_IN_PROGRESS: [
    'CONFLICT',
    'The same request is being worked on.',
    'Send it again after a second: it then gets the answer of the first one.',
  ],
  IDEMPOTENCY_KEY_REUSED: [
    'CONFLICT',
    'Another request came with this Idempotency-Key.',
    'Send what is new under a key of its own; what is repeated with the same query and variables.',
  ],
  IDEMPOTENT_SECRET_GONE: [
    'CONFLICT',
    'The request was carried out; its answer has a secret, which is shown once and not kept.',
    'Look for the key among `apiKeys`, and give it a new secret with rotateApiKey, or revoke it.',
  ],
  OFFER_USED: [
    'CONFLICT',
    'The offer was taken up already.',
    'Read what it became, which `takenBy` names; ask for a promise again where you want as much once more.',
  ],
} as const
