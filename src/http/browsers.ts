// What browsers may do with answers: nothing but show them. Pages of other origins read none unless a setting names them.
import { createHash } from 'node:crypto'
import type { Plugin } from 'graphql-yoga'
import { RATE_LIMIT_HEADERS } from './rate-limit.ts'

/** Headers of every answer: its type is what it says, it loads and runs nothing, and no page frames it. */
export const GUARDS = {
  'x-content-type-options': 'nosniff',
  'content-security-policy': "default-src 'none'; frame-ancestors 'none'",
} as const

/** Gives every answer the headers that guard it, except where it has its own. */
export const guardAnswers: Plugin = {
  onResponse({ response: { headers } }) {
    for (const [name, value] of Object.entries(GUARDS)) if (!headers.has(name)) headers.set(name, value)
  },
}

/**
 * The policy of a page that has all its parts inside: it runs the scripts that it came with and no other, and asks only the
 * server that it came from. Its editor sets styles as it runs, and works in threads made of its own text.
 */
export function policyOf(page: string): string {
  const scripts = [...page.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(([, text = '']) => hashOf(text))
  return [
    "default-src 'none'",
    `script-src ${scripts.join(' ')}`,
    "style-src 'unsafe-inline'",
    'worker-src blob: data:',
    'img-src data:',
    'font-src data:',
    "connect-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; ')
}

function hashOf(text: string): string {
  return `'sha256-${createHash('sha256').update(text).digest('base64')}'`
}

/** The setting that lets pages of every origin read answers. */
const EVERY = '*'

/** What pages of other origins may do (CORS): those of `origins` may ask with a key, all others nothing. */
export function corsFor(origins: readonly string[]) {
  return (request: Request) => {
    const origin = request.headers.get('origin')
    if (origin === null || !(origins.includes(origin) || origins.includes(EVERY))) return false as const
    return {
      origin: [origin],
      methods: ['GET', 'HEAD', 'POST'],
      allowedHeaders: ['authorization', 'content-type', 'x-api-key', 'idempotency-key', 'x-request-id', 'traceparent'],
      exposedHeaders: ['etag', 'x-revision', 'x-request-id', 'retry-after', ...RATE_LIMIT_HEADERS],
      credentials: false,
      maxAge: 600,
    }
  }
}
