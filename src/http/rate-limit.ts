// What a key may use in a minute and what is left of it, as headers of every answer to it: RateLimit-Policy and RateLimit of
// draft-ietf-httpapi-ratelimit-headers-10, which are lists of structured fields (RFC 9651).
import type { Plugin } from 'graphql-yoga'

/** The headers, for pages that may read answers. */
export const RATE_LIMIT_HEADERS = ['ratelimit-policy', 'ratelimit'] as const

interface Quotas {
  requests: number
  /** What queries cost, in values. */
  cost: number
}

export interface RateLimits {
  quotas: Quotas
  /** Seconds for which the quotas are. */
  window: number
  /** What is left to the key of a request, and in how many seconds it has all again; undefined for a request without a good key. */
  left: (request: Request) => (Quotas & { seconds: number }) | undefined
}

/** Gives the headers to each answer to a key. */
export function sayRateLimits({ quotas: { requests, cost }, window, left }: RateLimits): Plugin {
  const policy = `"requests";q=${requests};w=${window}, "query-cost";q=${cost};w=${window};qu="query-cost"`
  return {
    onResponse({ request, response: { headers } }) {
      const now = left(request)
      if (!now) return
      const { seconds } = now
      headers.set('ratelimit-policy', policy)
      headers.set('ratelimit', `"requests";r=${now.requests};t=${seconds}, "query-cost";r=${now.cost};t=${seconds}`)
    },
  }
}
