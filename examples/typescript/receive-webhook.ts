// What a receiver of webhooks does with a message: the signature first, by a library of the Standard Webhooks specification, then the content.
import { Webhook } from 'standardwebhooks'

/** A message: what changed. Read the thing anew by its id, or its own reference, where you need more. */
export interface ChangeMessage {
  type: string
  timestamp: string
  data: {
    revision: number
    n: number
    entityType: string
    entityId: string
    externalRef: string | null
    isNew: boolean
    /** Whether an earlier message about the thing was given up: read the thing anew. */
    afterGap: boolean
  }
}

/**
 * The message in a request. `body` is the text as it came; `secret` is what `registerWebhook` answered. Throws where the signature is
 * not that of the secret, or is older than five minutes. A message comes at least once: keep the ids that you have taken over.
 */
export function readWebhook(secret: string, headers: Record<string, string>, body: string) {
  new Webhook(secret).verify(body, headers)
  const message: ChangeMessage = JSON.parse(body)
  return { id: headers['webhook-id'] ?? '', message }
}
