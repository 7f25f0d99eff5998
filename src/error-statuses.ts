// The HTTP statuses of codes that refuse a whole request; every other code refuses a field, and its answer comes with 200.

/** The status by code of the catalogue. One code never comes with two. */
export const STATUSES: Readonly<Record<string, number>> = {
  BAD_REQUEST: 400,
  BAD_QUERY: 400,
  QUERY_TOO_DEEP: 400,
  QUERY_TOO_LARGE: 400,
  QUERY_TOO_COSTLY: 400,
  KEY_MISSING: 401,
  KEY_UNKNOWN: 401,
  KEY_REVOKED: 401,
  KEY_EXPIRED: 401,
  DOCUMENT_FORBIDDEN: 403,
  NO_SUCH_ADDRESS: 404,
  NO_DOCUMENT: 404,
  WRONG_METHOD: 405,
  WRONG_ANSWER_TYPE: 406,
  REQUEST_TOO_SLOW: 408,
  DOCUMENT_MOVED: 409,
  REQUEST_TOO_LARGE: 413,
  WRONG_CONTENT_TYPE: 415,
  HEADERS_TOO_LARGE: 431,
  UNEXPECTED: 500,
  TOO_MANY_STREAMS: 429,
  TOO_MANY_CONNECTIONS: 503,
  DATABASE_SLOW: 503,
  DATABASE_AWAY: 503,
}
