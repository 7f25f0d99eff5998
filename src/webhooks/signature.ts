// Signatures of webhooks by the Standard Webhooks specification 1.0.0: HMAC-SHA256 over `id.timestamp.body`, version v1.
import { createHmac, randomBytes } from 'node:crypto'

/** What the specification puts before the base64 of a secret. */
const PREFIX = 'whsec_'

/** A new secret: 256 bits of chance (the specification wants 24 to 64 bytes). */
export function newSecret(): string {
  return `${PREFIX}${randomBytes(32).toString('base64')}`
}

/** What is sent: `id` is the same in each attempt, `at` is when the attempt is made. */
export interface Message {
  id: string
  at: Date
  body: string
}

/** The headers of a message: signed with each of the secrets, so that a receiver may have either while one takes the other's place. */
export function signedHeaders({ id, at, body }: Message, secrets: readonly string[]): Record<string, string> {
  const timestamp = String(Math.floor(at.getTime() / 1000))
  const signatures = secrets.map((secret) => {
    const key = Buffer.from(secret.slice(PREFIX.length), 'base64')
    return `v1,${createHmac('sha256', key).update(`${id}.${timestamp}.${body}`).digest('base64')}`
  })
  return { 'webhook-id': id, 'webhook-timestamp': timestamp, 'webhook-signature': signatures.join(' ') }
}
