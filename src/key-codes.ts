// Refusals for what a request shows beside its query: its key.

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
  DOCUMENT_FORBIDDEN: [
    'FORBIDDEN',
    'The key does not allow this document to be read.',
    'Use a key that has the named scope.',
  ],
} as const
